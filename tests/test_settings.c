/* tests/test_settings.c - the settings sheet, for people and as JSON. */
#define _POSIX_C_SOURCE 200809L
#include <ctype.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "drupelet/drupelet.h"
#include "sprayer/nozzle_names.h"
#include "report/rate_sheet.h"
#include "report/settings.h"

/* The apple wall with values that the tests know. */
static drupelet_scenario *apple_wall(const char *set)
{
    const char *const all[] = {"sprayer.travel_speed=6 km/h",
                               "orchard.row_spacing=3.5 m",
                               "canopy.height=3.5 m",
                               "canopy.leaf_area_index=2",
                               "sprayer.pressure=7 bar",
                               "sprayer.tank=1000 L",
                               "weather.wind_height=2 m",
                               "weather.wind_speed=3 m/s",
                               "weather.temperature=20 degC",
                               "weather.relative_humidity=60 %",
                               set};
    drupelet_scenario *scenario = NULL;
    const drupelet_status status =
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", all, set ? 11 : 10, &scenario);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    assert_int_equal(scenario->sprayer.n_nozzles, 14);
    return scenario;
}

/* The sheet as one text; the caller frees it. */
static char *sheet_of(const drupelet_scenario *scenario, bool json)
{
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    assert_non_null(to);
    const drupelet_status status = report_settings(scenario, to, json);
    fclose(to);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return text;
}

static void has(const char *text, const char *part)
{
    if (!strstr(text, part)) fail_msg("the sheet lacks '%s':\n%s", part, text);
}

/* ---- a strict reader of JSON (RFC 8259): the place behind a value, or NULL ---- */

static const char *blank(const char *c)
{
    return c + strspn(c, " \t\r\n");
}

static const char *json_text(const char *c)
{
    if (*c++ != '"') return NULL;
    while (*c != '"') {
        if ((unsigned char)*c < 0x20) return NULL;
        if (*c == '\\') {
            c++;
            if (*c == 'u') {
                for (int i = 1; i <= 4; i++)
                    if (!isxdigit((unsigned char)c[i])) return NULL;
                c += 4;
            } else if (*c == '\0' || !strchr("\"\\/bfnrt", *c)) {
                return NULL;
            }
        }
        c++;
    }
    return c + 1;
}

static const char *json_number(const char *c)
{
    c += *c == '-';
    if (!isdigit((unsigned char)*c)) return NULL;
    c += *c == '0' ? 1 : strspn(c, "0123456789");
    if (*c == '.') {
        const size_t n = strspn(c + 1, "0123456789");
        if (n == 0) return NULL;
        c += 1 + n;
    }
    if (*c == 'e' || *c == 'E') {
        c += 1 + (c[1] == '+' || c[1] == '-');
        const size_t n = strspn(c, "0123456789");
        if (n == 0) return NULL;
        c += n;
    }
    return c;
}

static const char *json_value(const char *c, int depth)
{
    static const char *const words[] = {"true", "false", "null"};
    c = blank(c);
    if (depth > 20) return NULL;
    if (*c == '"') return json_text(c);
    for (int i = 0; i < 3; i++)
        if (strncmp(c, words[i], strlen(words[i])) == 0) return c + strlen(words[i]);
    if (*c != '{' && *c != '[') return json_number(c);
    const char end = *c == '{' ? '}' : ']';
    c = blank(c + 1);
    if (*c == end) return c + 1;
    for (;;) {
        if (end == '}') {
            c = json_text(blank(c));
            if (!c || *(c = blank(c)) != ':') return NULL;
            c++;
        }
        c = json_value(c, depth + 1);
        if (!c) return NULL;
        c = blank(c);
        if (*c == end) return c + 1;
        if (*c++ != ',') return NULL;
    }
}

static bool json_good(const char *text)
{
    const char *end = json_value(text, 0);
    return end && *blank(end) == '\0';
}

static void the_reader_of_json_sees_faults(void **state)
{
    (void)state;
    static const char *const bad[] = {"",       "{",     "{\"a\": inf}", "{\"a\": 1,}", "[1 2]", "{a: 1}",
                                      "\"\n\"", "[nan]", "01",           "1.",          "{} {}", "\"\\x\""};
    static const char *const good[] = {"{}", "[]", "{\"a\": [1, -2.5e-3, null, true], \"b\": \"\\u00b5 \\\"\"}\n"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        assert_false(json_good(bad[i]));
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++)
        assert_true(json_good(good[i]));
}

/* The first number behind a key. */
static double number_of(const char *json, const char *key)
{
    char quoted[64];
    snprintf(quoted, sizeof quoted, "\"%s\": ", key);
    const char *at = strstr(json, quoted);
    if (!at) fail_msg("no key %s in\n%s", key, json);
    return at ? strtod(at + strlen(quoted), NULL) : NAN;
}

/* ---- the sheet ---- */

/* 14 nozzles of size 01 at 7 bar give 8.443 L/min; at 100 m/min in rows of 3.5 m: 241.2 L/ha, 8.44 L per 100 m of row,
 * and 1000 L last for 4.146 ha, 11.84 km, 118.4 min. 1 US gal/acre is 9.354 L/ha. Air: 1000 x 6 x 3.5 x 3.5 / 2.5
 * to 3. */
static void numbers_agree_with_sums_by_hand(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL);
    char *json = sheet_of(scenario, true), *text = sheet_of(scenario, false);
    assert_close(number_of(json, "flow_L_min"), 8.443, 1e-3, 0.0);
    assert_close(number_of(json, "application_rate_L_ha"), 241.2, 1e-3, 0.0);
    assert_close(number_of(json, "application_rate_US_gal_acre"), 25.79, 1e-3, 0.0);
    assert_close(number_of(json, "per_100_m_of_row_L"), 8.443, 1e-3, 0.0);
    assert_close(number_of(json, "tank_ha"), 4.146, 1e-3, 0.0);
    assert_close(number_of(json, "tank_km_of_row"), 11.84, 1e-3, 0.0);
    assert_close(number_of(json, "tank_min"), 118.4, 1e-3, 0.0);
    has(text, "8.44 L/min");
    has(text, "241 L/ha");
    has(text, "25.8 US gal/acre");
    has(text, "4.15 ha, 11.84 km of row, 118 min");
    has(text, "24500 to 29400 m3/h");
    has(text, "size 01, orange");
    free(text);
    free(json);
    drupelet_scenario_free(scenario);
}

/* Every second alley: four whole passes treat what lies between the outermost sides that spray, seven row spacings. */
static void rate_counts_the_passes_driven(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall("sprayer.alleys=[1, 3, 5, 7]");
    char *json = sheet_of(scenario, true);
    assert_close(number_of(json, "flow_L_min"), 8.443, 1e-3, 0.0);
    assert_close(number_of(json, "application_rate_L_ha"), 137.8, 1e-3, 0.0);
    assert_close(number_of(json, "tank_ha"), 7.255, 1e-3, 0.0);
    assert_close(number_of(json, "tank_min"), 118.4, 1e-3, 0.0);
    free(json);
    drupelet_scenario_free(scenario);
}

static const char *spray_line(const char *json, const char *dv)
{
    char key[16];
    snprintf(key, sizeof key, "\"%s\": {", dv);
    const char *at = strstr(json, key);
    assert_non_null(at);
    return at;
}

/* A droplet that keeps its size goes 9.420 m2/s over its settling speed: 3.5 m high in a logarithmic wind of 3 m/s at 2
 * m (worked in test_carry.c, which tests the way in full). One that shrinks goes farther. */
static void wind_carries_droplets_to_the_ground_or_dries_them(void **state)
{
    (void)state;
    static const char *const dvs[] = {"dv10", "dv50", "dv90"};
    drupelet_scenario *scenario = apple_wall("weather.roughness=0.03 m");
    char *json = sheet_of(scenario, true);
    double before_m_s = 0.0;
    for (int i = 0; i < 3; i++) {
        const char *line = spray_line(json, dvs[i]);
        const double settling_m_s = number_of(line, "settling_speed_m_s");
        const bool dries = strncmp(strstr(line, "\"dries_up\": "), "\"dries_up\": true", 16) == 0;
        assert_int_equal(dries, i == 0); /* 62 um dries within the fall, 125 and 206 um do not */
        if (dries)
            assert_true(strncmp(strstr(line, "\"carry_m\": "), "\"carry_m\": null", 15) == 0); /* kilometres */
        else
            assert_between(number_of(line, "carry_m") * settling_m_s / 9.420, 1.0, i == 1 ? 1.25 : 1.05);
        assert_true(settling_m_s > before_m_s);
        before_m_s = settling_m_s;
    }
    /* R. Gunn, G. D. Kinzer, J. Meteorol. 6 (1949) 243: 0.2 mm fall at 0.72 m/s; Dv90 of 206 um somewhat faster */
    assert_between(before_m_s, 0.70, 0.80);
    free(json);
    drupelet_scenario_free(scenario);
}

static void a_tip_says_whether_it_was_measured(void **state)
{
    (void)state;
    for (int measured = 0; measured < 2; measured++) {
        drupelet_scenario *scenario = apple_wall(NULL);
        if (measured) {
            scenario->tip[0].form = SCENARIO_SPECTRUM_ROSIN_RAMMLER;
            scenario->tip[0].dv10_m = 60e-6;
            scenario->tip[0].dv50_m = 125e-6;
            scenario->tip[0].dv90_m = 200e-6;
        }
        char *json = sheet_of(scenario, true), *text = sheet_of(scenario, false);
        has(text, measured ? "measured (as the scenario says), Rosin-Rammler form"
                           : "assumed: generic tip, upper-limit log-normal");
        has(text, "of the volume below 100 um");
        has(json, measured ? "\"assumed\": false" : "\"assumed\": true");
        has(text, "No size class is given");
        has(text, drupelet_caution());
        free(text);
        free(json);
        drupelet_scenario_free(scenario);
    }
}

/* In saturated air nothing dries: JSON has no word for "for ever" but null. */
static void json_is_valid_whatever_the_scenario(void **state)
{
    (void)state;
    static const char *const set[] = {NULL, "weather.relative_humidity=100 %", "sprayer.fan.speed=0 rpm",
                                      "tips.fine cone.kind=air_induction_hollow_cone", "weather.wind_speed=0.1 m/s"};
    for (size_t i = 0; i < sizeof set / sizeof set[0]; i++) {
        drupelet_scenario *scenario = apple_wall(set[i]);
        snprintf(scenario->name, sizeof scenario->name, "a \"wall\" \\ with\ta tab, \xc2\xb5");
        snprintf(scenario->tip[0].name, sizeof scenario->tip[0].name, "\"fine\"");
        char *json = sheet_of(scenario, true);
        if (!json_good(json)) fail_msg("no JSON:\n%s", json);
        if (i == 1) has(json, "\"lifetime_s\": null");
        free(json);
        if (i == 1) {
            char *text = sheet_of(scenario, false);
            has(text, "does not dry");
            assert_null(strstr(text, "inf"));
            free(text);
        }
        drupelet_scenario_free(scenario);
    }
}

/* Q = 1000 v S H / R: slow enough, any fan meets it; fast enough, none does. */
static void air_check_follows_the_travel_speed(void **state)
{
    (void)state;
    static const struct {
        double flow_m3_s;
        const char *verdict;
    } cases[] = {{6.0, "less than the rule asks for"}, {7.5, "within the rule"}, {9.0, "more than the rule asks for"}};
    for (int i = 0; i < 3; i++) { /* 24500 to 29400 m3/h are 6.8 to 8.2 m3/s */
        drupelet_scenario *scenario = apple_wall(NULL);
        scenario->sprayer.fan_reference_flow_m3_s = cases[i].flow_m3_s;
        scenario->sprayer.fan_rpm = scenario->sprayer.fan_reference_rpm;
        char *text = sheet_of(scenario, false), *json = sheet_of(scenario, true);
        has(text, cases[i].verdict);
        has(json, cases[i].verdict);
        assert_close(number_of(json, "fan_flow_m3_s"), cases[i].flow_m3_s, 1e-5, 0.0);
        free(json);
        free(text);
        drupelet_scenario_free(scenario);
    }
}

static void fits_a_page(const char *text)
{
    const char *sheet_end = strstr(text, drupelet_caution()); /* a sentence of its own length */
    assert_non_null(sheet_end);
    for (const char *line = text; line < sheet_end;) {
        const size_t n = strcspn(line, "\n");
        if (n > 120 || (n > 0 && line[n - 1] == ' ')) fail_msg("%zu columns: %.*s|", n, (int)n, line);
        line += n + 1;
    }
}

static void the_sheet_fits_a_page(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL);
    char *text = sheet_of(scenario, false);
    fits_a_page(text);
    free(text);
    drupelet_scenario_free(scenario);
}

static void a_spectrum_that_fits_no_form_ends_the_sheet(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL);
    scenario->tip[0].form = SCENARIO_SPECTRUM_UPPER_LIMIT;
    scenario->tip[0].dv10_m = 60e-6;
    scenario->tip[0].dv50_m = 100e-6;
    scenario->tip[0].dv90_m = 200e-6;
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    assert_non_null(to);
    assert_int_equal(report_settings(scenario, to, false).code, DRUPELET_SCENARIO);
    fclose(to);
    assert_int_equal(size, 0); /* nothing printed */
    free(text);
    drupelet_scenario_free(scenario);
}

/* ---- what lies outside common practice, classes, worn and plugged nozzles ---- */

/* A machine whose fan, pressure, speed and rate are all usual has nothing to be told; each setting that is moved out is
 * told, and it alone. */
static void settings_outside_common_practice_are_told(void **state)
{
    (void)state;
    static const struct { const char *set, *told; } cases[] = {
        {NULL, NULL},
        {"sprayer.pressure=3 bar", "fine cone at 3 bar (44 psi): tips of the kind hollow_cone are usually run at 5 to"},
        {"sprayer.pressure=30 bar", "fine cone at 30 bar (435 psi)"},
        {"tips.fine cone.size=20", "4825 L/ha"}, /* 14 x 7.896 x sqrt(7/3) L/min x 600 / 21 */
        {"tips.fine cone.size=005", NULL},       /* 121 L/ha */
        {"sprayer.nozzles.0.worn=10 %", NULL},
        {"sprayer.nozzles.0.worn=12 %",
         "2 of 14 nozzles worn by more than 10 %: left and right at 0.85 m (+12 %); replace tips worn so far"},
        {"sprayer.nozzles.0.plugged=yes", "2 of 14 nozzles plugged: left and right at 0.85 m; a gap in the spray"},
        {"sprayer.fan.speed=560 rpm", "fan at 560 rpm: more than the 540 rpm"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        drupelet_scenario *scenario = apple_wall(cases[i].set);
        scenario->sprayer.fan_reference_flow_m3_s = 7.5; /* 27000 m3/h: inside 24500 to 29400 */
        char *text = sheet_of(scenario, false), *json = sheet_of(scenario, true);
        if (cases[i].told) {
            has(text, "\nOutside common practice\n  - ");
            has(text, cases[i].told);
            has(json, cases[i].told);
            assert_null(strstr(strstr(text, "practice\n  - ") + 13, "\n  - ")); /* one */
        } else {
            assert_null(strstr(text, "Outside common practice"));
            has(json, "\"outside_common_practice\": []");
        }
        free(json);
        free(text);
        drupelet_scenario_free(scenario);
    }
    for (int fast = 0; fast < 2; fast++) {
        drupelet_scenario *scenario = apple_wall(NULL);
        scenario->sprayer.travel_speed_m_s = (fast ? 9.0 : 2.5) / 3.6;
        char *text = sheet_of(scenario, false);
        has(text, fast ? "travel speed 9.0 km/h (5.6 mph): orchards" : "travel speed 2.5 km/h (1.6 mph): orchards");
        has(text, fast ? "less than the rule asks for: may not" : "more than the rule asks for: may blow");
        free(text);
        drupelet_scenario_free(scenario);
    }
}

/* The name of a nozzle is its side and height; nozzles that find no room are counted. */
static void worn_nozzles_are_named_once(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL);
    scenario_nozzle *nozzle = scenario->sprayer.nozzle; /* in pairs, left first */
    char names[200];
    assert_int_equal(sprayer_nozzle_names(scenario, SPRAYER_WORN_NOZZLES, names, sizeof names), 0);
    assert_string_equal(names, "");
    nozzle[3].worn = 0.2;
    nozzle[4].worn = nozzle[5].worn = 0.12;
    nozzle[8].worn = 0.3;
    nozzle[9].worn = 0.25;
    assert_int_equal(sprayer_nozzle_names(scenario, SPRAYER_WORN_NOZZLES, names, sizeof names), 5);
    assert_string_equal(names, "right at 0.95 m (+20 %), left and right at 1.06 m (+12 %), left at 1.22 m (+30 %), "
                               "right at 1.22 m (+25 %)");
    nozzle[3].plugged = true; /* then its wear does not count */
    assert_int_equal(sprayer_nozzle_names(scenario, SPRAYER_PLUGGED_NOZZLES, names, sizeof names), 1);
    assert_string_equal(names, "right at 0.95 m");
    assert_int_equal(sprayer_nozzle_names(scenario, SPRAYER_WORN_NOZZLES, names, 52), 4);
    assert_string_equal(names, "left and right at 1.06 m (+12 %) and 2 more");
    assert_int_equal(sprayer_nozzle_names(scenario, SPRAYER_WORN_NOZZLES, names, 20), 4);
    assert_string_equal(names, "4");
    drupelet_scenario_free(scenario);
}

/* The borders are invented. */
static void a_class_stands_on_the_sheet_where_borders_are_given(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall("sprayer.nozzles.0.plugged=yes");
    scenario_tip *tip = &scenario->tip[0];
    tip->form = SCENARIO_SPECTRUM_UPPER_LIMIT;
    tip->dv10_m = 60e-6;
    tip->dv50_m = 120e-6;
    tip->dv90_m = 200e-6;
    tip->n_limits = 2;
    tip->limit[0] = (scenario_class_limit){SCENARIO_VERY_FINE, 65e-6, 110e-6, 190e-6};
    tip->limit[1] = (scenario_class_limit){SCENARIO_FINE, 100e-6, 200e-6, 350e-6};
    char *text = sheet_of(scenario, false), *json = sheet_of(scenario, true);
    has(text, "  size class very fine or finer (Dv10 very fine or finer, Dv50 fine, Dv90 fine)\n");
    has(text, "instruments set other borders");
    assert_null(strstr(text, "No size class is given"));
    has(json, "\"size_class\": \"very fine or finer\"");
    has(text, "0.000 L/min    33.7 m/s  plugged");
    has(json, "\"plugged\": true");
    assert_close(number_of(json, "application_rate_L_ha"), 241.2 * 12.0 / 14.0, 1e-3, 0.0);
    free(json);
    free(text);
    drupelet_scenario_free(scenario);
}

/* ---- backwards ---- */

static char *rate_sheet_of(const drupelet_scenario *scenario, double rate_L_ha, bool equal, bool json)
{
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    assert_non_null(to);
    const drupelet_status status = report_rate_sheet(scenario, 1e-7 * rate_L_ha, equal, to, json);
    fclose(to);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return text;
}

/* 300 L/ha at 6 km/h in rows of 3.5 m: 300 x 6 x 3.5 / 600 = 10.5 L/min; 32.07 gal/acre x 3.728 mph x 11.48 ft / 495 =
 * 2.774 gal/min (common practice formulas). Each of 14 nozzles 0.75 L/min: size 01 at 10.83 bar, set to 11: 302.4 L/ha.
 * One worn by 10 %: 302.4 (1 + 0.1 / 14) = 304.6; one plugged: 302.4 x 13 / 14 = 280.8. Fan: 24500 and 29400 m3/h over
 * 4.4 x 3600 at 540 rpm: 835.2 and 1002.3 rpm. */
static void numbers_of_a_rate_agree_with_sums_by_hand(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL);
    char *json = rate_sheet_of(scenario, 300.0, false, true), *text = rate_sheet_of(scenario, 300.0, false, false);
    assert_close(number_of(json, "rate_L_ha"), 300.0, 1e-5, 0.0);
    assert_close(number_of(json, "rate_US_gal_acre"), 32.07, 1e-3, 0.0);
    assert_close(number_of(json, "rate_now_L_ha"), 241.2, 1e-3, 0.0);
    assert_close(number_of(json, "flow_L_min"), 10.5, 1e-5, 0.0);
    assert_close(number_of(json, "flow_US_gal_min"), 2.774, 1e-3, 0.0);
    assert_close(number_of(json, "share_of_spray_percent"), 100.0 / 14.0, 1e-4, 0.0);
    assert_close(number_of(json, "rate_with_first_choices_L_ha"), 302.4, 1e-3, 0.0);
    assert_close(number_of(json, "rate_with_one_worn_10_percent_L_ha"), 304.6, 1e-3, 0.0);
    assert_close(number_of(json, "rate_with_one_plugged_L_ha"), 280.8, 1e-3, 0.0);
    has(text, "14 x fine cone, each                  0.750 L/min   (0.198 US gal/min)");
    has(text, "01 orange               10.8 bar ( 157 psi)  yes");
    has(text, "015 green                4.8 bar (  70 psi)  below");
    has(text, "835 to 1002 rpm, by the fan law from 15840 m3/h at 540 rpm");
    has(text, "  - fan at 835 rpm: more than the 540 rpm at which its flow and power were found\n");
    free(text);
    free(json);
    drupelet_scenario_free(scenario);
}

/* Every shipped scenario, low and high rates, both splits: JSON that can be read and lines that fit a page. */
static void sheets_of_rates_can_be_read(void **state)
{
    (void)state;
    static const char *const files[] = {"apple-wall-full-leaf", "apple-wall-dormant", "apple-wall-air-induction",
                                        "tall-globe-orchard", "vineyard"};
    static const double rates[] = {10.0, 90.0, 300.0, 1200.0, 10000.0};
    for (size_t f = 0; f < sizeof files / sizeof files[0]; f++)
        for (size_t i = 0; i < sizeof rates / sizeof rates[0]; i++) {
            char path[512];
            snprintf(path, sizeof path, "%s/%s.yaml", DRUPELET_SCENARIOS, files[f]);
            const char *const set = "sprayer.nozzles.0.pressure=6 bar"; /* two pressures on one machine */
            drupelet_scenario *scenario = NULL;
            assert_int_equal(drupelet_scenario_read(path, &set, i % 2, &scenario).code, DRUPELET_OK);
            char *json = rate_sheet_of(scenario, rates[i], i % 3 == 0, true);
            if (!json_good(json)) fail_msg("no JSON:\n%s", json);
            char *text = rate_sheet_of(scenario, rates[i], i % 3 == 0, false);
            fits_a_page(text);
            assert_null(strstr(text, "inf"));
            assert_null(strstr(text, "nan "));
            if (rates[i] == 10.0) has(text, "usually run at");
            if (rates[i] < 100.0 || rates[i] > 2000.0) has(text, "than the usual");
            free(text);
            free(json);
            drupelet_scenario_free(scenario);
        }
}

static void a_sprayer_that_stands_still_has_no_rate(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL);
    scenario->sprayer.travel_speed_m_s = 0.0;
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    assert_non_null(to);
    assert_int_equal(report_rate_sheet(scenario, 3e-5, false, to, false).code, DRUPELET_SCENARIO);
    fclose(to);
    assert_int_equal(size, 0);
    free(text);
    drupelet_scenario_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_reader_of_json_sees_faults),
        cmocka_unit_test(numbers_agree_with_sums_by_hand),
        cmocka_unit_test(rate_counts_the_passes_driven),
        cmocka_unit_test(wind_carries_droplets_to_the_ground_or_dries_them),
        cmocka_unit_test(a_tip_says_whether_it_was_measured),
        cmocka_unit_test(json_is_valid_whatever_the_scenario),
        cmocka_unit_test(air_check_follows_the_travel_speed),
        cmocka_unit_test(the_sheet_fits_a_page),
        cmocka_unit_test(a_spectrum_that_fits_no_form_ends_the_sheet),
        cmocka_unit_test(settings_outside_common_practice_are_told),
        cmocka_unit_test(worn_nozzles_are_named_once),
        cmocka_unit_test(a_class_stands_on_the_sheet_where_borders_are_given),
        cmocka_unit_test(numbers_of_a_rate_agree_with_sums_by_hand),
        cmocka_unit_test(sheets_of_rates_can_be_read),
        cmocka_unit_test(a_sprayer_that_stands_still_has_no_rate),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
