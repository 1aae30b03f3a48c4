/* tests/test_heights.c - the air beside the row, flow by height beside leaves, and cards. Sums are by hand on
 * tests/data/block-sheet.yaml: the near face of the crown is 4 / 2 - 1.5 / 2 = 1.25 m from the sprayer's centre line.
 */
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

#include "check.h"
#include "drupelet/scenario.h"
#include "sheet/air_fit.h"
#include "sheet/cards.h"
#include "sheet/heights.h"
#include "sheet_case.h"
#include "svg_text.h"

typedef struct {
    drupelet_scenario *scenario;
    sprayer_work *work;
} job_case;

static job_case job_begin(const char *const set[4])
{
    job_case c = {sheet_case_scenario(set), malloc(sizeof(sprayer_work))};
    assert_non_null(c.work);
    assert_int_equal(sprayer_work_out(c.scenario, c.work).code, DRUPELET_OK);
    return c;
}

static void job_end(job_case *c)
{
    free(c->work);
    drupelet_scenario_free(c->scenario);
}

/* ---- air ---- */

/* 18000 m3/h over 1000 x 4 m x 3 m times R of 2.5 to 3 (leaf area index 1.5): 3.75 to 4.5 km/h; in mph 2.330 to 2.796.
 */
static void the_speed_that_the_air_suits_agrees_with_a_sum_by_hand(void **state)
{
    (void)state;
    job_case c = job_begin(NULL);
    const sheet_air_fit fit = sheet_air_fit_of(c.scenario, c.work);
    assert_close(3.6 * fit.speed_m_s[0], 3.75, 1e-9, 0.0);
    assert_close(3.6 * fit.speed_m_s[1], 4.5, 1e-9, 0.0);
    const sheet_gear gears[] = {{"one", 3.0 / 3.6}, {"two", 4.1 / 3.6}, {"three", 4.4 / 3.6}, {"four", 6.0 / 3.6}};
    sheet *s = sheet_case_begin(SHEET_US);
    sheet_put_air_fit(s, c.scenario, c.work, 4, gears);
    char *json = sheet_case_json(s);
    assert_close(sheet_case_number(json, "air", "slowest_mph"), 2.33014, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "air", "fastest_mph"), 2.79617, 1e-5, 0.0);
    sheet_case_cell_is(json, "gears", 0, "air", "slow: the air may blow through the row");
    sheet_case_cell_is(json, "gears", 1, "air", "the air suits it");
    sheet_case_cell_is(json, "gears", 3, "air", "fast: the air may not reach through the row");
    sheet_case_has(json, "\"gear\": \"three\"");
    /* 600 L/ha at 6 km/h: 818.2 L/ha, 87.47 gal/acre, at 4.4 km/h */
    assert_close(sheet_case_cell(json, "gears", 2, "rate_US_gal_acre"), 87.469, 1e-4, 0.0);
    free(json);
    job_end(&c);
}

/* Every second alley: a pass has two rows' air to displace, and the same fan suits half the speed. */
static void skipped_alleys_halve_the_speed(void **state)
{
    (void)state;
    static const char *const set[] = {"sprayer.alleys=[0, 2, 4, 6, 8, 10]", NULL, NULL, NULL};
    job_case c = job_begin(set);
    const sheet_air_fit fit = sheet_air_fit_of(c.scenario, c.work);
    assert_close(fit.alleys_a_pass, 2.0, 1e-12, 0.0);
    assert_close(3.6 * fit.speed_m_s[1], 2.25, 1e-9, 0.0);
    job_end(&c);
}

/* The arc's lines meet in its centre, 1 m above the ground: at 1.25 m the top of the crown, 3 m, is at atan(2 / 1.25) =
 * 57.995 deg, and the lowest leaves, 0.5 m, at -21.8 deg. Of -10 to 60 deg, 2.005 / 70 points over. A slot from 2 to 4
 * m has half of its air over. A spout at 0.3 m that blows level passes under the crown. */
static void outlets_that_blow_past_the_crown_are_found(void **state)
{
    (void)state;
    static const char *const set[] = {
        "sprayer.outlets=[{kind: arc, centre_height: 1 m, radius: 0.45 m, from: -10 deg, to: 60 deg, slot: 120 mm},"
        " {kind: slot, offset: 0.5 m, bottom: 2 m, top: 4 m, tilt: 0 deg, slot: 60 mm},"
        " {kind: spout, offset: 0.5 m, height: 0.3 m, tilt: 0 deg, diameter: 200 mm}]",
        NULL, NULL, NULL};
    job_case c = job_begin(set);
    const sheet_outlet_aim arc = sheet_outlet_aim_of(c.scenario, &c.scenario->sprayer.outlet[0]);
    const sheet_outlet_aim slot = sheet_outlet_aim_of(c.scenario, &c.scenario->sprayer.outlet[2]);
    const sheet_outlet_aim spout = sheet_outlet_aim_of(c.scenario, &c.scenario->sprayer.outlet[4]);
    assert_close(arc.over, 2.005 / 70.0, 0.0, 1e-3); /* of a thousand lines */
    assert_close(arc.under, 0.0, 0.0, 0.0);
    assert_close(arc.low_m, 1.0 - 1.25 * 0.17633, 2e-3, 0.0);
    assert_close(slot.over, 0.5, 0.0, 1e-3);
    assert_close(spout.under, 1.0, 1e-9, 0.0);
    sheet *s = sheet_case_begin(SHEET_METRIC);
    sheet_put_air_fit(s, c.scenario, c.work, 0, NULL);
    char *json = sheet_case_json(s);
    sheet_case_cell_is(json, "outlets", 0, "verdict", "keep");
    sheet_case_cell_is(json, "outlets", 2, "verdict", "shut or turn it down: most goes over");
    sheet_case_cell_is(json, "outlets", 4, "verdict", "shut it: all of it passes the crown");
    free(json);
    job_end(&c);
}

static double most(int n, const double value[])
{
    double m = 0.0;
    for (int i = 0; i < n; i++)
        m = fmax(m, value[i]);
    return m;
}

static sheet_air_reach reach_of(const char *const set[4])
{
    job_case c = job_begin(set);
    sheet_air_reach reach;
    const drupelet_status status = sheet_air_reach_of(c.scenario, 0.25, &reach);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    job_end(&c);
    return reach;
}

/* Both sides alike; slower behind the tree than before it; faster behind it without leaves, and at a faster fan. The
 * scenario's wind counts for nothing. */
static void the_jet_behind_the_tree_does_what_air_does(void **state)
{
    (void)state;
    static const char *const bare[] = {"canopy.leaf_area_index=0.2", NULL, NULL, NULL};
    static const char *const slow[] = {"sprayer.fan.speed=270 rpm", NULL, NULL, NULL};
    static const char *const windy[] = {"weather.wind_speed=6 m/s", NULL, NULL, NULL};
    const sheet_air_reach usual = reach_of(NULL), leafless = reach_of(bare), half = reach_of(slow),
                          wind = reach_of(windy);
    const double far_m_s = most(usual.n, usual.far_m_s[0]);
    assert_int_equal(usual.n, 15); /* layers of 0.25 m to 1.25 x 3 m */
    assert_close(usual.height_m[4], 1.125, 1e-12, 0.0);
    for (int i = 0; i < usual.n; i++) {
        assert_close(usual.far_m_s[0][i], usual.far_m_s[1][i], 0.02, 0.1);
        assert_true(usual.far_m_s[0][i] == wind.far_m_s[0][i]);
    }
    assert_true(far_m_s > 1.0 && far_m_s < 0.6 * most(usual.n, usual.near_m_s[0]));
    assert_true(most(leafless.n, leafless.far_m_s[0]) > 1.05 * far_m_s); /* leaves give way to a jet: 1.13 */
    assert_true(most(half.n, half.far_m_s[0]) < 0.7 * far_m_s);
}

/* ---- flow by height ---- */

/* A nozzle at 1 m that points level, 0.5 m from the middle and so 0.75 m from the crown, with a cone of 90 deg: it
 * points under the lowest leaves (0.5 m) below atan(-0.5 / 0.75) = -33.69 deg: (45 - 33.69) / 90 = 12.57 %. Between 1
 * and 1.25 m lie 0 to atan(0.25 / 0.75) = 18.435 deg: 20.48 % of it. The second points 80 deg up, over the crown. A
 * crown without gaps has a tenth of its leaves in each 0.25 m of its 2.5 m. */
static void flow_and_leaves_by_height_agree_with_sums_by_hand(void **state)
{
    (void)state;
    static const char *const set[] = {"sprayer.nozzles=[{tip: disc, offset: 0.5 m, height: 1 m, angle: 0 deg},"
                                      " {side: right, tip: disc, offset: 0.3 m, height: 1.3 m, angle: 80 deg}]",
                                      "tips.disc.cone_angle=90 deg", "canopy.gaps=0 %",
                                      "canopy.bough_variation=0 %", NULL};
    job_case c = job_begin(set);
    sheet_heights h;
    assert_int_equal(sheet_heights_of(c.scenario, c.work, 0.25, &h).code, DRUPELET_OK);
    assert_int_equal(h.n_layers, 15);
    assert_close(h.aim[0].under, 0.1257, 0.0, 3e-3); /* of 400 lines */
    assert_close(h.aim[0].over, 0.0, 0.0, 0.0);
    assert_close(h.aim[0].axis_m, 1.0, 1e-9, 0.0);
    assert_close(h.flow[0][4], 0.2048 / 3.0, 0.0, 1.5e-3); /* one of three nozzles */
    assert_close(h.aim[2].axis_m, 6.0, 1e-9, 0.0);         /* 1.3 + 0.95 tan 80 = 6.69, held at twice the canopy */
    assert_true(h.aim[2].over > 0.5);
    double left = h.ground[0], right = h.ground[1], leaves = 0.0;
    for (int k = 0; k < h.n_layers; k++) {
        left += h.flow[0][k];
        right += h.flow[1][k];
        leaves += h.leaf[k];
        assert_close(h.leaf[k], k >= 2 && k < 12 ? 0.1 : 0.0, 1e-6, 0.0);
    }
    assert_close(left, 1.0 / 3.0, 1e-9, 0.0);
    assert_close(right, 2.0 / 3.0, 1e-9, 0.0);
    assert_close(leaves, 1.0, 1e-9, 0.0);
    sheet *s = sheet_case_begin(SHEET_US);
    sheet_put_heights(s, c.scenario, c.work, &h);
    char *json = sheet_case_json(s);
    sheet_case_cell_is(json, "nozzles", 0, "verdict", "at the crown");
    sheet_case_cell_is(json, "nozzles", 2, "verdict", "over the crown: turn it down or shut it");
    assert_close(sheet_case_cell(json, "nozzles", 0, "height_ft"), 3.28084, 1e-5, 0.0);
    free(json);
    char *svg = sheet_heights_picture(c.scenario, &h, SHEET_METRIC);
    assert_non_null(svg);
    svg_assert_well_formed(svg);
    assert_int_equal(svg_count(svg, "class=\"bar\""), 30);
    free(svg);
    job_end(&c);
}

/* ---- cards ---- */

static void cards_pass_and_fail_by_the_limit(void **state)
{
    (void)state;
    sheet_cards cards;
    const sheet_card_limit limit = {0.15, (double)NAN}, both = {0.15, 80.0};
    job_case c = job_begin(NULL);
    assert_int_equal(sheet_cards_read(sheet_case_file("zone,place,cover_percent,droplets_per_cm2\n"
                                                      "top,left,12,60\ntop,right,18,85\nmiddle,,25,\nbottom,,15,140\n"),
                                      &cards)
                         .code,
                     DRUPELET_OK);
    remove(sheet_case_file(""));
    assert_int_equal(cards.n, 4);
    assert_false(sheet_card_passes(&cards.card[0], &limit));
    assert_true(sheet_card_passes(&cards.card[1], &limit));
    assert_true(sheet_card_passes(&cards.card[3], &limit)); /* at least */
    assert_true(sheet_card_passes(&cards.card[1], &both));
    assert_false(sheet_card_passes(&cards.card[2], &both)); /* not counted */
    sheet *s = sheet_case_begin(SHEET_METRIC);
    sheet_put_cards(s, c.scenario, &cards, &limit);
    char *json = sheet_case_json(s);
    sheet_case_cell_is(json, "zones", 0, "verdict", "fail"); /* from the top */
    sheet_case_cell_is(json, "zones", 1, "verdict", "pass");
    sheet_case_cell_is(json, "zones", 2, "verdict", "pass");
    assert_close(sheet_case_cell(json, "zones", 0, "from_m"), 0.5 + 2.5 * 2.0 / 3.0, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "zones", 0, "passed"), 1.0, 0.0, 0.0);
    free(json);
    job_end(&c);
}

static void bad_cards_are_told_by_line_and_column(void **state)
{
    (void)state;
    static const struct {
        const char *csv, *message;
    } bad[] = {{"zone,cover_percent\nroof,12\n", ":2:1: zone: found roof, expected bottom, middle or top"},
               {"zone,cover_percent\ntop,\n", ":2:5: cover_percent: found nothing, expected cover_percent or droplets"},
               {"zone,cover_percent\ntop,120\n", ":2:5: cover_percent: found 120, expected a cover in % from 0 to 100"},
               {"zone,droplets_per_cm2\ntop,-1\n", ":2:5: droplets_per_cm2: found -1, expected droplets per cm2"},
               {"zone\ntop\n", ":2:1: zone: found top, expected cover_percent"},
               {"place,cover_percent\nx,12\n", ": zone: found no such column"},
               {"zone,cover_percent\n", ": found no card, expected one a line"}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        sheet_cards cards;
        const drupelet_status status = sheet_cards_read(sheet_case_file(bad[i].csv), &cards);
        if (status.code != DRUPELET_SCENARIO || !strstr(status.message, bad[i].message))
            fail_msg("expected '%s' in '%s'", bad[i].message, status.message);
    }
    remove(sheet_case_file(""));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_speed_that_the_air_suits_agrees_with_a_sum_by_hand),
        cmocka_unit_test(skipped_alleys_halve_the_speed),
        cmocka_unit_test(outlets_that_blow_past_the_crown_are_found),
        cmocka_unit_test(the_jet_behind_the_tree_does_what_air_does),
        cmocka_unit_test(flow_and_leaves_by_height_agree_with_sums_by_hand),
        cmocka_unit_test(cards_pass_and_fail_by_the_limit),
        cmocka_unit_test(bad_cards_are_told_by_line_and_column),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
