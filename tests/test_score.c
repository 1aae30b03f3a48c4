/* tests/test_score.c - statistics of measured and simulated values against examples worked by hand, what a result has
 * at the places of measurements, and the message of every fault in a table of them. */
#define _POSIX_C_SOURCE 200809L
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/random.h"
#include "check.h"
#include "report/score.h"
#include "small_run.h"
#include "tally/drift.h"
#include "text_file.h"

/* ---- statistics ----
 * Definitions: J. C. Chang, S. R. Hanna, Meteorol. Atmos. Phys. 87 (2004) 167-196 (memory). */

/* o = 1, 2, 4 and p = 2, 2, 1: means 7/3 and 5/3; squares 1, 0, 9; ln(o/p) = -ln 2, 0, 2 ln 2; ratios 2, 1, 1/4. */
static void a_worked_example_is_met(void **state)
{
    (void)state;
    const score_values pair[] = {{1, 2, 0.1, 0}, {2, 2, 0.2, 0}, {4, 1, 0.1, 0}};
    const score_statistics s = report_score_statistics(3, pair);
    assert_int_equal(s.n, 3);
    assert_int_equal(s.n_below, 0);
    assert_int_equal(s.n_log, 3);
    assert_close(s.fac2.value, 2.0 / 3.0, 1e-12, 0.0);
    assert_close(s.fb.value, 2.0 * (2.0 / 3.0) / 4.0, 1e-12, 0.0);
    assert_close(s.nmse.value, (10.0 / 3.0) / (35.0 / 9.0), 1e-12, 0.0);
    assert_close(s.mg.value, pow(2.0, 1.0 / 3.0), 1e-12, 0.0);
    assert_close(s.vg.value, exp(5.0 * log(2.0) * log(2.0) / 3.0), 1e-12, 0.0);
    /* dFB/dp = -4 (7/3) / 16 / 3 = -7/36; dlnMG/dp = -1/(3 p); dlnVG/dp = -2 ln(o/p) / (3 p) */
    assert_close(s.fb.error, 7.0 / 36.0 * sqrt(0.06), 1e-12, 0.0);
    assert_close(s.mg.error, s.mg.value / 3.0 * sqrt(0.05 * 0.05 + 0.1 * 0.1 + 0.1 * 0.1), 1e-12, 0.0);
    assert_close(s.vg.error, s.vg.value * 2.0 * log(2.0) / 3.0 * sqrt(0.05 * 0.05 + 0.2 * 0.2), 1e-12, 0.0);
    /* at exactly twice the measured value, half of the draws are within: P = 1/2 and 1; 0 for 1 against 2 at 0.1 */
    assert_close(s.fac2.error, sqrt(0.25) / 3.0, 1e-6, 0.0);
}

/* A factor of two everywhere: |FB| = 0.67, MG = 0.5 or 2, VG = 1.6 (Chang and Hanna 2004, memory). */
static void a_factor_of_two_has_the_published_values(void **state)
{
    (void)state;
    for (int high = 0; high < 2; high++) {
        const double f = high ? 2.0 : 0.5;
        const score_values pair[] = {{1, f, 0, 0}, {3, 3 * f, 0, 0}, {10, 10 * f, 0, 0}};
        const score_statistics s = report_score_statistics(3, pair);
        assert_close(s.fb.value, high ? -2.0 / 3.0 : 2.0 / 3.0, 1e-12, 0.0);
        assert_close(s.mg.value, 1.0 / f, 1e-12, 0.0);
        assert_close(s.vg.value, 1.6, 0.02, 0.0); /* exp(ln 2 squared) = 1.617 */
        assert_close(s.fac2.value, 1.0, 0.0, 0.0);
        assert_close(s.fb.error, 0.0, 0.0, 0.0);
    }
}

static void zeros_and_floors(void **state)
{
    (void)state;
    const score_values one[] = {{3, 3, 0.3, 0}};
    score_statistics s = report_score_statistics(1, one);
    assert_close(s.fac2.value, 1.0, 0.0, 0.0);
    assert_close(s.nmse.value, 0.0, 0.0, 0.0);
    assert_close(s.mg.value, 1.0, 1e-15, 0.0);
    assert_close(s.mg.error, 0.1, 1e-12, 0.0);
    assert_close(s.vg.error, 0.0, 0.0, 0.0); /* of the first order: VG has its least value there */

    s = report_score_statistics(0, one);
    assert_int_equal(s.n, 0);
    assert_true(isnan(s.fac2.value) && isnan(s.fb.value) && isnan(s.nmse.value) && isnan(s.mg.value)
                && isnan(s.vg.value));

    /* without a floor: 0 beside 0 says nothing; 0 beside 1 is outside the factor, and has no logarithm */
    const score_values zero[] = {{0, 0, 0, 0}, {0, 1, 0.1, 0}, {1, 0, 0, 0}, {2, 2, 0, 0}};
    s = report_score_statistics(4, zero);
    assert_int_equal(s.n, 3);
    assert_int_equal(s.n_below, 1);
    assert_int_equal(s.n_log, 1);
    assert_close(s.fac2.value, 1.0 / 3.0, 1e-12, 0.0);
    assert_close(s.fac2.error, 0.0, 0.0, 0.0);
    assert_close(s.fb.value, 0.0, 1e-15, 0.0);
    assert_close(s.vg.value, 1.0, 1e-15, 0.0);

    /* a floor of 0.5: the first pair is left out, the second is 0.5 beside 0.8, the third 4 beside 0.5 */
    const score_values floor[] = {{0.1, 0.4, 0.1, 0.5}, {0.2, 0.8, 0.08, 0.5}, {4, 0.01, 0.1, 0.5}};
    s = report_score_statistics(3, floor);
    assert_int_equal(s.n, 2);
    assert_int_equal(s.n_below, 1);
    assert_int_equal(s.n_log, 2);
    assert_close(s.fac2.value, 0.5, 1e-12, 0.0);
    assert_close(s.mg.value, exp((log(0.5 / 0.8) + log(8.0)) / 2.0), 1e-12, 0.0);
    assert_close(s.mg.error, s.mg.value / 2.0 * 0.1, 1e-12, 0.0); /* the floored value has no part */
    assert_close(s.fb.value, 2.0 * (4.2 - 0.81) / (4.2 + 0.81), 1e-12, 0.0);
    assert_close(report_score_ratio(&floor[2]), 0.125, 1e-12, 0.0);

    const score_values nothing[] = {{0, 1, 0.1, 0}}; /* nothing measured: no mean to divide by */
    s = report_score_statistics(1, nothing);
    assert_close(s.fb.value, -2.0, 1e-12, 0.0);
    assert_true(isnan(s.nmse.value) && isnan(s.mg.value) && isnan(s.vg.value));
}

/* Draws the simulated values anew many times: the scatter of the statistics is the error that the formulas give. */
static void errors_are_those_of_drawing_anew(void **state)
{
    (void)state;
    enum { PAIRS = 8, DRAWS = 20000 };
    const score_values pair[PAIRS] = {{1, 1.2, 0.05, 0}, {2, 1.5, 0.08, 0}, {4, 7.9, 0.4, 0},  {0.5, 0.9, 0.03, 0},
                                      {3, 1.6, 0.1, 0},  {5, 6, 0.3, 0},    {0.05, 1, 0.05, 0.2}, {2, 0.1, 0.02, 0.2}};
    const score_statistics s = report_score_statistics(PAIRS, pair);
    const double wanted[5] = {s.fac2.error, s.fb.error, s.nmse.error, s.mg.error, s.vg.error};
    double sum[5] = {0}, square[5] = {0};
    for (int d = 0; d < DRAWS; d++) {
        score_values drawn[PAIRS];
        for (int i = 0; i < PAIRS; i++) {
            uint32_t bits[4];
            double normal[2];
            base_random_block(7, BASE_STREAM_CHECK, (uint64_t)d, (uint32_t)i, bits);
            base_normal_pair(bits[0], bits[1], normal);
            drawn[i] = pair[i];
            drawn[i].simulated += pair[i].error * normal[0];
        }
        const score_statistics t = report_score_statistics(PAIRS, drawn);
        const double value[5] = {t.fac2.value, t.fb.value, t.nmse.value, t.mg.value, t.vg.value};
        for (int k = 0; k < 5; k++) {
            sum[k] += value[k] / DRAWS;
            square[k] += value[k] * value[k] / DRAWS;
        }
    }
    for (int k = 0; k < 5; k++) /* 1 % is the scatter of 20,000 draws; 4 % leaves room for the second order */
        assert_close(sqrt(square[k] - sum[k] * sum[k]), wanted[k], 0.04, 0.0);
}

/* ---- a result and a table ---- */

typedef struct {
    run_case *run;
    drupelet_result *result;
    char folder[64], file[96], measured[96];
} place;

static int make_result(void **state, int downwind)
{
    place *at = calloc(1, sizeof *at);
    if (!at)
        return -1;
    at->run = small_run(downwind);
    strcpy(at->folder, "/tmp/drupelet-score-XXXXXX");
    if (!mkdtemp(at->folder))
        return -1;
    snprintf(at->file, sizeof at->file, "%s/result.h5", at->folder);
    snprintf(at->measured, sizeof at->measured, "%s/trial.csv", at->folder);
    *state = at;
    if (drupelet_result_write(at->run->result, at->file, false).code != DRUPELET_OK)
        return -1;
    return store_read(at->file, &at->result).code == DRUPELET_OK ? 0 : -1;
}

static int make_downwind(void **state)
{
    return make_result(state, 1);
}

static int make_upwind(void **state)
{
    return make_result(state, -1);
}

static int drop_result(void **state)
{
    place *at = *state;
    drupelet_result_free(at->result);
    small_run_end(at->run);
    unlink(at->file);
    unlink(at->measured);
    const int left = rmdir(at->folder);
    free(at);
    return left;
}

/* The only pair of a table of one line. */
static score_pair only_pair(const place *at, const char *columns, const char *line)
{
    char text[512];
    score_list list;
    snprintf(text, sizeof text, "%s\n%s\n", columns, line);
    text_file_put(at->measured, text);
    const drupelet_status status = report_score_read(at->measured, at->result, &list);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    assert_int_equal(list.n, 1);
    const score_pair pair = list.pair[0];
    report_score_free(&list);
    return pair;
}

/* The library tells the ground deposit by itself: mean over 1 m. */
static void ground_is_the_mean_over_the_span(void **state)
{
    const place *at = *state;
    const double rate_L_ha = 1e7 * at->run->outcome->sprayer.application_rate_m;
    for (int i = 1; i < 12; i++) {
        char line[96];
        snprintf(line, sizeof line, "ground,%d,%d.5,percent of rate,0.1,", i, i);
        const score_pair p = only_pair(at, "kind,distance_m,value,unit,floor,error", line);
        const drupelet_share deposit = drupelet_result_ground_deposit(at->run->result, i);
        assert_close(p.value.simulated, 100.0 * deposit.share, 1e-9, 1e-12);
        /* two strips as independent, there as they are: alike but for the sampling */
        if (deposit.standard_error > 0.0)
            assert_between(p.value.error / (100.0 * deposit.standard_error), 0.5, 2.0);
        assert_close(p.value.measured, i + 0.5, 1e-12, 0.0);
        assert_close(p.value.floor, 0.1, 1e-12, 0.0);
        snprintf(line, sizeof line, "ground,%d,1,uL/cm2,,0.25", i);
        const score_pair layer = only_pair(at, "kind,distance_m,value,unit,floor,error", line);
        /* 1 L/ha is 0.01 uL/cm2 */
        assert_close(layer.value.simulated, 0.01 * rate_L_ha * deposit.share, 1e-9, 1e-15);
        assert_close(layer.measured_error, 0.25, 1e-12, 0.0);
    }
}

/* The headline numbers go by their names, as in sweeps and the summary; a place that is one of them gets its name. */
static void names_stand_for_the_headline_numbers(void **state)
{
    const place *at = *state;
    for (int i = 0; i < SCENARIO_DRIFT_NUMBERS; i++) {
        const scenario_drift_number *n = &scenario_drift_numbers[i];
        const bool ground = n->kind == SCENARIO_DRIFT_GROUND;
        char line[96];
        if (n->kind == SCENARIO_DRIFT_SUM)
            continue;
        const tally_estimate e = tally_drift(at->run->outcome->accounts, i);
        snprintf(line, sizeof line, "%s,2", n->name);
        const score_pair named = only_pair(at, "name,value", line);
        snprintf(line, sizeof line, "%s,%g,2,percent of %s", ground ? "ground" : "airborne", n->distance_m,
                 ground ? "rate" : "output");
        const score_pair placed = only_pair(at, "kind,distance_m,value,unit", line);
        assert_close(named.value.simulated, 100.0 * e.share, 1e-12, 1e-15);
        assert_close(named.value.error, 100.0 * e.error, 1e-12, 1e-15);
        assert_close(placed.value.simulated, named.value.simulated, 0.0, 0.0);
        assert_string_equal(named.place, n->name);
        assert_string_equal(placed.place, n->name);
        assert_int_equal(placed.i_group, named.i_group);
    }
}

static void airborne_is_the_flux_through_a_plane(void **state)
{
    const place *at = *state;
    const tally *a = at->run->outcome->accounts;
    const double width_m = a->shape.treated_width_m;
    const tally_estimate all = tally_plane(a, 0, 0, a->shape.n_flux);
    char line[96];
    snprintf(line, sizeof line, "airborne,%g,,1,%% of output", a->shape.plane_distance_m[0]);
    assert_close(only_pair(at, "kind,distance_m,height_m,value,unit", line).value.simulated, 100.0 * all.share, 1e-9,
                 1e-12);
    double sum = 0.0, of_rate = 0.0;
    for (int i = 0; i < a->shape.n_flux; i++) {
        snprintf(line, sizeof line, "airborne,%g,%g,1,percent of output per m", a->shape.plane_distance_m[0],
                 TALLY_FLUX_STEP_M * (i + 0.3));
        sum += TALLY_FLUX_STEP_M * only_pair(at, "kind,distance_m,height_m,value,unit", line).value.simulated;
        snprintf(line, sizeof line, "airborne,%g,%g,1,%% of rate", a->shape.plane_distance_m[0],
                 TALLY_FLUX_STEP_M * (i + 0.3));
        of_rate += TALLY_FLUX_STEP_M * only_pair(at, "kind,distance_m,height_m,value,unit", line).value.simulated;
    }
    assert_close(sum, 100.0 * all.share, 1e-9, 1e-12);
    /* what passes 1 m of row length, over what 1 m2 of the treated area gets */
    assert_close(of_rate, 100.0 * all.share * width_m, 1e-9, 1e-12);
}

static void canopy_is_what_the_accounts_have(void **state)
{
    const place *at = *state;
    const tally *a = at->run->outcome->accounts;
    static const char *const third[] = {"bottom", "middle", "top"};
    static const char columns[] = "kind,row,third,side,value,unit";
    char line[96];
    for (int row = -1; row < 2; row++)
        for (int t = -1; t < TALLY_THIRDS; t++)
            for (int side = -1; side < TALLY_SIDES; side++) {
                const tally_estimate e = tally_row(a, row, t, side);
                char number[8] = "";
                if (row >= 0)
                    snprintf(number, sizeof number, "%d", row + 1);
                snprintf(line, sizeof line, "canopy,%s,%s,%s,1,percent of output", number, t < 0 ? "" : third[t],
                         side < 0   ? ""
                         : side > 0 ? "towards_plus_x"
                                    : "towards_minus_x");
                const score_pair p = only_pair(at, columns, line);
                assert_close(p.value.simulated, 100.0 * e.share, 1e-9, 1e-12);
                if ((row >= 0 && t >= 0 && side >= 0) || (row < 0 && t < 0 && side < 0))
                    assert_close(p.value.error, 100.0 * e.error, 1e-9, 1e-12);
            }
    const int plus = a->shape.downwind > 0;
    const tally_estimate lee = tally_row(a, 0, 1, plus);
    assert_close(only_pair(at, columns, "canopy,1,middle,downwind,1,% of output").value.simulated, 100.0 * lee.share,
                 1e-9, 1e-12);
}

/* Layers add up to the row; deposit per leaf area times leaf area is the volume that the leaves hold. */
static void layers_and_leaf_area_add_up(void **state)
{
    const place *at = *state;
    const drupelet_result *r = at->result;
    const tally *a = at->run->outcome->accounts;
    char line[96];
    double sum = 0.0, volume_uL = 0.0, leaf_m2 = 0.0;
    const double voxel_m3 = r->voxel_m * r->voxel_m * r->voxel_y_m;
    const size_t layer_size = (size_t)r->ny * (size_t)r->nx;
    for (int iz = 0; iz < r->nz; iz++) {
        double area_m2 = 0.0;
        for (size_t v = 0; v < layer_size; v++)
            area_m2 += voxel_m3
                       * (double)r->leaf_area_density_1_m[((size_t)r->nz + (size_t)iz) * layer_size + v];
        leaf_m2 += area_m2;
        if (!(area_m2 > 0.0)) /* nothing can be measured there */
            continue;
        snprintf(line, sizeof line, "canopy,2,%g,1,%% of output", r->z_m[iz]);
        sum += only_pair(at, "kind,row,height_m,value,unit", line).value.simulated;
        snprintf(line, sizeof line, "canopy,2,%g,1,uL/cm2", r->z_m[iz]);
        volume_uL += 1e4 * area_m2 * only_pair(at, "kind,row,height_m,value,unit", line).value.simulated;
    }
    const tally_estimate row = tally_row(a, 1, -1, -1);
    assert_close(sum, 100.0 * row.share, 1e-9, 1e-12);
    /* 1 m2 of emitted_per_length is 1e9 uL a metre */
    const double emitted_uL =
        1e9 * at->run->outcome->sprayer.emitted_per_length_m2 * at->run->outcome->canopy->period_m;
    assert_close(volume_uL, emitted_uL * row.share, 1e-6, 0.0);
    const score_pair whole = only_pair(at, "kind,row,value,unit", "canopy,2,1,uL/cm2");
    assert_close(whole.value.simulated, volume_uL / (1e4 * leaf_m2), 1e-6, 0.0);
}

static void a_fault_in_the_table_is_told(void **state)
{
    const place *at = *state;
    static const struct { const char *text, *message; } cases[] = {
        {"kind,value\nground,3\n", "trial.csv:1:1: unit: found no such column, expected one"},
        {"kind,value,unit\n", "trial.csv:1:1: found no measurements, expected one a line"},
        {"kind,value,unit,distanz\n",
         "trial.csv:1:17: found distanz, expected the name of a column, one of: name kind distance_m span_m height_m "
         "row third side collector value unit floor error tracer_g_L area_cm2"},
        {"name,value\ndrift_sum_5_m,3\n",
         "trial.csv:2:1: name: found drift_sum_5_m, expected one of ground_1_m to ground_50_m, or airborne_5_m to "
         "airborne_50_m"},
        {"name,value,distance_m\nground_5_m,3,5\n",
         "trial.csv:2:14: distance_m: found 5, expected nothing: the name says it"},
        {"name,value\n,3\n", "trial.csv:2:1: kind: found no such column, expected one"},
        {"kind,value,unit\nsoil,3,uL/cm2\n",
         "trial.csv:2:1: kind: found soil, expected ground, airborne, canopy, dish, line or card"},
        {"kind,value,unit\n,3,uL/cm2\n",
         "trial.csv:2:1: kind: found nothing, expected ground, airborne, canopy, dish, line or card"},
        {"kind,value,unit\nground,3,uL\n",
         "trial.csv:2:10: unit: found uL, expected percent of rate, uL/cm2, ug/cm2, or ug"},
        {"kind,value,unit\ncanopy,3,percent of rate\n",
         "trial.csv:2:10: unit: found percent of rate, expected percent of output, uL/cm2, ug/cm2, or ug"},
        {"kind,value,unit\nground,3,uL/cm2\n", "trial.csv:2:1: distance_m: found no such column, expected one"},
        {"kind,distance_m,value,unit\nground,,3,uL/cm2\n",
         "trial.csv:2:8: distance_m: found nothing, expected a distance in m from -10000 to 10000"},
        {"kind,distance_m,value,unit\nground,5,-3,uL/cm2\n",
         "trial.csv:2:10: value: found -3, expected a measured value from 0 to 1e+09"},
        {"kind,distance_m,value,unit\n# 3 m lost\nground,5,three,uL/cm2\n",
         "trial.csv:3:10: value: found three, expected a measured value from 0 to 1e+09"},
        {"kind,distance_m,value,unit,row\nground,5,3,uL/cm2,1\n",
         "trial.csv:2:19: row: found 1, expected nothing, for ground has no such place"},
        {"kind,distance_m,value,unit,height_m\nairborne,5,3,% of output,2\n",
         "trial.csv:2:26: height_m: found 2, expected nothing: percent of output is of all heights"},
        {"kind,distance_m,value,unit,height_m\nairborne,7,3,% of rate,2\n",
         "trial.csv:2:10: distance_m: found 7, expected the distance of an upright plane of the result, 5 m, 10 m, "
         "20 m or 50 m, or one where a line of the result reaches the height"},
        {"kind,distance_m,value,unit\nairborne,7,3,% of output\n",
         "trial.csv:2:10: distance_m: found 7, expected the distance of an upright plane of the result, 5 m, 10 m, "
         "20 m or 50 m"},
        {"kind,collector,value,unit\ndish,saucer,3,uL/cm2\n",
         "trial.csv:2:6: collector: found saucer, expected the name of a dish of the result: it has no "
         "dish"},
        {"kind,distance_m,value,unit,tracer_g_L\nground,5,3,uL/cm2,1\n",
         "trial.csv:2:19: tracer_g_L: found 1, expected nothing: the unit is uL/cm2"},
        {"kind,distance_m,value,unit\nground,5,3,ug/cm2\n",
         "trial.csv:2:1: tracer_g_L: found no such column, expected one"},
        {"kind,distance_m,value,unit,tracer_g_L\nground,5,3,ug,1\n",
         "trial.csv:2:1: area_cm2: found no such column, expected one"},
        {"kind,distance_m,value,unit,tracer_g_L,area_cm2\nground,5,3,ug/cm2,1,100\n",
         "trial.csv:2:21: area_cm2: found 100, expected nothing: the unit is ug/cm2"},
        {"kind,collector,value,unit,distance_m\nground,dish,3,uL/cm2,5\n",
         "trial.csv:2:8: collector: found dish, expected nothing, for ground has no such place"},
        {"kind,value,unit,row\ncanopy,3,uL/cm2,9\n",
         "trial.csv:2:17: row: found 9, expected the number of a row from 1 to 8"},
        {"kind,value,unit,row\ncanopy,3,uL/cm2,1.5\n",
         "trial.csv:2:17: row: found 1.5, expected a whole number from 1 to 8"},
        {"kind,value,unit,third\ncanopy,3,uL/cm2,upper\n",
         "trial.csv:2:17: third: found upper, expected bottom, middle or top"},
        {"kind,value,unit,side\ncanopy,3,uL/cm2,left\n",
         "trial.csv:2:17: side: found left, expected towards_minus_x, towards_plus_x, upwind or downwind"},
        {"kind,value,unit,third,height_m\ncanopy,3,uL/cm2,top,1\n",
         "trial.csv:2:21: height_m: found 1, expected nothing: either third or height_m"},
        {"kind,distance_m,value,unit,floor\nground,5,3,uL/cm2,-1\n",
         "trial.csv:2:19: floor: found -1, expected a detection floor from 0 to 1e+09"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        score_list list;
        text_file_put(at->measured, cases[i].text);
        const drupelet_status status = report_score_read(at->measured, at->result, &list);
        assert_int_equal(status.code, DRUPELET_SCENARIO);
        assert_string_equal(status.message + strlen(at->folder) + 1, cases[i].message);
        assert_int_equal(list.n, 0);
        assert_null(list.pair);
    }
    score_list list;
    text_file_put(at->measured, "kind,distance_m,value,unit\nground,5000,3,uL/cm2\n");
    drupelet_status status = report_score_read(at->measured, at->result, &list);
    assert_non_null(strstr(status.message, "trial.csv:2:8: distance_m: found 5000, expected a place on the ground of "
                                           "the result, from "));
    status = report_score_read("/nowhere/trial.csv", at->result, &list);
    assert_string_equal(status.message, "/nowhere/trial.csv: cannot be read: No such file or directory");
}

/* A plot has each pair once, whatever its numbers. */
static void the_plot_has_every_pair(void **state)
{
    const place *at = *state;
    score_list list;
    text_file_put(at->measured,
                  "kind,distance_m,height_m,value,unit,floor,error\nground,3,,12,% of rate,,1\nground,5,,0,% of "
                  "rate,,\nground,8,,0,% of rate,0.5,\nairborne,5,1,1e9,uL/cm2,,\ncanopy,,,0,uL/cm2,,\n");
    const drupelet_status status = report_score_read(at->measured, at->result, &list);
    assert_string_equal(status.message, "");
    score_report s = {.result = at->file, .measured = at->measured, .r = at->result, .list = &list};
    for (int g = 0; g < SCORE_GROUPS; g++)
        assert_int_equal(report_score_group(&list, g, &s.statistics[g]).code, DRUPELET_OK);
    char *svg = NULL;
    size_t n = 0;
    FILE *to = open_memstream(&svg, &n);
    assert_non_null(to);
    report_score_plot(to, &s);
    assert_int_equal(fclose(to), 0);
    int pairs = 0, panels = 0;
    for (const char *c = svg; (c = strstr(c, "<g><title>")) != NULL; c++)
        pairs++;
    for (const char *c = svg; (c = strstr(c, "class=\"frame\"")) != NULL; c++)
        panels++;
    assert_int_equal(pairs, 5);
    assert_int_equal(panels, 3);
    assert_non_null(strstr(svg, "licensed adviser"));
    const char *drawing = strstr(svg, "</style>");
    assert_non_null(drawing);
    assert_null(strstr(drawing, "nan"));
    assert_null(strstr(drawing, "inf"));
    free(svg);
    report_score_free(&list);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_worked_example_is_met),
        cmocka_unit_test(a_factor_of_two_has_the_published_values),
        cmocka_unit_test(zeros_and_floors),
        cmocka_unit_test(errors_are_those_of_drawing_anew),
#define WITH_RESULT(f) cmocka_unit_test_setup_teardown(f, make_downwind, drop_result)
#define WITH_WIND_THE_OTHER_WAY(f) cmocka_unit_test_setup_teardown(f, make_upwind, drop_result)
        WITH_RESULT(ground_is_the_mean_over_the_span),
        WITH_WIND_THE_OTHER_WAY(ground_is_the_mean_over_the_span),
        WITH_RESULT(names_stand_for_the_headline_numbers),
        WITH_RESULT(airborne_is_the_flux_through_a_plane),
        WITH_WIND_THE_OTHER_WAY(airborne_is_the_flux_through_a_plane),
        WITH_RESULT(canopy_is_what_the_accounts_have),
        WITH_WIND_THE_OTHER_WAY(canopy_is_what_the_accounts_have),
        WITH_RESULT(layers_and_leaf_area_add_up),
        WITH_RESULT(a_fault_in_the_table_is_told),
        WITH_RESULT(the_plot_has_every_pair),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
