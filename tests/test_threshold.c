/* tests/test_threshold.c - distance to a threshold of ground drift, and percent less than a reference. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/elementary.h"
#include "check.h"
#include "run_case.h"
#include "sheet/threshold.h"
#include "sheet_case.h"
#include "small_run.h"
#include "svg_text.h"

/* The curve of a run is replaced by a law whose distances are known: 100 exp(-d / 10 m) percent, with errors of a
 * tenth. Means over two strips of 0.5 m are cosh(0.25 / 10) of it. */
static const double scale_m = 10.0;

static void lay_law(drupelet_result *r)
{
    for (int i = 0; i < r->n_ground; i++) {
        const double percent = 100.0 * base_exp(-r->ground_distance_m[i] / scale_m);
        r->ground_percent_of_rate[i] = (tally_estimate){percent, 0.1 * percent};
    }
}

/* Runs with the wind either way, for all tests; what a test changes in them, the next lays anew. */
static run_case *eastward, *westward;

static int begin(void **state)
{
    (void)state;
    eastward = small_run(1);
    westward = small_run(-1);
    return 0;
}

static int end(void **state)
{
    (void)state;
    small_run_end(westward);
    small_run_end(eastward);
    return 0;
}

static double law_m(double percent, double errors)
{
    const double cosh_part = 0.5 * (base_exp(0.025) + base_exp(-0.025));
    /* the error of a mean of two strips that share nothing: nearly a tenth over sqrt 2 */
    return scale_m * base_log(100.0 * cosh_part * (1.0 + errors * 0.1 / sqrt(2.0)) / percent);
}

static void distances_of_a_known_curve(void **state)
{
    (void)state;
    drupelet_result *r = eastward->result;
    lay_law(r);
    static const double percent[] = {50.0, 10.0, 1.0};
    for (int i = 0; i < 3; i++) {
        const sheet_distance d = sheet_distance_below(r, percent[i]);
        assert_close(d.at_m, law_m(percent[i], 0.0), 1e-6, 0.0);
        assert_close(d.near_m, law_m(percent[i], -1.0), 1e-3, 0.0);
        assert_close(d.far_m, law_m(percent[i], 1.0), 1e-3, 0.0);
    }
    assert_close(law_m(1.0, 0.0), 46.05, 1e-3, 0.0); /* 10 ln 100 */
    /* 99.5 m are simulated: 0.001 % is farther out; 200 % is nowhere */
    assert_true(isinf(sheet_distance_below(r, 0.001).at_m));
    assert_true(sheet_distance_below(r, 200.0).at_m == 0.0);
}

/* What rises again farther out counts: the distance is that of the last fall. */
static void a_second_rise_counts(void **state)
{
    (void)state;
    drupelet_result *r = eastward->result;
    lay_law(r);
    for (int i = 0; i < r->n_ground; i++)
        if (fabs(r->ground_distance_m[i] - 70.0) < 2.0) r->ground_percent_of_rate[i].share = 20.0;
    assert_between(sheet_distance_below(r, 10.0).at_m, 71.0, 73.0);
}

/* Seen from a wind that blows the other way, the strips run against x. */
static void the_other_wind_runs_against_x(void **state)
{
    (void)state;
    lay_law(westward->result);
    assert_close(sheet_distance_below(westward->result, 10.0).at_m, law_m(10.0, 0.0), 1e-6, 0.0);
}

/* A result is 0 % less than itself, without error; where every batch has three quarters, 25 %. One batch of 32 that is
 * m / 4 higher, m the mean of the reference, makes the ratio higher by 0.25 / 32; where the batches of the reference
 * are nearly alike, that is its error, too. */
static void percent_less_of_known_batches(void **state)
{
    (void)state;
    const int target = SCENARIO_TARGET_DRIFT + scenario_drift_named("airborne_5_m");
    drupelet_result *r = eastward->result, changed = *r;
    float batch[SCENARIO_TARGETS * TALLY_BATCHES];
    double mean = 0.0;
    memcpy(batch, r->batch_percent, sizeof batch);
    changed.batch_percent = batch;
    tally_estimate less = sheet_percent_less(&changed, r, target);
    assert_close(less.share, 0.0, 0.0, 1e-9);
    assert_close(less.error, 0.0, 0.0, 1e-9);
    for (int b = 0; b < TALLY_BATCHES; b++) {
        batch[target * TALLY_BATCHES + b] *= 0.75f;
        mean += (double)r->batch_percent[target * TALLY_BATCHES + b] / TALLY_BATCHES;
    }
    less = sheet_percent_less(&changed, r, target);
    assert_close(less.share, 25.0, 1e-6, 0.0);
    assert_close(less.error, 0.0, 0.0, 1e-4);
    batch[target * TALLY_BATCHES] += (float)(0.25 * mean);
    less = sheet_percent_less(&changed, r, target);
    assert_close(less.share, 25.0 - 100.0 * 0.25 / 32.0, 1e-5, 0.0);
    assert_close(less.error, 100.0 * 0.25 / 32.0, 0.02, 0.0);
}

/* Less fan, less in the air: the paired error is smaller than that of the two errors added. */
static void pairs_know_a_difference_better(void **state)
{
    (void)state;
    static const char *const set[] = {"run.wind=profiles", "sprayer.fan.speed=400 rpm", NULL, NULL};
    static const char *const usual[] = {"run.wind=profiles", NULL, NULL, NULL};
    run_case full = case_run("apple-wall-full-leaf.yaml", 4000, 2, usual),
             less_air = case_run("apple-wall-full-leaf.yaml", 4000, 2, set);
    const int i = scenario_drift_named("airborne_5_m") - scenario_drift_first(SCENARIO_DRIFT_AIRBORNE);
    const tally_estimate a = less_air.result->flux_percent[i], r = full.result->flux_percent[i];
    const tally_estimate less =
        sheet_percent_less(less_air.result, full.result, SCENARIO_TARGET_DRIFT + scenario_drift_named("airborne_5_m"));
    assert_close(less.share, 100.0 * (1.0 - a.share / r.share), 0.0, 0.05);
    assert_true(less.error > 0.0);
    assert_true(less.error < 100.0 * base_hypot(a.error / r.share, r.error * a.share / (r.share * r.share)));
    case_end(&less_air);
    case_end(&full);
}

static void results_that_cannot_be_paired_are_refused(void **state)
{
    (void)state;
    char reason[240];
    const drupelet_result *r = eastward->result;
    drupelet_result other = *r;
    assert_true(sheet_comparable(r, &other, reason, sizeof reason));
    other.seed = 8;
    assert_false(sheet_comparable(r, &other, reason, sizeof reason));
    assert_non_null(strstr(reason, "seed 8"));
    other.seed = r->seed;
    other.computed_wind = !r->computed_wind;
    assert_false(sheet_comparable(r, &other, reason, sizeof reason));
    assert_non_null(strstr(reason, "run.wind"));
}

static void the_sheet_has_them_in_both_systems(void **state)
{
    (void)state;
    drupelet_result *r = eastward->result;
    static const double percent[] = {10.0, 0.001};
    lay_law(r);
    for (int system = 0; system < SHEET_SYSTEMS; system++) {
        sheet *s = sheet_case_begin((sheet_system)system);
        sheet_put_distances(s, r, r, 2, percent);
        char *json = sheet_case_json(s);
        const double feet = system == SHEET_US ? 0.3048 : 1.0;
        assert_close(sheet_case_cell(json, "thresholds", 0, system == SHEET_US ? "distance_ft" : "distance_m"),
                     law_m(10.0, 0.0) / feet, 1e-5, 0.0);
        assert_true(isnan(sheet_case_cell(json, "thresholds", 1, system == SHEET_US ? "distance_ft" : "distance_m")));
        sheet_case_has(json, "not an official drift class");
        free(json);
    }
    char *svg = sheet_distances_picture(r, r, 2, percent, SHEET_METRIC);
    assert_non_null(svg);
    svg_assert_well_formed(svg);
    free(svg);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(distances_of_a_known_curve),
        cmocka_unit_test(a_second_rise_counts),
        cmocka_unit_test(the_other_wind_runs_against_x),
        cmocka_unit_test(percent_less_of_known_batches),
        cmocka_unit_test(pairs_know_a_difference_better),
        cmocka_unit_test(results_that_cannot_be_paired_are_refused),
        cmocka_unit_test(the_sheet_has_them_in_both_systems),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
