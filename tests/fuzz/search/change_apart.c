/* tests/fuzz/search/change_apart.c - changes of HDF5 files in a process of their own.
 *
 * HDF5 crashes on files that it has to change though they are damaged, and no input of a reader would stand for that.
 * The process that was started has two children: one makes the changes, the other searches. So the one that makes
 * changes is forked while the process is small, and scripts/fuzz, which counts the processor time of processes that
 * were waited for, counts both however the search ends. */
#define _DEFAULT_SOURCE
#include "change_apart.h"

#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include "../targets.h"
#include "limit_time.h"

enum { ROOM = 1 << 24, CHANGES_OF_A_CHILD = 1000 };
typedef struct {
    size_t n, most;
    unsigned seed;
    uint8_t bytes[ROOM];
} change_ask;

static change_ask *asked; /* shared by the two */
static pid_t search;
static int to_child, from_child;

/* Until it crashes, is through with its number or the search ends. @return whether it shall be followed by another */
static bool change_until_the_end(int from, int to)
{
    char word;
    signal(SIGPROF, SIG_DFL); /* ends it */
    for (int i = 0; i < CHANGES_OF_A_CHILD; i++) {
        if (read(from, &word, 1) != 1) return false;
        fuzz_limit_time(FUZZ_MOST_SECONDS);
        asked->n = fuzz_change_hdf5(asked->bytes, asked->n, asked->most, asked->seed);
        fuzz_limit_time(0);
        if (write(to, &word, 1) != 1) return false;
    }
    return true;
}

static void serve_changes(int from, int to)
{
    const int nowhere = open("/dev/null", O_WRONLY);
    dup2(nowhere, STDERR_FILENO);
    for (;;) {
        const pid_t child = fork();
        if (child == 0) _exit(change_until_the_end(from, to) ? 0 : 3);
        int how;
        if (child < 0 || waitpid(child, &how, 0) < 0 || (WIFEXITED(how) && WEXITSTATUS(how) == 3)) return;
        if (how == 0) continue;
        asked->n = 0; /* it crashed: nothing came of it */
        if (write(to, "", 1) != 1) return;
    }
}

static void pass_to_search(int signal)
{
    kill(search, signal);
}

/* Ends as the search has ended. */
static _Noreturn void end_with_search(void)
{
    int how = 0;
    waitpid(search, &how, 0);
    _exit(WIFEXITED(how) ? WEXITSTATUS(how) : 128 + WTERMSIG(how));
}

void fuzz_begin_changes(void)
{
    int ask[2], answer[2];
    asked = mmap(NULL, sizeof *asked, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (asked == MAP_FAILED || pipe(ask) != 0 || pipe(answer) != 0) abort();
    search = fork();
    if (search < 0) abort();
    if (search > 0) {
        close(ask[1]);
        close(answer[0]);
        signal(SIGPIPE, SIG_IGN);
        signal(SIGTERM, pass_to_search);
        signal(SIGINT, SIG_IGN); /* a terminal sends it to the search as well */
        serve_changes(ask[0], answer[1]);
        end_with_search();
    }
    prctl(PR_SET_PDEATHSIG, SIGKILL); /* it ends with its parent, which may be killed */
    close(ask[0]);
    close(answer[1]);
    to_child = ask[1];
    from_child = answer[0];
}

size_t fuzz_change_apart(uint8_t *bytes, size_t n, size_t most, unsigned seed)
{
    char word = 0;
    if (n > ROOM) return 0;
    asked->n = n;
    asked->most = most < ROOM ? most : ROOM;
    asked->seed = seed;
    memcpy(asked->bytes, bytes, n);
    if (write(to_child, &word, 1) != 1 || read(from_child, &word, 1) != 1) abort();
    memcpy(bytes, asked->bytes, asked->n);
    return asked->n;
}
