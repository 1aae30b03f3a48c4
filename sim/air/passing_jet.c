/* sim/air/passing_jet.c - leaves in a jet that passes within a fraction of a second.
 *
 * A leaf takes up the shape that an even stream of the speed around it gives it (air/yielding.h), but not at once:
 * its share follows by ds/dt = (share(U) - s) / response time, from that in the wind as the jet's front arrives. So a
 * jet that goes by faster turns leaves less, as measured on peach leaves (docs/leaves.md). The speed is that of wind
 * and jet together, each as far as leaves yield to it. Left out: that leaves swing beyond their new place, and that
 * they flutter about it. */
#include "air/passing_jet.h"

#include <math.h>

#include "air/outlets.h"
#include "base/elementary.h"
#include "base/machine.h"
#include "base/vector_math.h"

enum { PIECES = 32 };         /* of a passage: the mean is good to 1 % */
#define REACH_HALF_WIDTHS 2.6 /* beyond its core; there the profile is below 1 % */

double air_leaf_lag(const air_yielding *y, double time_s)
{
    return y->response_s > 0.0 ? base_exp(-time_s / y->response_s) : 0.0;
}

double air_standing_in_passage(const air_yielding *y, const air_passage *p)
{
    const double reach_m = p->core_m + REACH_HALF_WIDTHS * p->half_width_m, piece_m = 2.0 * reach_m / PIECES;
    const double stays = p->passing_m_s > 0.0 ? air_leaf_lag(y, piece_m / p->passing_m_s) : 0.0, middle = sqrt(stays);
    const double u = y->of_wind * p->wind_u_m_s, v = y->of_wind * p->wind_v_m_s;
    const double per_b2 = p->half_width_m > 0.0 ? AIR_LN_2 / (p->half_width_m * p->half_width_m) : 0.0;
    double standing = air_standing_share(y, sqrt(u * u + v * v)), sum = 0.0, weights = 0.0;
    for (int i = 0; i < PIECES; i++) {
        const double off_m = fmax(0.0, fabs((i + 0.5) * piece_m - reach_m) - p->core_m);
        const double profile = base_exp(-per_b2 * off_m * off_m), jet = y->of_jet * profile;
        const double all_u = u + jet * p->excess[0], all_v = v + jet * p->excess[1], all_w = jet * p->excess[2];
        const double even = air_standing_share(y, sqrt(all_u * all_u + all_v * all_v + all_w * all_w));
        sum += profile * profile * (even + (standing - even) * middle);
        weights += profile * profile;
        standing = even + (standing - even) * stays;
    }
    return weights > 0.0 ? sum / weights : standing;
}

BASE_WIDEST static void shares_in_even_air(const air_yielding *law, const float wind[3], int n, const float *restrict u,
                                           const float *restrict v, const float *restrict w, float *restrict given)
{
    const float of_jet = (float)law->of_jet, exponent = (float)law->half_exponent;
    const float per2 = (float)(law->per_turning_s_m * law->per_turning_s_m), of_wind = (float)law->of_wind;
    const float wind_u = of_wind * wind[0], wind_v = of_wind * wind[1], wind_w = of_wind * wind[2];
#pragma omp simd
    for (int j = 0; j < n; j++) {
        const float a = wind_u + of_jet * u[j], b = wind_v + of_jet * v[j], c = wind_w + of_jet * w[j];
        given[j] = 1.0f - base_powf(1.0f + per2 * (a * a + b * b + c * c), exponent);
    }
}

/* Leaves go from the last node to the first one; the air changes evenly from node to node.
 * @param stays of node j at stays[j * each] */
static void follow(const air_yielding *y, const float wind[3], const float *stays, int each, int n, float *given)
{
    const double u_m_s = y->of_wind * (double)wind[0], v_m_s = y->of_wind * (double)wind[1];
    float even = (float)(1.0 - air_standing_share(y, sqrt(u_m_s * u_m_s + v_m_s * v_m_s))), here = even;
    for (int j = n - 1; j >= 0; j--) {
        const float next = given[j], stay = stays[j * each], goes = 0.5f * (1.0f - stay);
        here = stay > 0.0f ? here * stay + goes * (even + next) : next;
        even = next;
        given[j] = here;
    }
}

void air_given_in_row(const air_yielding *y, const float wind[3], double step_s, int n, const float *u, const float *v,
                      const float *w, float *given)
{
    shares_in_even_air(y, wind, n, u, v, w, given);
    const float stays = (float)(isfinite(step_s) ? air_leaf_lag(y, step_s) : 0.0);
    if (stays > 0.0f) follow(y, wind, &stays, 0, n, given);
}

void air_given_along(const air_yielding *y, const float wind[3], const float *stays, int n, const float *u,
                     const float *v, const float *w, float *given)
{
    shares_in_even_air(y, wind, n, u, v, w, given);
    follow(y, wind, stays, 1, n, given);
}
