/* tests/fuzz/search/limit_time.h - how long a reader may take for an input, and a change of a file. */
#ifndef FUZZ_LIMIT_TIME_H
#define FUZZ_LIMIT_TIME_H

#include <sys/time.h>

enum { FUZZ_MOST_SECONDS = 20 };

/** Sends the process SIGPROF after a time; 0: no longer. It is processor time: a busy machine makes no fault. */
static inline void fuzz_limit_time(int seconds)
{
    const struct itimerval limit = {.it_value.tv_sec = seconds};
    setitimer(ITIMER_PROF, &limit, NULL);
}

#endif
