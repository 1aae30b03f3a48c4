/* sim/tally/ledger.c - the accounts of a run, and what follows from their table: making, adding, ending. */
#include "tally/ledger.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "tally/leaves.h"

/* ---- what the accounts close to ---- */

static double emitted(const tally *a, int b, int i)
{
    (void)i;
    return (double)a->emitted[b][0];
}

/* Below 0 where cold droplets took on water. */
static double not_evaporated(const tally *a, int b, int i)
{
    (void)i;
    return (double)a->water_emitted[b][0] - (double)a->evaporated[b][0];
}

static double evaporated(const tally *a, int b, int i)
{
    (void)i;
    return (double)a->evaporated[b][0];
}

static double fate(const tally *a, int b, int i)
{
    return (double)a->fate[b][i];
}

static double on_leaves(const tally *a, int b, int i)
{
    (void)i;
    return (double)a->fate[b][TALLY_LEAF];
}

static double on_ground(const tally *a, int b, int i)
{
    (void)i;
    return (double)a->fate[b][TALLY_GROUND_ALLEY] + (double)a->fate[b][TALLY_GROUND_ROW]
           + (double)a->fate[b][TALLY_GROUND_DOWNWIND] + (double)a->fate[b][TALLY_GROUND_UPWIND];
}

static double impacts(const tally *a, int b, int i)
{
    return (double)a->impacts[b][i / TALLY_OUTCOMES][i % TALLY_OUTCOMES];
}

/* All of an impact's droplets stay where they adhere. */
static double adhered(const tally *a, int b, int i)
{
    return i % TALLY_OUTCOMES == DROPLET_ADHERES ? impacts(a, b, i) : 0.0;
}

/* A collector catches nothing less than nothing; net, more may come from behind. */
static double least_caught(const tally *a, int b, int i)
{
    (void)a, (void)b;
    return i % TALLY_CATCHES == TALLY_NET ? -INFINITY : 0.0;
}

static double no_most(const tally *a, int b, int i)
{
    (void)a, (void)b, (void)i;
    return INFINITY;
}

/* What is on the target now, and what has dripped from it since. */
static double came_to_rest(const tally *a, int b, int i)
{
    if (!a->leaves) return (double)a->fate[b][i];
    return (double)a->fate[b][i] + (double)(i == TALLY_LEAF ? a->leaves->run_off[b] : a->leaves->wood_run_off[b]);
}

/* ---- the table ---- */

/* In this order they are checked, and the first that does not close is named. */
const ledger_account ledger[] = {
    {.name = "what was emitted", .at = offsetof(tally, emitted)},
    {.name = "the water evaporated", .at = offsetof(tally, evaporated), .is_signed = true},
    {.name = "the active ingredient by fate", .at = offsetof(tally, fate), .axis = {LEDGER_FATE},
     .expected = emitted, .tolerance = LEDGER_ACTIVE},
    {.name = "the water emitted", .at = offsetof(tally, water_emitted),
     .expected = emitted, .tolerance = LEDGER_ACTIVE}, /* droplets leave their nozzles whole */
    {.name = "the water by fate and evaporated", .at = offsetof(tally, water), .axis = {LEDGER_FATE},
     .expected = not_evaporated, .tolerance = LEDGER_WATER},
    {.name = "the water evaporated by size", .at = offsetof(tally, size_evaporated), .axis = {LEDGER_SIZE},
     .is_signed = true, .expected = evaporated, .tolerance = LEDGER_ACTIVE},
    {.name = "the fate by size", .at = offsetof(tally, size_fate), .axis = {LEDGER_SIZE, LEDGER_FATE},
     .by = {LEDGER_FATE}, .expected = fate, .tolerance = LEDGER_ACTIVE},
    {.name = "the number of impacts", .at = offsetof(tally, impacts), .axis = {LEDGER_TARGET, LEDGER_OUTCOME}},
    {.name = "the number of impacts by size", .at = offsetof(tally, size_impacts),
     .axis = {LEDGER_TARGET, LEDGER_SIZE, LEDGER_OUTCOME}, .by = {LEDGER_TARGET, LEDGER_OUTCOME},
     .expected = impacts, .tolerance = LEDGER_ACTIVE},
    {.name = "what stayed at impacts", .at = offsetof(tally, stayed), .axis = {LEDGER_TARGET, LEDGER_OUTCOME},
     .by = {LEDGER_TARGET}, .expected = came_to_rest, .tolerance = LEDGER_ACTIVE,
     .beside = "what stayed at impacts, beside the impacts,", .least = adhered, .most = impacts},
    {.name = "the deposit by leaf side", .at = offsetof(tally, leaf_side), .axis = {LEDGER_LEAF_SIDE},
     .expected = on_leaves, .tolerance = LEDGER_ACTIVE},
    {.name = "the deposit by row", .at = offsetof(tally, row), .axis = {LEDGER_ROW, LEDGER_THIRD, LEDGER_SIDE},
     .expected = on_leaves, .tolerance = LEDGER_ACTIVE},
    {.name = "the ground by place", .at = offsetof(tally, ground), .axis = {LEDGER_GROUND},
     .expected = on_ground, .tolerance = LEDGER_ACTIVE},
    {.name = "the flux through a plane", .at = offsetof(tally, flux), .axis = {LEDGER_PLANE, LEDGER_HEIGHT},
     .is_signed = true},
    {.name = "the budget by size and zone", .at = offsetof(tally, budget),
     .axis = {LEDGER_CLASS, LEDGER_ZONE, LEDGER_FIRST, LEDGER_END}, .expected = emitted, .tolerance = LEDGER_ACTIVE},
    {.name = "the budget by pass", .at = offsetof(tally, pass_end), .axis = {LEDGER_PASS, LEDGER_END},
     .expected = emitted, .tolerance = LEDGER_ACTIVE},
    {.name = "what collectors caught", .at = offsetof(tally, caught), .axis = {LEDGER_PIECE, LEDGER_CATCH},
     .is_signed = true, .beside = "what collectors caught", .least = least_caught, .most = no_most},
    {.name = "the deposit by voxel", .at = offsetof(tally, voxel), .axis = {LEDGER_VOXEL}, .all_batches = true,
     .expected = on_leaves, .tolerance = LEDGER_ACTIVE},
};
const int ledger_accounts = sizeof ledger / sizeof ledger[0];

int64_t ledger_extent(ledger_axis axis, const tally_shape *shape)
{
    switch (axis) {
    case LEDGER_NONE: break;
    case LEDGER_FATE: return TALLY_FATES;
    case LEDGER_SIZE: return TALLY_SIZES;
    case LEDGER_LEAF_SIDE: return 2;
    case LEDGER_ROW: return shape->n_rows;
    case LEDGER_THIRD: return TALLY_THIRDS;
    case LEDGER_SIDE: return TALLY_SIDES;
    case LEDGER_GROUND: return shape->n_ground;
    case LEDGER_PLANE: return TALLY_PLANES;
    case LEDGER_HEIGHT: return shape->n_flux;
    case LEDGER_TARGET: return TALLY_TARGETS;
    case LEDGER_OUTCOME: return TALLY_OUTCOMES;
    case LEDGER_CLASS: return TALLY_CLASSES;
    case LEDGER_ZONE: return TALLY_ZONES;
    case LEDGER_FIRST: return TALLY_FIRSTS;
    case LEDGER_END: return TALLY_ENDS;
    case LEDGER_PASS: return shape->n_passes;
    case LEDGER_PIECE: return shape->n_pieces;
    case LEDGER_CATCH: return TALLY_CATCHES;
    case LEDGER_VOXEL: return shape->n_voxels;
    }
    return 1;
}

int64_t ledger_numbers(const ledger_account *account, const tally_shape *shape)
{
    int64_t n = 1;
    for (int k = 0; k < LEDGER_AXES; k++)
        n *= ledger_extent(account->axis[k], shape);
    return n;
}

static int64_t all_numbers(const ledger_account *account, const tally_shape *shape)
{
    return (account->all_batches ? 1 : TALLY_BATCHES) * ledger_numbers(account, shape);
}

int64_t *ledger_values(const ledger_account *account, const tally *accounts)
{
    int64_t *values; /* copied as bytes: the members point to rows of several lengths */
    memcpy(&values, (const char *)accounts + account->at, sizeof values);
    return values;
}

/* ---- making and adding ---- */

drupelet_status tally_create(const tally_shape *shape, tally **accounts)
{
    assert(shape->n_rows > 0 && shape->n_ground > 0 && shape->n_flux > 0 && shape->n_voxels >= 0);
    assert(shape->downwind == 1 || shape->downwind == -1);
    *accounts = NULL;
    tally *a = calloc(1, sizeof *a);
    if (!a)
        return base_error(DRUPELET_MEMORY, "no memory for the accounts");
    a->shape = *shape;
    a->to_emit = TALLY_PARTS;
    for (int i = 0; i < ledger_accounts; i++) {
        const int64_t n = all_numbers(&ledger[i], shape);
        int64_t *values = n > 0 ? calloc((size_t)n, sizeof *values) : NULL;
        if (n > 0 && !values) {
            tally_free(a);
            return base_error(DRUPELET_MEMORY, "no memory for the accounts");
        }
        memcpy((char *)a + ledger[i].at, &values, sizeof values);
    }
    *accounts = a;
    return base_ok();
}

void tally_free(tally *accounts)
{
    if (!accounts)
        return;
    for (int i = 0; i < ledger_accounts; i++)
        free(ledger_values(&ledger[i], accounts));
    tally_leaves_free(accounts->leaves);
    free(accounts);
}

int64_t tally_sum(int64_t a, int64_t b)
{
    if (b > 0 && a > INT64_MAX - b)
        return INT64_MAX;
    if (b < 0 && a < INT64_MIN - b)
        return INT64_MIN;
    return a + b;
}

void tally_add(tally *sum, const tally *more)
{
    const tally_shape *s = &sum->shape;
    assert(s->n_rows == more->shape.n_rows && s->n_ground == more->shape.n_ground && s->n_flux == more->shape.n_flux);
    assert(s->n_pieces == more->shape.n_pieces && s->n_passes == more->shape.n_passes);
    assert(more->shape.n_voxels == 0 || more->shape.n_voxels == s->n_voxels);
    for (int i = 0; i < ledger_accounts; i++) {
        int64_t *to = ledger_values(&ledger[i], sum);
        const int64_t *from = ledger_values(&ledger[i], more);
        const int64_t n = from ? all_numbers(&ledger[i], s) : 0;
        for (int64_t k = 0; k < n; k++)
            to[k] = tally_sum(to[k], from[k]);
    }
    if (more->leaves)
        tally_leaves_merge(sum->leaves, more->leaves);
}
