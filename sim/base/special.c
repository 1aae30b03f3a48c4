/* sim/base/special.c - the complementary error function, the normal distribution, the gamma function and its logarithm.
 *
 * erfc  W. J. Cody, Rational Chebyshev approximations for the error function, Math. Comp. 23 (1969) 631: three
 *       quotients of polynomials (coefficients: memory; the test compares all of the range with another's).
 * gamma 1 / gamma(1 + z) for z from -1/2 to 1/2 by its series about 0, M. Abramowitz, I. A. Stegun, Handbook of
 *       Mathematical Functions (1964), 6.1.34, with more digits by the recursion 5.7.2 of the NIST Digital Library of
 *       Mathematical Functions. It ends after z^19; what is left out is below 4e-18. From there on
 *       gamma(x + 1) = x gamma(x). The logarithm from 10 on by J. Stirling's series, 5.11.1 there; what is left out is
 *       smaller than the next term, 3e-17. */
#include <math.h>

#include "base/double_bits.h"
#include "base/elementary.h"

#define PER_ROOT_PI 0.56418958354775628695
#define HALF_LN_2_PI 0.91893853320467274178
#define STIRLING_FROM 10.0 /* choice: seven terms suffice from here */

/* Coefficients from the highest power down. */
static inline double polynomial(const double coefficient[], int n, double x)
{
    double sum = coefficient[0];
    for (int i = 1; i < n; i++)
        sum = sum * x + coefficient[i];
    return sum;
}

/* exp(-x^2), with all digits of the square. */
static double bell(double x)
{
    const double high = base_upper_digits(x), square = high * high;
    return base_exp_of_sum(-square, -(x - high) * (x + high));
}

static double erf_of_small(double x)
{
    static const double over[] = {1.85777706184603153e-1, 3.16112374387056560e0, 1.13864154151050156e2,
                                  3.77485237685302021e2, 3.20937758913846947e3};
    static const double under[] = {1.0, 2.36012909523441209e1, 2.44024637934444173e2, 1.28261652607737228e3,
                                   2.84423683343917062e3};
    return x * polynomial(over, 5, x * x) / polynomial(under, 5, x * x);
}

static double erfc_of_middle(double x)
{
    static const double over[] = {2.15311535474403846e-8, 5.64188496988670089e-1, 8.88314979438837594e0,
                                  6.61191906371416295e1,  2.98635138197400131e2,  8.81952221241769090e2,
                                  1.71204761263407058e3,  2.05107837782607147e3,  1.23033935479799725e3};
    static const double under[] = {1.0,
                                   1.57449261107098347e1,
                                   1.17693950891312499e2,
                                   5.37181101862009858e2,
                                   1.62138957456669019e3,
                                   3.29079923573345963e3,
                                   4.36261909014324716e3,
                                   3.43936767414372164e3,
                                   1.23033935480374942e3};
    return bell(x) * (polynomial(over, 9, x) / polynomial(under, 9, x));
}

static double erfc_of_large(double x)
{
    static const double over[] = {1.63153871373020978e-2, 3.05326634961232344e-1, 3.60344899949804439e-1,
                                  1.25781726111229246e-1, 1.60837851487422766e-2, 6.58749161529837803e-4};
    static const double under[] = {1.0,
                                   2.56852019228982242e0,
                                   1.87295284992346725e0,
                                   5.27905102951428412e-1,
                                   6.05183413124413191e-2,
                                   2.33520497626869185e-3};
    const double w = 1.0 / (x * x);
    return bell(x) * ((PER_ROOT_PI - w * polynomial(over, 6, w) / polynomial(under, 6, w)) / x);
}

double base_erfc(double x)
{
    const double size = fabs(x);
    if (isnan(x))
        return x;
    if (size <= 0.46875)
        return 1.0 - erf_of_small(x);
    const double above = size <= 4.0 ? erfc_of_middle(size) : size < 27.3 ? erfc_of_large(size) : 0.0;
    return x > 0.0 ? above : 2.0 - above;
}

/* Gamma of x above 0 and below 12. */
static double gamma_of_small(double x)
{
    static const double series[] = {
        7.782263439905071254e-12,  1.0434267116911005105e-10, -1.1812745704870201446e-9, 5.0020076444692229301e-9,
        6.1160951044814158179e-9,  -2.0563384169776071035e-7, 1.1330272319816958824e-6,  -1.2504934821426706573e-6,
        -2.0134854780788238656e-5, 1.2805028238811618615e-4,  -2.1524167411495097282e-4, -1.1651675918590651121e-3,
        7.2189432466630995424e-3,  -9.6219715278769735621e-3, -4.2197734555544336748e-2, 1.665386113822914895e-1,
        -4.2002635034095235529e-2, -6.5587807152025388108e-1, 5.7721566490153286061e-1,  1.0};
    double product = 1.0, over = 1.0, at = x;
    for (; at > 1.5; at -= 1.0)
        product *= at - 1.0;
    if (at < 0.5) {
        over = at; /* gamma(at) = gamma(at + 1) / at */
        at += 1.0;
    }
    return product / (over * polynomial(series, 20, at - 1.0));
}

double base_log_gamma(double x)
{
    if (!(x > 0.0 && x < INFINITY))
        return x > 0.0 ? x : NAN;
    if (x < STIRLING_FROM)
        return base_log(gamma_of_small(x));
    static const double series[] = {1.0 / 156.0,  -691.0 / 360360.0, 1.0 / 1188.0, -1.0 / 1680.0,
                                    1.0 / 1260.0, -1.0 / 360.0,      1.0 / 12.0};
    return ((x - 0.5) * base_log(x) - x) + (HALF_LN_2_PI + polynomial(series, 7, 1.0 / (x * x)) / x);
}

double base_gamma(double x)
{
    return x > 0.0 && x < STIRLING_FROM ? gamma_of_small(x) : base_exp(base_log_gamma(x));
}

double base_normal_share(double z)
{
    return 0.5 * base_erfc(-z / BASE_ROOT_2);
}

/* Bisection: short, and as exact as erfc() far out in the tails. */
double base_normal_quantile(double share)
{
    const double tail = fmin(share, 1.0 - share);
    if (!(tail > 0.0))
        return share < 0.5 ? -INFINITY : INFINITY;
    double low = -40.0, high = 0.0;
    for (int i = 0; i < 70; i++) {
        const double middle = 0.5 * (low + high);
        if (base_normal_share(middle) < tail)
            low = middle;
        else
            high = middle;
    }
    return share < 0.5 ? 0.5 * (low + high) : -0.5 * (low + high);
}
