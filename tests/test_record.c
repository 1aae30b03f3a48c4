/* tests/test_record.c - the field record and the class's sheet, on tests/data/block-sheet.yaml: 600 L/ha, 2 L/min a
 * nozzle, a tank of 1500 L. */
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
#include "sheet/record.h"
#include "sheet_case.h"

static void lacks(const char *text, const char *part)
{
    if (strstr(text, part)) fail_msg("the sheet has '%s':\n%s", part, text);
}

static sheet *record_of(const sheet_job_done *job, sheet_system system)
{
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    sprayer_work *work = malloc(sizeof *work);
    assert_non_null(work);
    assert_int_equal(sprayer_work_out(scenario, work).code, DRUPELET_OK);
    sheet *s = sheet_case_begin(system);
    sheet_put_record(s, scenario, work, job);
    free(work);
    drupelet_scenario_free(scenario);
    return s;
}

/* Six hectares at 1.5 kg/ha: 9 kg, 3.75 kg into a tank of 2.5 ha, 3600 L of spray. Date, times and names are lines. */
static void the_record_is_filled_in_but_for_date_and_names(void **state)
{
    (void)state;
    sheet_job_done job = {.product = "Example 50", .dosed = true};
    char reason[SHEET_REASON];
    assert_true(sheet_read_dose("1.5 kg/ha", &job.dose, reason));
    assert_true(sheet_read_area("6 ha", &job.area_m2, reason));
    char *text = sheet_case_text(record_of(&job, SHEET_METRIC));
    static const char *const blank[] = {"date", "start, end", "sprayed by, licence number", "signature"};
    for (size_t i = 0; i < sizeof blank / sizeof blank[0]; i++) {
        char line[80];
        snprintf(line, sizeof line, "  %-36s ____", blank[i]);
        sheet_case_has(text, line);
    }
    sheet_case_has(text, "Example 50");
    sheet_case_has(text, "1.5 kg/ha; 3.75 kg into a full tank");
    sheet_case_has(text, " 9 kg\n");
    sheet_case_has(text, "3600.0 L");
    sheet_case_has(text, "6.00 km/h, fan at 540 rpm");
    sheet_case_has(text, "18.0 degC");
    free(text);
}

/* 6 ha are 14.826 acres; 2 pt for 100 gal at 64.14 gal/acre are 1.283 pt/acre, 7.925 pt into a tank of 396.3 gal. */
static void the_record_in_us_units(void **state)
{
    (void)state;
    sheet_job_done job = {.dosed = true};
    char reason[SHEET_REASON];
    assert_true(sheet_read_dose("2 pt/100 gal", &job.dose, reason));
    assert_true(sheet_read_area("6 ha", &job.area_m2, reason));
    char *json = sheet_case_json(record_of(&job, SHEET_US));
    assert_close(sheet_case_number(json, "block", "area_acre"), 14.8263, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "product", "rate_US_gal_acre"), 64.144, 1e-4, 0.0);
    assert_close(sheet_case_cell(json, "tips", 0, "flow_US_gal_min"), 0.52834, 1e-4, 0.0);
    sheet_case_has(json, "\"dose\": \"1.283 pt/acre; 7.925 pt into a full tank\"");
    sheet_case_has(json, "\"planned\": \"5.6 mph\"");
    free(json);
}

static void what_was_not_typed_in_is_left_to_write(void **state)
{
    (void)state;
    const sheet_job_done job = {.area_m2 = (double)NAN};
    char *text = sheet_case_text(record_of(&job, SHEET_METRIC));
    sheet_case_has(text, "area sprayed                         ____");
    sheet_case_has(text, "dose                                 ____");
    lacks(text, "nan");
    free(text);
}

static char *class_text(sheet_system system, bool answers, bool json)
{
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    sprayer_work *work = malloc(sizeof *work);
    assert_non_null(work);
    assert_int_equal(sprayer_work_out(scenario, work).code, DRUPELET_OK);
    sheet *s = sheet_case_begin(system);
    assert_int_equal(sheet_put_class(s, scenario, work, answers).code, DRUPELET_OK);
    free(work);
    drupelet_scenario_free(scenario);
    return json ? sheet_case_json(s) : sheet_case_text(s);
}

/* 50 m x 3.6 / 6 = 30 s; 24 x 600 / (6 x 4) = 600 L/ha; 6 ha x 600 less two tanks = 600 L; 11250 m3/ha; 12500 m2/ha;
 * 1150 of 1000 mL: 15 %; 18000 x 3 / (1000 x 4 x 3) = 4.5 km/h. */
static void answers_are_those_of_the_formulas_on_the_sheet(void **state)
{
    (void)state;
    char *json = class_text(SHEET_METRIC, true, true);
    assert_close(sheet_case_number(json, "sums", "course_s"), 30.0, 1e-6, 0.0);
    assert_close(sheet_case_number(json, "sums", "rate_L_ha"), 600.0, 1e-6, 0.0);
    assert_close(sheet_case_number(json, "sums", "last_tank_L"), 600.0, 1e-6, 0.0);
    assert_close(sheet_case_number(json, "sums", "row_volume_m3_ha"), 11250.0, 1e-6, 0.0);
    assert_close(sheet_case_number(json, "sums", "wall_area_m2_ha"), 12500.0, 1e-6, 0.0);
    assert_close(sheet_case_number(json, "sums", "worn_percent"), 15.0, 1e-6, 0.0);
    assert_close(sheet_case_number(json, "sums", "fastest_km_h"), 4.5, 1e-6, 0.0);
    sheet_case_has(json, "1150 mL");
    free(json);
}

/* By the formulas as they stand there: 100 / (3.7282 x 1.467) = 18.284 s; 6.3401 x 495 / (3.7282 x 13.1234) = 64.14
 * gal/acre; 9.8425 x 4.9213 x 43560 / 13.1234 = 160778 ft3/acre; 10594.4 x 3 / (88 x 13.1234 x 9.8425) = 2.796 mph. */
static void formulas_in_us_units_hold_too(void **state)
{
    (void)state;
    char *json = class_text(SHEET_US, true, true);
    assert_close(sheet_case_number(json, "sums", "course_s"), 18.284, 5e-4, 0.0);
    assert_close(sheet_case_number(json, "sums", "rate_US_gal_acre"), 64.14, 5e-4, 0.0);
    assert_close(sheet_case_number(json, "sums", "row_volume_ft3_acre"), 160778.0, 5e-4, 0.0);
    assert_close(sheet_case_number(json, "sums", "fastest_mph"), 2.796, 5e-4, 0.0);
    sheet_case_has(json, "38.9 fl oz");
    lacks(json, " mL");
    free(json);
}

static void the_sheet_to_hand_out_has_no_answers(void **state)
{
    (void)state;
    char *text = class_text(SHEET_METRIC, false, false);
    sheet_case_has(text, "1. answer                            ____");
    lacks(text, "11250");
    lacks(text, "30.0 s");
    lacks(text, "15.0 %");
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_record_is_filled_in_but_for_date_and_names),
        cmocka_unit_test(the_record_in_us_units),
        cmocka_unit_test(what_was_not_typed_in_is_left_to_write),
        cmocka_unit_test(answers_are_those_of_the_formulas_on_the_sheet),
        cmocka_unit_test(formulas_in_us_units_hold_too),
        cmocka_unit_test(the_sheet_to_hand_out_has_no_answers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
