/* sim/run/books.c - the accounts of a flight: whole numbers of parts, so that threads may add them in any order. */
#include "run/books.h"

#include <assert.h>
#include <math.h>

#include "base/elementary.h"
#include "base/nearest.h"
#include "droplet/spread.h"
#include "tally/leaves.h"

/* Water still in a droplet, over the water it had. */
static double wet_share(const run_crew *c, int i)
{
    const double left = (double)c->batch.diameter_m[i] / (double)c->batch.whole_m[i];
    const double stays = c->plan->emission->scenario->liquid.nonvolatile;
    return fmax(0.0, (left * left * left - stays) / (1.0 - stays));
}

/* What went through the counting planes. */
static void book_crossings(run_crew *c, int i, int64_t parts)
{
    tally *a = c->accounts;
    const tally_shape *shape = &a->shape;
    const droplet_batch *b = &c->batch;
    const int bin = (int)fmin(fmax((double)b->z_m[i] / TALLY_FLUX_STEP_M, 0.0), shape->n_flux - 1);
    for (int plane = 0; plane < TALLY_PLANES; plane++) {
        const float at = c->plan->setting->plane_x_m[plane];
        const int before = b->x_before_m[i] < at, after = b->x_m[i] < at;
        if (before != after)
            a->flux[(c->lane[i].start.i_batch * TALLY_PLANES + plane) * shape->n_flux + bin] +=
                (before ? 1 : -1) * shape->downwind * parts;
    }
}

void run_book_step(run_crew *c, int i, int64_t parts)
{
    const int found = c->batch.found[i];
    const int i_batch = c->lane[i].start.i_batch;
    if (found & DROPLET_CROSSED)
        book_crossings(c, i, parts);
    if (found & DROPLET_COLLECT)
        run_collect(c->plan->collectors, c->collected, i_batch, parts, &c->batch, i);
}

void run_book_vapour(run_crew *c, int i, int64_t parts)
{
    const double stays = c->plan->emission->scenario->liquid.nonvolatile;
    c->accounts->evaporated[c->lane[i].start.i_batch][0] +=
        base_nearest((double)c->batch.evaporated[i] / (1.0 - stays) * (double)parts);
}

void run_book(run_crew *c, int i, tally_fate fate, int64_t parts)
{
    tally *a = c->accounts;
    const run_passenger *p = &c->lane[i];
    a->fate[p->start.i_batch][fate] += parts;
    a->size_fate[p->start.i_batch][p->size_bin][fate] += parts;
    a->water[p->start.i_batch][fate] += base_nearest(wet_share(c, i) * (double)parts);
}

/* The leaves of the voxel where the lane's droplet is, and the stains that it leaves there. */
static void book_leaf(run_crew *c, int i, const droplet_encounter *e, int64_t met, int64_t kept, double whole_m,
                      double arrives_m)
{
    tally *a = c->accounts;
    const orchard_canopy *o = c->plan->canopy;
    const droplet_targets *t = c->plan->targets;
    const run_start *start = &c->lane[i].start;
    const int voxel = c->batch.voxel[i], line = voxel / o->nx, ix = voxel - line * o->nx;
    const int layer = line / o->ny, row = layer / o->nz, iz = layer - row * o->nz; /* layer: row and height */
    const int third = c->leaves->third[iz], side = tally_leaves_side(c->leaves, ix);
    a->leaf_side[start->i_batch][e->upper_side] += kept;
    a->row[((start->i_batch * o->n_rows + row) * TALLY_THIRDS + third) * TALLY_SIDES + side] += kept;
#pragma omp atomic
    c->voxel[voxel] += kept;

    const sprayer_work *work = c->plan->emission->work;
    const double density_kg_m3 = work->spray[work->nozzle[start->i_nozzle].i_spray].droplet_density_kg_m3;
    const double without_air = density_kg_m3 / t->liquid.density_kg_m3;
    const double liquid =
        without_air < 1.0 ? base_cbrt(without_air) : 1.0; /* diameter of the liquid in it, over its own */
    const double spread =
        droplet_spread_factor(&t->spread[e->upper_side], arrives_m, e->normal_speed_m_s, density_kg_m3);
    const tally_mark mark = tally_mark_of(met, kept, liquid * whole_m, liquid * arrives_m, spread);
    tally_cell *cell =
        &c->leaves->cell[start->i_batch * tally_leaves_cells(c->leaves) + (int64_t)layer * o->nx + ix];
    tally_leaves_add(cell, e->upper_side, kept, &mark);
}

/* The ground below, whether droplets land there or end in the grass above it, over which collectors stand. */
static tally_fate book_ground(run_crew *c, int i, int64_t parts)
{
    tally *a = c->accounts;
    const tally_shape *shape = &a->shape;
    const orchard_canopy *o = c->plan->canopy;
    const double x_m = (double)c->batch.x_m[i];
    tally_fate fate;
    if (x_m >= shape->edge_low_x_m && x_m < shape->edge_high_x_m) {
        const double off_m = fabs(x_m - floor(x_m / o->row_spacing_m + 0.5) * o->row_spacing_m);
        fate = off_m < 0.5 * c->plan->crown->width_m ? TALLY_GROUND_ROW : TALLY_GROUND_ALLEY;
    } else {
        fate = (x_m > shape->edge_low_x_m) == (shape->downwind > 0) ? TALLY_GROUND_DOWNWIND : TALLY_GROUND_UPWIND;
    }
    run_book(c, i, fate, parts);
    a->ground[c->lane[i].start.i_batch * shape->n_ground + tally_ground_bin(shape, x_m)] += parts;
    return fate;
}

tally_fate run_book_encounter(run_crew *c, int i, const droplet_encounter *e, int64_t met, int64_t kept,
                              double whole_m, double arrives_m)
{
    if (e->target == DROPLET_ON_GRASS) {
        assert(kept == met);
        return book_ground(c, i, kept);
    }
    const run_passenger *p = &c->lane[i];
    const tally_fate target = e->target == DROPLET_ON_LEAF ? TALLY_LEAF : TALLY_WOOD;
    c->accounts->impacts[p->start.i_batch][target][e->outcome] += met;
    c->accounts->size_impacts[p->start.i_batch][target][p->size_bin][e->outcome] += met;
    if (kept > 0) {
        c->accounts->stayed[p->start.i_batch][target][e->outcome] += kept;
        run_book(c, i, target, kept);
        if (target == TALLY_LEAF)
            book_leaf(c, i, e, met, kept, whole_m, arrives_m);
    }
    return target;
}

tally_fate run_book_landing(run_crew *c, int i, int64_t parts)
{
    if (c->collected)
        run_collect_landed(c->plan->collectors, c->collected, c->lane[i].start.i_batch, parts, &c->batch, i);
    return book_ground(c, i, parts);
}

tally_fate run_fate_of_leaver(const run_crew *c, int i)
{
    if (c->batch.z_m[i] > c->plan->setting->top_m)
        return TALLY_AIR_ABOVE;
    const bool high = c->batch.x_m[i] > c->plan->setting->high_x_m;
    return high == (c->accounts->shape.downwind > 0) ? TALLY_AIR_DOWNWIND : TALLY_AIR_UPWIND;
}
