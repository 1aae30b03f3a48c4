/* sim/base/threads.h - whether the machine gives as many threads as a team of OpenMP needs. */
#ifndef BASE_THREADS_H
#define BASE_THREADS_H

#include "base/status.h"

/** Starts n - 1 threads beside the caller's and ends them again. The libraries of OpenMP end the program, in words of
 *  their own, where they cannot start a thread; this finds it out first.
 *  @return DRUPELET_OK, or DRUPELET_MEMORY with how many there were */
drupelet_status base_threads_check(int n);

#endif
