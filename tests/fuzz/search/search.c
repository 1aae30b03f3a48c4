/* tests/fuzz/search/search.c - hands the bytes of clang's libFuzzer to the target that DRUPELET_FUZZ names. */
#define _DEFAULT_SOURCE
#include <fcntl.h>
#include <sanitizer/common_interface_defs.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include "../targets.h"
#include "words.h"

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n);
size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t n, size_t most, unsigned seed);
size_t LLVMFuzzerMutate(uint8_t *bytes, size_t n, size_t most);

enum { MOST_SECONDS = 20 };

static const fuzz_target *target;

/* The frame in which it was is what scripts/fuzz tells HDF5's own doing by. */
static void took_too_long(int signal)
{
    (void)signal;
    fprintf(stderr, "==0==ERROR: more than %d s of processor time\n", MOST_SECONDS);
    __sanitizer_print_stack_trace();
    abort(); /* libFuzzer keeps the input */
}

/* Of processor time, not of wall time: a busy machine makes no fault. */
static void limit_time(int seconds)
{
    const struct itimerval limit = {.it_value.tv_sec = seconds};
    setitimer(ITIMER_PROF, &limit, NULL);
}

/* ---- changes of HDF5 files ----
 *
 * They are made in a process of their own: HDF5 crashes on files that it has to change though they are damaged, and no
 * input of a reader would stand for that. It is a child of the process that was started, while the search goes on in
 * another child. So it begins small, and scripts/fuzz, which counts the processor time of those that were waited for,
 * counts it however the search ends. */

enum { ROOM = 1 << 24, CHANGES_OF_A_CHILD = 1000 };
typedef struct { size_t n, most; unsigned seed; uint8_t bytes[ROOM]; } change_ask;

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
        limit_time(MOST_SECONDS);
        asked->n = fuzz_change_hdf5(asked->bytes, asked->n, asked->most, asked->seed);
        limit_time(0);
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

static void begin_changes(void)
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

static size_t change_apart(uint8_t *bytes, size_t n, size_t most, unsigned seed)
{
    char word = 0;
    asked->n = n;
    asked->most = most < ROOM ? most : ROOM;
    asked->seed = seed;
    if (n > ROOM) return 0;
    memcpy(asked->bytes, bytes, n);
    if (write(to_child, &word, 1) != 1 || read(from_child, &word, 1) != 1) abort();
    memcpy(bytes, asked->bytes, asked->n);
    return asked->n;
}

/* ---- what libFuzzer calls ---- */

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    const char *name = getenv("DRUPELET_FUZZ");
    if (!name) { /* names the targets; makes seeds and a dictionary where a folder and a file are given */
        for (int i = 0; i < fuzz_n_targets; i++)
            printf("%s %s\n", fuzz_targets[i].name, fuzz_targets[i].seeds);
        if (*argc > 1) fuzz_make_seeds((*argv)[1]);
        if (*argc > 2) fuzz_write_words((*argv)[2]);
        exit(0);
    }
    for (int i = 0; i < fuzz_n_targets; i++)
        if (strcmp(fuzz_targets[i].name, name) == 0) target = &fuzz_targets[i];
    if (!target) {
        fprintf(stderr, "search: no target '%s'\n", name);
        exit(2);
    }
    if (target->is_hdf5) begin_changes();
    target->try_bytes((const uint8_t *)"", 0); /* what a target makes once is made outside the limit of time */
    signal(SIGPROF, took_too_long);
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n)
{
    limit_time(MOST_SECONDS);
    target->try_bytes(bytes, n);
    limit_time(0);
    return 0;
}

size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t n, size_t most, unsigned seed)
{
    const size_t changed = target->is_hdf5 ? change_apart(bytes, n, most, seed) : 0;
    return changed > 0 ? changed : LLVMFuzzerMutate(bytes, n, most);
}
