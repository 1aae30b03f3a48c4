/* sim/air/ambient.c - the wind on the nodes of a grid, from the profiles or from the section of wind.
 *
 * The section holds means at the centres of its cells in units of u*, which is that of the wind over open ground.
 * Between centres speeds and sigma are linear in x and in ln z, so that the logarithmic law stays one, and the time
 * scale is linear in x and z, as it is over open ground. Below the lowest centre the speed follows the logarithmic
 * law down to 0 at the roughness length, sigma stays, and the time scale shrinks with height.
 *
 * Turbulence: sigma_w^2 and the level variances keep the shares of k that they have over open ground, sigma_w =
 * 1.25 u* and level 2.168 u* at k = u*^2 / sqrt(Cmu) (wind.c has the sources); in a canopy measured shares are within
 * a sixth of these (1.1 and 1.6 u* at its top: wind.c). Gusts, and in convective air the large eddies, multiply the
 * level ones as they do over open ground. T_L = 2 sigma_w^2 / (C0 epsilon), C0 = 3.1: 0.4 z / u* over open ground. */
#include "air/ambient.h"

#include <math.h>
#include <stdlib.h>

#include "air/block_flow.h"
#include "air/flow_constants.h"
#include "base/between.h"
#include "base/elementary.h"
#include "base/status.h"


struct air_ambient {
    air_wind wind;
    /* of the section; NULL: the profiles serve */
    air_flow *flow;
    air_block_sides sides;
    double sigma_up, sigma_level; /* in m/s, where k is 1 u*^2 */
    double time_scale_s;          /* where k over epsilon is 1 m / u* */
    double *log_z;                /* [nz] of the centres */
};

static drupelet_status solve(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                             const air_flow_store *store, air_watch watch, air_ambient *a)
{
    air_flow_case flow_case = {0};
    drupelet_status status = air_block_flow_case(scenario, canopy, &flow_case);
    if (status.code == DRUPELET_OK) status = air_flow_obtain(&flow_case, store, watch, &a->flow);
    air_flow_case_free(&flow_case);
    if (status.code != DRUPELET_OK) return status;
    a->log_z = malloc((size_t)a->flow->nz * sizeof *a->log_z);
    if (!a->log_z) return base_error(DRUPELET_MEMORY, "no memory for the wind");
    for (int k = 0; k < a->flow->nz; k++)
        a->log_z[k] = base_log(a->flow->z_m[k]);
    const double friction_m_s = a->wind.friction_open_m_s, up = AIR_SIGMA_UP_OVER_FRICTION * FLOW_CMU_1_4;
    a->sides = air_block_sides_of(scenario);
    a->sigma_up = up * friction_m_s;
    a->sigma_level = air_wind_at_height(&a->wind, a->wind.top_m).sigma_level_m_s[0] * FLOW_CMU_1_4;
    a->time_scale_s = 2.0 * up * up / (AIR_KOLMOGOROV_C0 * friction_m_s);
    return base_ok();
}

drupelet_status air_ambient_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                   const air_flow_store *store, air_watch watch, air_ambient **ambient)
{
    air_ambient *a = calloc(1, sizeof *a);
    *ambient = NULL;
    if (!a) return base_error(DRUPELET_MEMORY, "no memory for the wind");
    a->wind = air_wind_of(scenario);
    const drupelet_status status = scenario->run.computed_wind && scenario->weather.wind_speed_m_s > 0.0
                                       ? solve(scenario, canopy, store, watch, a)
                                       : base_ok();
    if (status.code == DRUPELET_OK)
        *ambient = a;
    else
        air_ambient_free(a);
    return status;
}

void air_ambient_free(air_ambient *a)
{
    if (!a) return;
    air_flow_free(a->flow);
    free(a->log_z);
    free(a);
}

const air_wind *air_ambient_profiles(const air_ambient *a)
{
    return &a->wind;
}

/* ---- from the section ---- */

/* Between which of its centres a place lies, and where between them: 0 at the first, 1 at the second. */
typedef struct {
    int first;
    double share;
} between;

static between find(int n, const double *centre, double place)
{
    const int low = base_point_below(n, centre, place);
    return (between){low, base_way_from(centre, low, place)};
}

/* A height, with what its values take of the two centres around it. */
typedef struct {
    int first;
    double share_log, share; /* of the upper centre: speeds and sigma; time scale */
    double law, shrink;      /* below the lowest centre: of the speed, of the time scale; 1 above */
} height;

static height height_of(const air_ambient *a, double z_m)
{
    const double *centre_m = a->flow->z_m, roughness_m = a->wind.roughness_open_m;
    const between z = find(a->flow->nz, centre_m, z_m);
    height h = {.first = z.first, .share = z.share, .law = 1.0, .shrink = 1.0};
    if (z_m < centre_m[0]) {
        const double held_m = fmax(z_m, roughness_m);
        h.law = base_log(held_m / roughness_m) / base_log(centre_m[0] / roughness_m);
        h.shrink = held_m / centre_m[0];
    } else {
        const double share = (base_log(z_m) - a->log_z[z.first]) / (a->log_z[z.first + 1] - a->log_z[z.first]);
        h.share_log = fmin(fmax(share, 0.0), 1.0);
    }
    return h;
}

static double mean_of(const air_ambient *a, const float *value, between x, const height *z)
{
    const size_t nz = (size_t)a->flow->nz, at = (size_t)x.first * nz + (size_t)z->first;
    const double low = (double)value[at] + x.share * ((double)value[at + nz] - (double)value[at]);
    const double high = (double)value[at + 1] + x.share * ((double)value[at + nz + 1] - (double)value[at + 1]);
    return low + z->share_log * (high - low);
}

static between section_place(const air_ambient *a, double x_m)
{
    return find(a->flow->nx, a->flow->x_m, a->sides.side_across * x_m);
}

static double across_m_s(const air_ambient *a, between x, const height *z)
{
    return a->wind.friction_open_m_s * a->sides.side_across * z->law * mean_of(a, a->flow->u, x, z);
}

static double along_m_s(const air_ambient *a, between x, const height *z)
{
    return a->wind.friction_open_m_s * a->sides.side_along * z->law * mean_of(a, a->flow->v, x, z);
}

static double root_of_energy(const air_ambient *a, between x, const height *z)
{
    const size_t nz = (size_t)a->flow->nz, at = (size_t)x.first * nz + (size_t)z->first;
    const float *k = a->flow->k + at;
    const double low = sqrt((double)k[0]) + x.share * (sqrt((double)k[nz]) - sqrt((double)k[0]));
    const double high = sqrt((double)k[1]) + x.share * (sqrt((double)k[nz + 1]) - sqrt((double)k[1]));
    return low + z->share_log * (high - low);
}

static double time_scale_s(const air_ambient *a, between x, const height *z)
{
    const size_t nz = (size_t)a->flow->nz, at = (size_t)x.first * nz + (size_t)z->first;
    const float *k = a->flow->k + at, *epsilon = a->flow->epsilon + at;
    const double west_low = (double)k[0] / (double)epsilon[0], west_high = (double)k[1] / (double)epsilon[1];
    const double east_low = (double)k[nz] / (double)epsilon[nz],
                 east_high = (double)k[nz + 1] / (double)epsilon[nz + 1];
    const double low = west_low + x.share * (east_low - west_low), high = west_high + x.share * (east_high - west_high);
    return a->time_scale_s * z->shrink * (low + z->share * (high - low));
}

static void fill_from_section(const air_ambient *a, int nx, const air_ambient_place *place, int nz, double dz_m,
                              between (*x)[3], double *change_1_s, air_ambient_state *state)
{
    for (int i = 0; i < nx; i++) {
        x[i][0] = section_place(a, place[i].x_m - place[i].before_m);
        x[i][1] = section_place(a, place[i].x_m);
        x[i][2] = section_place(a, place[i].x_m + place[i].after_m);
    }
    for (int k = 0; k < nz; k++) {
        const height z = height_of(a, k * dz_m);
        for (int i = 0; i < nx; i++, state++) {
            const double change =
                (across_m_s(a, x[i][2], &z) - across_m_s(a, x[i][0], &z)) / (place[i].before_m + place[i].after_m);
            const double root = root_of_energy(a, x[i][1], &z);
            *state = (air_ambient_state){
                .u_m_s = across_m_s(a, x[i][1], &z),
                .v_m_s = along_m_s(a, x[i][1], &z),
                .w_m_s = k > 0 ? state[-nx].w_m_s - 0.5 * (change + change_1_s[i]) * dz_m : 0.0,
                .sigma_m_s = fmax(a->sigma_up * root, AIR_WIND_LEAST_SIGMA_M_S),
                .sigma_level_m_s = fmax(a->sigma_level * root, AIR_WIND_LEAST_SIGMA_M_S),
                .time_scale_s = time_scale_s(a, x[i][1], &z),
            };
            change_1_s[i] = change;
        }
    }
}

/* ---- from the profiles ---- */

/* The wind over one place, height by height from the ground up: its vertical velocity follows from continuity across
 * the rows. */
typedef struct {
    double weight, weight_before, weight_after; /* of the block, here and beside it */
    double width_m, change_below_1_s, w_m_s;
} climb;

static climb climb_from_ground(const air_wind *wind, const air_ambient_place *place)
{
    return (climb){.weight = air_wind_block_weight(wind, place->x_m),
                   .weight_before = air_wind_block_weight(wind, place->x_m - place->before_m),
                   .weight_after = air_wind_block_weight(wind, place->x_m + place->after_m),
                   .width_m = place->before_m + place->after_m};
}

/* @param dz_m from the height before; 0 at the ground */
static double climb_to(climb *c, const air_wind *wind, const air_wind_level *level, double dz_m)
{
    const double change_1_s =
        (air_wind_mean(level, c->weight_after).speed_m_s - air_wind_mean(level, c->weight_before).speed_m_s)
        * wind->cos_angle / c->width_m;
    c->w_m_s -= 0.5 * (change_1_s + c->change_below_1_s) * dz_m;
    c->change_below_1_s = change_1_s;
    return c->w_m_s;
}

static void fill_from_profiles(const air_wind *wind, int nx, const air_ambient_place *place, int nz, double dz_m,
                               climb *up, air_ambient_state *state)
{
    for (int i = 0; i < nx; i++)
        up[i] = climb_from_ground(wind, &place[i]);
    for (int k = 0; k < nz; k++) {
        const air_wind_level level = air_wind_at_height(wind, k * dz_m);
        for (int i = 0; i < nx; i++, state++) {
            const air_wind_state mean = air_wind_mean(&level, up[i].weight);
            *state = (air_ambient_state){
                .u_m_s = mean.speed_m_s * wind->cos_angle,
                .v_m_s = mean.speed_m_s * wind->sin_angle,
                .w_m_s = climb_to(&up[i], wind, &level, k > 0 ? dz_m : 0.0),
                .sigma_m_s = mean.sigma_m_s,
                .sigma_level_m_s = mean.sigma_level_m_s,
                .time_scale_s = mean.time_scale_s,
            };
        }
    }
}

/* ---- either ---- */

void air_ambient_level_wind(const air_ambient *a, double x_m, double z_m, double *u_m_s, double *v_m_s)
{
    if (a->flow) {
        const between x = section_place(a, x_m);
        const height z = height_of(a, z_m);
        *u_m_s = across_m_s(a, x, &z);
        *v_m_s = along_m_s(a, x, &z);
    } else {
        const double speed_m_s = air_wind_speed_m_s(&a->wind, air_wind_block_weight(&a->wind, x_m), z_m);
        *u_m_s = speed_m_s * a->wind.cos_angle;
        *v_m_s = speed_m_s * a->wind.sin_angle;
    }
}

drupelet_status air_ambient_fill(const air_ambient *a, int nx, const air_ambient_place *place, int nz, double dz_m,
                                 air_ambient_state *state)
{
    climb *up = a->flow ? NULL : malloc((size_t)nx * sizeof *up);
    between(*x)[3] = a->flow ? malloc((size_t)nx * sizeof *x) : NULL;
    double *change_1_s = a->flow ? malloc((size_t)nx * sizeof *change_1_s) : NULL;
    const bool enough = up || (x && change_1_s);
    if (up)
        fill_from_profiles(&a->wind, nx, place, nz, dz_m, up, state);
    else if (enough)
        fill_from_section(a, nx, place, nz, dz_m, x, change_1_s, state);
    free(change_1_s);
    free(x);
    free(up);
    return enough ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the wind");
}
