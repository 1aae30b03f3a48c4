/* sim/run/runoff.c - run-off: leaves and wood keep what they can hold, the rest lies on the ground below.
 *
 * The layer of liquid on a cell's leaves as it arrived (water that evaporated in flight is gone, water that evaporates
 * from the leaf between two passes is not), over the retention, gives the share that drips (droplet/retention.c). A
 * cell's mean layer is known from few droplets, and its noise alone would make leaves drip. So a noisy cell's layer is
 * drawn towards the mean of its row, third and side, by how the noise compares with the variation of leaves. The
 * variance of the noise that is left, known from the batches, is taken off that of the leaves, since both act on the
 * loss in the same way.
 *
 * A cell's leaves lose the same share of everything. By size of droplet a batch loses in proportion to what its leaves
 * hold (simplification: the mix of sizes of single cells is not kept). Wood drips by the same law, with a retention of
 * its own, over half of its surface. Left out: leaves below that catch drips, liquid that runs down a branch to the
 * trunk. */
#include "run/run.h"

#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "tally/leaves.h"
#include "tally/unlike.h"

/* Of what the pieces of wood of a place get: standard deviation over the mean, as of leaves in a region of a peach tree
 * (tests/data/leaf_retention.csv, twice the mean for 95 %); choice. */
#define WOOD_VARIATION 0.35

drupelet_status run_leaves_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                  const sprayer_work *work, tally *accounts)
{
    const orchard_canopy *o = canopy;
    const double voxel_m3 = o->edge_m * o->edge_m * o->edge_y_m;
    drupelet_status status = tally_leaves_create(o->n_rows, o->nz, o->ny, o->nx, &accounts->leaves);
    if (status.code != DRUPELET_OK) return status;
    tally_leaves *l = accounts->leaves;
    for (int64_t v = 0; v < orchard_voxels(o); v++) {
        const int64_t layer = v / ((int64_t)o->nx * o->ny); /* row and height */
        l->area_m2[layer * o->nx + v % o->nx] += (double)o->leaf_area_density_1_m[v] * voxel_m3;
        l->wood_area_m2[layer * o->nx + v % o->nx] += (double)o->wood_area_density_1_m[v] * voxel_m3;
    }
    for (int iz = 0; iz < o->nz; iz++)
        l->third[iz] = tally_third((iz + 0.5) * o->edge_m, scenario->canopy.base_m, scenario->canopy.height_m);
    l->emitted_m3 = work->emitted_per_length_m2 * o->period_m;
    l->nonvolatile = scenario->liquid.nonvolatile;
    l->treated_m2 = work->treated_width_m * o->period_m;
    return status;
}

/* ---- what drips from a cell ---- */

/* What drips: leaves or wood. */
typedef struct {
    tally *accounts;
    tally_fate target; /* TALLY_LEAF or TALLY_WOOD */
    const double *area_m2;
    double retention_m;
} surface;

/* Active ingredient and liquid of a batch on a cell's leaves or wood. */
typedef struct {
    int64_t active, liquid;
} load;
static load load_of(const surface *s, int b, int64_t i_cell)
{
    const tally_leaves *l = s->accounts->leaves;
    const int64_t at = b * tally_leaves_cells(l) + i_cell;
    const tally_cell *c = &l->cell[at];
    return s->target == TALLY_WOOD ? (load){l->wood[at].active, l->wood[at].liquid}
                                   : (load){c->active[0] + c->active[1], c->liquid[0] + c->liquid[1]};
}

/* Liquid of all batches on a cell, and its standard error over itself (0 where there is none). */
static double liquid_of(const surface *s, int64_t i_cell, double *noise)
{
    double liquid[TALLY_BATCHES];
    for (int b = 0; b < TALLY_BATCHES; b++)
        liquid[b] = (double)load_of(s, b, i_cell).liquid;
    const tally_estimate e = tally_share_of(s->accounts, liquid);
    *noise = e.share > 0.0 ? e.error / e.share : 0.0;
    return e.share;
}

static int64_t region_of(const tally_leaves *l, int64_t i_cell)
{
    const int ix = (int)(i_cell % l->nx), iz = (int)(i_cell / l->nx % l->nz);
    return (i_cell / ((int64_t)l->nx * l->nz) * TALLY_THIRDS + l->third[iz]) * TALLY_SIDES + tally_leaves_side(l, ix);
}

/* Mean layer of each row, third and side, m. @param layer_m [n_rows * TALLY_THIRDS * TALLY_SIDES], 0 */
static void mean_layers(const surface *s, double *layer_m, double *area_m2)
{
    const tally_leaves *l = s->accounts->leaves;
    double noise;
    for (int64_t i = 0; i < tally_leaves_cells(l); i++) {
        if (!(s->area_m2[i] > 0.0)) continue;
        layer_m[region_of(l, i)] += l->emitted_m3 * liquid_of(s, i, &noise);
        area_m2[region_of(l, i)] += s->area_m2[i];
    }
    for (int64_t k = 0; k < (int64_t)l->n_rows * TALLY_THIRDS * TALLY_SIDES; k++)
        layer_m[k] /= area_m2[k] > 0.0 ? area_m2[k] : 1.0;
}

/* What drips from a cell; marginal: how the amount answers to the cell's own liquid. */
static droplet_runoff loss_of(const surface *s, int64_t i_cell, double region_layer_m)
{
    double noise;
    const tally_leaves *l = s->accounts->leaves;
    const double share = liquid_of(s, i_cell, &noise);
    const tally_unlike *leaves =
        &l->unlike[l->third[i_cell / l->nx % l->nz]][tally_leaves_side(l, (int)(i_cell % l->nx))];
    const double unlike2 =
        s->target == TALLY_WOOD ? WOOD_VARIATION * WOOD_VARIATION : tally_unlike_both(leaves);
    if (!(share > 0.0) || !(s->area_m2[i_cell] > 0.0)) return (droplet_runoff){0.0, 0.0};
    const double own_m = share * s->accounts->leaves->emitted_m3 / s->area_m2[i_cell];
    const double both2 = unlike2 + noise * noise;
    const double trust = both2 > 0.0 ? unlike2 / both2 : 1.0, layer_m = trust * own_m + (1.0 - trust) * region_layer_m;
    const double left = trust * noise * own_m / layer_m; /* noise of the layer that is used */
    droplet_runoff loss = droplet_run_off(layer_m / s->retention_m, sqrt(fmax(unlike2 - left * left, 0.0)));
    /* lost(layer) liquid: its slope by the cell's own layer, which moves the layer by trust */
    loss.marginal = loss.lost + (loss.marginal - loss.lost) * trust * own_m / layer_m;
    return loss;
}

/* Takes whole parts from n places in proportion to what they hold, and may put them somewhere else; exact, and no place
 * goes below 0 as long as they hold enough in all. */
static void deal_out(int64_t take, int64_t n, int64_t stride, int64_t *from, int64_t *to)
{
    double all = 0.0, up_to = 0.0;
    int64_t left = take, given = 0;
    for (int64_t i = 0; i < n; i++)
        all += (double)from[i * stride];
    for (int pass = 0; pass < 2 && left > 0; pass++) /* the second takes what rounding left */
        for (int64_t i = 0; i < n && left > 0; i++) {
            int64_t *place = &from[i * stride];
            up_to += (double)*place;
            int64_t share = pass == 0 ? (int64_t)((double)take * (up_to / all)) - given : left;
            share = share > 0 ? share : 0;
            share = share < *place ? share : *place;
            share = share < left ? share : left;
            *place -= share;
            if (to) to[i * stride] += share;
            given += share;
            left -= share;
        }
}

/* What a batch's leaves of a cell lose leaves their accounts; returns its active ingredient. */
static int64_t off_leaves(tally *a, int b, int64_t i_cell, double lost)
{
    tally_leaves *l = a->leaves;
    tally_cell *c = &l->cell[b * tally_leaves_cells(l) + i_cell];
    int64_t all = 0;
    for (int side = 0; side < 2; side++) {
        const int64_t parts = llround(lost * (double)c->active[side]);
        c->active[side] -= parts;
        c->liquid[side] -= llround(lost * (double)c->liquid[side]);
        a->leaf_side[b][side] -= parts;
        all += parts;
    }
    a->row[(int64_t)b * a->shape.n_rows * TALLY_THIRDS * TALLY_SIDES + region_of(l, i_cell)] -= all;
    l->run_off[b] += all;
    return all;
}

static int64_t off_wood(tally *a, int b, int64_t i_cell, double lost)
{
    tally_leaves *l = a->leaves;
    tally_wood *w = &l->wood[b * tally_leaves_cells(l) + i_cell];
    const int64_t all = llround(lost * (double)w->active);
    w->active -= all;
    w->liquid -= llround(lost * (double)w->liquid);
    l->wood_run_off[b] += all;
    return all;
}

/* What a batch's cell loses moves to the ground below it; returns its active ingredient. */
static int64_t drip(const surface *s, int b, int64_t i_cell, int ground_bin, double lost)
{
    tally *a = s->accounts;
    const double nonvolatile = a->leaves->nonvolatile;
    const load before = load_of(s, b, i_cell);
    const double wet = ((double)before.liquid - nonvolatile * (double)before.active) / (1.0 - nonvolatile);
    const int64_t all = s->target == TALLY_WOOD ? off_wood(a, b, i_cell, lost) : off_leaves(a, b, i_cell, lost);
    a->fate[b][s->target] -= all;
    a->fate[b][TALLY_GROUND_ROW] += all;
    a->ground[b * a->shape.n_ground + ground_bin] += all;
    int64_t water = llround(fmax(lost * wet, 0.0));
    water = water < a->water[b][s->target] ? water : a->water[b][s->target];
    a->water[b][s->target] -= water;
    a->water[b][TALLY_GROUND_ROW] += water;
    return all;
}

/* @param layer_m room of two numbers for each region, 0  @param error out: standard error of the share that drips */
static void run_off_from(const surface *s, const orchard_canopy *o, double *layer_m, double *error)
{
    tally *a = s->accounts;
    const tally_leaves *l = a->leaves;
    const int64_t n = tally_leaves_cells(l), *dripped = s->target == TALLY_WOOD ? l->wood_run_off : l->run_off;
    double answer[TALLY_BATCHES] = {0.0}; /* what the batch moves the run-off by: for the standard error */
    mean_layers(s, layer_m, layer_m + (size_t)l->n_rows * TALLY_THIRDS * TALLY_SIDES);
    for (int64_t i = 0; i < n; i++) {
        const int ix = (int)(i % o->nx), iz = (int)(i / o->nx % o->nz), row = (int)(i / ((int64_t)o->nx * o->nz));
        const droplet_runoff loss = loss_of(s, i, layer_m[region_of(l, i)]);
        if (!(loss.lost > 0.0)) continue;
        const double x_m = (ix + 0.5) * o->edge_m - o->half_width_m - row * o->row_spacing_m;
        const int bin = tally_ground_bin(&a->shape, x_m);
        double active = 0.0, liquid = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++) {
            active += (double)load_of(s, b, i).active;
            liquid += (double)load_of(s, b, i).liquid;
        }
        int64_t lost = 0;
        for (int b = 0; b < TALLY_BATCHES; b++) {
            const load c = load_of(s, b, i);
            answer[b] +=
                loss.lost * (double)c.active + (loss.marginal - loss.lost) * active * (double)c.liquid / liquid;
            lost += drip(s, b, i, bin, loss.lost);
        }
        if (a->voxel && s->target == TALLY_LEAF)
            deal_out(lost, o->ny, o->nx, a->voxel + (((int64_t)row * o->nz + iz) * o->ny) * o->nx + ix, NULL);
    }
    for (int b = 0; b < TALLY_BATCHES; b++)
        deal_out(dripped[b], TALLY_SIZES, TALLY_FATES, &a->size_fate[b][0][s->target],
                 &a->size_fate[b][0][TALLY_GROUND_ROW]);
    *error = tally_share_of(a, answer).error;
}

static void differ(const drupelet_scenario *s, const orchard_canopy *o, tally_leaves *l)
{
    tally_foliage f = {.leaf_area_density_1_m = o->leaf_area_density_1_m,
                       .voxel_m3 = o->edge_m * o->edge_m * o->edge_y_m,
                       .ny = o->ny,
                       .cover_1 = s->canopy.clumping
                                  * droplet_leaf_projection(s->canopy.leaf_angle_ratio, 90.0 * BASE_DEGREE),
                       .leaf_width_m = s->canopy.leaf_width_m};
    for (int k = 0; k < DROPLET_LEAF_KINDS; k++)
        f.kind_share[k] = droplet_leaf_kind_share(s->canopy.leaf_angle_ratio, k);
    tally_leaves_differ(l, &f);
}

drupelet_status run_off(const drupelet_scenario *scenario, const orchard_canopy *canopy, tally *accounts)
{
    tally_leaves *l = accounts->leaves;
    const scenario_canopy *c = &scenario->canopy;
    const size_t room = 2 * (size_t)l->n_rows * TALLY_THIRDS * TALLY_SIDES;
    double *layer_m = calloc(2 * room, sizeof *layer_m);
    differ(scenario, canopy, l);
    if (!layer_m) return base_error(DRUPELET_MEMORY, "no memory for the run-off");
    run_off_from(&(surface){accounts, TALLY_LEAF, l->area_m2, c->retention_m}, canopy, layer_m, &l->run_off_error);
    run_off_from(&(surface){accounts, TALLY_WOOD, l->wood_area_m2, c->wood_retention_m}, canopy, layer_m + room,
                 &l->wood_run_off_error);
    free(layer_m);
    return base_ok();
}
