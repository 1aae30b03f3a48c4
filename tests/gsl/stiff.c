/* tests/gsl/stiff.c - an implicit method of GSL, with a Jacobian by differences. */
#include "gsl/stiff.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

enum { MOST_STEPS = 1000000 };
#define FIRST_STEP 1e-6 /* of the way; the integrator finds its own from there */

struct stiff {
    stiff_rates rates;
    void *user;
    gsl_odeiv2_system system;
    gsl_odeiv2_driver *driver;
};

static int rates_of(double x, const double y[], double rate[], void *params)
{
    const stiff *b = params;
    return b->rates(x, y, rate, b->user);
}

/* Forward differences: an increment of the root of the machine's precision halves the digits, and Newton's method needs
 * no more. The method does not ask how the rates change with x. */
static int jacobian(double x, const double y[], double *by_y, double by_x[], void *params)
{
    const stiff *b = params;
    const size_t n = b->system.dimension;
    double from[STIFF_STATES], rate[STIFF_STATES], moved[STIFF_STATES];
    memcpy(from, y, n * sizeof *from);
    b->rates(x, y, rate, b->user);
    for (size_t k = 0; k < n; k++) {
        const double step = sqrt(DBL_EPSILON) * fmax(fabs(y[k]), 1e-3);
        from[k] = y[k] + step;
        b->rates(x, from, moved, b->user);
        for (size_t i = 0; i < n; i++)
            by_y[i * n + k] = (moved[i] - rate[i]) / (from[k] - y[k]);
        from[k] = y[k];
        by_x[k] = 0.0;
    }
    return GSL_SUCCESS;
}

stiff *stiff_create(stiff_rates rates, size_t n, double relative, double absolute, void *user)
{
    stiff *b = malloc(sizeof *b);
    if (!b)
        return NULL;
    gsl_set_error_handler_off(); /* failures come back as values */
    *b = (stiff){.rates = rates, .user = user};
    b->system = (gsl_odeiv2_system){rates_of, jacobian, n, b};
    b->driver = gsl_odeiv2_driver_alloc_y_new(&b->system, gsl_odeiv2_step_rk4imp, FIRST_STEP, absolute, relative);
    if (!b->driver) {
        free(b);
        return NULL;
    }
    return b;
}

void stiff_start(stiff *b, double x, double to)
{
    gsl_odeiv2_driver_reset_hstart(b->driver, FIRST_STEP * (to - x));
}

bool stiff_step(stiff *b, double *x, double to, double y[])
{
    gsl_odeiv2_driver *d = b->driver;
    return gsl_odeiv2_evolve_apply(d->e, d->c, d->s, d->sys, x, to, &d->h, y) == GSL_SUCCESS;
}

int64_t stiff_go(stiff *b, double x, double to, double y[])
{
    int64_t steps = 0;
    stiff_start(b, x, to);
    for (; x != to && steps < MOST_STEPS; steps++)
        if (!stiff_step(b, &x, to, y))
            return -1;
    return x == to ? steps : -1;
}

void stiff_free(stiff *b)
{
    if (b)
        gsl_odeiv2_driver_free(b->driver);
    free(b);
}
