/* sim/base/elementary.h - exp, log, pow, sin and the like in double precision, the same bits on every processor.
 *
 * The C library has several variants of each and takes the one that suits the processor. They differ in the last digit,
 * and a last digit in an air grid sends a droplet elsewhere. The functions here use only what IEEE 754 rounds
 * correctly: sums, products, quotients, square roots and conversions, one at a time. sim/ takes from <math.h> only what
 * has one right answer (sqrt, fabs, floor, fmin, fmod and the like).
 *
 * Bounds are in units of the last of 53 binary digits; tests/test_elementary.c checks them beside 64 digits.
 * Infinities, zeros and not-a-number go in and come out as C11 annex F says; errno and floating-point flags mean
 * nothing afterwards. For single precision in vectors: base/vector_math.h. */
#ifndef BASE_ELEMENTARY_H
#define BASE_ELEMENTARY_H

#include <stdint.h>

#define BASE_PI 3.14159265358979323846
#define BASE_ROOT_2 1.4142135623730951
#define BASE_DEGREE (BASE_PI / 180.0) /* rad */
#define BASE_DEGREES_A_RADIAN (180.0 / BASE_PI)

double base_exp(double x);             /**< within 0.52; 0.76 where it is below 1e-304 */
/** exp(x + rest) for a rest below 1e-4. */
double base_exp_of_sum(double x, double rest);
double base_expm1(double x);           /**< exp(x) - 1, within 0.52 */
double base_tanh(double x);            /**< within 2.5 */
double base_log(double x);             /**< within 0.52 */
double base_log1p(double x);           /**< ln(1 + x), within 0.67 */
double base_log10(double x);           /**< within 0.52; of powers of ten exact */
double base_pow(double x, double y);   /**< within 0.55; exact where the power is a double */
double base_cbrt(double x);            /**< within 0.67; exact where the root is a double */
double base_hypot(double x, double y); /**< square root of x^2 + y^2, within 1.2 */

/** Angles beyond 100,000 rad have no value here: not-a-number. */
double base_sin(double angle_rad);                                /**< within 1.1 */
double base_cos(double angle_rad);                                /**< within 1.1 */
void base_sincos(double angle_rad, double *sine, double *cosine); /**< the same two */
double base_atan(double x);                                       /**< within 1.6 */

double base_erfc(double x);      /**< 1 - erf(x), within 8 */
double base_gamma(double x);     /**< Euler's, x above 0; within 6 up to 10, from there within 3e-13 of it */
double base_log_gamma(double x); /**< ln of it, x above 0; within 5e-16 of it, or of 1 where it is smaller */

/** The nearest whole number, |x| below 2^52: llround without the call. Next below a half it may be the other one. */
static inline int64_t base_nearest(double x)
{
    return (int64_t)(x + (x < 0.0 ? -0.5 : 0.5));
}

double base_normal_share(double z);        /**< of a standard normal distribution, below z */
double base_normal_quantile(double share); /**< below which that share lies; infinities for 0 and 1 */

#endif
