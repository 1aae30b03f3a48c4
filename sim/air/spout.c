/* sim/air/spout.c - from the line of a round jet to a grid.
 *
 * Each node takes the profile of the place of the line that it is nearest to: 1 in the core, Gaussian edges. A jet
 * thinner than the grid can carry is widened at the same momentum. The ground mirrors the jet, so that what a jet on
 * the ground would put below it stays above. Turbulence on the axis: k = 0.064 Ue^2, flat to one half-width, then like
 * the profile: rms 0.244 along and 0.185 across (N. R. Panchapakesan, J. L. Lumley, J. Fluid Mech. 246 (1993) 197,
 * tests/data/jet_axis_turbulence.csv); recalled values are 0.065 to 0.088. Dissipation 0.016 Ue^3 / b (S. B. Pope,
 * Turbulent Flows, 2000, section 5.3, 0.015 to 0.018; others 0.023; memory). */
#include "air/outlets.h"

#include <math.h>
#include <stdlib.h>

#include "air/excess.h"
#include "base/elementary.h"
#include "base/status.h"

#define AXIS_ENERGY 0.064
#define AXIS_DISSIPATION 0.016
#define THINNEST_IN_STEPS 0.9 /* half-width over the grid's step across the rows and upwards: sums hold to 1 % */
#define REACH_HALF_WIDTHS 4.0 /* beyond, the profile is below 2e-5 */

typedef struct {
    float distance2_m2;
    int i_point; /* -1: none */
} nearest;

/* A point with its half-width on the grid and what that takes off the momentum. */
typedef struct {
    air_jet_point p;
    double b_m, thinner;
} section;

static section section_of(const air_grid *g, const air_jet_point *point, int mirrored)
{
    section s = {.p = *point};
    if (mirrored) {
        s.p.z_m = -s.p.z_m;
        s.p.tangent[2] = -s.p.tangent[2];
        s.p.excess[2] = -s.p.excess[2];
    }
    s.b_m = fmax(point->half_width_m, THINNEST_IN_STEPS * fmax(g->dx_m, g->dz_m));
    s.thinner = air_jet_momentum_section(true, point->core_m, point->half_width_m)
                / air_jet_momentum_section(true, point->core_m, s.b_m);
    return s;
}

static int clamp(double value, int most)
{
    return value < 0.0 ? 0 : value > most ? most : (int)value;
}

/* Notes the nodes that are nearer to this point than to any before. */
static void claim(const air_grid *g, const section *s, int i_point, nearest *near)
{
    const double reach_m = s->p.core_m + REACH_HALF_WIDTHS * s->b_m;
    const double fx = (s->p.x_m - g->x_first_m) / g->dx_m, fy = (s->p.y_m - g->y_first_m) / g->dy_m;
    const int i_last = clamp(fx + reach_m / g->dx_m, g->nx - 1), j_last = clamp(fy + reach_m / g->dy_m, g->ny - 1);
    const int k_last = clamp((s->p.z_m + reach_m) / g->dz_m, g->nz - 1);
    if (s->p.z_m + reach_m < 0.0) return;
    for (int k = clamp((s->p.z_m - reach_m) / g->dz_m + 1.0, g->nz - 1); k <= k_last; k++)
        for (int i = clamp(fx - reach_m / g->dx_m + 1.0, g->nx - 1); i <= i_last; i++) {
            const double x_m = g->x_first_m + i * g->dx_m - s->p.x_m, z_m = k * g->dz_m - s->p.z_m;
            const float flat2 = (float)(x_m * x_m + z_m * z_m);
            nearest *const row = near + air_node(g, k, i, 0);
            for (int j = clamp(fy - reach_m / g->dy_m + 1.0, g->ny - 1); j <= j_last; j++) {
                const float y_m = (float)(g->y_first_m + j * g->dy_m - s->p.y_m), distance2 = flat2 + y_m * y_m;
                if (row[j].i_point < 0 || distance2 < row[j].distance2_m2) row[j] = (nearest){distance2, i_point};
            }
        }
}

static void put(const air_grid *g, air_excess *e, size_t i_node, const section *s, const double place_m[3], int first,
                int last, double diameter_m)
{
    const double rel[3] = {place_m[0] - s->p.x_m, place_m[1] - s->p.y_m, place_m[2] - s->p.z_m};
    double along_m = 0.0, distance2 = 0.0, speed2 = 0.0;
    for (int c = 0; c < 3; c++) {
        along_m += rel[c] * s->p.tangent[c];
        distance2 += rel[c] * rel[c];
        speed2 += s->p.excess[c] * s->p.excess[c];
    }
    /* behind the spout and beyond the line's end there is none; half a cell on, as the next node takes over there */
    const double margin_m = 0.5 * g->dx_m;
    if ((first && along_m < -margin_m) || (last && along_m > margin_m)) return;
    const double off_m = fmax(0.0, sqrt(fmax(0.0, distance2 - along_m * along_m)) - s->p.core_m);
    if (off_m > REACH_HALF_WIDTHS * s->b_m) return;
    const double b2 = s->b_m * s->b_m, profile = base_exp(-AIR_LN_2 * off_m * off_m / b2) * sqrt(s->thinner);
    const double outer_m = fmax(0.0, off_m - s->b_m);
    const double turbulent = base_exp(-AIR_LN_2 * outer_m * outer_m / b2) * s->thinner;
    air_momentum_add(e, i_node, profile * s->p.excess[0], profile * s->p.excess[1], profile * s->p.excess[2]);
    e->variance_m2_s2[i_node] += (float)(turbulent * 2.0 / 3.0 * AXIS_ENERGY * speed2);
    e->dissipation_m2_s3[i_node] +=
        (float)(turbulent * AXIS_DISSIPATION * speed2 * sqrt(speed2) / fmax(s->p.half_width_m, 0.5 * diameter_m));
}

drupelet_status air_spout_add(const air_grid *g, air_excess *excess, int n_points, const air_jet_point *point,
                              double diameter_m)
{
    const size_t n_nodes = (size_t)g->nx * (size_t)g->ny * (size_t)g->nz;
    nearest *near = malloc(n_nodes * sizeof *near);
    if (!near) return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    for (int mirrored = 0; mirrored < 2; mirrored++) {
        for (size_t n = 0; n < n_nodes; n++)
            near[n].i_point = -1;
        for (int s = 0; s < n_points; s++) {
            const section at = section_of(g, &point[s], mirrored);
            claim(g, &at, s, near);
        }
        for (int k = 0; k < g->nz; k++)
            for (int i = 0; i < g->nx; i++)
                for (int j = 0; j < g->ny; j++) {
                    const size_t n = air_node(g, k, i, j);
                    const int s = near[n].i_point;
                    if (s < 0) continue;
                    const section at = section_of(g, &point[s], mirrored);
                    const double place_m[3] = {g->x_first_m + i * g->dx_m, g->y_first_m + j * g->dy_m, k * g->dz_m};
                    put(g, excess, n, &at, place_m, s == 0, s == n_points - 1, diameter_m);
                }
    }
    free(near);
    return base_ok();
}
