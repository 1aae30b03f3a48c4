/* tests/test_calm.c - calm air must not look safe: the flight lasts until weak winds have carried off what they carry,
 * and what is aloft all the same is told. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "run/warn.h"
#include "run_case.h"
#include "tally/drift.h"

#define WALL "apple-wall-full-leaf.yaml" /* eight rows 3.5 m apart, 100 m of open ground: 128 m */
enum { DROPLETS = 4000 };

static double limit_s(const char *wind, const char *angle)
{
    const char *const set[2] = {wind, angle};
    drupelet_scenario *s = NULL;
    assert_int_equal(drupelet_scenario_read(DRUPELET_SCENARIOS "/" WALL, set, 2, &s).code, DRUPELET_OK);
    const double limit = s->run.time_limit_s;
    drupelet_scenario_free(s);
    return limit;
}

/* 6 x 128 m over the wind across the rows, in whole tens of seconds. */
static void the_limit_follows_the_wind(void **state)
{
    (void)state;
    static const char straight[] = "weather.wind_angle=0 deg";
    assert_close(limit_s("weather.wind_speed=1 m/s", straight), 770.0, 0.0, 0.0);
    assert_close(limit_s("weather.wind_speed=0.3 m/s", straight), 2560.0, 0.0, 0.0);
    assert_close(limit_s("weather.wind_speed=0.3 m/s", "weather.wind_angle=180 deg"), 2560.0, 0.0, 0.0);
    assert_close(limit_s("weather.wind_speed=3 m/s", "weather.wind_angle=60 deg"), 520.0, 0.0, 0.0);
    assert_close(limit_s("weather.wind_speed=8 m/s", straight), 180.0, 0.0, 0.0);
    assert_close(limit_s("weather.wind_speed=0.1 m/s", straight), 3600.0, 0.0, 0.0);
    assert_close(limit_s("weather.wind_speed=3 m/s", "weather.wind_angle=90 deg"), 3600.0, 0.0, 0.0);
    assert_close(limit_s("weather.wind_speed=0.09 m/s", straight), 180.0, 0.0, 0.0);
    assert_close(limit_s("weather.wind_speed=0 m/s", straight), 180.0, 0.0, 0.0);
}

/* The droplets are the same ones on the same paths, so that nothing differs but what was still aloft: the errors of the
 * numbers are far more than needed. */
static void weak_winds_agree_with_ten_times_the_limit(void **state)
{
    (void)state;
    static const char *const wind[4] = {"weather.wind_speed=0.3 m/s", "weather.wind_speed=0.5 m/s",
                                        "weather.wind_speed=0.7 m/s", "weather.wind_speed=1 m/s"};
    for (int w = 0; w < 4; w++) {
        run_case usual = case_run(WALL, DROPLETS, 0, (const char *[4]){wind[w]});
        char longer[64];
        snprintf(longer, sizeof longer, "run.time_limit=%.0f s", 10.0 * usual.scenario->run.time_limit_s);
        run_case long_run = case_run(WALL, DROPLETS, 0, (const char *[4]){wind[w], longer});
        const tally *a = usual.outcome->accounts, *b = long_run.outcome->accounts;
        for (int i = 0; i < SCENARIO_DRIFT_NUMBERS; i++) {
            const tally_estimate x = tally_drift(a, i), y = tally_drift(b, i);
            if (!(fabs(x.share - y.share) <= y.error))
                fail_msg("%s: %s is %g, and %g +/- %g with ten times the limit", wind[w],
                         scenario_drift_numbers[i].name, x.share, y.share, y.error);
        }
        for (int f = 0; f < TALLY_ALOFT; f++) {
            const tally_estimate x = tally_share(a, &a->fate[0][f], TALLY_FATES),
                                 y = tally_share(b, &b->fate[0][f], TALLY_FATES);
            if (!(fabs(x.share - y.share) <= y.error))
                fail_msg("%s: %s is %g, and %g +/- %g with ten times the limit", wind[w],
                         tally_fate_name(f), x.share, y.share, y.error);
        }
        assert_true(tally_drift(b, scenario_drift_named("airborne_5_m")).share > 0.05);
        case_end(&long_run);
        case_end(&usual);
    }
}

static const run_warning *aloft_warning(const run_warnings *w)
{
    for (int i = 0; i < w->n; i++)
        if (strcmp(w->of[i].name, "aloft") == 0)
            return &w->of[i];
    return NULL;
}

/* With 180 s, the limit that was, 12 L of 100 L were aloft at 0.5 m/s and drift read 0.4 L. */
static void what_is_aloft_is_warned_of(void **state)
{
    (void)state;
    static const struct { const char *set[4]; bool warns; const char *says; } run[] = {
        {{"weather.wind_speed=0.5 m/s", "run.time_limit=180 s"}, true, "a longer run.time_limit"},
        {{"weather.wind_speed=0.5 m/s"}, false, NULL},
        {{"weather.wind_speed=0 m/s"}, true, "how much hangs in it is known, where it goes is not"},
        {{"weather.wind_speed=0.05 m/s"}, true, "The air stands still"},
    };
    for (size_t i = 0; i < sizeof run / sizeof run[0]; i++) {
        run_case c = case_run(WALL, DROPLETS, 0, run[i].set);
        run_warnings warnings = {0};
        run_warnings_of(c.outcome, &warnings);
        const run_warning *aloft = aloft_warning(&warnings);
        assert_int_equal(aloft != NULL, run[i].warns);
        if (aloft) {
            assert_non_null(strstr(aloft->sentence, run[i].says));
            assert_non_null(strstr(aloft->sentence, "no safe place"));
            assert_true(aloft->value > 80.0 && aloft->value <= 100.0); /* percent of all that left the block */
            assert_int_equal(aloft->sentence[strlen(aloft->sentence) - 1], '.'); /* not cut */
        }
        case_end(&c);
    }
}

/* The stillest and most stable case that the shipped plan of weathers can draw: its drift is known, not waiting. */
static void the_plan_of_weathers_leaves_next_to_nothing_aloft(void **state)
{
    (void)state;
    run_case c = case_run("apple-wall-air-induction.yaml", DROPLETS, 0,
                          (const char *[4]){"weather.wind_speed=0.5 m/s", "weather.obukhov_length=20 m"});
    assert_true(drupelet_result_fate(c.result, DRUPELET_FATE_ALOFT).share
                < 0.01 * drupelet_result_drift_sum(c.result, 5.0).share);
    case_end(&c);
}

/* 5 % of all that left the block is the border; next to nothing aloft is never worth a word. */
static void plain_numbers_are_enough(void **state)
{
    (void)state;
    double fate[TALLY_FATES] = {[TALLY_LEAF] = 80.0,       [TALLY_GROUND_DOWNWIND] = 4.0, [TALLY_GROUND_UPWIND] = 1.0,
                                [TALLY_AIR_DOWNWIND] = 3.0, [TALLY_AIR_ABOVE] = 1.0,       [TALLY_AIR_UPWIND] = 0.5};
    char text[TALLY_WARNING];
    fate[TALLY_ALOFT] = 0.5;
    assert_close(tally_aloft_of_drift(fate), 0.05, 1e-12, 0.0);
    assert_false(tally_aloft_matters(fate));
    fate[TALLY_ALOFT] = 0.51;
    assert_true(tally_aloft_matters(fate));
    tally_aloft_warning(fate, NAN, text);
    assert_non_null(strstr(text, "0.51 % of the output, 5 % of all that left the block"));
    const double hardly[TALLY_FATES] = {[TALLY_LEAF] = 99.9995, [TALLY_ALOFT] = 0.0005};
    assert_false(tally_aloft_matters(hardly));
    const double nothing[TALLY_FATES] = {[TALLY_LEAF] = 100.0};
    assert_close(tally_aloft_of_drift(nothing), 0.0, 0.0, 0.0);
    tally_aloft_warning(nothing, 0.0, text);
    assert_string_equal(text, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_limit_follows_the_wind),
        cmocka_unit_test(weak_winds_agree_with_ten_times_the_limit),
        cmocka_unit_test(what_is_aloft_is_warned_of),
        cmocka_unit_test(the_plan_of_weathers_leaves_next_to_nothing_aloft),
        cmocka_unit_test(plain_numbers_are_enough),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
