/* sim/air/field.c - puts wind and fan air together: the ambient grid, and around the sprayer one grid a pass. Fan air
 * is jets by integral laws (outlets.c), or a flow that was solved for (fan_air.c).
 *
 * The pass's grid is made free of divergence, so that the air which the jets entrain flows towards them. What the fan
 * blows out it takes in close to its outlets: air, and droplets with it, pass through the machine. A sink apart from
 * the outlets would hold droplets fast. Turbulence: the jets' and the wind's variances add, and so do their
 * dissipations (C0 eps = 2 sigma^2 / TL, C0 = 3.1: J. D. Wilson, B. L. Sawford, Boundary-Layer Meteorol. 78 (1996) 191;
 * memory). Inside a row leaves turn the jet's motion into fine turbulence and break up the coarse: its k goes towards
 * U^2 / 6.51 at the rate 6.51 Cd a U (C. Sanz, Boundary-Layer Meteorol. 108 (2003) 191, constants for alpha = 0.05;
 * memory). */
#include "air/air.h"

#include <math.h>
#include <omp.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include "air/ambient.h"
#include "air/excess.h"
#include "air/fan_air.h"
#include "air/foliage.h"
#include "air/jet.h"
#include "air/outlets.h"
#include "air/passing_jet.h"
#include "air/projection.h"
#include "air/spray_air.h"
#include "base/machine.h"
#include "base/status.h"

#define CANOPY_DISSIPATION 6.51
/* Choices: how far the grid of a pass reaches, unless strong jets go farther (outlets.c), and over which border they
 * fade into the ambient. */
#define ACROSS_M 6.0 /* or two rows, where that is more */
#define BEHIND_M 5.0
#define AHEAD_M 2.5
#define ABOVE_CANOPY_M 3.0
#define FADE_M 1.0
#define ALONG_CELLS 0.5 /* size of cells along the travel, in those across */
#define AMBIENT_STEP_M 1.0
#define AMBIENT_HEIGHT_STEP_M 0.1
#define AMBIENT_FINE_STEP_M 0.25   /* where the wind shows each row: */
#define AMBIENT_FINE_AROUND_M 20.0 /* so far around the block */

/* What the jets of a pass need to know of the air and the trees around them. */
typedef struct {
    const drupelet_scenario *scenario;
    const orchard_canopy *canopy;
    air_yielding yielding;
    const air_ambient *ambient;
    const sprayer_pass *pass;
} surroundings;

static bool leaves_yield(const air_yielding *yielding)
{
    return yielding->half_exponent < 0.0;
}

static air_foliage foliage_at(const surroundings *s, double x_m, double z_m)
{
    return air_foliage_at(s->canopy, leaves_yield(&s->yielding), x_m, z_m);
}

static air_jet_surroundings look(const void *where, double x_m, double z_m)
{
    const surroundings *s = where;
    const double x_ground_m = x_m + s->pass->x_m;
    double u_m_s, v_m_s;
    air_ambient_level_wind(s->ambient, x_ground_m, z_m, &u_m_s, &v_m_s);
    const double passing_m_s = s->scenario->sprayer.travel_speed_m_s;
    const air_foliage here = foliage_at(s, x_ground_m, z_m);
    return (air_jet_surroundings){.u_m_s = u_m_s,
                                  .v_m_s = s->pass->heading * v_m_s - passing_m_s,
                                  .drag_1_m = here.stiff_1_m,
                                  .leaf_drag_1_m = here.leaf_1_m,
                                  .yielding = &s->yielding,
                                  .passing_m_s = passing_m_s};
}

static float fade(double from_border_m)
{
    const double t = fmin(fmax(from_border_m / FADE_M, 0.0), 1.0);
    return (float)(t * t * (3.0 - 2.0 * t));
}

/* Lets what was added to the ambient die out before the grid's open faces. @param along [ny], room */
BASE_WIDEST static void fade_out(const air_grid *g, air_excess *e, float *restrict along)
{
    float *const values[] = {e->u_m_s, e->v_m_s, e->w_m_s, e->variance_m2_s2, e->dissipation_m2_s3,
                             e->level_more_m2_s2};
    const size_t n_values = sizeof values / sizeof values[0] - (e->level_more_m2_s2 ? 0 : 1);
    for (int j = 0; j < g->ny; j++)
        along[j] = fade(fmin(j, g->ny - 1 - j) * g->dy_m);
    for (int k = 0; k < g->nz; k++)
        for (int i = 0; i < g->nx; i++) {
            const float of_row = fade(fmin(i, g->nx - 1 - i) * g->dx_m) * fade((g->nz - 1 - k) * g->dz_m);
            for (size_t c = 0; c < n_values; c++) {
                float *restrict row = values[c] + air_node(g, k, i, 0);
                for (int j = 0; j < g->ny; j++)
                    row[j] *= of_row * along[j];
            }
            if (k == 0)
                memset(e->w_m_s + air_node(g, k, i, 0), 0, (size_t)g->ny * sizeof *e->w_m_s);
        }
}

/* Steps to either side of node i of a grid. @param middle_m x of the grid's own 0 */
static air_ambient_place place_of(const air_grid *g, double middle_m, int i)
{
    return (air_ambient_place){middle_m + air_grid_x_m(g, i), air_grid_step_m(g, i > 0 ? i - 1 : 0),
                               air_grid_step_m(g, i + 1 < g->nx ? i : g->nx - 2)};
}

/* The wind on the nodes of a grid, [nz][nx], to be freed. @param middle_m x of the grid's own 0 */
static drupelet_status ambient_of(const air_ambient *ambient, const air_grid *g, double middle_m,
                                  air_ambient_state **result)
{
    air_ambient_state *state = malloc((size_t)g->nz * (size_t)g->nx * sizeof *state);
    air_ambient_place *place = malloc((size_t)g->nx * sizeof *place);
    for (int i = 0; place && i < g->nx; i++)
        place[i] = place_of(g, middle_m, i);
    const drupelet_status status = state && place
                                       ? air_ambient_fill(ambient, g->nx, place, g->nz, g->dz_m, state)
                                       : base_error(DRUPELET_MEMORY, "no memory for the wind");
    free(place);
    if (status.code != DRUPELET_OK) {
        free(state);
        state = NULL;
    }
    *result = state;
    return status;
}

/* What the leaves of a row of nodes make of the turbulence of jets by integral laws.
 * @param given [n] share of them that has given way */
BASE_WIDEST static void meet_leaves(air_foliage f, int n, const float *restrict given, const float *restrict u,
                                    const float *restrict v, const float *restrict w, float *restrict variance,
                                    float *restrict dissipation)
{
    const float all_1_m = (float)(CANOPY_DISSIPATION * (f.leaf_1_m + f.stiff_1_m));
    const float leaf_1_m = (float)(CANOPY_DISSIPATION * f.leaf_1_m), per = (float)(1.0 / CANOPY_DISSIPATION);
#pragma omp simd
    for (int j = 0; j < n; j++) {
        const float jet2 = u[j] * u[j] + v[j] * v[j] + w[j] * w[j], energy = 1.5f * variance[j];
        const float own = energy > 0.0f ? dissipation[j] / energy : 0.0f;
        const float leaves = (all_1_m - leaf_1_m * given[j]) * sqrtf(jet2);
        const float both = own + leaves;
        const float mixed = both > 0.0f ? (dissipation[j] + jet2 * per * leaves) / both : 0.0f;
        variance[j] = energy > 0.0f ? mixed / 1.5f : variance[j];
        dissipation[j] = energy > 0.0f ? mixed * both : dissipation[j];
    }
}

/* The wind around a row of nodes. */
typedef struct { float u_m_s, v_m_s, w_m_s, variance_m2_s2, variance_level_m2_s2, rate_m2_s3; } ambient_row;

/* Numbers of many nodes are worked out by vector code, each in a row of its own, and then put together node by node. */
enum { TOGETHER = 128 };
typedef float of_four __attribute__((vector_size(16)));

/* Takes four numbers of four nodes from four rows. */
static inline void turn_four(float (*row)[TOGETHER], int j, float *node)
{
    of_four a, b, c, d, of_node[4];
    memcpy(&a, row[0] + j, sizeof a);
    memcpy(&b, row[1] + j, sizeof b);
    memcpy(&c, row[2] + j, sizeof c);
    memcpy(&d, row[3] + j, sizeof d);
    const of_four ab = __builtin_shufflevector(a, b, 0, 4, 1, 5), cd = __builtin_shufflevector(c, d, 0, 4, 1, 5);
    const of_four ab_high = __builtin_shufflevector(a, b, 2, 6, 3, 7);
    const of_four cd_high = __builtin_shufflevector(c, d, 2, 6, 3, 7);
    of_node[0] = __builtin_shufflevector(ab, cd, 0, 1, 4, 5);
    of_node[1] = __builtin_shufflevector(ab, cd, 2, 3, 6, 7);
    of_node[2] = __builtin_shufflevector(ab_high, cd_high, 0, 1, 4, 5);
    of_node[3] = __builtin_shufflevector(ab_high, cd_high, 2, 3, 6, 7);
    for (int n = 0; n < 4; n++)
        memcpy(node + n * AIR_VALUES, &of_node[n], sizeof of_node[n]);
}

BASE_WIDEST static void put_row(const ambient_row *wind, int n_all, const float *restrict u, const float *restrict v,
                                const float *restrict w, const float *restrict given, const float *restrict variance,
                                const float *restrict level_more, const float *restrict dissipation,
                                float *restrict node)
{
    float value[AIR_VALUES][TOGETHER] = {{0.0f}};
    const ambient_row a = *wind;
    for (int first = 0; first < n_all; first += TOGETHER) {
        const int n = n_all - first < TOGETHER ? n_all - first : TOGETHER;
#pragma omp simd
        for (int j = 0; j < n; j++) {
            const float total = a.variance_m2_s2 + variance[first + j];
            value[AIR_U][j] = u[first + j] + a.u_m_s;
            value[AIR_V][j] = v[first + j] + a.v_m_s;
            value[AIR_W][j] = w[first + j] + a.w_m_s;
            value[AIR_GIVEN][j] = given[first + j];
            value[AIR_SIGMA][j] = sqrtf(total);
            value[AIR_RATE][j] = (a.rate_m2_s3 + (float)(0.5 * AIR_KOLMOGOROV_C0) * dissipation[first + j]) / total;
            value[AIR_SIGMA_LEVEL][j] = sqrtf(a.variance_level_m2_s2 + variance[first + j] + level_more[first + j]);
        }
        int j = 0;
        for (; j + 4 <= n; j += 4, node += 4 * AIR_VALUES) {
            turn_four(value, j, node);
            turn_four(value + 4, j, node + 4);
        }
        for (; j < n; j++, node += AIR_VALUES)
            for (int c = 0; c < AIR_VALUES; c++)
                node[c] = value[c][j];
    }
}

/* Do droplets that meet leaves read a node here? */
static bool near_leaves(const surroundings *s, const air_grid *g, double x_m, double z_m)
{
    const orchard_canopy *c = s->canopy;
    const double row = fmin(fmax(floor(-x_m / c->row_spacing_m + 0.5), 0.0), c->n_rows - 1.0);
    return fabs(x_m + row * c->row_spacing_m) < c->half_width_m + g->dx_m && z_m < c->nz * c->edge_m + g->dz_m;
}

/* Turns excess and jet turbulence into the air over the ground, and clears them, layer by layer while the processor
 * has them at hand. */
static drupelet_status add_ambient(const surroundings *s, bool solved, const air_grid *g, air_excess *e, float *node)
{
    air_ambient_state *ambient = NULL;
    drupelet_status status = ambient_of(s->ambient, g, s->pass->x_m, &ambient);
    float *given = calloc(2 * (size_t)g->ny, sizeof *given), *no_more = given + g->ny;
    if (status.code == DRUPELET_OK && !given) status = base_error(DRUPELET_MEMORY, "no memory for the fan air");
    const int n_layers = status.code == DRUPELET_OK ? g->nz : 0;
    const double travel_m_s = s->scenario->sprayer.travel_speed_m_s,
                 step_s = travel_m_s > 0.0 ? g->dy_m / travel_m_s : INFINITY;
    const air_ambient_state *wind = ambient;
    for (int k = 0; k < n_layers; k++) {
        for (int i = 0; i < g->nx; i++, wind++) {
            const ambient_row around = {
                .u_m_s = (float)wind->u_m_s,
                .v_m_s = (float)(s->pass->heading * wind->v_m_s),
                .w_m_s = (float)wind->w_m_s,
                .variance_m2_s2 = (float)(wind->sigma_m_s * wind->sigma_m_s),
                .variance_level_m2_s2 = (float)(wind->sigma_level_m_s * wind->sigma_level_m_s),
                .rate_m2_s3 = (float)(wind->sigma_m_s * wind->sigma_m_s / wind->time_scale_s)};
            const double x_m = s->pass->x_m + air_grid_x_m(g, i);
            const air_foliage here = foliage_at(s, x_m, k * g->dz_m);
            const size_t first = air_node(g, k, i, 0);
            const float *u = e->u_m_s + first, *v = e->v_m_s + first, *w = e->w_m_s + first;
            float *jet_variance = e->variance_m2_s2 + first, *dissipation = e->dissipation_m2_s3 + first;
            if (leaves_yield(&s->yielding) && near_leaves(s, g, x_m, k * g->dz_m))
                air_given_in_row(&s->yielding, (const float[3]){around.u_m_s, around.v_m_s, around.w_m_s}, step_s,
                                 g->ny, u, v, w, given);
            else
                memset(given, 0, (size_t)g->ny * sizeof *given);
            if (!solved && here.leaf_1_m + here.stiff_1_m > 0.0) /* the equations know the leaves */
                meet_leaves(here, g->ny, given, u, v, w, jet_variance, dissipation);
            put_row(&around, g->ny, u, v, w, given, jet_variance,
                    e->level_more_m2_s2 ? e->level_more_m2_s2 + first : no_more, dissipation,
                    node + AIR_VALUES * first);
        }
        air_excess_clear(e, air_node(g, k, 0, 0), air_node(g, 1, 0, 0));
    }
    free(given);
    free(ambient);
    return status;
}

/* What the passes share. */
typedef struct {
    const drupelet_scenario *scenario;
    const orchard_canopy *canopy;
    const air_ambient *ambient;
    const sprayer_work *work;
    const air_projection *projection;
    const air_fans *fans; /* NULL: jets by integral laws */
} common;

/* @param e all 0, and again so in the end */
static drupelet_status make_pass(const common *c, int p, const air_grid *g, air_excess *e, float *node)
{
    const surroundings s = {c->scenario, c->canopy, air_yielding_of(&c->scenario->canopy), c->ambient,
                            &c->work->pass[p]};
    drupelet_status status = base_ok();
    if (c->fans) {
        if (!e->level_more_m2_s2) status = air_excess_with_level(e);
        if (status.code == DRUPELET_OK) status = air_fans_add(c->fans, p, g, e);
    } else {
        status = air_outlets_add(c->scenario, c->work, s.pass, look, &s, g, e);
        if (status.code == DRUPELET_OK) air_momentum_to_velocity(e, 0, e->n_nodes);
    }
    if (status.code == DRUPELET_OK) {
        if (c->scenario->run.spray_air) status = air_spray_add(c->scenario, c->work, s.pass, look, &s, g, e);
    }
    if (status.code == DRUPELET_OK) {
        fade_out(g, e, e->room);
        air_project(c->projection, e);
        status = add_ambient(&s, c->fans != NULL, g, e, node);
    }
    return status;
}

/* Wind over the whole domain. */
static drupelet_status make_ambient(const air_ambient *ambient, const air_yielding *yielding, const air_grid *g,
                                    float *node)
{
    air_ambient_state *state = NULL;
    const drupelet_status status = ambient_of(ambient, g, 0.0, &state);
    if (status.code != DRUPELET_OK) return status;
    const air_ambient_state *wind = state;
    for (int k = 0; k < g->nz; k++)
        for (int i = 0; i < g->nx; i++, wind++) {
            const double speed_m_s =
                sqrt(wind->u_m_s * wind->u_m_s + wind->v_m_s * wind->v_m_s + wind->w_m_s * wind->w_m_s);
            const float here[AIR_VALUES] = {
                [AIR_GIVEN] = leaves_yield(yielding)
                                  ? (float)(1.0 - air_standing_share(yielding, yielding->of_wind * speed_m_s))
                                  : 0.0f,
                [AIR_U] = (float)wind->u_m_s,
                [AIR_V] = (float)wind->v_m_s,
                [AIR_W] = (float)wind->w_m_s,
                [AIR_SIGMA] = (float)wind->sigma_m_s,
                [AIR_RATE] = (float)(1.0 / wind->time_scale_s),
                [AIR_SIGMA_LEVEL] = (float)wind->sigma_level_m_s};
            for (int j = 0; j < g->ny; j++)
                memcpy(node + AIR_VALUES * air_node(g, k, i, j), here, sizeof here);
        }
    free(state);
    return base_ok();
}

/* The grids of all passes have one shape. */
static air_reach reach_of(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                          const air_ambient *ambient, const sprayer_work *work, const air_fans *fans)
{
    air_reach reach = {fmax(2.0 * scenario->orchard.row_spacing_m, ACROSS_M), BEHIND_M, AHEAD_M};
    if (fans) {
        const double along_m = ALONG_CELLS * scenario->run.air_cell_m; /* a line of nodes at the outlets */
        air_fans_widen(fans, FADE_M, &reach);
        reach.behind_m = along_m * ceil(reach.behind_m / along_m);
        return reach;
    }
#pragma omp taskgroup
    for (int p = 0; p < work->n_passes; p++)
#pragma omp task shared(reach)
    {
        const surroundings s = {scenario, canopy, air_yielding_of(&scenario->canopy), ambient, &work->pass[p]};
        air_reach own = {0.0, 0.0, 0.0};
        air_outlets_widen(scenario, work, s.pass, look, &s, FADE_M, &own);
#pragma omp critical
        reach = (air_reach){fmax(reach.across_m, own.across_m), fmax(reach.behind_m, own.behind_m),
                            fmax(reach.ahead_m, own.ahead_m)};
    }
    return reach;
}

/* Wind that was solved for shows rows and alleys, and what lies close behind them. */
static void refine(double low_m, double high_m, air_grid *a)
{
    const int per_step = (int)lround(a->dx_m / AMBIENT_FINE_STEP_M);
    a->fine_m = a->dx_m / per_step;
    a->n_before = (int)floor((low_m - AMBIENT_FINE_AROUND_M - a->x_first_m) / a->dx_m);
    const int last = (int)ceil((high_m + AMBIENT_FINE_AROUND_M - a->x_first_m) / a->dx_m);
    a->n_fine = (last - a->n_before) * per_step;
    a->nx += a->n_fine - (last - a->n_before);
}

static void shape_grids(const drupelet_scenario *scenario, air_reach reach, air_field *field)
{
    const scenario_run *run = &scenario->run;
    const double low_m = scenario_low_edge_x_m(&scenario->orchard), high_m = scenario_high_edge_x_m(&scenario->orchard);
    int64_t next = 0;
    air_grid *a = &field->ambient;
    *a = (air_grid){.dx_m = AMBIENT_STEP_M, .dy_m = 1.0, .dz_m = AMBIENT_HEIGHT_STEP_M, .ny = 2};
    a->x_first_m = low_m - run->open_ground_m;
    a->nx = (int)ceil((high_m - low_m + 2.0 * run->open_ground_m) / a->dx_m) + 1;
    if (run->computed_wind) refine(low_m, high_m, a);
    a->nz = (int)ceil(run->domain_top_m / a->dz_m) + 1;
    next += (int64_t)AIR_VALUES * a->nx * a->ny * a->nz;

    const double cell_m = run->air_cell_m;
    air_grid g = {.dx_m = cell_m, .dy_m = ALONG_CELLS * cell_m, .dz_m = cell_m};
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

/* Every pass is a task, and so is the ambient; a thread works in room of its own. The first one asks whether to go on.
 */
static drupelet_status make_all(const common *c, air_watch watch, air_field *field)
{
    const int n_threads = omp_get_num_threads();
    drupelet_status first = base_ok();
    _Atomic int stop = 0;
    air_excess *excess = calloc((size_t)n_threads, sizeof *excess);
    if (!excess)
        return base_error(DRUPELET_MEMORY, "no memory for the fan air");
#pragma omp taskgroup
    for (int p = 0; p <= field->n_passes; p++) {
#pragma omp task firstprivate(p) shared(first, stop)
        {
            drupelet_status status = base_ok();
            air_excess *own = &excess[omp_get_thread_num()];
            if (p == field->n_passes) { /* the shortest piece last */
                const air_yielding yielding = air_yielding_of(&c->scenario->canopy);
                status = make_ambient(c->ambient, &yielding, &field->ambient, field->node + field->ambient.first);
            } else {
                if (watch.go_on && omp_get_thread_num() == 0 && !atomic_load(&stop) && !watch.go_on(0.0, watch.user))
                    atomic_store(&stop, 1);
                if (own->n_nodes == 0)
                    status = air_excess_create(&field->pass[0], air_projection_room(c->projection), own);
                if (status.code == DRUPELET_OK && !atomic_load(&stop))
                    status = make_pass(c, p, &field->pass[p], own, field->node + field->pass[p].first);
            }
            if (status.code != DRUPELET_OK) {
#pragma omp critical
                first = status;
            }
        }
    }
    for (int t = 0; t < n_threads; t++)
        air_excess_free(&excess[t]);
    free(excess);
    if (first.code == DRUPELET_OK && atomic_load(&stop))
        first = base_error(DRUPELET_STOPPED, "stopped before the end; no result was kept");
    return first;
}

static drupelet_status fill_field(common *c, air_watch watch, air_field *field)
{
    air_projection *projection = NULL;
    drupelet_status status = air_projection_create(&field->pass[0], &projection);
    if (status.code == DRUPELET_OK) {
        c->projection = projection;
        status = make_all(c, watch, field);
    }
    air_projection_free(projection);
    return status;
}

drupelet_status air_field_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                 const sprayer_work *work, const air_flow_store *store, int n_threads,
                                 air_field **result)
{
    drupelet_status status = base_ok();
#pragma omp parallel num_threads(n_threads)
#pragma omp master
    status = air_field_create_watched(scenario, canopy, work, store, (air_watch){NULL, NULL}, result);
    return status;
}

/* @param field its passes have room; grids and nodes are made here */
static drupelet_status make_field(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                  const sprayer_work *work, const air_ambient *ambient, const air_fans *fans,
                                  air_watch watch, air_field *field)
{
    shape_grids(scenario, reach_of(scenario, canopy, ambient, work, fans), field);
    const double size_GB = 1e-9 * sizeof *field->node * (double)field->n_floats;
    if (field->n_floats > INT32_MAX) /* the kernel counts floats in 32 bits */
        return base_error(DRUPELET_SCENARIO, "run.air_cell: too fine for this orchard: the air would need %.1f GB",
                          size_GB);
    field->node = base_large_alloc((size_t)field->n_floats * sizeof *field->node);
    common c = {.scenario = scenario, .canopy = canopy, .ambient = ambient, .work = work, .fans = fans};
    return field->node ? fill_field(&c, watch, field)
                       : base_error(DRUPELET_MEMORY, "no memory for the air: %.3g MB are needed", 1e3 * size_GB);
}

drupelet_status air_field_create_watched(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                         const sprayer_work *work, const air_flow_store *store, air_watch watch,
                                         air_field **result)
{
    *result = NULL;
    air_field *field = calloc(1, sizeof *field);
    air_grid *pass = calloc((size_t)work->n_passes, sizeof *pass);
    if (!field || !pass) {
        free(pass);
        free(field);
        return base_error(DRUPELET_MEMORY, "no memory for the air");
    }
    field->n_passes = work->n_passes;
    field->pass = pass;
    air_ambient *ambient = NULL;
    drupelet_status status = air_ambient_create(scenario, canopy, store, watch, &ambient);
    air_fans *fans = NULL;
    if (status.code == DRUPELET_OK && scenario->run.resolved_fan_air)
        status = air_fans_create(scenario, canopy, ambient, work, store, omp_get_num_threads(), watch, &fans);
    field->n_flows = fans ? air_fans_sharing(fans)->n_flows : 0;
    for (int p = 0; p < work->n_passes; p++)
        field->flow_of_pass[p] = fans ? air_fans_sharing(fans)->flow_of_pass[p] : -1;
    field->fan_unsure = fans ? air_fans_unsure(fans) : 0.0;
    if (status.code == DRUPELET_OK) status = make_field(scenario, canopy, work, ambient, fans, watch, field);
    air_fans_free(fans);
    air_ambient_free(ambient);
    if (status.code == DRUPELET_OK)
        *result = field;
    else
        air_field_free(field);
    return status;
}

void air_field_free(air_field *field)
{
    if (!field)
        return;
    free(field->pass);
    free(field->node);
    free(field);
}

/* Node numbers, whole and in between, rise with x by straight lines. */
static double index_across(const air_grid *g, double x_m)
{
    const double from_first_m = x_m - g->x_first_m, fine_from_m = g->n_before * g->dx_m;
    const double fine_to_m = fine_from_m + g->n_fine * g->fine_m;
    const double fine = g->n_fine > 0 ? fmin(fmax((from_first_m - fine_from_m) / g->fine_m, 0.0), g->n_fine) : 0.0;
    return fmin(from_first_m / g->dx_m, g->n_before) + fine + fmax((from_first_m - fine_to_m) / g->dx_m, 0.0);
}

air_state air_grid_at(const air_field *field, const air_grid *g, double x_m, double y_m, double z_m)
{
    const double f[3] = {fmin(fmax(z_m / g->dz_m, 0.0), g->nz - 1.000001),
                         fmin(fmax(index_across(g, x_m), 0.0), g->nx - 1.000001),
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
