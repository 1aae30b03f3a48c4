/* sim/air/field.c - puts wind and fan air together: the ambient grid, and around the sprayer one grid a pass.
 *
 * The pass's grid is made free of divergence, so that the air which the jets entrain flows towards them. What the fan
 * blows out it takes in close to its outlets: air, and droplets with it, pass through the machine. A sink apart from
 * the outlets would hold droplets fast. Turbulence: the jets' and the wind's variances add, and so do their
 * dissipations (C0 eps = 2 sigma^2 / TL, C0 = 3.1: J. D. Wilson, B. L. Sawford, Boundary-Layer Meteorol. 78 (1996) 191;
 * memory). Inside a row leaves make fine turbulence from the jet's motion and eat the coarse: its k goes towards U^2
 * / 6.51 at the rate 6.51 Cd a U (C. Sanz, Boundary-Layer Meteorol. 108 (2003) 191, constants for alpha = 0.05;
 * memory). */
#include "air/air.h"

#include <math.h>
#include <stdlib.h>

#include "air/jet.h"
#include "air/merge.h"
#include "air/outlets.h"
#include "air/projection.h"
#include "air/wind.h"
#include "base/large_memory.h"
#include "base/status.h"

#define KOLMOGOROV_C0 3.1
#define CANOPY_DISSIPATION 6.51
/* Choices: how far the grid of a pass reaches, unless strong jets go farther (outlets.c), and over which border they
 * fade into the ambient. */
#define ACROSS_M 6.0 /* or two rows, where that is more */
#define BEHIND_M 5.0
#define AHEAD_M 2.5
#define ABOVE_CANOPY_M 3.0
#define FADE_M 1.0
#define AMBIENT_STEP_M 1.0
#define AMBIENT_HEIGHT_STEP_M 0.1

/* What a pass's jets look at. */
typedef struct {
    const drupelet_scenario *scenario;
    const orchard_canopy *canopy;
    const air_wind *wind;
    const sprayer_pass *pass;
} surroundings;

static double drag_1_m(const surroundings *s, double x_m, double z_m)
{
    const orchard_canopy *c = s->canopy;
    const double row = floor(-x_m / c->row_spacing_m + 0.5);
    if (row < 0.0 || row >= c->n_rows || z_m < 0.0)
        return 0.0;
    const int i = (int)floor((x_m + row * c->row_spacing_m + c->half_width_m) / c->edge_m), k = (int)(z_m / c->edge_m);
    if (i < 0 || i >= c->nx || k >= c->nz)
        return 0.0;
    return c->drag_1_m[k * c->nx + i];
}

static air_jet_surroundings look(const void *where, double x_m, double z_m)
{
    const surroundings *s = where;
    const double x_ground_m = x_m + s->pass->x_m;
    const double speed_m_s = air_wind_speed_m_s(s->wind, air_wind_block_weight(s->wind, x_ground_m), z_m);
    return (air_jet_surroundings){.u_m_s = speed_m_s * s->wind->cos_angle,
                                  .v_m_s = s->pass->heading * speed_m_s * s->wind->sin_angle
                                           - s->scenario->sprayer.travel_speed_m_s,
                                  .drag_1_m = drag_1_m(s, x_ground_m, z_m)};
}

static double fade(double from_border_m)
{
    const double t = fmin(fmax(from_border_m / FADE_M, 0.0), 1.0);
    return t * t * (3.0 - 2.0 * t);
}

/* Lets the jets die out before the grid's open faces. */
static void fade_jets(const air_grid *g, float *node)
{
    for (int k = 0; k < g->nz; k++)
        for (int i = 0; i < g->nx; i++)
            for (int j = 0; j < g->ny; j++) {
                const double f = fade(fmin(i, g->nx - 1 - i) * g->dx_m) * fade(fmin(j, g->ny - 1 - j) * g->dy_m)
                                 * fade((g->nz - 1 - k) * g->dz_m);
                float *n = node + AIR_VALUES * (((int64_t)k * g->nx + i) * g->ny + j);
                for (int c = 0; c < AIR_VALUES; c++)
                    n[c] *= (float)f;
                if (k == 0)
                    n[AIR_W] = 0.0f;
            }
}

/* The wind's vertical velocity over one place, by continuity across the rows: climbed from the ground, height by
 * height. */
typedef struct { double weight_before, weight_after, width_m, change_below_1_s, w_m_s; } climb;

static climb climb_from_ground(const air_wind *wind, double x_m, double dx_m)
{
    return (climb){.weight_before = air_wind_block_weight(wind, x_m - dx_m),
                   .weight_after = air_wind_block_weight(wind, x_m + dx_m), .width_m = 2.0 * dx_m};
}

/* @param dz_m from the height before; 0 at the ground */
static double climb_to(climb *c, const air_wind *wind, double z_m, double dz_m)
{
    const double change_1_s =
        (air_wind_speed_m_s(wind, c->weight_after, z_m) - air_wind_speed_m_s(wind, c->weight_before, z_m))
        * wind->cos_angle / c->width_m;
    c->w_m_s -= 0.5 * (change_1_s + c->change_below_1_s) * dz_m;
    c->change_below_1_s = change_1_s;
    return c->w_m_s;
}

/* Turns excess and jet turbulence into the air over the ground. */
static void add_ambient(const surroundings *s, const air_grid *g, float *node)
{
    for (int i = 0; i < g->nx; i++) {
        const double x_m = s->pass->x_m + g->x_first_m + i * g->dx_m;
        const double weight = air_wind_block_weight(s->wind, x_m);
        climb up = climb_from_ground(s->wind, x_m, g->dx_m);
        for (int k = 0; k < g->nz; k++) {
            const double z_m = k * g->dz_m, w_m_s = climb_to(&up, s->wind, z_m, k > 0 ? g->dz_m : 0.0);
            const double speed_m_s = air_wind_speed_m_s(s->wind, weight, z_m);
            const double sigma_m_s = air_wind_sigma_m_s(s->wind, weight, z_m), variance = sigma_m_s * sigma_m_s;
            const double level_m_s = air_wind_sigma_level_m_s(s->wind, weight, z_m);
            const double rate_1_s = 1.0 / air_wind_time_scale_s(s->wind, weight, z_m), drag = drag_1_m(s, x_m, z_m);
            for (int j = 0; j < g->ny; j++) {
                float *n = node + AIR_VALUES * (((int64_t)k * g->nx + i) * g->ny + j);
                double energy = 1.5 * (double)n[AIR_JET_VARIANCE], dissipation = (double)n[AIR_JET_DISSIPATION];
                const double jet_m_s = sqrt((double)(n[AIR_U] * n[AIR_U] + n[AIR_V] * n[AIR_V] + n[AIR_W] * n[AIR_W]));
                if (energy > 0.0 && drag > 0.0) {
                    const double own = dissipation / energy, leaves = CANOPY_DISSIPATION * drag * jet_m_s;
                    energy = (energy * own + jet_m_s * jet_m_s / CANOPY_DISSIPATION * leaves) / (own + leaves);
                    dissipation = energy * (own + leaves);
                }
                const double total = variance + energy / 1.5;
                n[AIR_SIGMA] = (float)sqrt(total);
                n[AIR_SIGMA_LEVEL] = (float)sqrt(level_m_s * level_m_s + energy / 1.5);
                n[AIR_RATE] = (float)((variance * rate_1_s + 0.5 * KOLMOGOROV_C0 * dissipation) / total);
                n[AIR_U] += (float)(speed_m_s * s->wind->cos_angle);
                n[AIR_V] += (float)(s->pass->heading * speed_m_s * s->wind->sin_angle);
                n[AIR_W] += (float)w_m_s;
            }
        }
    }
}

static drupelet_status make_pass(const surroundings *s, const sprayer_work *work, const air_grid *g, float *node)
{
    drupelet_status status = air_outlets_add(s->scenario, work, s->pass, look, s, g, node);
    if (status.code == DRUPELET_OK) {
        fade_jets(g, node);
        status = air_project(g, node);
    }
    if (status.code == DRUPELET_OK)
        add_ambient(s, g, node);
    return status;
}

/* Wind over the whole domain; the vertical velocity follows from continuity across the rows. */
static void make_ambient(const air_wind *wind, const air_grid *g, float *node)
{
    for (int i = 0; i < g->nx; i++) {
        const double x_m = g->x_first_m + i * g->dx_m, weight = air_wind_block_weight(wind, x_m);
        climb up = climb_from_ground(wind, x_m, g->dx_m);
        for (int k = 0; k < g->nz; k++) {
            const double z_m = k * g->dz_m, w_m_s = climb_to(&up, wind, z_m, k > 0 ? g->dz_m : 0.0);
            const double speed_m_s = air_wind_speed_m_s(wind, weight, z_m);
            for (int j = 0; j < g->ny; j++) {
                float *n = node + AIR_VALUES * (((int64_t)k * g->nx + i) * g->ny + j);
                n[AIR_U] = (float)(speed_m_s * wind->cos_angle);
                n[AIR_V] = (float)(speed_m_s * wind->sin_angle);
                n[AIR_W] = (float)w_m_s;
                n[AIR_SIGMA] = (float)air_wind_sigma_m_s(wind, weight, z_m);
                n[AIR_RATE] = (float)(1.0 / air_wind_time_scale_s(wind, weight, z_m));
                n[AIR_SIGMA_LEVEL] = (float)air_wind_sigma_level_m_s(wind, weight, z_m);
            }
        }
    }
}

/* The grids of all passes have one shape. */
static air_reach reach_of(const drupelet_scenario *scenario, const orchard_canopy *canopy, const air_wind *wind,
                          const sprayer_work *work)
{
    air_reach reach = {fmax(2.0 * scenario->orchard.row_spacing_m, ACROSS_M), BEHIND_M, AHEAD_M};
    for (int p = 0; p < work->n_passes; p++) {
        const surroundings s = {scenario, canopy, wind, &work->pass[p]};
        air_outlets_widen(scenario, work, s.pass, look, &s, FADE_M, &reach);
    }
    return reach;
}

static void shape_grids(const drupelet_scenario *scenario, const air_wind *wind, air_reach reach, air_field *field)
{
    const scenario_run *run = &scenario->run;
    int64_t next = 0;
    air_grid *a = &field->ambient;
    *a = (air_grid){.dx_m = AMBIENT_STEP_M, .dy_m = 1.0, .dz_m = AMBIENT_HEIGHT_STEP_M, .ny = 2};
    a->x_first_m = wind->low_edge_m - run->open_ground_m;
    a->nx = (int)ceil((wind->high_edge_m - wind->low_edge_m + 2.0 * run->open_ground_m) / a->dx_m) + 1;
    a->nz = (int)ceil(run->domain_top_m / a->dz_m) + 1;
    next += (int64_t)AIR_VALUES * a->nx * a->ny * a->nz;

    const double cell_m = run->air_cell_m;
    air_grid g = {.dx_m = cell_m, .dy_m = 0.5 * cell_m, .dz_m = cell_m};
    g.nx = 2 * (int)ceil(reach.across_m / cell_m) + 1;
    g.x_first_m = -(g.nx / 2) * cell_m;
    g.ny = (int)ceil((reach.behind_m + reach.ahead_m) / g.dy_m) + 1;
    g.y_first_m = -reach.behind_m;
    g.nz = (int)ceil((scenario->canopy.height_m + ABOVE_CANOPY_M) / cell_m) + 1;
    for (int p = 0; p < field->n_passes; p++) {
        field->pass[p] = g;
        field->pass[p].first = next;
        next += (int64_t)AIR_VALUES * g.nx * g.ny * g.nz;
    }
    field->n_floats = next;
}

drupelet_status air_field_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                 const sprayer_work *work, int n_threads, air_field **result)
{
    *result = NULL;
    const air_wind wind = air_wind_of(scenario);
    air_field *field = calloc(1, sizeof *field);
    air_grid *pass = calloc((size_t)work->n_passes, sizeof *pass);
    if (!field || !pass) {
        free(pass);
        free(field);
        return base_error(DRUPELET_MEMORY, "no memory for the air");
    }
    field->n_passes = work->n_passes;
    field->pass = pass;
    shape_grids(scenario, &wind, reach_of(scenario, canopy, &wind, work), field);
    const double size_GB = 1e-9 * sizeof *field->node * (double)field->n_floats;
    if (field->n_floats > INT32_MAX) { /* the kernel counts floats in 32 bits */
        air_field_free(field);
        return base_error(DRUPELET_SCENARIO, "run.air_cell: too fine for this orchard: the air would need %.1f GB",
                          size_GB);
    }
    field->node = base_large_calloc((size_t)field->n_floats * sizeof *field->node);
    if (!field->node) {
        air_field_free(field);
        return base_error(DRUPELET_MEMORY, "no memory for the air: %.1f GB are needed", size_GB);
    }
    make_ambient(&wind, &field->ambient, field->node + field->ambient.first);
    drupelet_status first = base_ok();
#pragma omp parallel for schedule(dynamic, 1) num_threads(n_threads)
    for (int p = 0; p < field->n_passes; p++) {
        const surroundings s = {scenario, canopy, &wind, &work->pass[p]};
        const drupelet_status status = make_pass(&s, work, &field->pass[p], field->node + field->pass[p].first);
        if (status.code != DRUPELET_OK) {
#pragma omp critical
            first = status;
        }
    }
    if (first.code != DRUPELET_OK) {
        air_field_free(field);
        return first;
    }
    *result = field;
    return base_ok();
}

void air_field_free(air_field *field)
{
    if (!field)
        return;
    free(field->pass);
    free(field->node);
    free(field);
}

air_state air_grid_at(const air_field *field, const air_grid *g, double x_m, double y_m, double z_m)
{
    const double f[3] = {fmin(fmax(z_m / g->dz_m, 0.0), g->nz - 1.000001),
                         fmin(fmax((x_m - g->x_first_m) / g->dx_m, 0.0), g->nx - 1.000001),
                         fmin(fmax((y_m - g->y_first_m) / g->dy_m, 0.0), g->ny - 1.000001)};
    double value[AIR_SIGMA_LEVEL + 1] = {0};
    for (int corner = 0; corner < 8; corner++) {
        double weight = 1.0;
        int64_t index[3];
        for (int d = 0; d < 3; d++) {
            const int bit = corner >> d & 1;
            index[d] = (int64_t)floor(f[d]) + bit;
            weight *= bit ? f[d] - floor(f[d]) : 1.0 - (f[d] - floor(f[d]));
        }
        const float *n = field->node + g->first + AIR_VALUES * ((index[0] * g->nx + index[1]) * g->ny + index[2]);
        for (int c = 0; c <= AIR_SIGMA_LEVEL; c++)
            value[c] += weight * (double)n[c];
    }
    return (air_state){value[AIR_U], value[AIR_V], value[AIR_W], value[AIR_SIGMA], value[AIR_RATE],
                       value[AIR_SIGMA_LEVEL]};
}
