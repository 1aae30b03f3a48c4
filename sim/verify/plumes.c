/* sim/verify/plumes.c - plumes that the batch kernel makes, beside an exact solution and beside a field experiment. */
#include <math.h>
#include <string.h>

#include "air/wind.h"
#include "base/elementary.h"
#include "base/status.h"
#include "verify/checks.h"
#include "verify/experiment.h"
#include "verify/table.h"

enum { BATCHES = 240, BINS = 12, ARC_BATCHES = 960 }; /* few tracers cross an arc at the samplers' height */
#define DROPLETS ((double)BATCHES * DROPLET_LANES)

/* ---- a plume that settles: u = 3 m/s, K = 0.12 z. The kernel has a time scale and droplets have inertia, the exact
 * solution has neither: with large, short-lived eddies and all lengths twenty times as long the one tends to the other.
 * The shares are the same at any such scale. ---- */
#define LAMBDA_M_S 0.12
#define PLUME_SIGMA_M_S 0.7
#define PLUME_SCALE 20.0
#define PLUME_FLOOR_M 0.1
#define PLUME_REACH_M (150.0 * PLUME_SCALE)

static box_air plume_air(double z_m)
{
    return (box_air){.u_m_s = 3.0,
                     .sigma_m_s = PLUME_SIGMA_M_S,
                     .time_scale_s = fmax(z_m, PLUME_FLOOR_M) * LAMBDA_M_S / (PLUME_SIGMA_M_S * PLUME_SIGMA_M_S)};
}

static double start_at_2_m(const experiment *e, int ordinal)
{
    (void)e;
    (void)ordinal;
    return 2.0 * PLUME_SCALE;
}

/* Share of a plume that is down by each distance. */
typedef struct { int n; double x_m[BINS], down_by[BINS], settling_m_s; } plume_case;

static void take_case(const verify_table *t, const char *name, plume_case *c)
{
    c->n = 0;
    for (int row = 0; row < verify_table_rows(t) && c->n < BINS; row++) {
        if (strcmp(verify_table_text(t, row, "case"), name) != 0)
            continue;
        c->x_m[c->n] = PLUME_SCALE * verify_table_number(t, row, "x_m");
        c->down_by[c->n++] = verify_table_number(t, row, "share_down_by_x");
        c->settling_m_s = verify_table_number(t, row, "settling_m_s");
    }
}

static void count_settled(experiment *e, const droplet_batch *b, int i)
{
    const plume_case *c = e->about;
    for (int p = 0; p < c->n; p++)
        e->sum[p] += (b->found[i] & DROPLET_LANDED) != 0 && (double)b->x_m[i] <= c->x_m[p];
}

static double diameter_that_falls_m(double speed_m_s, const base_air *air)
{
    double low = 5e-6, high = 200e-6;
    for (int k = 0; k < 60; k++) {
        const double middle = 0.5 * (low + high);
        if (droplet_settling_speed_m_s(middle, FLIGHT_BOX_DENSITY_KG_M3, 0.0727, air) < speed_m_s)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* 5 %, or three standard errors of the count where that is more, in every stretch of ground. */
static drupelet_status check_settled(verify_list *list, const verify_table *t, const char *name)
{
    const base_air air = base_moist_air(293.15, 1.0, 101325.0);
    double down[BINS] = {0};
    plume_case c;
    take_case(t, name, &c);
    experiment e = {.end_s = 1e6,
                    .top_m = 60.0 * PLUME_SCALE,
                    .floor_m = PLUME_FLOOR_M,
                    .start_z_m = start_at_2_m,
                    .diameter_m = diameter_that_falls_m(c.settling_m_s, &air),
                    .fall_m_s = c.settling_m_s,
                    .batches = BATCHES,
                    .look = count_settled,
                    .n_sums = BINS,
                    .sum = down,
                    .about = &c};
    flight_box box;
    drupelet_status status = flight_box_open(&box, plume_air, e.top_m, 0.02 * PLUME_SCALE, e.floor_m, 1.0);
    if (status.code == DRUPELET_OK) {
        box.setting.high_x_m = (float)(PLUME_REACH_M + 1.0);
        status = experiment_run(&e, &box);
    }
    for (int p = 1; p < c.n && c.x_m[p] <= PLUME_REACH_M; p++) {
        const double share = c.down_by[p] - c.down_by[p - 1], noise = 3.0 / sqrt(share * DROPLETS);
        verify_target target = verify_target_of(list, "plumes.settled");
        target.tolerance = fmax(target.tolerance, noise);
        if (noise < 0.5) /* more than 36 droplets are expected there */
            verify_compare_by(list, &target, share, (down[p] - down[p - 1]) / DROPLETS,
                              "plume settling at %g m/s, share down at %g to %g m", c.settling_m_s, c.x_m[p - 1],
                              c.x_m[p]);
    }
    flight_box_close(&box);
    return status;
}

/* ---- Prairie Grass: drupelet's own surface layer, neutral, at the run's friction velocity ---- */
#define PRAIRIE_ROUGHNESS_M 0.006
#define PRAIRIE_SAMPLER_M 1.5
#define PRAIRIE_WINDOW_M 0.5 /* half the height over which a sampler's air is averaged */

static air_wind prairie_wind(double friction_m_s)
{
    const drupelet_scenario scenario = {
        .orchard = {.n_rows = 1, .row_spacing_m = 1.0},
        .canopy = {.height_m = 1.0, .drag_coefficient = 0.2}, /* none stands there: the open ground's weight is 1 */
        .weather = {.wind_speed_m_s = friction_m_s / AIR_VON_KARMAN * base_log(2.0 / PRAIRIE_ROUGHNESS_M),
                    .wind_height_m = 2.0,
                    .roughness_m = PRAIRIE_ROUGHNESS_M}};
    return air_wind_of(&scenario);
}

/* The column of air that flight_box asks for knows no context: one function a run. */
static box_air prairie_air(double friction_m_s, double z_m)
{
    const air_wind wind = prairie_wind(friction_m_s);
    const air_wind_state here = air_wind_at(&wind, 0.0, z_m);
    return (box_air){.u_m_s = here.speed_m_s, .sigma_m_s = here.sigma_m_s, .time_scale_s = here.time_scale_s,
                     .sigma_level_m_s = here.sigma_level_m_s};
}

static box_air air_of_run_11(double z_m)
{
    return prairie_air(0.524, z_m);
}

static box_air air_of_run_22(double z_m)
{
    return prairie_air(0.509, z_m);
}

static double start_at_source(const experiment *e, int ordinal)
{
    (void)e;
    (void)ordinal;
    return 0.46;
}

enum { ARCS = 5, SUMS = 2 };
static const double arc_m[ARCS] = {50.0, 100.0, 200.0, 400.0, 800.0};

/* At each crossing of an arc at the samplers' height: 1 / u, and y^2 / u for the spread across the wind. */
static void cross_arcs(experiment *e, const droplet_batch *b, int i)
{
    const double before_m = (double)b->x_before_m[i], after_m = (double)b->x_m[i];
    for (int a = 0; a < ARCS; a++) {
        if ((before_m < arc_m[a]) == (after_m < arc_m[a]))
            continue;
        const double back_s = (after_m - arc_m[a]) / (double)b->u_m_s[i];
        const double y_m = (double)b->y_m[i] - (double)b->v_m_s[i] * back_s;
        const double z_m = (double)b->z_m[i] - (double)b->w_m_s[i] * back_s;
        if (fabs(z_m - PRAIRIE_SAMPLER_M) > PRAIRIE_WINDOW_M)
            continue;
        const double slow = 1.0 / fmax(fabs((double)b->u_m_s[i]), 0.05);
        e->sum[SUMS * a] += slow;
        e->sum[SUMS * a + 1] += slow * y_m * y_m;
    }
}

static drupelet_status check_prairie(verify_list *list, const verify_table *t, int run, box_profile profile)
{
    double sum[SUMS * ARCS] = {0};
    experiment e = {.end_s = 1e6,
                    .top_m = 150.0,
                    .floor_m = PRAIRIE_ROUGHNESS_M,
                    .lid = false,
                    .start_z_m = start_at_source,
                    .diameter_m = 1e-6,
                    .batches = ARC_BATCHES,
                    .each = cross_arcs,
                    .n_sums = SUMS * ARCS,
                    .sum = sum};
    flight_box box;
    drupelet_status status = flight_box_open(&box, profile, e.top_m, 0.05, e.floor_m, 1.0);
    if (status.code == DRUPELET_OK) {
        box.setting.high_x_m = (float)(arc_m[ARCS - 1] + 1.0);
        status = experiment_run(&e, &box);
    }
    for (int row = 0; row < verify_table_rows(t); row++) {
        if ((int)verify_table_number(t, row, "run") != run)
            continue;
        const double at_m = verify_table_number(t, row, "arc_m");
        int a = 0;
        while (a + 1 < ARCS && arc_m[a] < at_m)
            a++;
        /* across the wind the plume is Gaussian: its peak over what crosses at that height */
        const double spread_m = sqrt(sum[SUMS * a + 1] / sum[SUMS * a]);
        const double release_mg_s =
            1e3 * verify_table_number(t, row, "release_g_s") / ((double)ARC_BATCHES * DROPLET_LANES);
        const double peak_mg_m3 =
            release_mg_s * sum[SUMS * a] / (2.0 * PRAIRIE_WINDOW_M * sqrt(2.0 * BASE_PI) * spread_m);
        verify_compare(list, "plumes.arc", verify_table_number(t, row, "peak_mg_m3"), peak_mg_m3,
                       "run %d, peak %g m downwind", run, at_m);
    }
    flight_box_close(&box);
    return status;
}

drupelet_status verify_plumes(verify_list *list)
{
    static const box_profile air[] = {air_of_run_11, air_of_run_22};
    static const int run[] = {11, 22};
    verify_table *settled = NULL, *prairie = NULL;
    drupelet_status status = verify_table_open("settling_plume", &settled);
    if (status.code == DRUPELET_OK)
        status = check_settled(list, settled, "fine");
    if (status.code == DRUPELET_OK)
        status = check_settled(list, settled, "medium");
    if (status.code == DRUPELET_OK)
        status = verify_table_open("prairie_grass", &prairie);
    for (int i = 0; i < 2 && status.code == DRUPELET_OK; i++)
        status = check_prairie(list, prairie, run[i], air[i]);
    verify_table_free(prairie);
    verify_table_free(settled);
    return status;
}
