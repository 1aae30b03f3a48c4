/* sim/tally/check.c - do the books close? Every account that has a sum elsewhere is compared with it, batch by batch.
 *
 * What an account sums to and what bounds its numbers stands in its row of the table in ledger.c. Here is what is not
 * one account's sum:
 *
 *     emitted, all batches                       what the run set out to emit
 *     deposit by cell                            leaf sides; rows, thirds and sides
 *     deposit by voxel, all batches              the cells that it is a part of
 *     liquid by cell                             water on leaves, and what of the liquid never evaporates
 *     droplets by cell                           at least those that can be seen
 *     run-off                                    at most the ground under the rows
 *     ground by place                            the fates of each side of the block and inside it
 *     budget by size and zone, and by pass       the groups of fates, before anything dripped
 *     flux through a plane                       what ended beyond it on the ground or left downwind; more by at most
 *                                                what left above or is aloft, whose place is not known
 *
 * Places where droplets may lie on either side of a border, since the flight knows them in single precision, count to
 * neither side. Stains and the catch of collectors have no sum elsewhere. */
#include <assert.h>
#include <math.h>

#include "base/status.h"
#include "tally/budget.h"
#include "tally/leaves.h"
#include "tally/ledger.h"

#define AT_BORDER_M 1e-3 /* far more than single precision leaves open at 1000 m, far less than a bin */
#define ENDLESS 0x1p62   /* a number beyond it has met the end of its range, or will */

/* Result of a check so far, and what a batch emitted. The first account that is wrong leaves its sentence in the
 * status; after it nothing is checked. */
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
    if (!(found >= least - LEDGER_ACTIVE * k->emitted))
        wrong(k, what, found - least);
    else if (!(found <= most + LEDGER_ACTIVE * k->emitted))
        wrong(k, what, found - most);
}

/* No number may be at the end of the range, and none negative unless it is signed. */
static void in_range(books *k, const char *what, int64_t value, bool is_signed)
{
    if (k->status.code == DRUPELET_OK && ((value < 0 && !is_signed) || !(fabs((double)value) < ENDLESS)))
        k->status = base_error(DRUPELET_BALANCE, "the run does not close: %s has an amount out of range", what);
}

/* Sum of n numbers that lie a stride apart, none of them negative. */
static double sum_of(books *k, const char *what, int64_t n, const int64_t *value, int64_t stride)
{
    double sum = 0.0;
    for (int64_t i = 0; i < n; i++) {
        in_range(k, what, value[i * stride], false);
        sum += (double)value[i * stride];
    }
    return sum;
}

/* ---- by the table ---- */

enum { MOST_PLACES = TALLY_FATES + TALLY_TARGETS * TALLY_OUTCOMES }; /* along the axes that an account closes by */

/* Place of number i of an account along the axes that it closes by. */
static int place_of(const ledger_account *account, const tally_shape *shape, int64_t i)
{
    int64_t at[LEDGER_AXES], place = 0;
    for (int axis = LEDGER_AXES - 1; axis >= 0; axis--) {
        const int64_t n = ledger_extent(account->axis[axis], shape);
        at[axis] = i % n;
        i /= n;
    }
    for (int by = 0; by < LEDGER_AXES && account->by[by] != LEDGER_NONE; by++)
        for (int axis = 0; axis < LEDGER_AXES; axis++)
            if (account->axis[axis] == account->by[by])
                place = place * ledger_extent(account->by[by], shape) + at[axis];
    return (int)place;
}

/* An account of a batch: its numbers are in range, and its sums are what the table says. */
static void check_account(books *k, const tally *a, const ledger_account *account, int b)
{
    const int64_t n = ledger_numbers(account, &a->shape);
    const int64_t *value = n > 0 ? ledger_values(account, a) + b * n : NULL;
    int64_t n_places = n > 0 ? 1 : 0; /* one without places is not kept */
    double sum[MOST_PLACES] = {0.0};
    for (int by = 0; by < LEDGER_AXES; by++)
        n_places *= ledger_extent(account->by[by], &a->shape);
    assert(n_places <= MOST_PLACES);
    for (int64_t i = 0; i < n; i++) {
        in_range(k, account->name, value[i], account->is_signed);
        if (account->most)
            within(k, account->beside, (double)value[i], account->least(a, b, (int)i), account->most(a, b, (int)i));
        sum[n_places > 1 ? place_of(account, &a->shape, i) : 0] += (double)value[i];
    }
    for (int i = 0; account->expected && i < n_places; i++)
        compare(k, account->name, sum[i], account->expected(a, b, i), account->tolerance);
}

/* One that is kept for all batches together. */
static void check_all_batches(books *k, const tally *a, const ledger_account *account)
{
    const int64_t n = ledger_numbers(account, &a->shape);
    double expected = 0.0;
    if (n == 0)
        return; /* not kept */
    for (int b = 0; b < TALLY_BATCHES; b++)
        expected += account->expected(a, b, 0);
    compare(k, account->name, sum_of(k, account->name, n, ledger_values(account, a), 1), expected, account->tolerance);
}

/* ---- what is not one account's sum ---- */

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
                        (double)row[(r * TALLY_THIRDS + third) * TALLY_SIDES + side], in[third][side], LEDGER_ACTIVE);
    }
    for (int side = 0; side < 2; side++)
        compare(k, "the deposit by cell", on_side[side], (double)a->leaf_side[b][side], LEDGER_ACTIVE);
    compare(k, "the liquid by cell", liquid,
            (1.0 - l->nonvolatile) * (double)a->water[b][TALLY_LEAF] + l->nonvolatile * (double)a->fate[b][TALLY_LEAF],
            LEDGER_WATER);
    within(k, "the run-off", sum_of(k, "the run-off", 1, &l->run_off[b], 1), 0.0, (double)a->fate[b][TALLY_GROUND_ROW]);
}

/* The same of wood, which has no sides. */
static void check_wood(books *k, const tally *a, int b)
{
    const tally_leaves *l = a->leaves;
    const int64_t n = tally_leaves_cells(l);
    double active = 0.0, liquid = 0.0;
    for (int64_t i = 0; i < n; i++) {
        active += sum_of(k, "the wood by cell", 1, &l->wood[b * n + i].active, 1);
        liquid += sum_of(k, "the liquid on wood by cell", 1, &l->wood[b * n + i].liquid, 1);
    }
    compare(k, "the wood by cell", active, (double)a->fate[b][TALLY_WOOD], LEDGER_ACTIVE);
    compare(k, "the liquid on wood by cell", liquid,
            (1.0 - l->nonvolatile) * (double)a->water[b][TALLY_WOOD] + l->nonvolatile * (double)a->fate[b][TALLY_WOOD],
            LEDGER_WATER);
    within(k, "the run-off from wood", sum_of(k, "the run-off from wood", 1, &l->wood_run_off[b], 1), 0.0,
           (double)a->fate[b][TALLY_GROUND_ROW]);
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
    const range in = ground_between(a, b, s->edge_low_x_m, s->edge_high_x_m);
    const range low = ground_between(a, b, -INFINITY, s->edge_low_x_m);
    const range high = ground_between(a, b, s->edge_high_x_m, INFINITY);
    within(k, "the ground inside the block, by place,", inside, in.least, in.most);
    within(k, "the ground beside the block, by place,", s->downwind > 0 ? downwind : upwind, high.least, high.most);
    within(k, "the ground beside the block, by place,", s->downwind > 0 ? upwind : downwind, low.least, low.most);
}

/* An account whose last axis are the ends of the budget, beside the fates. */
static void check_ends(books *k, const tally *a, const char *what, int64_t n, const int64_t *value, int b)
{
    double found[TALLY_GROUPS] = {0.0}, expected[TALLY_GROUPS] = {0.0};
    for (int64_t i = 0; i < n; i++)
        found[tally_end_group((int)(i % TALLY_ENDS))] += (double)value[i];
    for (int f = 0; f < TALLY_FATES; f++)
        expected[tally_group_of((tally_fate)f)] += (double)a->fate[b][f];
    if (a->leaves) {
        const double dripped = (double)a->leaves->run_off[b] + (double)a->leaves->wood_run_off[b];
        expected[TALLY_TREES] += dripped;
        expected[TALLY_FLOOR] -= dripped;
    }
    for (int g = 0; g < TALLY_GROUPS && n > 0; g++)
        compare(k, what, found[g], expected[g], LEDGER_ACTIVE);
}

static void check_budget(books *k, const tally *a, int b)
{
    const int64_t n = (int64_t)TALLY_CLASSES * TALLY_ZONES * TALLY_FIRSTS * TALLY_ENDS;
    const int64_t n_ends = (int64_t)a->shape.n_passes * TALLY_ENDS;
    check_ends(k, a, "the budget, beside the fates,", n, &a->budget[b][0][0][0][0], b);
    check_ends(k, a, "the budget by pass, beside the fates,", n_ends, a->pass_end + b * n_ends, b);
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
        double through = 0.0;
        for (int i = 0; i < s->n_flux; i++)
            through += (double)flux[i];
        within(k, "the flux through a plane", through, beyond.least + gone, beyond.most + gone + anywhere);
    }
}

/* The voxels of a cell are side by side along the row. */
static void check_voxels(books *k, const tally *a)
{
    const tally_leaves *l = a->leaves;
    const int64_t n = tally_leaves_cells(l), ny = a->shape.n_voxels / n;
    for (int64_t i = 0; i < n; i++) {
        const int64_t *voxel = a->voxel + i / l->nx * ny * l->nx + i % l->nx;
        double in_cell = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++)
            in_cell += (double)l->cell[b * n + i].active[0] + (double)l->cell[b * n + i].active[1];
        const double of_cell = sum_of(k, "the deposit by voxel", ny, voxel, l->nx);
        compare(k, "the deposit by voxel, beside its cell,", of_cell, in_cell, LEDGER_ACTIVE);
    }
}

drupelet_status tally_check(const tally *accounts)
{
    books k = {base_ok(), 0.0};
    double all = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        k.emitted = (double)accounts->emitted[b][0];
        for (int i = 0; i < ledger_accounts; i++)
            if (!ledger[i].all_batches)
                check_account(&k, accounts, &ledger[i], b);
        check_ground(&k, accounts, b);
        check_flux(&k, accounts, b);
        if (accounts->leaves) {
            check_cells(&k, accounts, b);
            check_wood(&k, accounts, b);
        }
        check_budget(&k, accounts, b);
        all += k.emitted;
    }
    k.emitted = (double)accounts->to_emit;
    compare(&k, "what was emitted", all, k.emitted, LEDGER_ACTIVE);
    for (int i = 0; i < ledger_accounts; i++)
        if (ledger[i].all_batches)
            check_all_batches(&k, accounts, &ledger[i]);
    if (accounts->leaves && accounts->voxel)
        check_voxels(&k, accounts);
    return k.status;
}
