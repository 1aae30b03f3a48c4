/* sim/tally/check.c - do the books close? Every account that has a sum elsewhere is compared with it, batch by batch:
 *
 *     account                                    with what it is compared
 *     emitted, all batches                       what the run set out to emit
 *     water emitted                              emitted: droplets leave their nozzles whole
 *     fates                                      emitted
 *     water by fate, and what evaporated         water emitted
 *     fates by size                              each fate
 *     impacts by size                            impacts on each target, by outcome
 *     what stayed at impacts, by outcome         at most the impacts; all of them where it adheres
 *     what stayed at impacts                     the fates leaf (with what has dripped since) and wood
 *     deposit by leaf side                       the fate leaf
 *     deposit by row, third and side             the fate leaf
 *     deposit by cell                            leaf sides; rows, thirds and sides
 *     deposit by voxel, all batches              the cells that it is a part of; the fate leaf
 *     liquid by cell                             water on leaves, and what of the liquid never evaporates
 *     droplets by cell                           at least those that can be seen
 *     run-off                                    at most the ground under the rows
 *     ground by place                            the fates of the ground; those of each side of the block
 *     flux through a plane                       what ended beyond it on the ground or left downwind; more by at most
 *                                                what left above or is aloft, whose place is not known
 *
 * Active ingredient has to agree to 1e-9 of what was emitted: its parts are dealt out exactly, and the tolerance is for
 * the sums in floating point here. Water and liquid are rounded to whole parts at every booking and come from diameters
 * in single precision: 1e-5. Places where droplets may lie on either side of a border, since the flight knows them in
 * single precision, count to neither side. Stains and the catch of collectors have no sum elsewhere. */
#include <math.h>

#include "base/status.h"
#include "droplet/droplet.h"
#include "tally/leaves.h"
#include "tally/tally.h"

#define ACTIVE 1e-9
#define WATER 1e-5
#define AT_BORDER_M 1e-3 /* far more than single precision leaves open at 1000 m, far less than a bin */
#define ENDLESS 0x1p62   /* a number beyond it has met the end of its range, or will */

/* One check's result so far, and what a batch emitted: the first account that is wrong leaves its sentence in the
 * status, and the others pass by. */
typedef struct {
    drupelet_status status;
    double emitted;
} books;

static void wrong(books *k, const char *what, double off)
{
    if (k->status.code == DRUPELET_OK)
        k->status = base_error(DRUPELET_BALANCE, "the run does not close: %s is off by %.3g of what was emitted", what,
                               k->emitted > 0.0 ? off / k->emitted : off);
}

static void compare(books *k, const char *what, double found, double expected, double tolerance)
{
    if (!(fabs(found - expected) <= tolerance * k->emitted)) /* also where a number is none */
        wrong(k, what, found - expected);
}

static void within(books *k, const char *what, double found, double least, double most)
{
    if (!(found >= least - ACTIVE * k->emitted))
        wrong(k, what, found - least);
    else if (!(found <= most + ACTIVE * k->emitted))
        wrong(k, what, found - most);
}

/* Sum of n numbers that lie a stride apart; none of them may be negative or at the end of the range. */
static double sum_of(books *k, const char *what, int64_t n, const int64_t *value, int64_t stride)
{
    double sum = 0.0;
    for (int64_t i = 0; i < n; i++) {
        const int64_t v = value[i * stride];
        if (k->status.code == DRUPELET_OK && (v < 0 || (double)v >= ENDLESS))
            k->status = base_error(DRUPELET_BALANCE, "the run does not close: %s has an amount out of range", what);
        sum += (double)v;
    }
    return sum;
}

/* The same of numbers that may be negative. */
static double signed_sum_of(books *k, const char *what, int64_t n, const int64_t *value)
{
    double sum = 0.0;
    for (int64_t i = 0; i < n; i++) {
        if (k->status.code == DRUPELET_OK && !(fabs((double)value[i]) < ENDLESS))
            k->status = base_error(DRUPELET_BALANCE, "the run does not close: %s has an amount out of range", what);
        sum += (double)value[i];
    }
    return sum;
}

static void check_fates(books *k, const tally *a, int b)
{
    const double water = sum_of(k, "the water emitted", 1, a->water_emitted[b], 1);
    const double wet = sum_of(k, "the water by fate", TALLY_FATES, a->water[b], 1);
    /* below 0 where cold droplets took on water */
    const double vapour = signed_sum_of(k, "the water evaporated", 1, a->evaporated[b]);
    compare(k, "the active ingredient by fate", sum_of(k, "the active ingredient", TALLY_FATES, a->fate[b], 1),
            k->emitted, ACTIVE);
    compare(k, "the water emitted", water, k->emitted, ACTIVE);
    compare(k, "the water by fate and evaporated", wet + vapour, water, WATER);
    for (int f = 0; f < TALLY_FATES; f++)
        compare(k, "the fate by size", sum_of(k, "the fate by size", TALLY_SIZES, &a->size_fate[b][0][f], TALLY_FATES),
                (double)a->fate[b][f], ACTIVE);
}

static void check_impacts(books *k, const tally *a, int b)
{
    for (int t = 0; t < TALLY_TARGETS; t++) {
        const double dripped = t == TALLY_LEAF && a->leaves ? (double)a->leaves->run_off[b] : 0.0;
        for (int o = 0; o < TALLY_OUTCOMES; o++) {
            const double met = sum_of(k, "the number of impacts", 1, &a->impacts[b][t][o], 1);
            const double stayed = (double)a->stayed[b][t][o];
            compare(k, "the number of impacts by size",
                    sum_of(k, "the number of impacts by size", TALLY_SIZES, &a->size_impacts[b][t][0][o],
                           TALLY_OUTCOMES),
                    met, ACTIVE);
            within(k, "what stayed at impacts, beside the impacts,", stayed, o == DROPLET_ADHERES ? met : 0.0, met);
        }
        compare(k, "what stayed at impacts",
                sum_of(k, "what stayed at impacts", TALLY_OUTCOMES, a->stayed[b][t], 1),
                (double)a->fate[b][t] + dripped, ACTIVE);
    }
}

static void check_leaf_places(books *k, const tally *a, int b)
{
    const int64_t n_row = (int64_t)a->shape.n_rows * TALLY_THIRDS * TALLY_SIDES;
    const double leaf = (double)a->fate[b][TALLY_LEAF];
    compare(k, "the deposit by leaf side", sum_of(k, "the deposit by leaf side", 2, a->leaf_side[b], 1), leaf, ACTIVE);
    compare(k, "the deposit by row", sum_of(k, "the deposit by row", n_row, a->row + b * n_row, 1), leaf, ACTIVE);
}

/* Cells of a batch against the leaf sides, the rows with their thirds and sides, and the water. */
static void check_cells(books *k, const tally *a, int b)
{
    const tally_leaves *l = a->leaves;
    const tally_cell *cell = l->cell + b * tally_leaves_cells(l);
    const int64_t *row = a->row + (int64_t)b * l->n_rows * TALLY_THIRDS * TALLY_SIDES;
    double on_side[2] = {0.0, 0.0}, liquid = 0.0;
    for (int r = 0; r < l->n_rows; r++) {
        double in[TALLY_THIRDS][TALLY_SIDES] = {{0.0}};
        for (int iz = 0; iz < l->nz; iz++)
            for (int ix = 0; ix < l->nx; ix++, cell++) {
                double active = 0.0;
                for (int side = 0; side < 2; side++) {
                    const double one = sum_of(k, "the deposit by cell", 1, &cell->active[side], 1);
                    on_side[side] += one;
                    active += one;
                    if (cell->seen[side] > cell->number[side])
                        wrong(k, "the droplets seen by cell", (double)(cell->seen[side] - cell->number[side]));
                }
                in[l->third[iz]][tally_leaves_side(l, ix)] += active;
                liquid += sum_of(k, "the liquid by cell", 2, cell->liquid, 1);
                sum_of(k, "the stains by cell", 2, cell->stain, 1);
                sum_of(k, "the droplets by cell", 2, cell->number, 1);
                sum_of(k, "the droplets seen by cell", 2, cell->seen, 1);
            }
        for (int third = 0; third < TALLY_THIRDS; third++)
            for (int side = 0; side < TALLY_SIDES; side++)
                compare(k, "the deposit by row, beside its cells,",
                        (double)row[(r * TALLY_THIRDS + third) * TALLY_SIDES + side], in[third][side], ACTIVE);
    }
    for (int side = 0; side < 2; side++)
        compare(k, "the deposit by cell", on_side[side], (double)a->leaf_side[b][side], ACTIVE);
    compare(k, "the liquid by cell", liquid,
            (1.0 - l->nonvolatile) * (double)a->water[b][TALLY_LEAF] + l->nonvolatile * (double)a->fate[b][TALLY_LEAF],
            WATER);
    within(k, "the run-off", sum_of(k, "the run-off", 1, &l->run_off[b], 1), 0.0, (double)a->fate[b][TALLY_GROUND_ROW]);
}

/* Ground whose bins lie wholly between two places, and that of bins which touch it as well. */
typedef struct { double least, most; } range;

static range ground_between(const tally *a, int b, double low_x_m, double high_x_m)
{
    const tally_shape *s = &a->shape;
    range r = {0.0, 0.0};
    for (int i = 0; i < s->n_ground; i++) {
        const double low_m = tally_ground_edge_x_m(s, i, 0), high_m = tally_ground_edge_x_m(s, i, 1);
        const double parts = (double)a->ground[(int64_t)b * s->n_ground + i];
        if (low_m > low_x_m + AT_BORDER_M && high_m < high_x_m - AT_BORDER_M)
            r.least += parts;
        if (high_m > low_x_m - AT_BORDER_M && low_m < high_x_m + AT_BORDER_M)
            r.most += parts;
    }
    return r;
}

static void check_ground(books *k, const tally *a, int b)
{
    const tally_shape *s = &a->shape;
    const int64_t *fate = a->fate[b];
    const double inside = (double)fate[TALLY_GROUND_ALLEY] + (double)fate[TALLY_GROUND_ROW];
    const double downwind = (double)fate[TALLY_GROUND_DOWNWIND], upwind = (double)fate[TALLY_GROUND_UPWIND];
    compare(k, "the ground by place",
            sum_of(k, "the ground by place", s->n_ground, a->ground + (int64_t)b * s->n_ground, 1),
            inside + downwind + upwind, ACTIVE);
    const range in = ground_between(a, b, s->edge_low_x_m, s->edge_high_x_m);
    const range low = ground_between(a, b, -INFINITY, s->edge_low_x_m);
    const range high = ground_between(a, b, s->edge_high_x_m, INFINITY);
    within(k, "the ground inside the block, by place,", inside, in.least, in.most);
    within(k, "the ground beside the block, by place,", s->downwind > 0 ? downwind : upwind, high.least, high.most);
    within(k, "the ground beside the block, by place,", s->downwind > 0 ? upwind : downwind, low.least, low.most);
}

/* Nozzles stand at least 2 m this side of the nearest plane, so that what is beyond has gone through it. */
static void check_flux(books *k, const tally *a, int b)
{
    const tally_shape *s = &a->shape;
    for (int p = 0; p < TALLY_PLANES; p++) {
        const double x_m = tally_x_m(s, s->plane_distance_m[p]);
        const range beyond = ground_between(a, b, s->downwind > 0 ? x_m : -INFINITY, s->downwind > 0 ? INFINITY : x_m);
        const double gone = (double)a->fate[b][TALLY_AIR_DOWNWIND];
        const double anywhere = (double)a->fate[b][TALLY_AIR_ABOVE] + (double)a->fate[b][TALLY_ALOFT];
        const int64_t *flux = a->flux + ((int64_t)b * TALLY_PLANES + p) * s->n_flux;
        const double through = signed_sum_of(k, "the flux through a plane", s->n_flux, flux);
        within(k, "the flux through a plane", through, beyond.least + gone, beyond.most + gone + anywhere);
    }
}

/* Voxels are kept for all batches together: those of a cell are side by side along the row. */
static void check_voxels(books *k, const tally *a)
{
    const tally_leaves *l = a->leaves;
    double leaf = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++)
        leaf += (double)a->fate[b][TALLY_LEAF];
    compare(k, "the deposit by voxel", sum_of(k, "the deposit by voxel", a->shape.n_voxels, a->voxel, 1), leaf, ACTIVE);
    if (!l)
        return;
    const int64_t n = tally_leaves_cells(l), ny = a->shape.n_voxels / n;
    for (int64_t i = 0; i < n; i++) {
        const int64_t *voxel = a->voxel + i / l->nx * ny * l->nx + i % l->nx;
        double in_cell = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++)
            in_cell += (double)l->cell[b * n + i].active[0] + (double)l->cell[b * n + i].active[1];
        const double of_cell = sum_of(k, "the deposit by voxel", ny, voxel, l->nx);
        compare(k, "the deposit by voxel, beside its cell,", of_cell, in_cell, ACTIVE);
    }
}

drupelet_status tally_check(const tally *accounts)
{
    books k = {base_ok(), 0.0};
    double all = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        k.emitted = sum_of(&k, "what was emitted", 1, accounts->emitted[b], 1);
        check_fates(&k, accounts, b);
        check_impacts(&k, accounts, b);
        check_leaf_places(&k, accounts, b);
        check_ground(&k, accounts, b);
        check_flux(&k, accounts, b);
        if (accounts->leaves)
            check_cells(&k, accounts, b);
        all += k.emitted;
    }
    k.emitted = (double)accounts->to_emit;
    compare(&k, "what was emitted", all, k.emitted, ACTIVE);
    if (accounts->voxel)
        check_voxels(&k, accounts);
    return k.status;
}
