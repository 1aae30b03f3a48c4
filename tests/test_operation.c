/* tests/test_operation.c - ways to work that are not the usual one: standing still, with the fan off, with the wind the
 * other way or along the rows. Every run closes its books, or it would be an error. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "check.h"
#include "report/draw.h"
#include "report/settings.h"
#include "report/summary.h"
#include "run_case.h"
#include "store/store.h"
#include "tally/drift.h"

#define WALL "apple-wall-full-leaf.yaml"
enum { DROPLETS = 20000 };

static double top_third(const tally *a, int b)
{
    int64_t parts = 0;
    for (int r = 0; r < a->shape.n_rows; r++)
        for (int side = 0; side < TALLY_SIDES; side++)
            parts += a->row[((b * a->shape.n_rows + r) * TALLY_THIRDS + TALLY_THIRDS - 1) * TALLY_SIDES + side];
    return (double)parts / (double)a->emitted[b][0];
}

/* Without fan air droplets have their own momentum and the wind only: the tops get less, the alleys more. */
static void fan_off_leaves_the_tops_dry(void **state)
{
    (void)state;
    const char *const off[4] = {"sprayer.fan.speed=0"};
    run_case with = case_run(WALL, DROPLETS, 0, NULL), without = case_run(WALL, DROPLETS, 0, off);
    const double errors = case_difference_in_errors(&without, &with, top_third);
    const tally_estimate a = tally_row(with.outcome->accounts, -1, TALLY_THIRDS - 1, -1);
    const tally_estimate b = tally_row(without.outcome->accounts, -1, TALLY_THIRDS - 1, -1);
    print_message("top third: %.2f %% with fan air, %.2f %% without (%.1f standard errors)\n", 100.0 * a.share,
                  100.0 * b.share, errors);
    assert_true(errors > 3.0);
    assert_true(b.share < 0.6 * a.share);
    assert_true(without.outcome->sprayer.fan_power_W == 0.0);
    assert_true(drupelet_result_fate(without.result, DRUPELET_FATE_GROUND_ALLEY).share
                > drupelet_result_fate(with.result, DRUPELET_FATE_GROUND_ALLEY).share);
    case_end(&with);
    case_end(&without);
}

/* No further apart than four standard errors of the difference and a thousandth. */
static void assert_same(const char *what, tally_estimate a, tally_estimate b)
{
    const double allowed = 4.0 * hypot(a.error, b.error) + 1e-3;
    if (!(fabs(a.share - b.share) <= allowed))
        fail_msg("%s: %.3f %% and %.3f %%, allowed %.3f %%", what, 100.0 * a.share, 100.0 * b.share, 100.0 * allowed);
}

/* The mirror image of a job, wind and alleys the other way round, has the mirror image of its fates. The trees are all
 * alike here. */
static void reverse_wind_on_mirrored_alleys_mirrors_the_fates(void **state)
{
    (void)state;
    const char *const one[] = {"weather.wind_angle=0 deg", "sprayer.alleys=[1, 2, 5]", "canopy.gaps=0",
                               "canopy.bough_variation=0",
                               "canopy.tree_variation=0"};
    const char *const other[] = {"weather.wind_angle=180 deg", "sprayer.alleys=[3, 6, 7]", "canopy.gaps=0",
                                 "canopy.bough_variation=0",
                                 "canopy.tree_variation=0"};
    run_case a = case_run_with(WALL, DROPLETS, 0, one, 5), b = case_run_with(WALL, DROPLETS, 0, other, 5);
    const tally *x = a.outcome->accounts, *y = b.outcome->accounts;
    assert_int_equal(x->shape.downwind, 1);
    assert_int_equal(y->shape.downwind, -1);
    for (int f = 0; f < TALLY_FATES; f++)
        assert_same(tally_fate_name(f), tally_share(x, &x->fate[0][f], TALLY_FATES),
                    tally_share(y, &y->fate[0][f], TALLY_FATES));
    for (int r = 0; r < 8; r++) {
        print_message("row %d: %.2f %%, mirrored %.2f %%\n", r + 1, 100.0 * tally_row(x, r, -1, -1).share,
                      100.0 * tally_row(y, 7 - r, -1, -1).share);
        for (int side = 0; side < TALLY_SIDES; side++)
            assert_same("row", tally_row(x, r, -1, side), tally_row(y, 7 - r, -1, 1 - side));
    }
    for (int i = 0; i < SCENARIO_DRIFT_NUMBERS; i++)
        assert_same(scenario_drift_numbers[i].name, tally_drift(x, i), tally_drift(y, i));
    case_end(&a);
    case_end(&b);
}

/* One alley driven in the middle of eight rows: the rate is that of the block driven whole, and the ground's percent of
 * the rate over all strips is the share of the output that lies there times the one spacing treated, 3.5 m. (Both were
 * eight times off while the whole block counted as treated.) */
static void one_alley_treats_one_row_spacing(void **state)
{
    (void)state;
    run_case all = case_run(WALL, DROPLETS, 0, NULL);
    run_case one = case_run(WALL, DROPLETS, 0, (const char *[4]){"sprayer.alleys=[4]"});
    const tally *a = one.outcome->accounts;
    assert_close(one.outcome->sprayer.application_rate_m, all.outcome->sprayer.application_rate_m, 1e-12, 0.0);
    double of_rate_m = 0.0, of_output = 0.0;
    for (int i = 0; i < a->shape.n_ground; i++) {
        const double low_m = tally_ground_edge_x_m(&a->shape, i, 0), high_m = tally_ground_edge_x_m(&a->shape, i, 1);
        of_rate_m += tally_ground_of_rate(a, low_m, high_m).share * (high_m - low_m);
    }
    for (int f = TALLY_GROUND_ALLEY; f <= TALLY_GROUND_UPWIND; f++)
        of_output += tally_share(a, &a->fate[0][f], TALLY_FATES).share;
    assert_close(of_rate_m, 3.5 * of_output, 1e-9, 0.0);
    /* the zero of distance stays at the edge of the block: four rows are between the alley and it */
    assert_close(tally_x_m(&a->shape, 0.0), 1.75, 1e-12, 0.0);
    case_end(&one);
    case_end(&all);
}

/* Wind along the rows knows no downwind side: both get the same. */
static void wind_along_the_rows_treats_both_sides_alike(void **state)
{
    (void)state;
    const char *const along[4] = {"weather.wind_angle=90 deg", "canopy.gaps=0", "canopy.bough_variation=0",
                                 "canopy.tree_variation=0"};
    run_case c = case_run(WALL, DROPLETS, 0, along);
    const tally *a = c.outcome->accounts;
    assert_same("ground outside", tally_share(a, &a->fate[0][TALLY_GROUND_DOWNWIND], TALLY_FATES),
                tally_share(a, &a->fate[0][TALLY_GROUND_UPWIND], TALLY_FATES));
    for (int r = 0; r < 4; r++)
        assert_same("row", tally_row(a, r, -1, -1), tally_row(a, 7 - r, -1, -1));
    print_message("ground outside: %.2f %% and %.2f %%\n",
                  100.0 * drupelet_result_fate(c.result, DRUPELET_FATE_GROUND_DOWNWIND).share,
                  100.0 * drupelet_result_fate(c.result, DRUPELET_FATE_GROUND_UPWIND).share);
    case_end(&c);
}

static void read_whole(FILE *from, char *text, size_t room)
{
    rewind(from);
    text[fread(text, 1, room - 1, from)] = '\0';
    fclose(from);
}

/* Standing still: shares of the output as ever; what divides by the travel speed is not a number in the result, "-" or
 * null in print, and nothing is divided by zero. */
static void a_standing_sprayer_has_no_rate(void **state)
{
    (void)state;
    static char text[1 << 20];
    const char *const still[4] = {"sprayer.travel_speed=0"};
    run_case c = case_run(WALL, DROPLETS, 0, still);
    double sum = 0.0;
    for (int f = 0; f < DRUPELET_FATES; f++)
        sum += drupelet_result_fate(c.result, (drupelet_fate)f).share;
    assert_close(sum, 1.0, 1e-9, 0.0);
    assert_true(isnan(c.outcome->sprayer.application_rate_m) && isnan(c.outcome->sprayer.emitted_per_length_m2));
    assert_true(isnan(drupelet_result_ground_deposit(c.result, 5.0).share));
    assert_true(drupelet_result_drift_sum(c.result, 5.0).share > 0.0);
    assert_true(drupelet_result_fate(c.result, DRUPELET_FATE_LEAF).share > 0.2);

    char folder[] = "/tmp/drupelet-standing-XXXXXX", path[64], picture[64];
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/still.h5", folder);
    snprintf(picture, sizeof picture, "%s/still.svg", folder);
    assert_int_equal(drupelet_result_write(c.result, path, false).code, DRUPELET_OK);
    drupelet_result *r;
    assert_int_equal(store_read(path, &r).code, DRUPELET_OK);
    assert_true(isnan(r->application_rate_L_ha) && isnan(r->emitted_L_per_100_m));
    for (int i = 0; i < r->n_ground; i++)
        assert_true(isnan(r->ground_percent_of_rate[i].share) && isnan(r->ground_percent_of_rate[i].error));
    assert_true(isfinite(r->drift_sum_percent[0].share));
    drupelet_result_free(r);
    assert_int_equal(report_draw(path, picture, false).code, DRUPELET_OK);
    FILE *svg = fopen(picture, "rb");
    assert_non_null(svg);
    read_whole(svg, text, sizeof text);
    assert_non_null(strstr(text, "Standing still, no rate per area"));
    assert_null(strstr(text, "nan"));
    unlink(picture);
    unlink(path);
    rmdir(folder);

    for (int json = 0; json < 2; json++) {
        FILE *to = tmpfile();
        assert_non_null(to);
        report_summary(c.result, to, json);
        read_whole(to, text, sizeof text);
        assert_non_null(strstr(text, json ? "\"application_rate_L_ha\": null" : "no rate per area (-)"));
        assert_true(!strstr(text, "nan") && !strstr(text, "inf,"));
        to = tmpfile();
        assert_non_null(to);
        assert_int_equal(report_settings(c.scenario, to, json).code, DRUPELET_OK);
        read_whole(to, text, sizeof text);
        assert_non_null(
            strstr(text, json ? "\"application_rate_L_ha\": null" : "application rate                            -"));
        assert_non_null(strstr(text, json ? "\"air_needed_m3_h\": null" : "no verdict"));
        assert_true(!strstr(text, "nan") && !strstr(text, " inf"));
    }
    case_end(&c);
}

/* The slower it drives, the nearer to standing: fates at 0 and at the slowest travel hardly differ where the phase is
 * random for both. Jets bend less when standing, so within two percentage points. */
static void standing_is_the_end_of_driving_slowly(void **state)
{
    (void)state;
    const char *const still[4] = {"sprayer.travel_speed=0"}, *const slow[4] = {"sprayer.travel_speed=0.5 km/h"};
    run_case a = case_run(WALL, DROPLETS, 0, still), b = case_run(WALL, DROPLETS, 0, slow);
    for (int f = 0; f < DRUPELET_FATES; f++) {
        const double x = drupelet_result_fate(a.result, (drupelet_fate)f).share;
        const double y = drupelet_result_fate(b.result, (drupelet_fate)f).share;
        print_message("%s: standing %.2f %%, at 0.5 km/h %.2f %%\n", tally_fate_name(f), 100.0 * x,
                      100.0 * y);
        assert_close(x, y, 0.0, 0.02);
    }
    case_end(&a);
    case_end(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fan_off_leaves_the_tops_dry),
        cmocka_unit_test(reverse_wind_on_mirrored_alleys_mirrors_the_fates),
        cmocka_unit_test(one_alley_treats_one_row_spacing),
        cmocka_unit_test(wind_along_the_rows_treats_both_sides_alike),
        cmocka_unit_test(a_standing_sprayer_has_no_rate),
        cmocka_unit_test(standing_is_the_end_of_driving_slowly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
