/* sim/air/air.h - the air as the droplets feel it: one ambient grid for the whole domain and one grid around the
 * sprayer for each pass, all in one array. The door of the module; the droplet kernel reads nothing else.
 *
 * A grid holds AIR_VALUES numbers a node: velocity over the ground (m/s) along x, along the travel direction, and up;
 * the share of the leaf area there that has given way to it; sigma, the standard deviation of the vertical velocity
 * (m/s); the inverse of its Lagrangian time scale (1/s); and the standard deviation of each level component (m/s),
 * whose time scale is longer by the ratio of the variances. Between nodes all are trilinear. In a pass's grid x is
 * measured from the sprayer's centre line and the second axis from the air outlets, positive in the travel direction:
 * the field is steady in the sprayer's frame. The ambient grid has x of the domain and no change along the rows (two
 * equal layers); its second velocity is along +y. */
#ifndef AIR_AIR_H
#define AIR_AIR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "air/flow_keep.h"
#include "base/hash.h"
#include "drupelet/status.h"
#include "orchard/orchard.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"

/* The kernel reads the first four and the last four of a node as vectors. */
enum { AIR_U, AIR_V, AIR_W, AIR_GIVEN, AIR_SIGMA, AIR_RATE, AIR_SIGMA_LEVEL, AIR_VALUES = 8 };

/** One grid: node (k, i, j) starts at node[first + AIR_VALUES * ((k * nx + i) * ny + j)]; k up, i across, j along. */
typedef struct {
    int64_t first;
    int nx, ny, nz;
    double x_first_m, y_first_m, dx_m, dy_m, dz_m; /* z starts at 0, the ground */
    /* after n_before steps of dx_m come n_fine steps of fine_m, then such of dx_m again; 0, 0: all steps are dx_m */
    int n_before, n_fine;
    double fine_m;
} air_grid;

static inline double air_grid_x_m(const air_grid *g, int i)
{
    const int before = i < g->n_before ? i : g->n_before, fine = i - before < g->n_fine ? i - before : g->n_fine;
    return g->x_first_m + fine * g->fine_m + (i - fine) * g->dx_m;
}

/** From a node to the next. */
static inline double air_grid_step_m(const air_grid *g, int i)
{
    return i >= g->n_before && i < g->n_before + g->n_fine ? g->fine_m : g->dx_m;
}

typedef struct {
    float *node;
    int64_t n_floats;
    int n_passes;
    air_grid *pass;   /* [n_passes], in the order of sprayer_work.pass */
    air_grid ambient;
    int n_flows;                         /* around the sprayer that were solved for */
    int flow_of_pass[SCENARIO_ROWS + 1]; /* which of them serves a pass; -1: none */
    double fan_unsure; /* of the flow that wanders most (air_fan_flow.unsure); 0: none does */
} air_field;

/** Builds the air of a scenario. The caller ends it with air_field_free(). Uses up to n_threads threads; the numbers do
 * not depend on it.
 *  @param store where computed winds are kept; NULL: they are not kept. The numbers do not depend on it either */
drupelet_status air_field_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                 const sprayer_work *work, const air_flow_store *store, int n_threads,
                                 air_field **field);
/** The same by tasks, for the threads of the team of the caller, its first thread. While wind or fan air are solved for
 * and before passes of that thread it asks whether to go on, and ends with DRUPELET_STOPPED if not. */
drupelet_status air_field_create_watched(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                         const sprayer_work *work, const air_flow_store *store, air_watch watch,
                                         air_field **field);
void air_field_free(air_field *field); /* NULL is allowed */

/** What a grid says at a place; the place is held inside the grid. */
typedef struct { double u_m_s, v_m_s, w_m_s, sigma_m_s, rate_1_s, sigma_level_m_s; } air_state;
air_state air_grid_at(const air_field *field, const air_grid *grid, double x_m, double y_m, double z_m);

/** Hash of all that makes the air of a scenario: where two scenarios have one key, they have the same air. */
base_hash air_key(const drupelet_scenario *scenario);

#endif
