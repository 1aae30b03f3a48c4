/* sim/base/order.h - sorts numbers and finds their quantiles. */
#ifndef BASE_ORDER_H
#define BASE_ORDER_H

#include <stddef.h>

/** Sorts them, the least first; none is not-a-number. */
void base_sort(double *value, size_t n);
/** The last of the sorted numbers whose share of the others below is share or less, so one of them. @param n 1 or more
 *  @param share from 0 to 1 */
double base_ranked(const double *sorted, size_t n, double share);
/** The same, interpolated between neighbours: 0 is the least, 1 the greatest, 0.5 the median. */
double base_quantile(const double *sorted, size_t n, double share);

#endif
