/* sim/base/order.c - order statistics. Quantiles after R. J. Hyndman, Y. Fan, Am. Stat. 50 (1996) 361, definition 7
 * (memory): number k of n, from 0, stands for the share k / (n - 1). */
#include "base/order.h"

#include <assert.h>
#include <stdlib.h>

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

void base_sort(double *value, size_t n)
{
    qsort(value, n, sizeof *value, by_value);
}

double base_ranked(const double *sorted, size_t n, double share)
{
    assert(n > 0 && share >= 0.0 && share <= 1.0);
    return sorted[(size_t)(share * (double)(n - 1))];
}

double base_quantile(const double *sorted, size_t n, double share)
{
    assert(n > 0 && share >= 0.0 && share <= 1.0);
    const double at = share * (double)(n - 1);
    const size_t k = (size_t)at;
    return k + 1 < n ? sorted[k] + (at - (double)k) * (sorted[k + 1] - sorted[k]) : sorted[k];
}
