/* sim/store/apart.c - a try in a child process: its status comes back through a pipe. */
#define _POSIX_C_SOURCE 200809L
#include "store/apart.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#ifdef __linux__
#include <sys/prctl.h>
#endif
#include <sys/wait.h>
#include <unistd.h>

#include "base/status.h"
#include "store/seal.h"
#include "store/store.h"

/* What a program asks for once for all its reading, as it does with signals; a library leaves its caller's processes
 * alone. */
static bool wanted;

void store_read_apart(void)
{
    wanted = true;
}

/* Last words of libraries and sanitizers would stand beside the one sentence. */
static void be_silent(void)
{
    const int nowhere = open("/dev/null", O_WRONLY);
    if (nowhere >= 0) dup2(nowhere, STDERR_FILENO);
}

static void read_in_child(const char *path, drupelet_status (*reading)(const char *path), int to)
{
    signal(SIGINT, SIG_DFL);
    signal(SIGTERM, SIG_DFL);
    signal(SIGSEGV, SIG_DFL);
    signal(SIGABRT, SIG_DFL);
    signal(SIGBUS, SIG_DFL);
#ifdef __linux__
    prctl(PR_SET_PDEATHSIG, SIGKILL); /* it ends with its parent, which may be killed */
#endif
    be_silent();
    const drupelet_status status = reading(path);
    const bool told = write(to, &status, sizeof status) == (ssize_t)sizeof status; /* less than a pipe takes at once */
    _exit(told ? 0 : 1); /* without the flush of what waits to be printed: that is the parent's */
}

drupelet_status store_try(const char *path, drupelet_status (*reading)(const char *path))
{
    int pipe_end[2], how = 0;
    if (!wanted || pipe(pipe_end) != 0) return base_ok();
    const pid_t child = fork();
    if (child == 0) read_in_child(path, reading, pipe_end[1]);
    close(pipe_end[1]);
    drupelet_status status = base_ok();
    ssize_t n = 0;
    while (child > 0 && (n = read(pipe_end[0], &status, sizeof status)) < 0 && errno == EINTR)
        continue;
    close(pipe_end[0]);
    while (child > 0 && waitpid(child, &how, 0) < 0 && errno == EINTR)
        continue;
    if (child < 0 || n == (ssize_t)sizeof status) return child < 0 ? base_ok() : status;
    if (WIFSIGNALED(how) && (WTERMSIG(how) == SIGINT || WTERMSIG(how) == SIGTERM))
        return base_error(DRUPELET_STOPPED, "stopped");
    if (store_seal_of(path) == STORE_SEAL_HOLDS)
        return base_error(DRUPELET_MEMORY,
                          "%s: HDF5 crashes on it, though its bytes are as they were written: memory may "
                          "have run out",
                          path);
    return base_error(DRUPELET_SCENARIO, "%s: is damaged: HDF5 crashes on it", path);
}
