/* sim/cli/fault.c - a sentence where a library ends the program: by a crash, or by exit() in words of its own. */
#define _XOPEN_SOURCE 700
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/cli.h"

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define SANITIZED 1 /* its report tells more */
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer) || __has_feature(memory_sanitizer)
#define SANITIZED 1
#endif
#endif

static volatile sig_atomic_t ended; /* main() has come to its end */

void cli_end_is_ours(void)
{
    ended = 1;
}

static pid_t program;                   /* a child that reads a file for a try ends in silence */
static int true_stderr = STDERR_FILENO; /* where HDF5 is kept silent, another stands in its place */

/* What may be called in a signal handler. */
static void say(const char *text)
{
    const ssize_t written = write(true_stderr, text, strlen(text));
    (void)written;
}

/* HDF5 ends a program by exit(-1) where it has no memory for a handle, and OpenMP where it has none for a thread. */
static void end_by_library(void)
{
    if (ended || getpid() != program) return;
    say("drupelet: a library ended the program; memory, or the number of threads, may have run out\n");
    _exit(CLI_FAILED);
}

#ifndef SANITIZED
static void end_by_fault(int number)
{
    (void)number;
    say("drupelet: a fault in the program or in a library ended it; memory may have run out\n");
    _exit(CLI_FAILED);
}

static void catch_faults(void)
{
    static char stack[1 << 16]; /* of the handler: the other one may be what ran out */
    const stack_t own = {.ss_sp = stack, .ss_size = sizeof stack};
    struct sigaction action;
    memset(&action, 0, sizeof action);
    action.sa_handler = end_by_fault;
    action.sa_flags = SA_ONSTACK;
    sigemptyset(&action.sa_mask);
    if (sigaltstack(&own, NULL) != 0) return;
    sigaction(SIGSEGV, &action, NULL);
    sigaction(SIGBUS, &action, NULL);
    sigaction(SIGABRT, &action, NULL);
}
#else
static void catch_faults(void)
{
}
#endif

void cli_catch_end(void)
{
    const int copy = fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, 3);
    if (copy >= 0) true_stderr = copy;
    program = getpid();
    atexit(end_by_library);
    catch_faults();
}
