/* sim/run/wind_section.c - the wind across the rows as droplets meet it apart from the fan's air, for a result that is
 * to keep it: nodes of the ambient grid, all of them in and near the block, fewer far from it and high up. */
#include "run/wind_section.h"

#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"

/* Choices: what a picture or a reader of the file needs, at 0.8 MB before compression. */
enum { MOST_ACROSS = 400, MOST_UP = 80 };
#define NEAR_BEFORE_HEIGHTS 3.0 /* from the block upwind and downwind where all nodes are kept, canopy heights */
#define NEAR_BEHIND_HEIGHTS 8.0
#define GROWTH_ACROSS 0.05 /* of the spacing, over the distance from there */
#define GROWTH_UP 0.05     /* over the height */

/* Where all nodes are kept, and how the spacing grows outside. */
typedef struct {
    double low, high, growth;
} closeness;

/* Picks nodes of an axis, each at least spread times the wanted spacing behind the one before; both ends are kept.
 * @param picked NULL: they are only counted  @return how many */
static int pick(int n, const double *at_m, closeness near, double spread, int *picked)
{
    int n_picked = 0;
    for (int i = 0; i < n;) {
        if (picked) picked[n_picked] = i;
        n_picked++;
        if (i == n - 1) break;
        const double away_m = fmax(fmax(near.low - at_m[i], at_m[i] - near.high), 0.0);
        const double wanted_m = spread * fmax(at_m[i + 1] - at_m[i], near.growth * away_m);
        const int from = i++;
        while (i < n - 1 && at_m[i + 1] - at_m[from] <= wanted_m * (1.0 + 1e-9))
            i++;
    }
    return n_picked;
}

/* The nodes of an axis, to be freed; NULL without memory. */
static int *pick_at_most(int most, int n, const double *at_m, closeness near, int *n_picked)
{
    double spread = 1.0;
    while ((*n_picked = pick(n, at_m, near, spread, NULL)) > most)
        spread *= 1.1;
    int *picked = malloc((size_t)*n_picked * sizeof *picked);
    if (picked) pick(n, at_m, near, spread, picked);
    return picked;
}

/* Where all nodes of the ambient grid are: across, then up. To be freed; NULL without memory. */
static double *places_of(const air_grid *g)
{
    double *at_m = malloc(((size_t)g->nx + (size_t)g->nz) * sizeof *at_m);
    for (int i = 0; at_m && i < g->nx; i++)
        at_m[i] = air_grid_x_m(g, i);
    for (int k = 0; at_m && k < g->nz; k++)
        at_m[g->nx + k] = k * g->dz_m;
    return at_m;
}

static bool make_room(run_wind_section *s)
{
    const size_t n = (size_t)s->nx * (size_t)s->nz;
    bool there = (s->x_m = malloc((size_t)s->nx * sizeof *s->x_m)) && (s->z_m = malloc((size_t)s->nz * sizeof *s->z_m));
    for (int v = 0; v < RUN_WIND_VALUES; v++)
        there = (s->value[v] = malloc(n * sizeof *s->value[v])) && there;
    return there;
}

static void copy(const air_field *field, const double *at_m, const int *across, const int *up, run_wind_section *s)
{
    const air_grid *g = &field->ambient;
    for (int i = 0; i < s->nx; i++)
        s->x_m[i] = at_m[across[i]];
    for (int k = 0; k < s->nz; k++) {
        s->z_m[k] = at_m[g->nx + up[k]];
        for (int i = 0; i < s->nx; i++) {
            const int64_t node = ((int64_t)up[k] * g->nx + across[i]) * g->ny;
            const float *air = field->node + g->first + AIR_VALUES * node;
            const size_t to = (size_t)k * (size_t)s->nx + (size_t)i;
            s->value[RUN_WIND_ACROSS][to] = air[AIR_U];
            s->value[RUN_WIND_ALONG][to] = air[AIR_V];
            s->value[RUN_WIND_UP][to] = air[AIR_W];
            s->value[RUN_WIND_SIGMA_UP][to] = air[AIR_SIGMA];
            s->value[RUN_WIND_SIGMA_LEVEL][to] = air[AIR_SIGMA_LEVEL];
            s->value[RUN_WIND_TIME_SCALE][to] = 1.0f / air[AIR_RATE];
        }
    }
}

drupelet_status run_wind_section_make(const drupelet_scenario *scenario, const air_field *field, run_wind_section *s)
{
    const air_grid *g = &field->ambient;
    const double height_m = scenario->canopy.height_m;
    const bool falling = base_cos(scenario->weather.wind_angle_rad) < 0.0; /* the wind blows towards -x */
    const double low_heights = falling ? NEAR_BEHIND_HEIGHTS : NEAR_BEFORE_HEIGHTS;
    const double high_heights = falling ? NEAR_BEFORE_HEIGHTS : NEAR_BEHIND_HEIGHTS;
    const closeness block = {scenario_low_edge_x_m(&scenario->orchard) - low_heights * height_m,
                             scenario_high_edge_x_m(&scenario->orchard) + high_heights * height_m, GROWTH_ACROSS};
    const closeness ground = {0.0, 0.0, GROWTH_UP};
    int *across = NULL, *up = NULL;
    double *at_m = places_of(g);
    if (at_m) {
        across = pick_at_most(MOST_ACROSS, g->nx, at_m, block, &s->nx);
        up = pick_at_most(MOST_UP, g->nz, at_m + g->nx, ground, &s->nz);
    }
    const bool done = across && up && make_room(s);
    if (done) copy(field, at_m, across, up, s);
    free(at_m);
    free(across);
    free(up);
    if (done) return base_ok();
    run_wind_section_drop(s);
    return base_error(DRUPELET_MEMORY, "no memory for the wind of the result");
}

void run_wind_section_drop(run_wind_section *s)
{
    free(s->x_m);
    free(s->z_m);
    for (int v = 0; v < RUN_WIND_VALUES; v++)
        free(s->value[v]);
    *s = (run_wind_section){0};
}
