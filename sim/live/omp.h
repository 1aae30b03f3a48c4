/* sim/live/omp.h - what the simulator asks of OpenMP, where there is one thread: in a page each worker has its own. */
#ifndef LIVE_OMP_H
#define LIVE_OMP_H

static inline int omp_get_max_threads(void)
{
    return 1;
}

static inline int omp_get_num_threads(void)
{
    return 1;
}

static inline int omp_get_thread_num(void)
{
    return 0;
}

#endif
