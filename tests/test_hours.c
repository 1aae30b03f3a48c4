/* tests/test_hours.c - an hourly weather file: what is read, what is told of an hour, and that the simulated drift is
 * that of a run with the same weather. */
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
#include "drupelet/drupelet.h"
#include "result/result.h"
#include "sheet/hours.h"
#include "sheet_case.h"
#include "svg_text.h"

static const char *const scenario_path = DRUPELET_TEST_DATA "/block-sheet.yaml";

/* A clear spring day in invented numbers. */
static const char day_csv[] = "# invented\n"
                              "time,temperature_C,humidity_percent,wind_m_s,wind_from_deg,cloud_percent\n"
                              "2031-05-14 05:00,8,92,1.0,300,10\n"
                              "2031-05-14 10:00,20,50,3.0,300,10\n"
                              "2031-05-14 13:00,30,25,6.0,350,10\n"
                              "2031-05-14 15:00,28,30,4.0,120,10\n"
                              "2031-05-14 23:00,10,80,2.0,300,0\n";

static sheet_hours read_hours(const char *csv)
{
    sheet_hours hours;
    const drupelet_status status = sheet_hours_read(sheet_case_file(csv), &hours);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    remove(sheet_case_file(""));
    return hours;
}

/* Beyond row 1 lies a school, to 120 deg by the compass. */
static sheet_hours_ask school(void)
{
    sheet_hours_ask ask = {.noon_h = 12.0, .latitude_deg = 47.0, .wind_height_m = 2.0, .i_drift = -1};
    char reason[SHEET_REASON];
    assert_true(sheet_side_read("school=120 deg", &ask, reason));
    return ask;
}

static bool warns(const sheet_hour_found *f, const char *name)
{
    for (int i = 0; i < f->warnings.n; i++)
        if (strcmp(f->warnings.of[i].name, name) == 0) return true;
    return false;
}

/* 68 degF are 20 degC, 6.7108 mph are 3 m/s, 10.8 km/h too. 14 May is day 31 + 28 + 31 + 30 + 14 = 134, 1 March of a
 * leap year 61. */
static void units_and_dates_are_read(void **state)
{
    (void)state;
    const sheet_hours metric = read_hours(day_csv);
    const sheet_hours us = read_hours("time,temperature_F,humidity_percent,wind_mph,wind_from_deg,cloud_percent\n"
                                      "2032-03-01T10:30,68,50,6.7108,300,10\n");
    const sheet_hours kmh =
        read_hours("time,temperature_C,humidity_percent,wind_km_h\n05:00,20,50,10.8\n06:15,20,50,0\n");
    assert_int_equal(metric.n, 5);
    assert_true(metric.dated && us.dated && !kmh.dated);
    assert_int_equal(metric.hour[1].day_of_year, 134);
    assert_int_equal(us.hour[0].day_of_year, 61);
    assert_close(us.hour[0].clock_h, 10.5, 1e-12, 0.0);
    assert_close(kmh.hour[1].clock_h, 6.25, 1e-12, 0.0);
    assert_close(us.hour[0].temperature_K, metric.hour[1].temperature_K, 1e-9, 0.0);
    assert_close(us.hour[0].wind_speed_m_s, 3.0, 1e-4, 0.0);
    assert_close(kmh.hour[0].wind_speed_m_s, 3.0, 1e-9, 0.0);
    assert_true(isnan(kmh.hour[0].from_deg) && isnan(kmh.hour[0].cloud));
}

/* Wind from 300 deg blows to 120, straight at the school: angle 0. From 350 it blows to 170, 50 deg to the right of it
 * as seen from the block: partly, and -50 deg from +x towards -y. From 120 it blows away. */
static void the_wind_is_turned_to_the_named_side(void **state)
{
    (void)state;
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    const sheet_hours hours = read_hours(day_csv);
    const sheet_hours_ask ask = school();
    const sheet_hour_found at = sheet_hour_look(scenario, &ask, &hours.hour[1]),
                           partly = sheet_hour_look(scenario, &ask, &hours.hour[2]),
                           away = sheet_hour_look(scenario, &ask, &hours.hour[3]);
    assert_int_equal(at.way, SHEET_TOWARDS);
    assert_close(at.weather.wind_angle_rad, 0.0, 0.0, 1e-9);
    assert_int_equal(partly.way, SHEET_PARTLY_TOWARDS);
    assert_close(partly.weather.wind_angle_rad / BASE_DEGREE, -50.0, 1e-9, 0.0);
    assert_int_equal(away.way, SHEET_AWAY);
    assert_close(fabs(away.weather.wind_angle_rad / BASE_DEGREE), 180.0, 1e-9, 0.0);
    drupelet_scenario_free(scenario);
}

/* The night is stable, the morning not; 6 m/s is strong, 1 m/s calm. At 30 degC and 25 % the wet bulb lies 13.2 K below
 * the air (psychrometric tables; memory: 16.8 degC), and at 20 degC and 50 % 6.3 K (13.7 degC). */
static void hours_are_told_by_the_bounds_of_common_practice(void **state)
{
    (void)state;
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    const sheet_hours hours = read_hours(day_csv);
    const sheet_hours_ask ask = school();
    sheet_hour_found f[5];
    for (int i = 0; i < 5; i++)
        f[i] = sheet_hour_look(scenario, &ask, &hours.hour[i]);
    assert_true(warns(&f[0], "calm") && warns(&f[0], "inversion"));
    assert_int_equal(f[1].warnings.n, 0);
    assert_true(warns(&f[2], "strong_wind") && warns(&f[2], "hot_and_dry"));
    assert_true(warns(&f[4], "inversion") && !warns(&f[4], "calm"));
    assert_close(f[2].wet_bulb_difference_K, 13.2, 0.02, 0.0);
    assert_close(f[1].wet_bulb_difference_K, 6.3, 0.03, 0.0);
    drupelet_scenario_free(scenario);
}

/* The sun's clock may be behind the file's: at 19:30 it is still day where noon is at 13:30, and night where it is
 * at 12. */
static void noon_moves_the_sun(void **state)
{
    (void)state;
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    const sheet_hours hours = read_hours("time,temperature_C,humidity_percent,wind_m_s,cloud_percent\n"
                                         "2031-05-14 18:45,20,50,2.0,0\n");
    sheet_hours_ask ask = school();
    assert_true(warns((sheet_hour_found[]){sheet_hour_look(scenario, &ask, &hours.hour[0])}, "inversion"));
    assert_true(sheet_clock_read("14:00", &ask.noon_h));
    const sheet_hour_found day = sheet_hour_look(scenario, &ask, &hours.hour[0]);
    assert_false(warns(&day, "inversion"));
    assert_close(day.weather.hour, 16.75, 1e-9, 0.0);
    drupelet_scenario_free(scenario);
}

/* Without clouds, date or latitude an inversion is not known, and the sheet says so. */
static void what_is_not_known_is_not_made_up(void **state)
{
    (void)state;
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    const sheet_hours hours = read_hours("time,temperature_C,humidity_percent,wind_m_s\n23:00,10,80,2.0\n");
    const sheet_hours_ask ask = {
        .side_deg = (double)NAN, .latitude_deg = 47.0, .noon_h = 12.0, .wind_height_m = 2.0, .i_drift = -1};
    const sheet_hour_found f = sheet_hour_look(scenario, &ask, &hours.hour[0]);
    assert_false(f.stability_known);
    assert_false(f.weather.day_given);
    sheet *s = sheet_case_begin(SHEET_US);
    sheet_put_hours(s, &ask, &hours, &f);
    char *json = sheet_case_json(s);
    sheet_case_cell_is(json, "hours", 0, "beware", "inversion not known");
    assert_close(sheet_case_cell(json, "hours", 0, "temperature_degF"), 50.0, 1e-6, 0.0);
    assert_close(sheet_case_cell(json, "hours", 0, "wind_mph"), 4.47387, 1e-5, 0.0);
    sheet_case_has(json, "give dates in the file and the latitude");
    free(json);
    drupelet_scenario_free(scenario);
}

static double now_s(void *user)
{
    return *(double *)user += 1.0;
}

static bool never(void *user)
{
    (void)user;
    return false;
}

/* The drift of an hour is that of a run with the same weather and seed, to the last bit; an hour whose wind blows away
 * has none, nor one that no scenario can have. What the scenario says of its own day and stability does not count. */
static void simulated_hours_are_runs(void **state)
{
    (void)state;
    static const char *const set[] = {"weather.obukhov_length=20 m", "weather.roughness=0.05 m", "run.wind=profiles"};
    static const char *const same[] = {"weather.temperature=20 degC",
                                       "weather.relative_humidity=50 %",
                                       "weather.wind_speed=3 m/s",
                                       "weather.wind_angle=0 deg",
                                       "weather.hour=10 h",
                                       "weather.cloud=10 %",
                                       "weather.day_of_year=134",
                                       "weather.latitude=47 deg",
                                       "weather.roughness=0.05 m",
                                       "run.wind=profiles",
                                       "run.droplets=4000"};
    drupelet_scenario *scenario = NULL, *run = NULL;
    assert_int_equal(drupelet_scenario_read(scenario_path, set, 3, &scenario).code, DRUPELET_OK);
    assert_int_equal(drupelet_scenario_read(scenario_path, same, 11, &run).code, DRUPELET_OK);
    const sheet_hours hours = read_hours("time,temperature_C,humidity_percent,wind_m_s,wind_from_deg,cloud_percent\n"
                                         "2031-05-14 10:00,20,50,3.0,300,10\n"
                                         "2031-05-14 11:00,20,50,3.0,120,10\n"
                                         "2031-05-14 12:00,-2,50,3.0,300,10\n");
    sheet_hours_ask ask = school();
    ask.i_drift = scenario_drift_named("ground_5_m");
    sheet_hour_found f[3];
    for (int i = 0; i < 3; i++)
        f[i] = sheet_hour_look(scenario, &ask, &hours.hour[i]);
    double clock_s = 0.0;
    const sweep_hooks hooks = {.now_s = now_s, .stop = never, .user = &clock_s};
    const drupelet_status status =
        sheet_hours_simulate(scenario_path, scenario, set, 3, &ask, &hours, f, 4000, 2, &hooks, (air_flow_store){0});
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    drupelet_run_options options = {.n_threads = 1};
    drupelet_result *result = NULL;
    assert_int_equal(drupelet_run(run, &options, &result).code, DRUPELET_OK);
    assert_true(result->curve_distance_m[2] == 5.0);
    assert_true(f[0].drift.share > 0.0);
    assert_true(f[0].drift.share == result->curve_percent[2].share);
    assert_close(f[0].drift.error, result->curve_percent[2].error, 1e-12, 0.0); /* multiplied in another order */
    assert_true(f[0].airborne.share == result->flux_percent[0].share);
    assert_true(isnan(f[1].drift.share));
    assert_string_equal(f[1].no_drift, "blows away from it");
    assert_true(isnan(f[2].drift.share));
    assert_string_equal(f[2].no_drift, "too cold or warm for a scenario");
    sheet *s = sheet_case_begin(SHEET_METRIC);
    sheet_put_hours(s, &ask, &hours, f);
    char *json = sheet_case_json(s);
    assert_close(sheet_case_cell(json, "hours", 0, "drift_percent_of_rate"), f[0].drift.share, 1e-5, 0.0);
    free(json);
    char *svg = sheet_hours_picture(&ask, &hours, f, SHEET_METRIC);
    assert_non_null(svg);
    svg_assert_well_formed(svg);
    assert_int_equal(svg_count(svg, "<circle"), 3 + 3 + 1);
    free(svg);
    drupelet_result_free(result);
    drupelet_scenario_free(run);
    drupelet_scenario_free(scenario);
}

static void bad_lines_are_told_by_line_and_column(void **state)
{
    (void)state;
#define HEAD "time,temperature_C,humidity_percent,wind_m_s,wind_from_deg,cloud_percent\n"
    static const struct {
        const char *csv, *message;
    } bad[] = {{HEAD "2031-05-14 06:00,8,92,1,300,10\n2031-05-14 06:00,8,92,1,300,10\n",
                ":3:1: time: found 2031-05-14 06:00, "
                "expected a time later"},
               {HEAD "2031-05-14 06:00,8,92,1,300,10\n07:00,8,92,1,300,10\n",
                ":3:1: time: found 07:00, expected a time with a"},
               {HEAD "2031-02-29 06:00,8,92,1,300,10\n", ":2:1: time: found 2031-02-29 06:00, expected a time such as"},
               {HEAD "6 o'clock,8,92,1,300,10\n", ":2:1: time: found 6 o'clock, expected a time such as"},
               {HEAD "25:00,8,92,1,300,10\n", ":2:1: time: found 25:00"},
               {HEAD ",8,92,1,300,10\n", ":2:1: time: found nothing, expected a time"},
               {HEAD "06:00,hot,92,1,300,10\n", ":2:7: temperature_C: found hot, expected a temperature"},
               {HEAD "06:00,,92,1,300,10\n", ":2:7: temperature_C: found nothing, expected a temperature"},
               {HEAD "06:00,nan,92,1,300,10\n", ":2:7: temperature_C: found nan"},
               {HEAD "06:00,8,192,1,300,10\n", ":2:9: humidity_percent: found 192, expected a relative humidity"},
               {HEAD "06:00,8,92,-1,300,10\n", ":2:12: wind_m_s: found -1, expected a wind speed from 0 to 60"},
               {HEAD "06:00,8,92,1,361,10\n", ":2:14: wind_from_deg: found 361, expected the compass direction"},
               {HEAD "06:00,8,92,1,300,cloudy\n", ":2:18: cloud_percent: found cloudy, expected clouds"},
               {"time,temperature_C,temperature_F,humidity_percent,wind_m_s\n06:00,8,46,92,1\n",
                ":2:9: temperature_F: found 46, expected nothing, for temperature_C is given"},
               {"time,temperature_C,humidity_percent\n06:00,8,92\n", ": wind_m_s: found no such column"},
               {"time,temperature_C,humidity_percent,wind_m_s,rain\n", ":1:"},
               {HEAD, ": found no hour, expected one a line"}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        sheet_hours hours;
        const drupelet_status status = sheet_hours_read(sheet_case_file(bad[i].csv), &hours);
        if (status.code != DRUPELET_SCENARIO || !strstr(status.message, bad[i].message))
            fail_msg("expected '%s' in '%s'", bad[i].message, status.message);
    }
    remove(sheet_case_file(""));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(units_and_dates_are_read),
        cmocka_unit_test(the_wind_is_turned_to_the_named_side),
        cmocka_unit_test(hours_are_told_by_the_bounds_of_common_practice),
        cmocka_unit_test(noon_moves_the_sun),
        cmocka_unit_test(what_is_not_known_is_not_made_up),
        cmocka_unit_test(simulated_hours_are_runs),
        cmocka_unit_test(bad_lines_are_told_by_line_and_column),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
