/* tests/gsl/stiff.h - stiff ordinary differential equations by the GNU Scientific Library: Gauss's implicit Runge-Kutta
 * method of fourth order with Newton's method (gsl_odeiv2_step_rk4imp). Of nine of its integrators it was the fastest
 * on flights of droplets to a centimetre; backward differentiation, extrapolation and an explicit method of eighth
 * order gave the same figures in test_flight_against_gsl. Only for programs that are linked with GSL. */
#ifndef TESTS_GSL_STIFF_H
#define TESTS_GSL_STIFF_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { STIFF_STATES = 8 }; /* at most */

/** dy/dx at x. @return 0 */
typedef int (*stiff_rates)(double x, const double y[], double rate[], void *user);
typedef struct stiff stiff;

/** @param n number of states; @param tolerance of a step, for each state: relative and, in its own unit, absolute
 *  @return NULL where there is no memory; the caller ends it with stiff_free() */
stiff *stiff_create(stiff_rates rates, size_t n, double relative, double absolute, void *user);
/** A step from *x towards `to`, which may lie on either side; *x is where it ends. The first after stiff_start() begins
 * anew. @return false where the integrator failed */
bool stiff_step(stiff *b, double *x, double to, double y[]);
/** Forgets the steps before: for another start, or other rates. */
void stiff_start(stiff *b, double x, double to);
/** From x to `to`, anew. @return steps, or -1 where the integrator failed */
int64_t stiff_go(stiff *b, double x, double to, double y[]);
void stiff_free(stiff *b); /**< NULL is allowed. */

#endif
