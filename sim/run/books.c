/* sim/run/books.c - the accounts of a flight: whole numbers, so that threads may add them in any order. */
#include "run/thread.h"

#include <assert.h>
#include <math.h>

#include "base/elementary.h"
#include "droplet/droplet.h"
#include "tally/budget.h"
#include "tally/leaves.h"

/* Water still in a droplet, over the water it had. */
static double wet_share(const run_thread *self, int i)
{
    const double left = (double)self->batch.diameter_m[i] / (double)self->batch.whole_m[i];
    const double stays = self->plan->emission->scenario->liquid.nonvolatile;
    return fmax(0.0, (left * left * left - stays) / (1.0 - stays));
}

/* What went through the counting planes. */
static void book_crossings(run_thread *self, int i, int64_t weight)
{
    tally *a = self->accounts;
    const tally_shape *shape = &a->shape;
    const droplet_batch *b = &self->batch;
    const int bin = (int)fmin(fmax((double)b->z_m[i] / TALLY_FLUX_STEP_M, 0.0), shape->n_flux - 1);
    for (int plane = 0; plane < TALLY_PLANES; plane++) {
        const float at = self->plan->setting->plane_x_m[plane];
        const int before = b->x_before_m[i] < at, after = b->x_m[i] < at;
        if (before != after)
            a->flux[(self->lane[i].start.i_batch * TALLY_PLANES + plane) * shape->n_flux + bin] +=
                (before ? 1 : -1) * shape->downwind * weight;
    }
}

void run_book_step(run_thread *self, int i, int64_t weight)
{
    const int found = self->batch.found[i];
    const int i_batch = self->lane[i].start.i_batch;
    if (found & DROPLET_CROSSED)
        book_crossings(self, i, weight);
    if (found & DROPLET_COLLECT)
        run_collect(self->plan->collectors, self->accounts, i_batch, weight, &self->batch, i);
}

void run_book_vapour(run_thread *self, int i, int64_t weight)
{
    const double stays = self->plan->emission->scenario->liquid.nonvolatile;
    const run_passenger *p = &self->lane[i];
    const int64_t parts = base_nearest((double)self->batch.evaporated[i] / (1.0 - stays) * (double)weight);
    self->accounts->evaporated[p->start.i_batch][0] += parts;
    self->accounts->size_evaporated[p->start.i_batch][p->size_bin] += parts;
}

/* A weight that comes to rest, by what the lane's droplet has met before. */
static void book_end(run_thread *self, int i, int zone, int first, tally_end end, int64_t weight)
{
    tally *a = self->accounts;
    const run_passenger *p = &self->lane[i];
    a->budget[p->start.i_batch][p->i_class][zone][first][end] += weight;
    a->pass_end[(p->start.i_batch * a->shape.n_passes + p->start.i_pass) * TALLY_ENDS + (int)end] += weight;
}

/* Row of the voxel that the lane's droplet is in, and its zone as seen from the droplet's alley. */
static int row_of(const run_thread *self, int i)
{
    const orchard_canopy *o = self->plan->canopy;
    return self->batch.voxel[i] / (o->nx * o->ny * o->nz);
}

static int zone_of(const run_thread *self, int i)
{
    const orchard_canopy *o = self->plan->canopy;
    const int iz = self->batch.voxel[i] / (o->nx * o->ny) % o->nz;
    const double pass_x_m = self->plan->emission->work->pass[self->lane[i].start.i_pass].x_m;
    return tally_zone(pass_x_m, -row_of(self, i) * o->row_spacing_m, o->row_spacing_m, (double)self->batch.x_m[i],
                      self->leaves->third[iz]);
}

/* What stays at a leaf or wood: at its first hit, or at a later one. */
static void book_hit(run_thread *self, int i, const droplet_encounter *e, int64_t kept)
{
    const run_passenger *p = &self->lane[i];
    if (p->first == TALLY_FIRST_NONE)
        book_end(self, i, zone_of(self, i), TALLY_FIRST_HIT + (int)e->outcome, TALLY_END_FIRST, kept);
    else
        book_end(self, i, p->zone, p->first,
                 row_of(self, i) == p->first_row ? TALLY_END_SAME_ROW : TALLY_END_OTHER_ROW, kept);
}

void run_book_first_hit(run_thread *self, int i, const droplet_encounter *e)
{
    run_passenger *p = &self->lane[i];
    if (p->first != TALLY_FIRST_NONE || e->target == DROPLET_ON_GRASS)
        return;
    p->zone = zone_of(self, i);
    p->first = TALLY_FIRST_HIT + (int)e->outcome;
    p->first_row = row_of(self, i);
}

static void book_fate(run_thread *self, int i, tally_fate fate, int64_t weight)
{
    tally *a = self->accounts;
    const run_passenger *p = &self->lane[i];
    a->fate[p->start.i_batch][fate] += weight;
    a->size_fate[p->start.i_batch][p->size_bin][fate] += weight;
    a->water[p->start.i_batch][fate] += base_nearest(wet_share(self, i) * (double)weight);
}

void run_book(run_thread *self, int i, tally_fate fate, int64_t weight)
{
    book_fate(self, i, fate, weight);
    book_end(self, i, self->lane[i].zone, self->lane[i].first, tally_end_of(fate), weight);
}

/* The leaves of the voxel where the lane's droplet is, and the stains that it leaves there. */
static void book_leaf(run_thread *self, int i, const droplet_encounter *e, int64_t met, int64_t kept, double whole_m,
                      double arrives_m)
{
    tally *a = self->accounts;
    const orchard_canopy *o = self->plan->canopy;
    const droplet_targets *t = self->plan->targets;
    const run_start *start = &self->lane[i].start;
    const int voxel = self->batch.voxel[i], line = voxel / o->nx, ix = voxel - line * o->nx;
    const int layer = line / o->ny, row = layer / o->nz, iz = layer - row * o->nz; /* layer: row and height */
    const int third = self->leaves->third[iz], side = tally_leaves_side(self->leaves, ix);
    a->leaf_side[start->i_batch][e->upper_side] += kept;
    a->row[((start->i_batch * o->n_rows + row) * TALLY_THIRDS + third) * TALLY_SIDES + side] += kept;
#pragma omp atomic
    self->voxel[voxel] += kept;

    const sprayer_work *work = self->plan->emission->work;
    const double density_kg_m3 = work->spray[work->nozzle[start->i_nozzle].i_spray].droplet_density_kg_m3;
    const double without_air = density_kg_m3 / t->liquid.density_kg_m3;
    const double liquid =
        without_air < 1.0 ? base_cbrt(without_air) : 1.0; /* diameter of the liquid in it, over its own */
    const double spread =
        droplet_spread_factor(&t->spread[e->upper_side], arrives_m, e->normal_speed_m_s, density_kg_m3);
    const tally_mark mark = tally_mark_of(met, kept, liquid * whole_m, liquid * arrives_m, spread);
    tally_cell *cell =
        &self->leaves->cell[start->i_batch * tally_leaves_cells(self->leaves) + (int64_t)layer * o->nx + ix];
    tally_leaves_add(cell, e->upper_side, kept, &mark);
    tally_leaves_face(self->leaves, start->i_batch, voxel, third, side, e->upper_side, e->leaf_kind, e->towards, kept);
}

/* The wood of the voxel where the lane's droplet is. */
static void book_wood(run_thread *self, int i, int64_t kept, double whole_m, double arrives_m)
{
    const orchard_canopy *o = self->plan->canopy;
    const int voxel = self->batch.voxel[i], line = voxel / o->nx, ix = voxel - line * o->nx;
    const int64_t cell =
        self->lane[i].start.i_batch * tally_leaves_cells(self->leaves) + (int64_t)(line / o->ny) * o->nx + ix;
    tally_wood_add(&self->leaves->wood[cell], kept, tally_liquid_of(kept, whole_m, arrives_m));
}

/* The ground below, whether droplets land there or end in the grass above it, over which collectors stand. */
static tally_fate book_ground(run_thread *self, int i, int64_t weight)
{
    tally *a = self->accounts;
    const tally_shape *shape = &a->shape;
    const orchard_canopy *o = self->plan->canopy;
    const double x_m = (double)self->batch.x_m[i];
    tally_fate fate;
    if (x_m >= shape->edge_low_x_m && x_m < shape->edge_high_x_m) {
        const double off_m = fabs(x_m - floor(x_m / o->row_spacing_m + 0.5) * o->row_spacing_m);
        fate = off_m < 0.5 * self->plan->crown->width_m ? TALLY_GROUND_ROW : TALLY_GROUND_ALLEY;
    } else {
        fate = (x_m > shape->edge_low_x_m) == (shape->downwind > 0) ? TALLY_GROUND_DOWNWIND : TALLY_GROUND_UPWIND;
    }
    run_book(self, i, fate, weight);
    a->ground[self->lane[i].start.i_batch * shape->n_ground + tally_ground_bin(shape, x_m)] += weight;
    return fate;
}

tally_fate run_book_encounter(run_thread *self, int i, const droplet_encounter *e, int64_t met, int64_t kept,
                              double whole_m, double arrives_m)
{
    if (e->target == DROPLET_ON_GRASS) {
        assert(kept == met);
        return book_ground(self, i, kept);
    }
    const run_passenger *p = &self->lane[i];
    const tally_fate target = e->target == DROPLET_ON_LEAF ? TALLY_LEAF : TALLY_WOOD;
    self->accounts->impacts[p->start.i_batch][target][e->outcome] += met;
    self->accounts->size_impacts[p->start.i_batch][target][p->size_bin][e->outcome] += met;
    if (kept > 0) {
        self->accounts->stayed[p->start.i_batch][target][e->outcome] += kept;
        book_fate(self, i, target, kept);
        book_hit(self, i, e, kept);
        if (target == TALLY_LEAF)
            book_leaf(self, i, e, met, kept, whole_m, arrives_m);
        else
            book_wood(self, i, kept, whole_m, arrives_m);
    }
    return target;
}

tally_fate run_book_landing(run_thread *self, int i, int64_t weight)
{
    if (self->plan->collectors)
        run_collect_landed(self->plan->collectors, self->accounts, self->lane[i].start.i_batch, weight, &self->batch,
                           i);
    return book_ground(self, i, weight);
}

tally_fate run_fate_of_leaver(const run_thread *self, int i)
{
    if (self->batch.z_m[i] > self->plan->setting->top_m)
        return TALLY_AIR_ABOVE;
    const bool high = self->batch.x_m[i] > self->plan->setting->high_x_m;
    return high == (self->accounts->shape.downwind > 0) ? TALLY_AIR_DOWNWIND : TALLY_AIR_UPWIND;
}
