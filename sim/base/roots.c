/* sim/base/roots.c - cube root and hypotenuse. */
#include <math.h>
#include <stdint.h>

#include "base/double_bits.h"
#include "base/elementary.h"

#define ROOT_OF_2 1.2599210498948732 /* cube roots */
#define ROOT_OF_4 1.5874010519681994

/* x = 8^q 2^i m, m from 1 to 2. A parabola gives the root of m within 0.1 % (interpolated at Chebyshev's places); E.
 * Halley's step makes the error its cube, the second one from a t of 26 digits, whose square is exact. */
double base_cbrt(double x)
{
    if (!(fabs(x) > 0.0 && fabs(x) < INFINITY))
        return x; /* zeros, infinities and not-a-number are their own */
    if (fabs(x) < 0x1p-1022)
        return base_cbrt(x * 0x1p54) * 0x1p-18;
    const double size = fabs(x);
    const int64_t twos = (int64_t)(base_bits_of_double(size) >> 52) - 1023, q = (twos + 1023) / 3 - 341,
                  i = twos - 3 * q;
    const double m = base_double_of_bits((base_bits_of_double(size) & ~UINT64_C(0) >> 12) | UINT64_C(1023) << 52);
    const double parabola = 0.6257 + m * (0.4336 - 0.0584 * m);
    const double first = i == 0 ? parabola : parabola * (i == 1 ? ROOT_OF_2 : ROOT_OF_4);
    const double reduced = m * base_power_of_2(i), cube = first * first * first;
    const double t = base_upper_digits(first * (cube + 2.0 * reduced) / (2.0 * cube + reduced));
    const double ratio = reduced / (t * t), root = t + t * (ratio - t) / (2.0 * t + ratio);
    return copysign(root * base_power_of_2(q), x);
}

double base_hypot(double x, double y)
{
    if (isinf(x) || isinf(y))
        return INFINITY;
    const double most = fmax(fabs(x), fabs(y));
    if (most > 0x1p500)
        return 0x1p600 * base_hypot(0x1p-600 * x, 0x1p-600 * y);
    if (most < 0x1p-400 && most > 0.0)
        return 0x1p-600 * base_hypot(0x1p600 * x, 0x1p600 * y);
    return sqrt(x * x + y * y);
}
