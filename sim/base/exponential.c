/* sim/base/exponential.c - exp, expm1, tanh, log, log1p, log10 and pow by short tables and truncated series.
 *
 * exp  P. T. P. Tang, Table-driven implementation of the exponential function in IEEE floating-point arithmetic, ACM
 *      Trans. Math. Softw. 15 (1989) 144: x = k ln 2 / 128 + r, exp(x) = 2^(k / 128) exp(r), the step ln 2 / 128 in two
 *      parts (W. J. Cody, W. Waite, Software Manual for the Elementary Functions, 1980). As |r| stays below 0.00271,
 *      the series ends after r^5 / 120; what is left out is below 6e-19.
 * log  P. T. P. Tang, Table-driven implementation of the logarithm function, the same 16 (1990) 378, but with a rounded
 *      reciprocal: x = 2^k z, z from 0.708 to 1.417, r = z c - 1 with a c of 11 digits, so that r is exact in two
 *      parts; ln x = k ln 2 - ln c + ln(1 + r). c is 1 where z is near 1. As |r| stays below 0.0044, the series ends
 *      after r^8 / 8; what is left out is below 2^-65 of ln x.
 * pow  exp(y ln x): ln x as the sum of two doubles, 65 digits, and its product with y by halves (T. J. Dekker, Numer.
 *      Math. 18 (1971) 224): a product of 700 takes 10 digits away and leaves 55. */

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>

#include "base/double_bits.h"
#include "base/elementary.h"
#include "base/exponential_tables.h"

_Static_assert(FLT_EVAL_METHOD == 0,
               "results of sums and products with more digits than a double would change all bits");

#define EXP_MOST 709.782712893384      /* the largest x whose exp(x) is a double */
#define EXP_LEAST (-745.1332191019412) /* exp(x) of a smaller x rounds to 0 */
#define EXP_NORMAL 700.0               /* up to here exp(-x) and its parts have all their digits */
#define NEGLIGIBLE 0x1p-54             /* 1 + this is 1 */

/* x = k ln 2 / 128 + r + rest */
typedef struct {
    int64_t k;
    double r, rest;
} exp_argument;

static inline exp_argument reduce(double x)
{
    const double k = (x * STEPS_PER_UNIT + BASE_ROUNDER) - BASE_ROUNDER;
    const double first = x - k * STEP_HIGH, second = k * STEP_LOW, r = first - second;
    return (exp_argument){(int64_t)k, r, (first - r) - second};
}

/* exp(r) - 1 - r */
static inline double exp_beyond_r(double r)
{
    const double r2 = r * r;
    return r2 * ((1.0 / 2.0 + r * (1.0 / 6.0)) + r2 * (1.0 / 24.0 + r * (1.0 / 120.0)));
}

/* exp(r) 2^(j / 128) is power (1 + more) with power the table's double. */
static inline double more_than_power(int64_t j, double r)
{
    return POWER_OF_2[j].rest + r + exp_beyond_r(r);
}

/* exp(x + rest) that is infinite, zero, or short of digits. */
static double exp_at_the_ends(double x, double rest)
{
    if (!(x <= EXP_MOST && x >= EXP_LEAST))
        return x > EXP_MOST ? INFINITY : x < EXP_LEAST ? 0.0 : x;
    const exp_argument a = reduce(x);
    const int64_t j = a.k & 127, twos = (a.k - j) / 128;
    const double power = POWER_OF_2[j].high, value = power + power * more_than_power(j, a.r + rest);
    return value * base_power_of_2(twos / 2) * base_power_of_2(twos - twos / 2);
}

/* 2^(k / 128); the bits of k above the lowest seven are 128 times the exponent. */
static inline double scale_of(int64_t k)
{
    const int64_t j = k & 127;
    return base_double_of_bits(base_bits_of_double(POWER_OF_2[j].high) + ((uint64_t)(k - j) << 45));
}

static inline double exp_of_sum(double x, double rest)
{
    if (!(fabs(x) <= EXP_NORMAL))
        return exp_at_the_ends(x, rest);
    const exp_argument a = reduce(x);
    const double scale = scale_of(a.k);
    return scale + scale * more_than_power(a.k & 127, a.r + rest);
}

double base_exp_of_sum(double x, double rest)
{
    return exp_of_sum(x, rest);
}

double base_exp(double x)
{
    return exp_of_sum(x, 0.0);
}

/* exp(r) 2^(k / 128) - 1 as (s - 1) + r + (s - 1) r + s (exp(r) - 1 - r), s = 2^(k / 128), the first sum with its rest:
 * of a small x little else is left. */
double base_expm1(double x)
{
    if (!(fabs(x) >= NEGLIGIBLE))
        return x; /* not-a-number, too */
    if (x < -40.0)
        return -1.0;
    if (x > 60.0)
        return base_exp(x);
    const exp_argument a = reduce(x);
    const double scale = scale_of(a.k), r = a.r, r3 = r * r * r;
    const double less = scale - 1.0, lost = scale >= 1.0 ? (scale - less) - 1.0 : scale - (less + 1.0);
    const double sum = less + r, sum_rest = less - sum + r;
    const double beyond = exp_beyond_r(r) + r3 * r3 * (1.0 / 720.0);
    const double rest = POWER_OF_2[a.k & 127].rest * (1.0 + r) + (a.rest + beyond);
    return sum + (sum_rest + lost + less * r + scale * rest);
}

/* (exp(2x) - 1) / (exp(2x) + 1) */
double base_tanh(double x)
{
    if (!(fabs(x) >= 0x1p-28))
        return x;
    const double more = fabs(x) > 22.0 ? INFINITY : base_expm1(2.0 * fabs(x));
    return copysign(more > 2.0 ? 1.0 - 2.0 / (more + 2.0) : more / (more + 2.0), x);
}

/* ln x = steps + steps_rest + ln(1 + r + r_rest) */
typedef struct {
    double steps, steps_rest, r, r_rest;
} log_argument;

/* Of 2^twos x, x normal and above 0. */
static inline log_argument log_reduce(double x, int64_t twos)
{
    const uint64_t above = base_bits_of_double(x) - LOG_FIRST, i = above >> 45 & 127;
    const double k = (double)((int64_t)(above >> 52 ^ 0x800) - 0x800 + twos); /* a signed number of 12 bits */
    const double z = base_double_of_bits((above & ~UINT64_C(0) >> 12) + LOG_FIRST);
    const double z_high = base_double_of_bits(base_bits_of_double(z) & ~UINT64_C(0x7ff)), c = LOGARITHM[i].inverse;
    const double first = z_high * c - 1.0, second = (z - z_high) * c, r = first + second; /* exact but for the sum */
    return (log_argument){k * LN2_HIGH + LOGARITHM[i].high /* exact */, k * LN2_LOW + LOGARITHM[i].low, r,
                          second - (r - first)};
}

/* (ln(1 + r) - r + r^2 / 2) / r^3 */
static inline double log_beyond_square(double r)
{
    const double r2 = r * r;
    return (1.0 / 3.0 - r * (1.0 / 4.0)) + r2 * ((1.0 / 5.0 - r * (1.0 / 6.0)) + r2 * (1.0 / 7.0 - r * (1.0 / 8.0)));
}

static inline bool is_normal_above_0(double x)
{
    return x >= 0x1p-1022 && x < INFINITY;
}

/* What is no normal number above 0: true, and the argument of its logarithm; or false, and the logarithm. */
static bool log_of_rare(double x, log_argument *a, double *ln)
{
    const bool subnormal = x > 0.0 && x < 0x1p-1022;
    if (subnormal)
        *a = log_reduce(x * 0x1p52, -52);
    else
        *ln = x == 0.0 ? -INFINITY : x < 0.0 ? NAN : x;
    return subnormal;
}

static inline double log_sum(const log_argument *a)
{
    const double sum = a->steps + a->r, rest = (a->steps - sum + a->r) + (a->steps_rest + a->r_rest);
    const double r2 = a->r * a->r;
    return sum + (rest + r2 * (a->r * log_beyond_square(a->r) - 0.5));
}

double base_log(double x)
{
    log_argument a;
    double ln;
    if (is_normal_above_0(x))
        a = log_reduce(x, 0);
    else if (!log_of_rare(x, &a, &ln))
        return ln;
    return log_sum(&a);
}

/* The sum of two doubles; high is the double nearest to it. */
typedef struct {
    double high, low;
} pair;

/* The same to 65 digits. */
static inline pair log_pair(const log_argument *a)
{
    const double r = a->r, sum = a->steps + r, rest = (a->steps - sum + r) + (a->steps_rest + a->r_rest);
    const double r_high = base_upper_digits(r), half = 0.5 * r_high * r_high; /* exact */
    const double half_rest = 0.5 * (r - r_high) * (r + r_high) + r * a->r_rest;
    const double square = sum - half;
    const double low = (sum - square - half) + (rest - half_rest + r * (r * r) * log_beyond_square(r));
    const double high = square + low;
    return (pair){high, square - high + low};
}

/* Where there is no logarithm but infinity or not-a-number, that is high, and low is 0. */
static inline pair log_pair_of(double x)
{
    log_argument a;
    double ln;
    if (is_normal_above_0(x))
        a = log_reduce(x, 0);
    else if (!log_of_rare(x, &a, &ln))
        return (pair){ln, 0.0};
    return log_pair(&a);
}

/* ln(1 + x) = ln u + (1 + x - u) / u with u the double nearest to 1 + x. */
double base_log1p(double x)
{
    if (!(fabs(x) >= NEGLIGIBLE))
        return x;
    const double u = 1.0 + x, lost = x < 1.0 ? x - (u - 1.0) : 1.0 - (u - x);
    const pair ln = log_pair_of(u);
    return isfinite(ln.high) ? ln.high + (ln.low + lost / u) : ln.high;
}

/* ln x times 1 / ln 10, by halves. */
double base_log10(double x)
{
    const pair ln = log_pair_of(x);
    if (!isfinite(ln.high))
        return ln.high;
    const double high = base_upper_digits(ln.high), rest = (ln.high - high) + ln.low;
    return high * PER_LN10_HIGH + (rest * PER_LN10_HIGH + ln.high * PER_LN10_LOW);
}

static bool is_whole(double y)
{
    return floor(y) == y;
}

/* x^y where the logarithm of x does not tell: x or y zero, infinite or not a number, x below 0, x = 1. */
static double pow_in_words(double x, double y)
{
    if (y == 0.0 || x == 1.0)
        return 1.0;
    if (isnan(x) || isnan(y))
        return NAN;
    const bool odd = is_whole(y) && !is_whole(0.5 * y);
    if (isinf(y)) {
        if (fabs(x) == 1.0)
            return 1.0;
        return (fabs(x) > 1.0) == (y > 0.0) ? INFINITY : 0.0;
    }
    if (x == 0.0 || isinf(x)) {
        const double size = (x == 0.0) == (y > 0.0) ? 0.0 : INFINITY;
        return odd ? copysign(size, x) : size;
    }
    if (!is_whole(y))
        return NAN;
    return odd ? -base_pow(-x, y) : base_pow(-x, y); /* x is below 0 */
}

double base_pow(double x, double y)
{
    if (!(x > 0.0 && x < INFINITY && y != 0.0 && fabs(y) < INFINITY) || x == 1.0)
        return pow_in_words(x, y);
    if (fabs(y) >= 0x1p64)
        return (x > 1.0) == (y > 0.0) ? INFINITY : 0.0;
    if (fabs(y) < 0x1p-64)
        return 1.0;
    const pair ln = log_pair_of(x);
    const double y_high = base_upper_digits(y), ln_high = base_upper_digits(ln.high);
    const double rest = (y - y_high) * ln_high + y * ((ln.high - ln_high) + ln.low);
    return exp_of_sum(y_high * ln_high, rest);
}
