/* sim/base/between.h - where a place lies among points that rise. */
#ifndef BASE_BETWEEN_H
#define BASE_BETWEEN_H

#include <math.h>

/** The last of n points, of those that have one above them, that is not above a place; the first where all are.
 *  @param at [n], rising, n at least 2 */
static inline int base_point_below(int n, const double *at, double place)
{
    int low = 0, high = n - 1;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        if (at[middle] <= place)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/** How far a place is on its way from a point, 0, to the next, 1; beyond them it is held. */
static inline double base_way_from(const double *at, int low, double place)
{
    return fmin(fmax((place - at[low]) / (at[low + 1] - at[low]), 0.0), 1.0);
}

#endif
