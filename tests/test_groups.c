/* tests/test_groups.c - fates taken together, outcomes by size, and their way through the result file. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/moist_air.h"
#include "check.h"
#include "droplet/droplet.h"
#include "result/columns.h"
#include "small_run.h"
#include "store/store.h"
#include "tally/groups.h"

static void every_fate_is_in_one_group(void **state)
{
    (void)state;
    run_case *run = small_run(1);
    const tally *a = run->outcome->accounts;
    double sum = 0.0;
    for (int g = 0; g < TALLY_GROUPS; g++) {
        double parts = 0.0;
        for (int f = 0; f < TALLY_FATES; f++)
            parts += tally_group_of((tally_fate)f) == (tally_group)g
                         ? tally_share(a, &a->fate[0][f], TALLY_FATES).share : 0.0;
        assert_close(tally_together(a, (tally_group)g).share, parts, 1e-12, 1e-15);
        sum += parts;
    }
    assert_close(sum, 1.0, 1e-9, 0.0);
    small_run_end(run);
}

/* Mean and standard error of a share that a function tells batch by batch, worked out here from their definition. */
typedef double (*of_batch)(const tally *a, int b);
static tally_estimate by_batches(const tally *a, of_batch share)
{
    double mean = 0.0, squares = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++)
        mean += share(a, b) / TALLY_BATCHES;
    for (int b = 0; b < TALLY_BATCHES; b++)
        squares += (share(a, b) - mean) * (share(a, b) - mean);
    return (tally_estimate){mean, sqrt(squares / (TALLY_BATCHES - 1) / TALLY_BATCHES)};
}

static double on_trees(const tally *a, int b)
{
    return (double)(a->fate[b][TALLY_LEAF] + a->fate[b][TALLY_WOOD]) / (double)a->emitted[b][0];
}

/* What lands on leaves does not land on wood: the error of the sum is not that of independent parts. */
static void the_error_of_a_sum_is_its_own(void **state)
{
    (void)state;
    run_case *run = small_run(1);
    const tally *a = run->outcome->accounts;
    const tally_estimate trees = tally_together(a, TALLY_TREES), expected = by_batches(a, on_trees);
    const tally_estimate leaf = tally_share(a, &a->fate[0][TALLY_LEAF], TALLY_FATES),
                         wood = tally_share(a, &a->fate[0][TALLY_WOOD], TALLY_FATES);
    assert_close(trees.share, expected.share, 1e-9, 0.0); /* batches emit the same to 1e-11 */
    assert_close(trees.error, expected.error, 1e-6, 0.0);
    assert_close(trees.share, leaf.share + wood.share, 1e-12, 0.0);
    assert_true(fabs(trees.error - hypot(leaf.error, wood.error)) > 0.01 * trees.error);
    small_run_end(run);
}

/* Share of an outcome without one batch; without none for -1. */
static double share_without(const tally *a, tally_fate target, int i_size, int outcome, int without)
{
    double had = 0.0, met = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int s = i_size < 0 ? 0 : i_size; s < (i_size < 0 ? TALLY_SIZES : i_size + 1) && b != without; s++)
            for (int o = 0; o < TALLY_OUTCOMES; o++) {
                met += (double)a->size_impacts[b][target][s][o];
                had += o == outcome ? (double)a->size_impacts[b][target][s][o] : 0.0;
            }
    return had / met;
}

/* The error of a ratio beside that of the jackknife (without each batch in turn), which differs in second order: by a
 * few percent where the ratio is known to a tenth. */
static void an_outcome_is_a_share_of_the_impacts(void **state)
{
    (void)state;
    run_case *run = small_run(1);
    const tally *a = run->outcome->accounts;
    int n = 0;
    for (int t = 0; t < TALLY_TARGETS; t++)
        for (int s = -1; s < TALLY_SIZES; s++) {
            double sum = 0.0;
            for (int o = 0; o < TALLY_OUTCOMES; o++) {
                const tally_estimate e = tally_outcome_share(a, (tally_fate)t, s, o);
                const double whole = share_without(a, (tally_fate)t, s, o, -1);
                if (isnan(whole)) {
                    assert_true(isnan(e.share));
                    continue;
                }
                assert_close(e.share, whole, 1e-12, 0.0);
                sum += e.share;
                if (!(e.share > 10.0 * e.error && e.error > 0.0))
                    continue;
                double squares = 0.0, mean = 0.0;
                for (int b = 0; b < TALLY_BATCHES; b++)
                    mean += share_without(a, (tally_fate)t, s, o, b) / TALLY_BATCHES;
                for (int b = 0; b < TALLY_BATCHES; b++)
                    squares += pow(share_without(a, (tally_fate)t, s, o, b) - mean, 2.0);
                assert_close(e.error, sqrt(squares * (TALLY_BATCHES - 1) / TALLY_BATCHES), 0.1, 0.0);
                n++;
            }
            assert_true(sum == 0.0 || fabs(sum - 1.0) < 1e-12);
        }
    assert_true(n > 20);
    assert_true(isnan(tally_outcome_share(a, TALLY_WOOD, 0, DROPLET_ADHERES).share)); /* 10 um: nothing of that size */
    small_run_end(run);
}

static void the_file_brings_them_back(void **state)
{
    (void)state;
    char path[] = "/tmp/drupelet-groups-XXXXXX";
    const int fd = mkstemp(path);
    assert_true(fd >= 0);
    close(fd);
    run_case *run = small_run(-1);
    const tally *a = run->outcome->accounts;
    assert_int_equal(drupelet_result_write(run->result, path, true).code, DRUPELET_OK);
    drupelet_result *r;
    assert_int_equal(store_read(path, &r).code, DRUPELET_OK);
    for (int g = 0; g < TALLY_GROUPS; g++) {
        assert_close(r->together[g].share, tally_together(a, (tally_group)g).share, 0.0, 0.0);
        assert_close(r->together[g].error, tally_together(a, (tally_group)g).error, 0.0, 0.0);
    }
    const scenario_weather *w = &run->scenario->weather;
    const base_air air = base_moist_air(w->temperature_K, w->relative_humidity, w->pressure_Pa);
    double whole = 0.0;
    for (int s = 0; s < TALLY_SIZES; s++) {
        whole += r->size_emitted[s].share;
        const tally_estimate e = tally_outcome_share(a, TALLY_LEAF, s, DROPLET_BOUNCES);
        if (isnan(e.share))
            assert_true(isnan(r->size_outcome[TALLY_LEAF][s][DROPLET_BOUNCES].share));
        else
            assert_close(r->size_outcome[TALLY_LEAF][s][DROPLET_BOUNCES].error, e.error, 0.0, 0.0);
        assert_close(r->settling_m_s[s],
                     droplet_settling_speed_m_s(1e-6 * sqrt(r->size_low_um[s] * r->size_high_um[s]),
                                                run->outcome->sprayer.spray[0].droplet_density_kg_m3,
                                                run->scenario->liquid.surface_tension_N_m, &air), 1e-9, 0.0);
    }
    assert_close(whole, 1.0, 1e-9, 0.0);
    assert_close(r->nonvolatile_percent, 100.0 * run->scenario->liquid.nonvolatile, 1e-12, 0.0);
    double rows = 0.0;
    for (int i = 0; i < r->n_rows; i++)
        rows += r->row[i].together.share;
    assert_close(rows, r->fate[TALLY_LEAF].share, 1e-9, 0.0);
    assert_close(r->third[2][1].share, tally_row(a, -1, 2, 1).share, 0.0, 0.0);
    int n_rebounds = 0;
    for (int i = 0; i < r->n_tracks; i++) {
        int n = 0;
        for (int o = DROPLET_ADHERES + 1; o < DROPLET_OUTCOMES; o++)
            n += r->track[i].n_outcome[o];
        assert_true(n > 0 || isnan(r->track[i].last_rebound_s));
        n_rebounds += n > 0;
    }
    assert_true(n_rebounds > 0);
    drupelet_result_free(r);
    small_run_end(run);
    remove(path);
}

static void assert_same_estimate(tally_estimate a, tally_estimate b)
{
    assert_close(a.share, b.share, 1e-12, 0.0);
    assert_close(a.error, b.error, 1e-12, 0.0);
}

/* What a sweep keeps of a run are numbers of its result; the ones with batches come first, and are their mean. */
static void columns_of_a_sweep_are_quantities_of_the_result(void **state)
{
    (void)state;
    run_case *run = small_run(1);
    const drupelet_result *r = run->result;
    static result_measures m;
    const int n = result_columns_all(), n_batched = result_columns_batched();
    result_measure(r, true, &m);
    assert_true(n > n_batched && n_batched > 0);
    for (int i = 0; i < n; i++) {
        double mean = 0.0, whole = 0.0;
        assert_same_estimate(m.value[i], result_column_value(r, i));
        assert_int_equal(result_column_named(result_column_of(i).name), i);
        for (int b = 0; b < TALLY_BATCHES && i < n_batched; b++) {
            const double emitted = (double)r->outcome->accounts->emitted[b][0];
            mean += emitted * (double)m.batch[i][b];
            whole += emitted;
        }
        if (i < n_batched && i != result_column_named("evaporated")) /* a share of the water alone */
            assert_close(mean / whole, m.value[i].share, 1e-6, 1e-12);
    }
    assert_same_estimate(m.value[result_column_named("leaf")],
                         (tally_estimate){100.0 * r->fate[TALLY_LEAF].share, 100.0 * r->fate[TALLY_LEAF].error});
    assert_same_estimate(m.value[result_column_named("ground_5_m")], r->curve_percent[2]);
    assert_same_estimate(m.value[result_column_named("airborne_10_m")], r->flux_percent[1]);
    assert_same_estimate(m.value[result_column_named("drift_sum_5_m")], r->drift_sum_percent[0]);
    assert_same_estimate(m.value[result_column_named("cover_upper")], r->cover_percent[1]);
    assert_same_estimate(m.value[result_column_named("deposit_per_leaf_area")], r->deposit_uL_cm2);
    assert_close(m.third[2].share, 100.0 * r->third_together[2].share, 1e-12, 0.0);
    assert_true(result_column_named("no_such_column") < 0);
    small_run_end(run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_fate_is_in_one_group),
        cmocka_unit_test(the_error_of_a_sum_is_its_own),
        cmocka_unit_test(an_outcome_is_a_share_of_the_impacts),
        cmocka_unit_test(the_file_brings_them_back),
        cmocka_unit_test(columns_of_a_sweep_are_quantities_of_the_result),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
