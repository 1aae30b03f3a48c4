/* sim/base/circle.c - sin, cos and atan by short tables and truncated series.
 *
 * sin  x = k pi / 32 + r with pi / 32 in four parts (W. J. Cody, W. Waite, Software Manual for the Elementary
 *      Functions, 1980), so that the double nearest to pi, too, has a sine with all its digits;
 *      sin x = S cos r + C sin r with S = sin(k pi / 32) and C = cos(k pi / 32) from the table. As |r| stays below
 *      0.0491, the series end after r^9 and r^8; what is left out is below 3e-20.
 * atan x = c + d with c = 0, 1/8, ... 1: atan x = atan c + atan(d / (1 + x c)); above 1 a quarter turn less
 *      atan(1 / x). The series of an argument up to 1/16 ends after its 13th power; what is left out is below 1e-18 of
 *      it. */
#include <math.h>
#include <stdint.h>

#include "base/circle_tables.h"
#include "base/double_bits.h"
#include "base/elementary.h"

#define MOST_RAD 1e5 /* here k has 20 digits, and its products with the first three parts are exact */
enum { TURN = 64, QUARTER = TURN / 4 };

/* What sine and cosine are made of. */
typedef struct {
    int64_t k;
    double r, rest;                    /* the angle is k pi / 32 + r + rest */
    double sine_less_r, cosine_less_1; /* of r */
} arc;

static inline arc arc_of(double angle_rad)
{
    const double k = (angle_rad * STEPS_PER_RADIAN + BASE_ROUNDER) - BASE_ROUNDER;
    const double a = angle_rad - k * STEP_1, b = k * STEP_2, c = k * STEP_3; /* exact */
    const double ab = a - b, ab_back = ab - a, ab_rest = (a - (ab - ab_back)) - (b + ab_back);
    const double r = ab - c, r_back = r - ab, r_rest = (ab - (r - r_back)) - (c + r_back);
    const double r2 = r * r;
    const double sine =
        r * r2 * ((-1.0 / 6.0 + r2 * (1.0 / 120.0)) + r2 * r2 * (-1.0 / 5040.0 + r2 * (1.0 / 362880.0)));
    const double cosine = r2 * (-1.0 / 2.0 + r2 * (1.0 / 24.0)) + r2 * r2 * r2 * (-1.0 / 720.0 + r2 * (1.0 / 40320.0));
    return (arc){(int64_t)k, r, ab_rest + r_rest - k * STEP_4, sine, cosine};
}

/* The sine of an angle that is a whole number of steps more than the arc's. */
static inline double sine_of(const arc *a, int steps)
{
    const int64_t i = (a->k + steps) & (TURN - 1), j = (i + QUARTER) & (TURN - 1);
    const double s = SINE[i].high, c = SINE[j].high;
    return s + (c * a->r + (SINE[i].low + SINE[j].low * a->r + c * (a->rest + a->sine_less_r) + s * a->cosine_less_1));
}

double base_sin(double angle_rad)
{
    if (!(fabs(angle_rad) <= MOST_RAD))
        return NAN;
    if (fabs(angle_rad) < 0x1p-27)
        return angle_rad; /* minus zero, too */
    const arc a = arc_of(angle_rad);
    return sine_of(&a, 0);
}

double base_cos(double angle_rad)
{
    if (!(fabs(angle_rad) <= MOST_RAD))
        return NAN;
    const arc a = arc_of(angle_rad);
    return sine_of(&a, QUARTER);
}

void base_sincos(double angle_rad, double *sine, double *cosine)
{
    if (!(fabs(angle_rad) <= MOST_RAD)) {
        *sine = *cosine = NAN;
        return;
    }
    const arc a = arc_of(angle_rad);
    *sine = fabs(angle_rad) < 0x1p-27 ? angle_rad : sine_of(&a, 0);
    *cosine = sine_of(&a, QUARTER);
}

double base_atan(double x)
{
    const double size = fabs(x);
    if (!(size >= 0x1p-27))
        return x; /* not-a-number, too */
    const int inverse = size > 1.0;
    const double within = inverse ? 1.0 / size : size;
    const int j = (int)(8.0 * within + 0.5);
    const double c = j / 8.0, t = (within - c) / (1.0 + within * c), t2 = t * t;
    const double third = -1.0 / 3.0 + t2 * (1.0 / 5.0), seventh = -1.0 / 7.0 + t2 * (1.0 / 9.0);
    const double eleventh = -1.0 / 11.0 + t2 * (1.0 / 13.0);
    const double low = ARC[j].low + t * t2 * (third + t2 * t2 * (seventh + t2 * t2 * eleventh));
    const double angle = inverse ? QUARTER_HIGH - (ARC[j].high + (t + (low - QUARTER_LOW))) : ARC[j].high + (t + low);
    return copysign(angle, x);
}
