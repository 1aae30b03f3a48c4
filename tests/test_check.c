/* tests/test_check.c - a run's books close, and every account that has a sum elsewhere is found where it does not. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "droplet/droplet.h"
#include "small_run.h"
#include "tally/budget.h"
#include "tally/leaves.h"

#define EACH (TALLY_PARTS / TALLY_BATCHES) /* that a batch emits */
#define SMALL 1e-8                         /* of it: above the tolerance of the active ingredient */
#define WET 1e-4                           /* above that of water */

/* One fault: by how much which accounts are wrong together, and what is said of it. */
enum { TOGETHER = 4 };
typedef struct {
    const char *says;
    double share; /* of what a batch emits */
    struct { int64_t *account; int times; } wrong[TOGETHER];
} fault;

static void disturb(const fault *f, double share)
{
    for (int k = 0; k < TOGETHER && f->wrong[k].account; k++)
        *f->wrong[k].account += f->wrong[k].times * (int64_t)(share * (double)EACH);
}

/* The first cell from i on, in a batch and on a side of its leaves, that holds something. */
static int64_t cell_with(const tally_leaves *l, int b, int64_t i, int side)
{
    while (l->cell[b * tally_leaves_cells(l) + i].active[side] < EACH / 1000000)
        i++;
    return i;
}

static int64_t largest_bin(const tally *a, int b, double from_x_m, double to_x_m)
{
    int64_t most = 0;
    int best = -1;
    for (int i = 0; i < a->shape.n_ground; i++) {
        const double low_m = tally_ground_edge_x_m(&a->shape, i, 0), high_m = tally_ground_edge_x_m(&a->shape, i, 1);
        const int64_t here = a->ground[b * a->shape.n_ground + i];
        if (low_m > from_x_m && high_m < to_x_m && here > most) {
            most = here;
            best = i;
        }
    }
    assert_true(best >= 0);
    return b * a->shape.n_ground + best;
}

/* What the bins that reach into the block, or touch it, hold of the ground outside. */
static double outside_in_its_bins(const tally *a, int b)
{
    const double touch_m = 1e-3;
    int64_t parts = -a->fate[b][TALLY_GROUND_ALLEY] - a->fate[b][TALLY_GROUND_ROW];
    for (int i = 0; i < a->shape.n_ground; i++)
        if (tally_ground_edge_x_m(&a->shape, i, 1) > a->shape.edge_low_x_m - touch_m
            && tally_ground_edge_x_m(&a->shape, i, 0) < a->shape.edge_high_x_m + touch_m)
            parts += a->ground[b * a->shape.n_ground + i];
    return (double)parts / (double)EACH;
}

/* Two places of a row's accounts: the middle third of row 3, bottom third of row 5 of a batch. */
static int64_t row_place(const tally *a, int b, int row, int third)
{
    return ((int64_t)(b * a->shape.n_rows + row) * TALLY_THIRDS + third) * TALLY_SIDES;
}

static void every_fault_is_found(void **state)
{
    tally *a = ((run_case *)*state)->outcome->accounts;
    const tally_shape *s = &a->shape;
    tally_leaves *l = a->leaves;
    enum { LEAF = TALLY_LEAF, WOOD = TALLY_WOOD, STUCK = DROPLET_ADHERES, SPLASHED = DROPLET_SHATTERS };
    const int64_t n = tally_leaves_cells(l), ny = s->n_voxels / n;
    /* two cells of batch 4 that lie side by side, in one third and half of a row */
    const int64_t here = cell_with(l, 4, (int64_t)(l->nz / 2) * l->nx, 1);
    const int64_t there = here % l->nx > 0 && here % l->nx != l->nx / 2 ? here - 1 : here + 1;
    tally_cell *cell = l->cell + 4 * n;
    int64_t *voxel = a->voxel + here / l->nx * ny * l->nx + here % l->nx,
            *other_voxel = a->voxel + there / l->nx * ny * l->nx + there % l->nx;
    const double third_m = (s->edge_high_x_m - s->edge_low_x_m) / 3.0; /* one bin alone may hold too little */
    int64_t inside[3];
    for (int k = 0; k < 3; k++)
        inside[k] = largest_bin(a, 6, s->edge_low_x_m + k * third_m, s->edge_low_x_m + (k + 1) * third_m);
    const int64_t outside = largest_bin(a, 6, s->edge_high_x_m, s->domain_high_x_m);
    const double all_under = 1.01 * (double)a->fate[9][TALLY_GROUND_ROW] / (double)EACH;
    const double above = ((double)a->fate[5][TALLY_AIR_ABOVE] + (double)a->fate[5][TALLY_ALOFT]) / (double)EACH;
    int drifts = 0; /* of which size most of what lies downwind is */
    for (int i = 0; i < TALLY_SIZES; i++)
        if (a->size_fate[6][i][TALLY_GROUND_DOWNWIND] > a->size_fate[6][drifts][TALLY_GROUND_DOWNWIND])
            drifts = i;
    const fault faults[] = {
        {"active ingredient by fate", SMALL, {{&a->emitted[0][0], 1}}},
        {"active ingredient by fate", SMALL, {{&a->fate[3][TALLY_GROUND_ALLEY], 1}}},
        {"active ingredient by fate", SMALL, {{&a->fate[31][TALLY_AIR_ABOVE], -1}}},
        {"fate by size", SMALL, {{&a->fate[3][TALLY_AIR_ABOVE], -1}, {&a->fate[3][TALLY_AIR_DOWNWIND], 1}}},
        {"fate by size", SMALL, {{&a->size_fate[2][12][LEAF], 1}}},
        {"what was emitted", 1e-6, {{&a->to_emit, 1}}},
        {"the water emitted", SMALL, {{&a->water_emitted[8][0], 1}}},
        {"the water by fate and evaporated", WET, {{&a->water[7][TALLY_GROUND_ALLEY], 1}}},
        {"the water by fate and evaporated", WET, {{&a->evaporated[7][0], -1}}},
        {"the water evaporated by size", SMALL, {{&a->size_evaporated[7][4], 1}}},
        {"impacts by size", SMALL, {{&a->impacts[1][LEAF][SPLASHED], 1}}},
        {"impacts by size", SMALL, {{&a->size_impacts[1][WOOD][13][STUCK], 1}}},
        {"impacts by size", SMALL, {{&a->impacts[1][LEAF][STUCK], 1}, {&a->impacts[1][WOOD][STUCK], -1}}},
        {"stayed at impacts, beside the impacts", SMALL,
         {{&a->impacts[1][LEAF][STUCK], 1}, {&a->size_impacts[1][LEAF][13][STUCK], 1}}},
        {"stayed at impacts, beside the impacts", SMALL,
         {{&a->stayed[1][LEAF][STUCK], -1}, {&a->stayed[1][LEAF][SPLASHED], 1}}},
        {"stayed at impacts, beside the impacts", 0.9, {{&a->stayed[1][WOOD][SPLASHED], 1}}},
        {"what stayed at impacts is", SMALL, {{&a->stayed[1][LEAF][SPLASHED], 1}}},
        {"what stayed at impacts is", SMALL, {{&l->run_off[12], 1}}},
        {"the run-off", all_under,
         {{&l->run_off[9], 1}, {&a->stayed[9][LEAF][SPLASHED], 1}, {&a->impacts[9][LEAF][SPLASHED], 1},
          {&a->size_impacts[9][LEAF][14][SPLASHED], 1}}},
        {"what stayed at impacts is", SMALL, {{&l->wood_run_off[12], 1}}},
        {"the wood by cell", SMALL, {{&l->wood[tally_leaves_cells(l) + 77].active, 1}}},
        {"the liquid on wood by cell", WET, {{&l->wood[tally_leaves_cells(l) + 77].liquid, 1}}},
        {"leaf side", SMALL, {{&a->leaf_side[9][1], 1}}},
        {"the deposit by cell", SMALL, {{&a->leaf_side[9][1], -1}, {&a->leaf_side[9][0], 1}}},
        {"the deposit by row", SMALL, {{&a->row[row_place(a, 5, 3, 1)], 1}}},
        {"by row, beside its cells", SMALL,
         {{&a->row[row_place(a, 5, 3, 1)], -1}, {&a->row[row_place(a, 5, 5, 0)], 1}}},
        {"by row, beside its cells", SMALL, {{&cell[here].active[1], 1}}},
        {"by voxel, beside its cell", 32 * SMALL, {{&cell[here].active[1], -1}, {&cell[there].active[1], 1}}},
        {"the deposit by voxel is", 32 * SMALL, {{voxel, 1}}},
        {"by voxel, beside its cell", 32 * SMALL, {{voxel, -1}, {other_voxel, 1}}},
        {"the liquid by cell", WET, {{&cell[here].liquid[1], 1}}},
        {"the liquid by cell", WET, {{&a->water[4][LEAF], 1}, {&a->water[4][WOOD], -1}}},
        {"the droplets seen", 5e4, {{&cell[here].seen[0], 1}}},
        {"the budget by size and zone", SMALL, {{&a->budget[2][3][0][0][TALLY_END_FLOOR], 1}}},
        {"the budget by pass", SMALL, {{&a->pass_end[2 * s->n_passes * TALLY_ENDS + TALLY_END_FLOOR], 1}}},
        {"the budget, beside the fates", SMALL,
         {{&a->budget[2][3][0][0][TALLY_END_FLOOR], 1}, {&a->budget[2][3][0][0][TALLY_END_AIRBORNE], -1}}},
        {"the budget by pass, beside the fates", SMALL,
         {{&a->pass_end[2 * s->n_passes * TALLY_ENDS + TALLY_END_FLOOR], 1},
          {&a->pass_end[2 * s->n_passes * TALLY_ENDS + TALLY_END_AIRBORNE], -1}}},
        {"the ground by place", SMALL, {{&a->ground[8 * s->n_ground + 240], 1}}},
        {"the ground inside the block", SMALL + 0.34 * outside_in_its_bins(a, 6),
         {{&a->ground[inside[0]], -1}, {&a->ground[inside[1]], -1}, {&a->ground[inside[2]], -1},
          {&a->ground[outside], 3}}},
        {"the ground beside the block", 1e-3,
         {{&a->fate[6][TALLY_GROUND_UPWIND], 1}, {&a->fate[6][TALLY_GROUND_DOWNWIND], -1},
          {&a->size_fate[6][drifts][TALLY_GROUND_UPWIND], 1}, {&a->size_fate[6][drifts][TALLY_GROUND_DOWNWIND], -1}}},
        {"the flux through a plane", SMALL + 1.1 * above, {{&a->flux[5 * TALLY_PLANES * s->n_flux + 3], -1}}},
        {"the flux through a plane", 1e-2 + above, {{&a->flux[(5 * TALLY_PLANES + 1) * s->n_flux + 3], 1}}},
    };
    assert_int_equal(tally_check(a).code, DRUPELET_OK);
    assert_string_equal(tally_check(a).message, "");
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
        const fault *f = &faults[i];
        if (f->share == SMALL) { /* rounding may be so much */
            disturb(f, 1e-12);
            assert_int_equal(tally_check(a).code, DRUPELET_OK);
            disturb(f, -1e-12);
        }
        disturb(f, f->share);
        const drupelet_status status = tally_check(a);
        disturb(f, -f->share);
        if (status.code != DRUPELET_BALANCE || !strstr(status.message, f->says))
            print_error("fault %zu, %s: %s\n", i, f->says, status.message);
        assert_int_equal(status.code, DRUPELET_BALANCE);
        assert_non_null(strstr(status.message, f->says));
    }
    assert_int_equal(tally_check(a).code, DRUPELET_OK);
}

/* No account may be negative or at the end of its range, also one that has no sum elsewhere. */
static void an_amount_out_of_range_is_found(void **state)
{
    tally *a = ((run_case *)*state)->outcome->accounts;
    tally_cell *cell = &a->leaves->cell[77];
    int64_t *const account[] = {
        &a->emitted[4][0], &a->fate[3][TALLY_WOOD], &a->water[3][TALLY_WOOD], &a->water_emitted[4][0],
        &a->size_fate[2][12][TALLY_LEAF], &a->impacts[2][TALLY_WOOD][0], &a->size_impacts[2][TALLY_LEAF][12][1],
        &a->stayed[2][TALLY_LEAF][1], &a->leaf_side[2][1], &a->row[row_place(a, 5, 3, 1)], &a->ground[100],
        &a->voxel[500], &cell->active[0], &cell->liquid[0], &cell->stain[1], &cell->number[1], &cell->seen[0],
        &a->leaves->run_off[7], &a->leaves->wood[77].active, &a->leaves->wood[77].liquid,
        &a->leaves->wood_run_off[7]};
    for (size_t i = 0; i < sizeof account / sizeof account[0]; i++) {
        static const int64_t bad[] = {-1, INT64_MAX};
        for (size_t k = 0; k < sizeof bad / sizeof bad[0]; k++) {
            const int64_t kept = *account[i];
            *account[i] = bad[k];
            const drupelet_status status = tally_check(a);
            *account[i] = kept;
            if (status.code != DRUPELET_BALANCE)
                print_error("account %zu at %lld passes\n", i, (long long)bad[k]);
            assert_int_equal(status.code, DRUPELET_BALANCE);
        }
    }
    static const int64_t bad[] = {INT64_MIN, INT64_MAX}; /* these two may be negative */
    for (size_t k = 0; k < sizeof bad / sizeof bad[0]; k++) {
        const int64_t flux = a->flux[3], vapour = a->evaporated[3][0];
        a->flux[3] = bad[k];
        assert_non_null(strstr(tally_check(a).message, "flux through a plane has an amount out of range"));
        a->flux[3] = flux;
        a->evaporated[3][0] = bad[k];
        assert_non_null(strstr(tally_check(a).message, "evaporated has an amount out of range"));
        a->evaporated[3][0] = vapour;
    }
    assert_int_equal(tally_check(a).code, DRUPELET_OK);
}

static void a_wind_the_other_way_closes_too(void **state)
{
    (void)state;
    run_case *back = small_run(-1);
    tally *a = back->outcome->accounts;
    assert_true(a->shape.downwind < 0);
    assert_int_equal(tally_check(a).code, DRUPELET_OK);
    const int64_t outside = largest_bin(a, 6, a->shape.domain_low_x_m, a->shape.edge_low_x_m);
    const int64_t inside = largest_bin(a, 6, a->shape.edge_low_x_m, a->shape.edge_high_x_m);
    a->ground[inside] -= EACH / 100;
    a->ground[outside] += EACH / 100;
    assert_non_null(strstr(tally_check(a).message, "the ground inside the block"));
    small_run_end(back);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_fault_is_found),
        cmocka_unit_test(an_amount_out_of_range_is_found),
        cmocka_unit_test(a_wind_the_other_way_closes_too),
    };
    return cmocka_run_group_tests(tests, small_run_set_up, small_run_tear_down);
}
