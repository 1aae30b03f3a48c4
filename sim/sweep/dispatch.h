/* sim/sweep/dispatch.h - which worker gets which case next: one worker takes the cases of one air, and none is idle
 * early. */
#ifndef SWEEP_DISPATCH_H
#define SWEEP_DISPATCH_H

#include <stdbool.h>
#include <stdint.h>

#include "drupelet/status.h"

typedef struct sweep_dispatch sweep_dispatch;

/** @param group  of each case, 0 to n_groups - 1: cases of one group have one air
 *  @param wanted cases that are to be done; the others are left out
 *  @param dispatch out: ended with sweep_dispatch_free(); NULL on failure */
drupelet_status sweep_dispatch_create(int64_t n_cases, const int32_t *group, int32_t n_groups, const bool *wanted,
                                      int n_workers, sweep_dispatch **dispatch);
void sweep_dispatch_free(sweep_dispatch *dispatch); /* NULL is allowed */
/** The next case of a worker, or -1 when all are given out. It stays in its group while that has cases; then it takes a
 *  group that nobody has begun; then it helps in the group that has most left. */
int64_t sweep_dispatch_next(sweep_dispatch *dispatch, int worker);
int64_t sweep_dispatch_left(const sweep_dispatch *dispatch);                  /**< cases not given out */
int64_t sweep_dispatch_left_in(const sweep_dispatch *dispatch, int32_t group);
int64_t sweep_dispatch_size(const sweep_dispatch *dispatch, int32_t group);   /**< wanted cases of a group in all */

#endif
