/* tests/test_job.c - the job in numbers, and the spray beside the canopy. The sums are by hand on
 * tests/data/block-sheet.yaml: 24 L/min at 100 m/min in ten rows 4 m apart give 600 L/ha; eleven passes treat 40 m, so
 * that a pass treats 40 / 11 = 3.636 m, and a hectare takes 10000 / 3.636 / 100 = 27.5 min. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "drupelet/scenario.h"
#include "sheet/canopy_dose.h"
#include "sheet/job.h"
#include "sheet_case.h"

#define HECTARE_M2 1e4
#define ACRE_M2 4046.873 /* of the US survey foot, as in scenario/units.c */

/* Six hectares at rows of 250 m: a turn of 30 s, a fill of 20 min, 1.5 kg/ha, 9 L/h of fuel and five prices. */
static sheet_job six_hectares(void)
{
    static const char *const prices[] = {"product=20/kg", "water=2/m3", "fuel=1.5/L", "labour=24/h", "machine=30/h"};
    sheet_job job = sheet_job_none();
    char reason[SHEET_REASON];
    job.row_length_m = 250.0;
    job.turn_s = 30.0;
    job.refill_s = 1200.0;
    job.fuel_m3_s = 9e-3 / 3600.0;
    assert_true(sheet_read_area("6 ha", &job.area_m2, reason));
    job.dosed = sheet_read_dose("1.5 kg/ha", &job.dose, reason);
    assert_true(job.dosed);
    for (int i = 0; i < 5; i++)
        assert_true(sheet_read_price(prices[i], &job.price[job.n_prices++], reason));
    return job;
}

static char *job_json(const char *const set[4], const sheet_job *job, sheet_system system)
{
    drupelet_scenario *scenario = sheet_case_scenario(set);
    sprayer_work *work = malloc(sizeof *work);
    assert_non_null(work);
    assert_int_equal(sprayer_work_out(scenario, work).code, DRUPELET_OK);
    sheet *s = sheet_case_begin(system);
    sheet_put_job(s, scenario, work, job);
    sheet_put_canopy_dose(s, scenario, work);
    free(work);
    drupelet_scenario_free(scenario);
    return sheet_case_json(s);
}

/* 60000 m2 / (3.636 m x 250 m) = 66 passes, 65 turns: 6 x 27.5 = 165 min of spraying, 32.5 min of turning. 3600 L are
 * two tanks of 1500 L and 600 L, 40 %: three fills, 60 min. Together 257.5 min = 4.2917 h: 1.398 ha/h, 42.92 min/ha. */
static void work_and_tank_agree_with_sums_by_hand(void **state)
{
    (void)state;
    const sheet_job job = six_hectares();
    char *json = job_json(NULL, &job, SHEET_METRIC);
    assert_close(sheet_case_number(json, "speed", "time_50_m_s"), 30.0, 1e-6, 0.0);
    assert_close(sheet_case_number(json, "speed", "rate_L_ha"), 600.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "speed", "per_row_L_100_m"), 24.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "speed", "spraying_min_ha"), 27.5, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "work", "passes"), 66.0, 0.0, 0.0);
    assert_close(sheet_case_number(json, "work", "turns"), 65.0, 0.0, 0.0);
    assert_close(sheet_case_number(json, "work", "spraying_time_min"), 165.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "work", "turning_time_min"), 32.5, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "work", "filling_time_min"), 60.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "work", "whole_time_h"), 257.5 / 60.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "work", "output_ha_h"), 6.0 / (257.5 / 60.0), 1e-5, 0.0);
    assert_close(sheet_case_number(json, "work", "time_an_area_min_ha"), 257.5 / 6.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "tank", "tank_area_ha"), 2.5, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "tank", "volume_L"), 3600.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "tank", "full_tanks"), 2.0, 0.0, 0.0);
    assert_close(sheet_case_number(json, "tank", "last_tank_L"), 600.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "tank", "last_tank_share_percent"), 40.0, 1e-5, 0.0);
    free(json);
}

/* 1.5 kg/ha: 3.75 kg for the 2.5 ha of a tank, 1.5 kg for the last 1 ha, 9 kg. The tractor's 9 L/h over 257.5 min / 6:
 * 6.4375 L/ha; the fan's 12 kW x 0.3 L/kWh x 27.5 min/ha: 1.65 L/ha. Costs a hectare: 30, 0.6 m3 x 2 = 1.2, 6.4375
 * x 1.5 = 9.65625, 0.71528 h x 24 = 17.1667, x 30 = 21.4583; together 79.4813, for six 476.8875. */
static void product_fuel_and_cost_agree_with_sums_by_hand(void **state)
{
    (void)state;
    const sheet_job job = six_hectares();
    char *json = job_json(NULL, &job, SHEET_METRIC);
    sheet_case_has(json, "\"product_an_area\": \"1.5 kg/ha\"");
    sheet_case_has(json, "\"product_a_tank\": \"3.75 kg\"");
    sheet_case_has(json, "\"product_last_tank\": \"1.5 kg\"");
    sheet_case_has(json, "\"product\": \"9 kg\"");
    assert_close(sheet_case_number(json, "fuel", "fuel_an_area_L_ha"), 6.4375, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "fuel", "fan_an_area_L_ha"), 1.65, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "items", 0, "cost_per_ha"), 30.0, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "items", 1, "cost_per_ha"), 1.2, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "items", 2, "cost_per_ha"), 9.65625, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "items", 3, "cost_per_ha"), 17.16667, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "items", 4, "cost_per_ha"), 21.45833, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "items", 5, "cost_per_ha"), 79.48125, 1e-5, 0.0);
    assert_close(sheet_case_cell(json, "items", 5, "cost"), 476.8875, 1e-5, 0.0);
    free(json);
}

/* In US units: 100 ft at 100 m/min take 18.288 s. 27.5 min/ha x 0.404687 = 11.1289 min/acre. 2 pt for 100 gal at 64.144
 * gal/acre: 1.2829 pt/acre; 396.26 gal of a tank hold 7.925 pt. */
static void us_units_say_the_same(void **state)
{
    (void)state;
    sheet_job job = six_hectares();
    char reason[SHEET_REASON];
    job.n_prices = 0;
    assert_true(sheet_read_dose("2 pt/100 gal", &job.dose, reason));
    char *json = job_json(NULL, &job, SHEET_US);
    assert_close(sheet_case_number(json, "speed", "time_100_ft_s"), 18.288, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "speed", "travel_speed_mph"), 3.72823, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "speed", "rate_US_gal_acre"), 64.144, 1e-4, 0.0);
    assert_close(sheet_case_number(json, "speed", "spraying_min_acre"), 27.5 * ACRE_M2 / HECTARE_M2, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "work", "area_acre"), 6.0 * HECTARE_M2 / ACRE_M2, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "tank", "tank_US_gal"), 396.258, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "tank", "last_tank_US_gal"), 158.503, 1e-5, 0.0);
    sheet_case_has(json, "\"product_an_area\": \"1.283 pt/acre\"");
    sheet_case_has(json, "\"product_a_tank\": \"7.925 pt\"");
    /* tree row volume: 9.8425 ft x 4.9213 ft x 43560 ft2 / 13.1234 ft; wall: 2 x 8.2021 ft x 43560 ft2 / 13.1234 ft */
    assert_close(sheet_case_number(json, "canopy", "row_volume_ft3_acre"), 160778.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "canopy", "wall_area_ft2_acre"), 54450.0, 1e-4, 0.0);
    assert_close(sheet_case_number(json, "canopy", "spray_a_volume_US_gal_1000_ft3"), 64.144 / 160.778, 1e-4, 0.0);
    assert_close(sheet_case_number(json, "canopy", "spray_a_wall_US_gal_10000_ft2"), 64.144 / 5.4450, 1e-4, 0.0);
    free(json);
}

/* 3 m x 1.5 m x 10000 m2 / 4 m = 11250 m3/ha; 2 x 2.5 m x 10000 m2 / 4 m = 12500 m2/ha; 600 L on them: 53.33 L for 1000
 * m3, 480 L for 10000 m2. Dilute: 0.7 US gal for 1000 ft3 are 93.57 L for 1000 m3, so 1053 L/ha here. */
static void canopy_and_dose_agree_with_sums_by_hand(void **state)
{
    (void)state;
    const sheet_job job = sheet_job_none();
    char *json = job_json(NULL, &job, SHEET_METRIC);
    assert_close(sheet_case_number(json, "canopy", "row_volume_m3_ha"), 11250.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "canopy", "wall_area_m2_ha"), 12500.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "canopy", "spray_a_volume_L_1000_m3"), 53.3333, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "canopy", "spray_a_wall_L_10000_m2"), 480.0, 1e-5, 0.0);
    sheet_case_has(json, "3.00 m x 1.50 m x 10000 m2 / 4.00 m");
    sheet_case_has(json, "2 x 2.50 m x 10000 m2 / 4.00 m");
    free(json);
    drupelet_scenario *scenario = sheet_case_scenario(NULL);
    sheet *s = sheet_case_begin(SHEET_METRIC);
    sprayer_work *work = malloc(sizeof *work);
    assert_non_null(work);
    assert_int_equal(sprayer_work_out(scenario, work).code, DRUPELET_OK);
    sheet_put_canopy_dose(s, scenario, work);
    char *text = sheet_case_text(s);
    sheet_case_has(text, "1053 L/ha to 1504 L/ha");
    sheet_case_has(text, "common practice");
    free(text);
    free(work);
    drupelet_scenario_free(scenario);
}

/* Every second alley: six passes at half the volume on the same ground. 40 m / 6 a pass, 15 min/ha, 300 + L/ha. */
static void skipped_alleys_count_as_driven(void **state)
{
    (void)state;
    static const char *const set[] = {"sprayer.alleys=[0, 2, 4, 6, 8, 10]", NULL, NULL, NULL};
    const sheet_job job = six_hectares();
    char *json = job_json(set, &job, SHEET_METRIC);
    assert_close(sheet_case_number(json, "speed", "spraying_min_ha"), 15.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "speed", "rate_L_ha"), 300.0, 1e-5, 0.0);
    assert_close(sheet_case_number(json, "work", "passes"), 36.0, 0.0, 0.0);
    free(json);
}

/* 5 ha are two tanks of 2.5 ha: no third fill, whatever a rounding says. */
static void full_tanks_leave_no_last_one(void **state)
{
    (void)state;
    sheet_job job = six_hectares();
    job.area_m2 = 5e4;
    char *json = job_json(NULL, &job, SHEET_METRIC);
    assert_close(sheet_case_number(json, "tank", "full_tanks"), 2.0, 0.0, 0.0);
    assert_close(sheet_case_number(json, "tank", "last_tank_L"), 0.0, 0.0, 1e-6);
    assert_close(sheet_case_number(json, "work", "filling_time_min"), 40.0, 1e-5, 0.0);
    free(json);
}

static void texts_that_are_none_are_refused(void **state)
{
    (void)state;
    static const char *const areas[] = {"", "4", "ha", "-4 ha", "0 ha", "4 hectare", "1e12 ha", "nan ha", "4 ha 2"};
    static const char *const doses[] = {"1.5",        "1.5 kg",  "kg/ha",      "1.5 stone/ha",
                                        "1.5 kg/row", "0 kg/ha", "2 pt/50 gal"};
    static const char *const prices[] = {"fuel", "fuel=",       "fuel=1.5",       "fuel=1.5/h", "beer=2/L",
                                         "=2/L", "labour=20/L", "product=20/bag", "water=-1/L"};
    static const char *const gears[] = {"", "=5 km/h", "two", "two=", "two=5", "two=0 km/h", "two=5 bar"};
    char reason[SHEET_REASON];
    double area;
    sheet_dose dose;
    sheet_price price;
    sheet_gear gear;
    for (size_t i = 0; i < sizeof areas / sizeof areas[0]; i++)
        assert_false(sheet_read_area(areas[i], &area, reason));
    for (size_t i = 0; i < sizeof doses / sizeof doses[0]; i++)
        assert_false(sheet_read_dose(doses[i], &dose, reason));
    for (size_t i = 0; i < sizeof prices / sizeof prices[0]; i++)
        assert_false(sheet_read_price(prices[i], &price, reason));
    for (size_t i = 0; i < sizeof gears / sizeof gears[0]; i++)
        assert_false(sheet_read_gear(gears[i], &gear, reason));
    assert_true(sheet_read_area("10 acres", &area, reason));
    assert_close(area, 10.0 * ACRE_M2, 1e-6, 0.0);
    assert_true(sheet_read_dose("3 fl oz/acre", &dose, reason));
    assert_string_equal(dose.unit, "fl oz");
    assert_true(sheet_read_gear("2 low=5.4 km/h", &gear, reason));
    assert_string_equal(gear.name, "2 low");
    assert_close(gear.speed_m_s, 1.5, 1e-9, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(work_and_tank_agree_with_sums_by_hand),
        cmocka_unit_test(product_fuel_and_cost_agree_with_sums_by_hand),
        cmocka_unit_test(us_units_say_the_same),
        cmocka_unit_test(canopy_and_dose_agree_with_sums_by_hand),
        cmocka_unit_test(skipped_alleys_count_as_driven),
        cmocka_unit_test(full_tanks_leave_no_last_one),
        cmocka_unit_test(texts_that_are_none_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
