/* sim/run/runoff.c - run-off: leaves keep what they can hold, the rest lies on the ground below.
 *
 * The layer of liquid on a cell's leaves as it arrived (water that evaporated in flight is gone, water that evaporates
 * from the leaf between two passes is not), over the retention, gives the share that drips (droplet/retention.c). A
 * cell's mean layer is known from few droplets, and its noise alone would make leaves drip. So a noisy cell's layer is
 * drawn towards the mean of its row, third and side, by how the noise compares with the variation of leaves. The
 * variance of the noise that is left, known from the batches, is taken off that of the leaves, since both act on the
 * loss in the same way.
 *
 * A cell's leaves lose the same share of everything. By size of droplet a batch loses in proportion to what its leaves
 * hold (simplification: the mix of sizes of single cells is not kept). Left out: leaves below that catch drips, run-off
 * from wood. */
#include "run/run.h"

#include <math.h>
#include <stdlib.h>

#include "base/status.h"
#include "droplet/droplet.h"
#include "tally/leaves.h"

drupelet_status run_leaves_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                  const sprayer_work *work, tally *accounts)
{
    const orchard_canopy *o = canopy;
    const double voxel_m3 = o->edge_m * o->edge_m * o->edge_y_m;
    drupelet_status status = tally_leaves_create(o->n_rows, o->nz, o->nx, &accounts->leaves);
    if (status.code != DRUPELET_OK)
        return status;
    tally_leaves *l = accounts->leaves;
    for (int64_t v = 0; v < orchard_voxels(o); v++) {
        const int64_t layer = v / ((int64_t)o->nx * o->ny); /* row and height */
        l->area_m2[layer * o->nx + v % o->nx] += (double)o->leaf_area_density_1_m[v] * voxel_m3;
    }
    for (int iz = 0; iz < o->nz; iz++)
        l->third[iz] = tally_third((iz + 0.5) * o->edge_m, scenario->canopy.base_m, scenario->canopy.height_m);
    l->emitted_m3 = work->emitted_per_length_m2 * o->period_m;
    l->nonvolatile = scenario->liquid.nonvolatile;
    l->treated_m2 = work->treated_width_m * o->period_m;
    return status;
}

/* ---- what drips from a cell ---- */

/* Liquid of all batches on a cell's leaves, and its standard error over itself (0 where there is none). */
static double liquid_of(const tally *a, int64_t i_cell, double *noise)
{
    const tally_leaves *l = a->leaves;
    const int64_t n = tally_leaves_cells(l);
    double liquid[TALLY_BATCHES];
    for (int b = 0; b < TALLY_BATCHES; b++)
        liquid[b] = (double)l->cell[b * n + i_cell].liquid[0] + (double)l->cell[b * n + i_cell].liquid[1];
    const tally_estimate e = tally_share_of(a, liquid);
    *noise = e.share > 0.0 ? e.error / e.share : 0.0;
    return e.share;
}

static int64_t region_of(const tally_leaves *l, int64_t i_cell)
{
    const int ix = (int)(i_cell % l->nx), iz = (int)(i_cell / l->nx % l->nz);
    return (i_cell / ((int64_t)l->nx * l->nz) * TALLY_THIRDS + l->third[iz]) * TALLY_SIDES + tally_leaves_side(l, ix);
}

/* Mean layer on the leaves of each row, third and side, m. @param layer_m [n_rows * TALLY_THIRDS * TALLY_SIDES], 0 */
static void mean_layers(const tally *a, double *layer_m, double *area_m2)
{
    const tally_leaves *l = a->leaves;
    double noise;
    for (int64_t i = 0; i < tally_leaves_cells(l); i++) {
        if (!(l->area_m2[i] > 0.0))
            continue;
        layer_m[region_of(l, i)] += l->emitted_m3 * liquid_of(a, i, &noise);
        area_m2[region_of(l, i)] += l->area_m2[i];
    }
    for (int64_t k = 0; k < (int64_t)l->n_rows * TALLY_THIRDS * TALLY_SIDES; k++)
        layer_m[k] /= area_m2[k] > 0.0 ? area_m2[k] : 1.0;
}

/* What drips from a cell's leaves; marginal: how the amount answers to the cell's own liquid. */
static droplet_runoff loss_of(const tally *a, int64_t i_cell, double region_layer_m, double retention_m)
{
    const tally_leaves *l = a->leaves;
    double noise;
    const double share = liquid_of(a, i_cell, &noise), leaves2 = DROPLET_LEAF_VARIATION * DROPLET_LEAF_VARIATION;
    if (!(share > 0.0) || !(l->area_m2[i_cell] > 0.0))
        return (droplet_runoff){0.0, 0.0};
    const double own_m = share * l->emitted_m3 / l->area_m2[i_cell];
    const double trust = leaves2 / (leaves2 + noise * noise), layer_m = trust * own_m + (1.0 - trust) * region_layer_m;
    const double left = trust * noise * own_m / layer_m; /* noise of the layer that is used */
    droplet_runoff loss = droplet_run_off(layer_m / retention_m, sqrt(fmax(leaves2 - left * left, 0.0)));
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
            if (to)
                to[i * stride] += share;
            given += share;
            left -= share;
        }
}

/* What a batch's cell loses moves to the ground below it; returns its active ingredient. */
static int64_t drip(tally *a, int b, int row, int iz, int ix, int ground_bin, double lost, double nonvolatile)
{
    tally_leaves *l = a->leaves;
    const int64_t place = ((int64_t)row * l->nz + iz) * l->nx + ix;
    tally_cell *c = &l->cell[b * tally_leaves_cells(l) + place];
    const int64_t active_before = c->active[0] + c->active[1], liquid_before = c->liquid[0] + c->liquid[1];
    const double wet = ((double)liquid_before - nonvolatile * (double)active_before) / (1.0 - nonvolatile);
    int64_t all = 0;
    for (int side = 0; side < 2; side++) {
        const int64_t parts = llround(lost * (double)c->active[side]);
        c->active[side] -= parts;
        c->liquid[side] -= llround(lost * (double)c->liquid[side]);
        a->leaf_side[b][side] -= parts;
        all += parts;
    }
    a->row[((b * a->shape.n_rows + row) * TALLY_THIRDS + l->third[iz]) * TALLY_SIDES + tally_leaves_side(l, ix)] -= all;
    a->fate[b][TALLY_LEAF] -= all;
    a->fate[b][TALLY_GROUND_ROW] += all;
    a->ground[b * a->shape.n_ground + ground_bin] += all;
    int64_t water = llround(fmax(lost * wet, 0.0));
    water = water < a->water[b][TALLY_LEAF] ? water : a->water[b][TALLY_LEAF];
    a->water[b][TALLY_LEAF] -= water;
    a->water[b][TALLY_GROUND_ROW] += water;
    l->run_off[b] += all;
    return all;
}

drupelet_status run_off(const drupelet_scenario *scenario, const orchard_canopy *canopy, tally *accounts)
{
    const orchard_canopy *o = canopy;
    tally *a = accounts;
    tally_leaves *l = a->leaves;
    const size_t n_regions = (size_t)l->n_rows * TALLY_THIRDS * TALLY_SIDES;
    double *layer_m = calloc(2 * n_regions, sizeof *layer_m); /* of each region, then room for its leaf area */
    if (!layer_m)
        return base_error(DRUPELET_MEMORY, "no memory for the run-off");
    mean_layers(a, layer_m, layer_m + n_regions);
    double answer[TALLY_BATCHES] = {0.0}; /* what the batch moves the run-off by: for the standard error */
    const int64_t n = tally_leaves_cells(l);
    for (int64_t i = 0; i < n; i++) {
        const int ix = (int)(i % o->nx), iz = (int)(i / o->nx % o->nz), row = (int)(i / ((int64_t)o->nx * o->nz));
        const droplet_runoff loss = loss_of(a, i, layer_m[region_of(l, i)], scenario->canopy.retention_m);
        if (!(loss.lost > 0.0))
            continue;
        const double x_m = (ix + 0.5) * o->edge_m - o->half_width_m - row * o->row_spacing_m;
        const int bin = tally_ground_bin(&a->shape, x_m);
        double active = 0.0, liquid = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++) {
            const tally_cell *c = &l->cell[b * n + i];
            active += (double)(c->active[0] + c->active[1]);
            liquid += (double)(c->liquid[0] + c->liquid[1]);
        }
        int64_t lost = 0;
        for (int b = 0; b < TALLY_BATCHES; b++) {
            const tally_cell *c = &l->cell[b * n + i];
            answer[b] += loss.lost * (double)(c->active[0] + c->active[1])
                         + (loss.marginal - loss.lost) * active * (double)(c->liquid[0] + c->liquid[1]) / liquid;
            lost += drip(a, b, row, iz, ix, bin, loss.lost, scenario->liquid.nonvolatile);
        }
        if (a->voxel)
            deal_out(lost, o->ny, o->nx, a->voxel + (((int64_t)row * o->nz + iz) * o->ny) * o->nx + ix, NULL);
    }
    for (int b = 0; b < TALLY_BATCHES; b++)
        deal_out(l->run_off[b], TALLY_SIZES, TALLY_FATES, &a->size_fate[b][0][TALLY_LEAF],
                 &a->size_fate[b][0][TALLY_GROUND_ROW]);
    l->run_off_error = tally_share_of(a, answer).error;
    free(layer_m);
    return base_ok();
}
