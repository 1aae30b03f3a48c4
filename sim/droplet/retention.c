/* sim/droplet/retention.c - run-off from leaves that hold a certain layer of liquid and get unequal shares.
 *
 * A leaf keeps its deposit X up to the retention R and loses the rest. Within one place of a tree X is spread around
 * its mean m as a gamma distribution (choice of form: never negative, skewed like counts of deposit on leaves), shape
 * k = 1/variation^2, so that the loss E[max(X - R, 0)] / m = Q(k + 1, k R/m) - (R/m) Q(k, k R/m), with Q the upper
 * regularised incomplete gamma function. The variation comes from the run (tally/unlike.c). Left out: drips that a
 * lower leaf catches, liquid that runs to the tip before the leaf is full, wetters, wind that shakes leaves, drying
 * between two passes. */
#include "droplet/droplet.h"

#include <assert.h>
#include <math.h>

#include "base/elementary.h"

#define LEAST_VARIATION 0.02 /* below it all leaves count as alike: the loss differs by less than a percent of R */
enum { MOST_TERMS = 10000 };
#define CLOSE_ENOUGH 1e-15

/* Series of the lower part, NIST Digital Library of Mathematical Functions 8.11.4; and Legendre's continued fraction of
 * the upper part, 8.9.2, evaluated forward. */
double droplet_gamma_above(double a, double x)
{
    assert(a > 0.0 && x >= 0.0);
    if (x == 0.0)
        return 1.0;
    const double front = base_exp(a * base_log(x) - x - base_log_gamma(a));
    if (x < a + 1.0) {
        double term = 1.0 / a, sum = term;
        for (int n = 1; n < MOST_TERMS && term > CLOSE_ENOUGH * sum; n++) {
            term *= x / (a + n);
            sum += term;
        }
        return fmax(0.0, 1.0 - front * sum);
    }
    /* convergents A/B of 1/(x+1-a - 1(1-a)/(x+3-a - 2(2-a)/(x+5-a - ...))), kept in range by dividing by B */
    double a_before = 0.0, a_now = 1.0, b_before = 1.0, b_now = x + 1.0 - a, value = a_now / b_now;
    for (int n = 1; n < MOST_TERMS; n++) {
        const double numerator = -n * (n - a), denominator = x + 2.0 * n + 1.0 - a;
        const double a_next = denominator * a_now + numerator * a_before;
        const double b_next = denominator * b_now + numerator * b_before;
        a_before = a_now / b_next;
        b_before = b_now / b_next;
        a_now = a_next / b_next;
        b_now = 1.0;
        const double former = value;
        value = a_now;
        if (fabs(value - former) <= CLOSE_ENOUGH * fabs(value))
            break;
    }
    return front * value;
}

droplet_runoff droplet_run_off(double filling, double variation)
{
    assert(filling >= 0.0 && variation >= 0.0);
    if (filling <= 0.0)
        return (droplet_runoff){0.0, 0.0};
    if (variation < LEAST_VARIATION)
        return filling > 1.0 ? (droplet_runoff){1.0 - 1.0 / filling, 1.0} : (droplet_runoff){0.0, 0.0};
    const double k = 1.0 / (variation * variation), x = k / filling;
    const double more = droplet_gamma_above(k + 1.0, x); /* of the liquid: on leaves beyond the retention */
    return (droplet_runoff){fmax(0.0, more - droplet_gamma_above(k, x) / filling), more};
}
