/* sim/base/nearest.h - whole numbers from real ones. */
#ifndef BASE_NEAREST_H
#define BASE_NEAREST_H

#include <stdint.h>

/** The nearest whole number, |x| below 2^52: llround without the call. Next below a half it may be the other one. */
static inline int64_t base_nearest(double x)
{
    return (int64_t)(x + (x < 0.0 ? -0.5 : 0.5));
}

#endif
