/* sim/report/sensitivity.h - how much of an output's variance a factor explains. */
#ifndef REPORT_SENSITIVITY_H
#define REPORT_SENSITIVITY_H

#include <stdint.h>

#include "drupelet/status.h"

/** First-order and total index of a factor, with the ends of 95 % confidence intervals. */
typedef struct { double first, first_low, first_high, total, total_low, total_high; } report_index;

/** Indices of k factors from n samples: f at points A, at points B, and at A with one factor from B.
 *  @param ab        [k][n]
 *  @param noise     [n] variance that the sampling of droplets adds to f at A; NULL: none
 *  @param noise_ab  [k][n] the same of the difference between f at A and at A with that factor from B; NULL: none
 *  @param n_resamples of the bootstrap, 2 or more  @param index [k], out; all NAN where f does not vary
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status report_indices(int64_t n, int k, const double *a, const double *b, const double *ab,
                               const double *noise, const double *noise_ab, int n_resamples, uint64_t seed,
                               report_index *index);

#endif
