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

static inline int omp_get_active_level(void)
{
    return 0;
}

static inline int omp_get_max_active_levels(void)
{
    return 1;
}

static inline void omp_set_max_active_levels(int levels)
{
    (void)levels;
}

#endif
