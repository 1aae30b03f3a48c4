/* tests/test_catch.c - the catch test: flows against new, states of nozzles, sides, the scenario as found. The sums are
 * by hand: a new nozzle of tests/data/block-sheet.yaml gives 1 L/min at 3 bar, so 2 L/min at the job's 12 bar. */
#define _POSIX_C_SOURCE 200809L
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
#include "sheet/catch.h"
#include "sheet_case.h"
#include "sprayer/sprayer.h"
#include "svg_text.h"

static const char *const scenario_path = DRUPELET_TEST_DATA "/block-sheet.yaml";

/* In 30 s a new nozzle gives 1000 mL. */
static const char caught_csv[] = "# clean water\n"
                                 "side,nozzle,volume_mL,time_s\n"
                                 "left,1,1000,30\nleft,2,1050,30\nleft,3,1150,30\nleft,4,1250,30\n"
                                 "left,5,1000,30\nleft,6,0,30\n"
                                 "right,1,1000,30\nright,2,1000,30\nright,3,800,30\nright,4,1000,30\n"
                                 "right,5,1000,30\nright,6,1000,30\n";

/* The sheet of a catch test as JSON. */
static char *json_of(const char *csv, sheet_system system, drupelet_scenario **as_found, char **yaml)
{
    sheet_catch caught;
    drupelet_scenario *scenario = sheet_case_scenario(NULL), *found = NULL;
    char *text = NULL;
    drupelet_status status = sheet_catch_read(sheet_case_file(csv), scenario, &caught);
    if (status.code == DRUPELET_OK) status = sheet_as_found(scenario_path, NULL, 0, &caught, &found, &text);
    sheet *s = sheet_case_begin(system);
    if (status.code == DRUPELET_OK) status = sheet_put_catch(s, scenario, found, &caught);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    char *json = sheet_case_json(s);
    if (as_found)
        *as_found = found;
    else
        drupelet_scenario_free(found);
    if (yaml)
        *yaml = text;
    else
        free(text);
    drupelet_scenario_free(scenario);
    remove(sheet_case_file(""));
    return json;
}

/* Left: 2, 2.1, 2.3, 2.5, 2 and 0 L/min, together 10.9; right: 1.6 instead of 2, together 11.6; all 22.5 of 24, and 600
 * L/ha become 562.5, 6.25 % less. Left over right: 10.9 / 11.6, 6.03 % less than the same. */
static void flows_agree_with_sums_by_hand(void **state)
{
    (void)state;
    char *json = json_of(caught_csv, SHEET_METRIC, NULL, NULL);
    assert_close(sheet_case_cell(json, "nozzles", 1, "caught_L_min"), 2.1, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "nozzles", 1, "new_L_min"), 2.0, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "nozzles", 3, "departure_percent"), 25.0, 1e-4, 0.0);
    assert_close(sheet_case_cell(json, "nozzles", 8, "departure_percent"), -20.0, 1e-4, 0.0);
    sheet_case_cell_is(json, "nozzles", 1, "found", "within 10 %");
    sheet_case_cell_is(json, "nozzles", 2, "found", "worn: replace the tip");
    sheet_case_cell_is(json, "nozzles", 5, "found", "plugged: clean it, catch again");
    sheet_case_cell_is(json, "nozzles", 8, "found", "gives less: clean it, catch again");
    assert_close(sheet_case_number(json, "sides", "left_L_min"), 10.9, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "sides", "right_L_min"), 11.6, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "sides", "left_over_right_percent"), 100.0 * (10.9 / 11.6 - 1.0), 1e-4, 0.0);
    assert_close(sheet_case_number(json, "effect", "rate_new_L_ha"), 600.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "effect", "rate_L_ha"), 562.5, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "effect", "rate_change_percent"), -6.25, 1e-4, 0.0);
    free(json);
}

/* The same flows in US units: 33.814 fl oz are 1000 mL; 0.5283 US gal/min are 2 L/min; 600 L/ha are 64.14 gal/acre. The
 * pressure of 174.045 psi is 12 bar; at a quarter of it, 43.511 psi, a new tip gives half, 16.907 fl oz in 30 s, and
 * counts as new. */
static void us_units_and_another_pressure_say_the_same(void **state)
{
    (void)state;
    char *json = json_of("side,nozzle,volume_fl_oz,time_s,pressure_psi\nleft,1,16.907,30,43.511\nleft,2,42.268,30,\n",
                         SHEET_US, NULL, NULL);
    assert_close(sheet_case_cell(json, "nozzles", 0, "caught_US_gal_min"), 0.52834, 1e-4, 0.0);
    assert_close(sheet_case_cell(json, "nozzles", 0, "new_US_gal_min"), 0.52834, 1e-4, 0.0);
    assert_close(sheet_case_cell(json, "nozzles", 0, "pressure_psi"), 43.511, 1e-4, 0.0);
    assert_close(sheet_case_cell(json, "nozzles", 1, "departure_percent"), 25.0, 1e-3, 0.0);
    sheet_case_cell_is(json, "nozzles", 2, "found", "not caught, taken as the scenario has it");
    assert_close(sheet_case_number(json, "effect", "rate_new_US_gal_acre"), 64.14, 1e-3, 0.0);
    assert_close(sheet_case_number(json, "effect", "rate_US_gal_acre"), 64.14 * 24.5 / 24.0, 1e-3, 0.0);
    free(json);
}

/* Six bars a side; the bar of what was not caught is missing, and says so. */
static void the_picture_has_a_bar_for_each_nozzle(void **state)
{
    (void)state;
    sheet_catch caught;
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    assert_int_equal(sheet_catch_read(sheet_case_file(caught_csv), scenario, &caught).code, DRUPELET_OK);
    char *svg = sheet_catch_picture(scenario, &caught);
    assert_non_null(svg);
    svg_assert_well_formed(svg);
    assert_int_equal(svg_count(svg, "<rect class=\"good\""), 8);
    assert_int_equal(svg_count(svg, "<rect class=\"bad\""), 4);
    assert_int_equal(svg_count(svg, "+25.0 %"), 1);
    free(svg);
    caught.nozzle[0].line = 0;
    svg = sheet_catch_picture(scenario, &caught);
    assert_non_null(svg);
    assert_int_equal(svg_count(svg, "<rect class=\"good\""), 7);
    assert_int_equal(svg_count(svg, "not caught"), 1);
    free(svg);
    remove(sheet_case_file(""));
    drupelet_scenario_free(scenario);
}

/* The file reads as the scenario that the sheet speaks of, and runs. */
static void the_scenario_as_found_runs(void **state)
{
    (void)state;
    drupelet_scenario *found = NULL, *again = NULL;
    char *yaml = NULL, *json = json_of(caught_csv, SHEET_METRIC, &found, &yaml);
    const char *path = "as-found.yaml";
    remove(path);
    assert_int_equal(sheet_as_found_write(yaml, path, false).code, DRUPELET_OK);
    assert_int_equal(sheet_as_found_write(yaml, path, false).code, DRUPELET_FILE); /* it is there */
    const drupelet_status status = drupelet_scenario_read(path, NULL, 0, &again);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    assert_int_equal(again->sprayer.n_nozzles, 12);
    assert_string_equal(again->name, found->name);
    assert_string_equal(again->place, found->place);
    for (int i = 0; i < 12; i++) {
        assert_int_equal(again->sprayer.nozzle[i].side, found->sprayer.nozzle[i].side);
        assert_true(again->sprayer.nozzle[i].height_m == found->sprayer.nozzle[i].height_m);
        assert_true(again->sprayer.nozzle[i].worn == found->sprayer.nozzle[i].worn);
        assert_true(again->sprayer.nozzle[i].plugged == found->sprayer.nozzle[i].plugged);
    }
    /* of the pairs below, left stands first: the fifth entry of each side is two entries of the file */
    assert_close(again->sprayer.nozzle[4].worn, 0.15, 1e-9, 0.0);
    assert_close(again->sprayer.nozzle[5].worn, -0.2, 1e-9, 0.0);
    assert_true(again->sprayer.nozzle[10].plugged && !again->sprayer.nozzle[11].plugged);
    drupelet_run_options options = {.n_threads = 1, .n_droplets = 1000};
    drupelet_result *result = NULL;
    assert_int_equal(drupelet_run(again, &options, &result).code, DRUPELET_OK);
    drupelet_result_free(result);
    drupelet_scenario_free(again);
    drupelet_scenario_free(found);
    remove(path);
    free(yaml);
    free(json);
}

/* A nozzle that gives less than new has the droplets of a smaller tip, and a worn one those of a larger. */
static void droplets_follow_the_flow_found(void **state)
{
    (void)state;
    drupelet_scenario *found = NULL;
    char *json = json_of(caught_csv, SHEET_METRIC, &found, NULL);
    sprayer_work *work = malloc(sizeof *work);
    assert_non_null(work);
    assert_int_equal(sprayer_work_out(found, work).code, DRUPELET_OK);
    const double new_m = work->spray[work->nozzle[0].i_spray].dv50_m;
    assert_true(work->spray[work->nozzle[4].i_spray].dv50_m > new_m);
    assert_true(work->spray[work->nozzle[5].i_spray].dv50_m < new_m);
    assert_close(6e4 * work->nozzle[5].flow_m3_s, 1.6, 1e-9, 0.0);
    free(work);
    drupelet_scenario_free(found);
    free(json);
}

static void bad_lines_are_told_by_line_and_column(void **state)
{
    (void)state;
    static const struct {
        const char *csv, *message;
    } bad[] = {
        {"side,nozzle,volume_mL,time_s\nmiddle,1,1000,30\n", ":2:1: side: found middle, expected left or right"},
        {"side,nozzle,volume_mL,time_s\nleft,7,1000,30\n", ":2:6: nozzle: found 7, expected the number of a nozzle"},
        {"side,nozzle,volume_mL,time_s\nleft,1.5,1000,30\n", ":2:6: nozzle: found 1.5, expected a whole number"},
        {"side,nozzle,volume_mL,time_s\nleft,1,1000,30\n\nleft,1,900,30\n", ":4:6: nozzle: found 1, expected each"},
        {"side,nozzle,volume_mL,time_s\nleft,1,much,30\n", ":2:8: volume_mL: found much, expected what the jug"},
        {"side,nozzle,volume_mL,time_s\nleft,1,-5,30\n", ":2:8: volume_mL: found -5, expected what the jug"},
        {"side,nozzle,volume_mL,time_s\nleft,1,,30\n", ":2:8: volume_mL: found nothing, expected what the jug"},
        {"side,nozzle,volume_mL,time_s\nleft,1,nan,30\n", ":2:8: volume_mL: found nan"},
        {"side,nozzle,volume_mL,time_s\nleft,1,1000,0\n", ":2:13: time_s: found 0, expected seconds"},
        {"side,nozzle,volume_mL,time_s\nleft,1,9000,30\n", ":2:8: volume_mL: found 9000, expected at most twice"},
        {"side,nozzle,volume_mL,volume_fl_oz,time_s\nleft,1,1000,33,30\n",
         ":2:13: volume_fl_oz: found 33, expected no"},
        {"side,nozzle,time_s\nleft,1,30\n", ": volume_mL: found no such column"},
        {"side,nozzle,volume_mL,time_s\nleft,1,1000\n", ":2:"},
        {"side,nozzle,volume_mL,time_s,colour\n", ":1:"},
        {"side,nozzle,volume_mL,time_s\n", ": found no nozzle, expected one a line"}};
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        sheet_catch caught;
        const drupelet_status status = sheet_catch_read(sheet_case_file(bad[i].csv), scenario, &caught);
        if (status.code != DRUPELET_SCENARIO || !strstr(status.message, bad[i].message))
            fail_msg("expected '%s' in '%s'", bad[i].message, status.message);
    }
    remove(sheet_case_file(""));
    drupelet_scenario_free(scenario);
}

static void a_sprayer_that_is_plugged_everywhere_is_refused(void **state)
{
    (void)state;
    char csv[600] = "side,nozzle,volume_mL,time_s\n";
    for (int i = 0; i < 12; i++)
        snprintf(csv + strlen(csv), sizeof csv - strlen(csv), "%s,%d,0,30\n", i < 6 ? "left" : "right", i % 6 + 1);
    sheet_catch caught;
    drupelet_scenario *scenario = sheet_case_scenario(NULL), *found = NULL;
    char *yaml = NULL;
    assert_int_equal(sheet_catch_read(sheet_case_file(csv), scenario, &caught).code, DRUPELET_OK);
    const drupelet_status status = sheet_as_found(scenario_path, NULL, 0, &caught, &found, &yaml);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, "all plugged"));
    assert_null(found);
    assert_null(yaml);
    remove(sheet_case_file(""));
    drupelet_scenario_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flows_agree_with_sums_by_hand),
        cmocka_unit_test(us_units_and_another_pressure_say_the_same),
        cmocka_unit_test(the_picture_has_a_bar_for_each_nozzle),
        cmocka_unit_test(the_scenario_as_found_runs),
        cmocka_unit_test(droplets_follow_the_flow_found),
        cmocka_unit_test(bad_lines_are_told_by_line_and_column),
        cmocka_unit_test(a_sprayer_that_is_plugged_everywhere_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
