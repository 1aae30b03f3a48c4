/* tests/bench/first_droplet.c - linked into the program it makes a run end when its first droplet is about to start,
 * and print when that was: the system's monotonic clock (s) and the processor time of the process so far (s).
 *
 * The linker sends calls of droplet_flight_pick() to the one below (--wrap), so the product knows nothing of it. */
#define _DEFAULT_SOURCE /* _exit */
#include <stdio.h>
#include <time.h>
#include <unistd.h>

#include "droplet/kernel.h"

static double seconds(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

droplet_flight __wrap_droplet_flight_pick(void);
droplet_flight __wrap_droplet_flight_pick(void)
{
    const double wall_s = seconds(CLOCK_MONOTONIC), processor_s = seconds(CLOCK_PROCESS_CPUTIME_ID);
#pragma omp critical
    { /* the other threads wait here until the process is gone */
        printf("%.9f %.9f\n", wall_s, processor_s);
        fflush(stdout);
        _exit(0);
    }
}
