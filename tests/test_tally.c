/* tests/test_tally.c - accounts, shares, standard errors and drift. What a run fills, small_run() fills; accounts are
 * made up only where a sum needs numbers that no run gives: batches that emitted unequal amounts, numbers at the end of
 * their range, deposit at one place or everywhere the same. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "small_run.h"
#include "tally/leaves.h"
#include "tally/budget.h"
#include "tally/tally.h"

static const tally_shape SHAPE = {.n_rows = 2, .edge_low_x_m = -5.0, .edge_high_x_m = 2.0, .treated_width_m = 7.0,
                                  .domain_low_x_m = -105.0,
                                  .domain_high_x_m = 102.0, .downwind = 1, .n_ground = 414, .n_flux = 10,
                                  .plane_distance_m = {5.0, 10.0, 20.0, 50.0}, .n_voxels = 8};
static const int64_t EACH = TALLY_PARTS / TALLY_BATCHES;

static tally *empty(int downwind)
{
    tally *a;
    tally_shape shape = SHAPE;
    shape.downwind = downwind;
    assert_int_equal(tally_create(&shape, &a).code, DRUPELET_OK);
    for (int b = 0; b < TALLY_BATCHES; b++)
        a->emitted[b][0] = a->water_emitted[b][0] = EACH;
    return a;
}

static void a_share_and_its_error_come_from_the_batches(void **state)
{
    const tally *a = ((run_case *)*state)->outcome->accounts;
    for (int f = 0; f < TALLY_FATES; f++) {
        const tally_estimate e = tally_share(a, &a->fate[0][f], TALLY_FATES);
        double all = 0.0, emitted = 0.0, mean = 0.0, squares = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++) {
            all += (double)a->fate[b][f];
            emitted += (double)a->emitted[b][0];
            mean += (double)a->fate[b][f] / (double)a->emitted[b][0] / TALLY_BATCHES;
        }
        for (int b = 0; b < TALLY_BATCHES; b++)
            squares += pow((double)a->fate[b][f] / (double)a->emitted[b][0] - mean, 2.0);
        assert_close(e.share, all / emitted, 1e-12, 0.0);
        assert_close(e.error, sqrt(squares / (TALLY_BATCHES * (TALLY_BATCHES - 1.0))), 1e-9, 0.0); /* (12.1) */
    }
}

static void a_share_weighs_batches_by_what_they_emitted(void **state)
{
    (void)state;
    tally *a = empty(1);
    for (int b = 0; b < TALLY_BATCHES; b++) {
        a->emitted[b][0] = b < 16 ? 3000 : 1000;
        a->fate[b][TALLY_LEAF] = 300;
    }
    const tally_estimate e = tally_share(a, &a->fate[0][TALLY_LEAF], TALLY_FATES);
    assert_close(e.share, 600.0 / 4000.0, 1e-15, 0.0);
    assert_close(e.error, 0.1 / sqrt(31.0), 1e-12, 0.0); /* ratios 0.1 and 0.3 */
    a->emitted[31][0] = a->fate[31][TALLY_LEAF] = 0;     /* a batch that emitted nothing has no ratio */
    assert_close(tally_share(a, &a->fate[0][TALLY_LEAF], TALLY_FATES).share, 9300.0 / 63000.0, 1e-15, 0.0);
    tally_free(a);
}

static void sums_do_not_depend_on_the_order(void **state)
{
    (void)state;
    tally *part[3], *forth = empty(1), *back = empty(1);
    for (int k = 0; k < 3; k++) {
        part[k] = empty(1);
        for (int b = 0; b < TALLY_BATCHES; b++) {
            part[k]->fate[b][TALLY_LEAF] = 7919 * (k + 1) + b;
            part[k]->size_fate[b][k][TALLY_LEAF] = 11 * k + b;
            part[k]->row[b * 12 + k] = k - b;
            part[k]->ground[b * SHAPE.n_ground + 17 * k] = k + b;
            part[k]->flux[(b * TALLY_PLANES + 1) * SHAPE.n_flux + k] = -k;
            part[k]->impacts[b][TALLY_WOOD][k] = part[k]->stayed[b][TALLY_LEAF][k] = k + 1;
        }
    }
    for (int k = 0; k < 3; k++) {
        tally_add(forth, part[k]);
        tally_add(back, part[2 - k]);
    }
    assert_memory_equal(forth->fate, back->fate, TALLY_BATCHES * sizeof *forth->fate);
    assert_memory_equal(forth->size_fate, back->size_fate, TALLY_BATCHES * sizeof *forth->size_fate);
    assert_memory_equal(forth->row, back->row, TALLY_BATCHES * 12 * sizeof *forth->row);
    assert_memory_equal(forth->ground, back->ground, TALLY_BATCHES * 414 * sizeof *forth->ground);
    assert_memory_equal(forth->flux, back->flux, TALLY_BATCHES * TALLY_PLANES * 10 * sizeof *forth->flux);
    assert_int_equal(forth->fate[5][TALLY_LEAF], 7919 * 6 + 15);
    assert_int_equal(forth->flux[1 * SHAPE.n_flux + 2], -2);
    assert_int_equal(forth->impacts[0][TALLY_WOOD][2], 3);
    assert_int_equal(forth->stayed[0][TALLY_LEAF][1], 2);
    for (int k = 0; k < 3; k++)
        tally_free(part[k]);
    tally_free(forth);
    tally_free(back);
}

static void a_sum_out_of_range_is_found_and_does_not_wrap(void **state)
{
    (void)state;
    tally *a = empty(1), *b = empty(1);
    for (int i = 0; i < TALLY_BATCHES; i++) {
        a->fate[i][TALLY_WOOD] = a->size_fate[i][3][TALLY_WOOD] = a->water[i][TALLY_WOOD] = EACH;
        a->impacts[i][TALLY_WOOD][0] = a->size_impacts[i][TALLY_WOOD][3][0] = a->stayed[i][TALLY_WOOD][0] = EACH;
        a->budget[i][0][TALLY_ZONE_NEXT][TALLY_FIRST_HIT][TALLY_END_FIRST] = EACH;
        b->emitted[i][0] = b->water_emitted[i][0] = 0;
    }
    assert_int_equal(tally_check(a).code, DRUPELET_OK);
    int64_t *all = a->impacts[3][TALLY_LEAF], *sized = a->size_impacts[3][TALLY_LEAF][3];
    all[1] = sized[1] = INT64_MAX - 5;
    b->impacts[3][TALLY_LEAF][1] = b->size_impacts[3][TALLY_LEAF][3][1] = 6;
    tally_add(a, b);
    assert_true(all[1] == INT64_MAX && sized[1] == INT64_MAX);
    assert_non_null(strstr(tally_check(a).message, "impacts has an amount out of range"));
    all[1] = sized[1] = b->impacts[3][TALLY_LEAF][1] = b->size_impacts[3][TALLY_LEAF][3][1] = 0;
    a->flux[0] = INT64_MIN + 5;
    b->flux[0] = -6;
    tally_add(a, b);
    assert_true(a->flux[0] == INT64_MIN);
    assert_non_null(strstr(tally_check(a).message, "flux"));
    tally_free(a);
    tally_free(b);
}

static void bins_hold_what_lies_between_their_edges(void **state)
{
    (void)state;
    assert_close(tally_size_edge_m(0), 10e-6, 1e-12, 0.0);
    assert_close(tally_size_edge_m(TALLY_SIZES), 2000e-6, 1e-12, 0.0);
    for (int i = 0; i < TALLY_SIZES; i++) {
        assert_true(tally_size_edge_m(i) < tally_size_edge_m(i + 1));
        assert_int_equal(tally_size_bin(1.0001 * tally_size_edge_m(i)), i);
        assert_int_equal(tally_size_bin(0.9999 * tally_size_edge_m(i + 1)), i);
    }
    assert_int_equal(tally_size_bin(1e-6), 0);
    assert_int_equal(tally_size_bin(0.1), TALLY_SIZES - 1);
    assert_int_equal(tally_ground_bin(&SHAPE, -105.0), 0);
    assert_int_equal(tally_ground_bin(&SHAPE, 2.1), 214);
    assert_int_equal(tally_ground_bin(&SHAPE, -1e9), 0);
    assert_int_equal(tally_ground_bin(&SHAPE, 1e9), 413);
    assert_close(tally_ground_edge_x_m(&SHAPE, 214, 0), 2.0, 0.0, 1e-12);
    assert_close(tally_ground_edge_x_m(&SHAPE, 413, 1), 102.0, 0.0, 1e-12);
}

/* An eighth of the output lies on the strip from 10 to 10.5 m downwind, a sixteenth left downwind. */
static void drift_beyond(int downwind)
{
    tally *a = empty(downwind);
    const double x_m = tally_x_m(&a->shape, 10.25);
    assert_close(tally_distance_m(&a->shape, x_m), 10.25, 0.0, 1e-12);
    assert_close(x_m, downwind > 0 ? 12.25 : -15.25, 0.0, 1e-12);
    for (int b = 0; b < TALLY_BATCHES; b++) {
        a->ground[b * SHAPE.n_ground + tally_ground_bin(&a->shape, x_m)] = EACH / 8;
        a->fate[b][TALLY_AIR_DOWNWIND] = EACH / 16;
    }
    assert_close(tally_drift_sum(a, 5.0).share, 0.1875, 1e-14, 0.0);
    assert_close(tally_drift_sum(a, 10.0).share, 0.1875, 1e-14, 0.0);
    assert_close(tally_drift_sum(a, 10.25).share, 0.125, 1e-13, 0.0); /* half of the strip lies beyond */
    assert_close(tally_drift_sum(a, 10.5).share, 0.0625, 1e-14, 0.0);
    assert_close(tally_drift_sum(a, 10.5).error, 0.0, 0.0, 1e-15);    /* every batch says the same */
    assert_true(isnan(tally_drift_sum(a, 100.5).share));              /* the domain ends at 100 m */
    assert_close(tally_ground_between(a, x_m - 0.25, x_m + 0.25).share, 0.125, 1e-14, 0.0);
    /* an eighth of what 7 m of treated width got, on half a metre: 0.125 * 7 / 0.5 of the rate */
    assert_close(tally_ground_of_rate(a, x_m - 0.25, x_m + 0.25).share, 1.75, 1e-13, 0.0);
    assert_true(isnan(tally_ground_of_rate(a, 200.0, 201.0).share));
    tally_free(a);
}

static void drift_is_what_lies_beyond_or_left_downwind(void **state)
{
    (void)state;
    drift_beyond(1);
    drift_beyond(-1);
}

static void an_even_cover_of_the_treated_area_is_the_rate(void **state)
{
    (void)state;
    tally *a = empty(1);
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (double x_m = -4.75; x_m < 2.0; x_m += 0.5)
            a->ground[b * SHAPE.n_ground + tally_ground_bin(&SHAPE, x_m)] = EACH / 14; /* 14 strips of half a metre */
    assert_close(tally_ground_of_rate(a, -5.0, 2.0).share, 1.0, 1e-12, 0.0);
    assert_close(tally_ground_of_rate(a, -3.3, -1.1).share, 1.0, 1e-12, 0.0);
    assert_close(tally_ground_of_rate(a, 2.0, 3.0).share, 0.0, 0.0, 1e-15);
    tally_free(a);
}

static void rows_thirds_and_sides_add_up(void **state)
{
    const tally *a = ((run_case *)*state)->outcome->accounts;
    const double leaf = tally_share(a, &a->fate[0][TALLY_LEAF], TALLY_FATES).share;
    double third[TALLY_THIRDS][TALLY_SIDES] = {{0.0}}, rows = 0.0;
    assert_close(tally_row(a, -1, -1, -1).share, leaf, 1e-12, 0.0);
    for (int r = 0; r < a->shape.n_rows; r++) {
        double row = 0.0;
        for (int t = 0; t < TALLY_THIRDS; t++)
            for (int s = 0; s < TALLY_SIDES; s++) {
                const int64_t *cell = &a->row[(r * TALLY_THIRDS + t) * TALLY_SIDES + s];
                const int64_t stride = (int64_t)a->shape.n_rows * TALLY_THIRDS * TALLY_SIDES;
                const double part = tally_row(a, r, t, s).share;
                assert_close(part, tally_share(a, cell, stride).share, 1e-12, 0.0);
                third[t][s] += part;
                row += part;
            }
        assert_close(tally_row(a, r, -1, -1).share, row, 1e-12, 0.0);
        rows += row;
    }
    for (int t = 0; t < TALLY_THIRDS; t++)
        for (int s = 0; s < TALLY_SIDES; s++)
            assert_close(tally_row(a, -1, t, s).share, third[t][s], 1e-12, 0.0);
    assert_close(rows, leaf, 1e-12, 0.0);
}

static void a_run_that_emitted_half_is_found(void **state)
{
    tally *a = ((run_case *)*state)->outcome->accounts;
    a->to_emit *= 2; /* of what it set out to emit */
    const drupelet_status status = tally_check(a);
    a->to_emit /= 2;
    assert_int_equal(status.code, DRUPELET_BALANCE);
    assert_non_null(strstr(status.message, "what was emitted is off by -0.5"));
}

static void the_public_door_tells_the_same(void **state)
{
    const drupelet_result *r = ((run_case *)*state)->result;
    double sum = 0.0;
    for (int f = 0; f < DRUPELET_FATES; f++) {
        const drupelet_share share = drupelet_result_fate(r, (drupelet_fate)f);
        const tally_estimate e = tally_share(r->outcome->accounts, &r->outcome->accounts->fate[0][f], TALLY_FATES);
        assert_close(share.share, e.share, 0.0, 0.0);
        assert_close(share.standard_error, e.error, 0.0, 0.0);
        sum += share.share;
    }
    assert_close(sum, 1.0, 1e-9, 0.0);
    double water = drupelet_result_evaporated(r).share;
    assert_true(water > 0.01 && water < 0.9);
    for (int f = 0; f < TALLY_FATES; f++)
        water += tally_water(r->outcome->accounts, (tally_fate)f).share;
    assert_close(water, 1.0, 1e-5, 0.0);
    /* beyond the edge: all of the ground downwind and all that left downwind */
    assert_close(drupelet_result_drift_sum(r, 0.0).share,
                 drupelet_result_fate(r, DRUPELET_FATE_GROUND_DOWNWIND).share
                     + drupelet_result_fate(r, DRUPELET_FATE_AIR_DOWNWIND).share,
                 1e-12, 0.0);
    assert_true(drupelet_result_drift_sum(r, 5.0).share > drupelet_result_drift_sum(r, 50.0).share);
    /* metre by metre the ground deposit adds up to the drift between the distances */
    double between = 0.0;
    for (double d_m = 5.5; d_m < 20.0; d_m += 1.0)
        between += drupelet_result_ground_deposit(r, d_m).share * 1.0 / 28.0; /* 8 rows, 3.5 m apart */
    assert_close(between, drupelet_result_drift_sum(r, 5.0).share - drupelet_result_drift_sum(r, 20.0).share,
                 1e-12, 0.0);
    assert_true(isnan(drupelet_result_drift_sum(r, 1000.0).share));
    assert_true(isnan(drupelet_result_fate(r, DRUPELET_FATES).share));
    assert_true(strlen(drupelet_version()) >= 5);
    assert_non_null(strstr(drupelet_caution(), "label"));
}

static void freeing_nothing_is_fine(void **state)
{
    (void)state;
    tally_free(NULL);
    drupelet_result_free(NULL);
    assert_string_equal(tally_fate_name(TALLY_ALOFT), "aloft");
    for (int f = 0; f < TALLY_FATES; f++)
        assert_true(strlen(tally_fate_name(f)) > 0 && strlen(tally_fate_label(f)) > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_share_and_its_error_come_from_the_batches),
        cmocka_unit_test(a_share_weighs_batches_by_what_they_emitted),
        cmocka_unit_test(sums_do_not_depend_on_the_order),
        cmocka_unit_test(a_sum_out_of_range_is_found_and_does_not_wrap),
        cmocka_unit_test(bins_hold_what_lies_between_their_edges),
        cmocka_unit_test(drift_is_what_lies_beyond_or_left_downwind),
        cmocka_unit_test(an_even_cover_of_the_treated_area_is_the_rate),
        cmocka_unit_test(rows_thirds_and_sides_add_up),
        cmocka_unit_test(a_run_that_emitted_half_is_found),
        cmocka_unit_test(the_public_door_tells_the_same),
        cmocka_unit_test(freeing_nothing_is_fine),
    };
    return cmocka_run_group_tests(tests, small_run_set_up, small_run_tear_down);
}
