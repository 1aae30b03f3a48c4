/* tests/test_warn.c - the rules for the weather at their bounds, and the list in sheet, summary and file. */
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
#include "data_file.h"
#include "drupelet/drupelet.h"
#include "report/rate_sheet.h"
#include "report/settings.h"
#include "report/summary.h"
#include "run/warn.h"
#include "run_case.h"
#include "store/store.h"

enum { SETTINGS = 5, TEXT = 64 };

/* The apple wall in a mild day, neutral air, a wind of 3 m/s at 2 m, and up to three other settings. */
static drupelet_scenario *day(const char *first, const char *second, const char *third)
{
    const char *set[SETTINGS] = {"weather.wind_height=2 m", "weather.wind_speed=3 m/s"};
    const char *const more[] = {first, second, third};
    int n = 2;
    for (int i = 0; i < 3; i++)
        if (more[i]) set[n++] = more[i];
    drupelet_scenario *scenario = NULL;
    const drupelet_status status =
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", set, n, &scenario);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return scenario;
}

static run_warnings warnings_of(const char *first, const char *second, const char *third)
{
    run_warnings w = {0};
    drupelet_scenario *scenario = day(first, second, third);
    run_warnings_of_weather(scenario, &w);
    drupelet_scenario_free(scenario);
    return w;
}

static const run_warning *find(const run_warnings *w, const char *name)
{
    for (int i = 0; i < w->n; i++)
        if (strcmp(w->of[i].name, name) == 0) return &w->of[i];
    return NULL;
}

/* ---- each rule at its bound ---- */

static void a_mild_day_warns_of_nothing(void **state)
{
    (void)state;
    assert_int_equal(warnings_of(NULL, NULL, NULL).n, 0);
}

/* By hand: over grass of 0.03 m roughness the wind at 2 m is ln(2 / 0.03) / ln(10 / 0.03) = 0.72295 of that at 10 m. */
static void wind_is_judged_at_two_metres(void **state)
{
    (void)state;
    static const struct { const char *at_10_m; double at_2_m; const char *name; } winds[] = {
        {"weather.wind_speed=6.3 m/s", 4.5546, "strong_wind"}, {"weather.wind_speed=6.2 m/s", 4.4823, NULL},
        {"weather.wind_speed=1.82 m/s", 1.3158, NULL},         {"weather.wind_speed=1.79 m/s", 1.2941, "calm"},
        {"weather.wind_speed=0 m/s", 0.0, "calm"},             {"weather.wind_speed=4.5 m/s", 3.2533, NULL}};
    for (size_t i = 0; i < sizeof winds / sizeof winds[0]; i++) {
        const run_warnings w = warnings_of("weather.wind_height=10 m", winds[i].at_10_m, "weather.roughness=0.03 m");
        assert_int_equal(w.n, winds[i].name != NULL);
        if (!winds[i].name) continue;
        assert_string_equal(w.of[0].name, winds[i].name);
        assert_string_equal(w.of[0].unit, "m/s");
        assert_close(w.of[0].value, winds[i].at_2_m, 1e-4, 1e-9);
    }
    assert_int_equal(warnings_of("weather.wind_speed=4.5 m/s", NULL, NULL).n, 1); /* the bound itself counts */
    assert_int_equal(warnings_of("weather.wind_speed=1.3 m/s", NULL, NULL).n, 1);
    assert_int_equal(warnings_of("weather.wind_speed=10 mph", NULL, NULL).n, 0); /* 4.47 m/s */
}

static void stable_air_is_called_an_inversion(void **state)
{
    (void)state;
    static const struct { const char *first, *second; bool stable; } airs[] = {
        {"weather.obukhov_length=200 m", NULL, true},  {"weather.obukhov_length=201 m", NULL, false},
        {"weather.obukhov_length=10 m", NULL, true},   {"weather.obukhov_length=-10 m", NULL, false},
        {"weather.hour=23 h", "weather.cloud=10 %", true},  /* a clear night in a light wind: class E or F */
        {"weather.hour=23 h", "weather.cloud=100 %", false}, /* overcast: neutral */
        {"weather.hour=12 h", "weather.cloud=10 %", false}};
    for (size_t i = 0; i < sizeof airs / sizeof airs[0]; i++) {
        const run_warnings w = warnings_of(airs[i].first, airs[i].second, NULL);
        assert_int_equal(find(&w, "inversion") != NULL, airs[i].stable);
    }
    /* with no wind at all the air is no less stable */
    const run_warnings still = warnings_of("weather.obukhov_length=10 m", "weather.wind_speed=0 m/s", NULL);
    assert_non_null(find(&still, "inversion"));
    assert_non_null(find(&still, "calm"));
}

/* Differences from the published wet bulbs of tests/data/wet_bulb.csv: 8 K is the bound. At 30 degC and 50 % the wet
 * bulb is 22.01 degC, 7.99 K lower: not yet. */
static void hot_and_dry_goes_by_the_wet_bulb(void **state)
{
    (void)state;
    verify_table *t = data_file_open("wet_bulb");
    int n_dry = 0, n_near = 0;
    for (int row = 0; row < verify_table_rows(t); row++) {
        const double dry_C = verify_table_number(t, row, "dry_bulb_C");
        const double humidity = verify_table_number(t, row, "relative_humidity_percent");
        const double less_K = dry_C - verify_table_number(t, row, "wet_bulb_thermodynamic_C");
        char temperature[TEXT], relative_humidity[TEXT];
        snprintf(temperature, TEXT, "weather.temperature=%g degC", dry_C);
        snprintf(relative_humidity, TEXT, "weather.relative_humidity=%g %%", humidity);
        const run_warnings w = warnings_of(temperature, relative_humidity, "weather.pressure=1013.25 hPa");
        const run_warning *dry = find(&w, "hot_and_dry");
        assert_int_equal(dry != NULL, less_K >= 8.0);
        assert_int_equal(w.n, dry != NULL);
        n_near += fabs(less_K - 8.0) < 0.02;
        if (!dry) continue;
        n_dry++;
        assert_close(dry->value, less_K, 0.0, 0.011); /* the table has two decimals */
    }
    assert_int_equal(n_near, 1);
    assert_int_equal(n_dry, 17);
    verify_table_free(t);
}

/* The psychrometer by hand: vapour pressure e = es(wet) - 0.000662 p (dry - wet), with es by Magnus' formula, at 25
 * degC dry and 16.21 degC wet: 18.42 hPa - 0.000662 x 1013.25 hPa x 8.79 = 12.52 hPa; over es(25 degC) = 31.67 hPa
 * that is 40 %. */
static void a_psychrometer_worked_by_hand_agrees(void **state)
{
    (void)state;
    const double es_wet = 6.112 * exp(17.62 * 16.21 / (243.12 + 16.21));
    const double es_dry = 6.112 * exp(17.62 * 25.0 / (243.12 + 25.0));
    assert_close(100.0 * (es_wet - 0.000662 * 1013.25 * (25.0 - 16.21)) / es_dry, 40.0, 0.0, 0.5);
    const run_warnings w = warnings_of("weather.temperature=25 degC", "weather.relative_humidity=40 %",
                                       "weather.pressure=1013.25 hPa");
    assert_int_equal(w.n, 1);
    assert_close(w.of[0].value, 8.79, 0.0, 0.02);
}

/* ---- the sentences ---- */

static void every_sentence_defers_to_label_and_law(void **state)
{
    (void)state;
    const run_warnings evening = warnings_of("weather.obukhov_length=10 m", "weather.wind_speed=0.5 m/s", NULL);
    const run_warnings noon = warnings_of("weather.temperature=35 degC", "weather.relative_humidity=30 %",
                                          "weather.wind_speed=6 m/s");
    const run_warnings *const both[] = {&evening, &noon};
    for (int k = 0; k < 2; k++) {
        assert_int_equal(both[k]->n, 2);
        for (int i = 0; i < 2; i++) {
            const run_warning *w = &both[k]->of[i];
            char bound[TEXT];
            snprintf(bound, TEXT, "common practice draws the line at %g %s", w->bound, w->unit);
            assert_non_null(strstr(w->sentence, bound));
            assert_non_null(strstr(w->sentence, "The label and local law decide."));
            assert_true(strlen(w->sentence) + 1 < RUN_WARNING_TEXT); /* whole */
        }
    }
}

/* ---- sheet, summary and file say the same ---- */

/* The summary of a result, or the settings sheet of a scenario, or that of a rate. */
static char *text_of(const drupelet_scenario *scenario, const drupelet_result *result, bool rate, bool json)
{
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    assert_non_null(to);
    if (result)
        report_summary(result, to, json);
    else
        assert_int_equal((rate ? report_rate_sheet(scenario, 3e-5, false, to, json)
                               : report_settings(scenario, to, json))
                             .code,
                         DRUPELET_OK);
    fclose(to);
    return text;
}

/* Does a text hold another, however it is broken into lines? */
static bool holds(char *text, const char *part)
{
    size_t n = 0;
    for (const char *c = text; *c; c++) { /* one blank for any run of blanks and line ends */
        const bool gap = *c == ' ' || *c == '\n';
        if (!gap || (n > 0 && text[n - 1] != ' ')) text[n++] = gap ? ' ' : *c;
    }
    text[n] = '\0';
    return strstr(text, part) != NULL;
}

static void sheet_summary_and_file_say_the_same(void **state)
{
    (void)state;
    const char *const set[4] = {"weather.wind_speed=0.6 m/s", "weather.obukhov_length=20 m",
                                "run.time_limit=10 s", NULL};
    run_case c = case_run("apple-wall-full-leaf.yaml", 2000, 1, set);
    run_warnings w = {0};
    run_warnings_of(c.outcome, &w);
    assert_non_null(find(&w, "calm"));
    assert_non_null(find(&w, "inversion"));
    for (int json = 0; json < 2; json++) {
        char *summary = text_of(NULL, c.result, false, json), *sheet = text_of(c.scenario, NULL, false, json);
        char *rate_sheet = text_of(c.scenario, NULL, true, json);
        for (int i = 0; i < w.n; i++)
            assert_true(holds(summary, w.of[i].sentence));
        for (int i = 0; i < 2; i++) /* those of the weather come first */
            assert_true(holds(sheet, w.of[i].sentence) && holds(rate_sheet, w.of[i].sentence));
        free(rate_sheet);
        free(sheet);
        free(summary);
    }
    char path[] = "/tmp/drupelet-warnings-XXXXXX";
    const int file = mkstemp(path);
    assert_true(file >= 0);
    close(file);
    assert_int_equal(drupelet_result_write(c.result, path, true).code, DRUPELET_OK);
    drupelet_result *file_says;
    assert_int_equal(store_read(path, &file_says).code, DRUPELET_OK);
    assert_int_equal(file_says->n_warnings, w.n);
    for (int i = 0; i < w.n; i++) {
        const result_warning *one = &file_says->warning[i];
        assert_string_equal(one->name, w.of[i].name);
        assert_string_equal(one->sentence, w.of[i].sentence);
        assert_string_equal(one->unit, w.of[i].unit);
        assert_true(one->value == w.of[i].value && one->bound == w.of[i].bound);
    }
    drupelet_result_free(file_says);
    unlink(path);
    case_end(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_mild_day_warns_of_nothing),
        cmocka_unit_test(wind_is_judged_at_two_metres),
        cmocka_unit_test(stable_air_is_called_an_inversion),
        cmocka_unit_test(hot_and_dry_goes_by_the_wet_bulb),
        cmocka_unit_test(a_psychrometer_worked_by_hand_agrees),
        cmocka_unit_test(every_sentence_defers_to_label_and_law),
        cmocka_unit_test(sheet_summary_and_file_say_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
