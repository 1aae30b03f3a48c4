/* tests/test_fan_measured.c - both ways to find the air of the fan beside a slot jet as it was measured. The other
 * layouts of the file are flown by scripts/fan-air-table; docs/air.md has what comes out. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/air.h"
#include "check.h"
#include "data_file.h"

#define SLOT_M 0.06
#define HEIGHT_M 1.6 /* middle of the slot */
#define OFFSET_M 0.5
#define BLOWN_M_S 30.0

/* A slot of the measured shape, as wide as those of sprayers. The wind blows gently along the jet: where nothing else
 * moves the air a resolved flow takes long to settle. */
static const char *const SLOT[] = {
    "sprayer.outlets=[{kind: slot, side: right, offset: 0.5 m, bottom: 1.03 m, top: 2.17 m, slot: 60 mm}]",
    "sprayer.fan.reference_flow=2.052 m3/s",
    "canopy.leaf_area_index=0",
    "canopy.wood_area_index=0",
    "canopy.height=1.5 m",
    "canopy.base=0.4 m",
    "orchard.grass_height=0",
    "orchard.rows=2",
    "sprayer.alleys=[1]",
    "orchard.row_spacing=3 m",
    "run.spray_air=no",
    "run.air_cell=0.1 m",
    "sprayer.travel_speed=2 km/h",
    "weather.wind_speed=1 m/s",
    "weather.wind_height=2 m"};
enum { SETTINGS = sizeof SLOT / sizeof SLOT[0] };

/* Highest speed over the wind at a distance from the slot, over that in it. */
static double share_left(const air_field *field, double side, double from_slot_m)
{
    const air_grid *g = &field->pass[0];
    const double x_m = side * (OFFSET_M + from_slot_m);
    const double wind_m_s = air_grid_at(field, g, x_m, g->y_first_m + (g->ny - 1) * g->dy_m, HEIGHT_M).u_m_s * side;
    double most_m_s = 0.0;
    for (int j = 0; j < g->ny; j++)
        most_m_s = fmax(most_m_s, side * air_grid_at(field, g, x_m, g->y_first_m + j * g->dy_m, HEIGHT_M).u_m_s);
    return (most_m_s - wind_m_s) / (BLOWN_M_S - wind_m_s);
}

/* @param from_widths nearest distance that is asked of this model, in widths of the slot */
static void check_slot(const char *fan_air, const char *cells, double from_widths)
{
    const char *set[SETTINGS + 2];
    drupelet_scenario *scenario = NULL;
    orchard_canopy *canopy = NULL;
    air_field *field = NULL;
    static sprayer_work work;
    memcpy(set, SLOT, sizeof SLOT);
    set[SETTINGS] = fan_air;
    set[SETTINGS + 1] = cells;
    const drupelet_status status =
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", set, SETTINGS + 2, &scenario);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    assert_int_equal(orchard_create(scenario, &canopy).code, DRUPELET_OK);
    assert_int_equal(sprayer_work_out(scenario, &work).code, DRUPELET_OK);
    assert_int_equal(air_field_create(scenario, canopy, &work, NULL, 2, &field).code, DRUPELET_OK);
    const double side = work.pass[0].heading * 1.0; /* the right of who drives along +y is +x */
    verify_table *measured = data_file_open("fan_air_measured");
    int n = 0;
    for (int row = 0; row < verify_table_rows(measured); row++) {
        if (strcmp(verify_table_text(measured, row, "layout"), "slot") != 0) continue;
        const double widths = verify_table_number(measured, row, "place"),
                     wanted = verify_table_number(measured, row, "low"),
                     factor = verify_table_number(measured, row, "factor");
        const double ours = share_left(field, side, widths * SLOT_M);
        print_message("%s, %g widths from the slot: %.3f, measured %.3f\n", fan_air, widths, ours, wanted);
        if (widths < from_widths) continue;
        assert_true(ours > wanted / factor && ours < wanted * factor);
        n++;
    }
    assert_true(n >= 2);
    verify_table_free(measured);
    air_field_free(field);
    orchard_free(canopy);
    drupelet_scenario_free(scenario);
}

static void an_integral_sheet_keeps_the_measured_speed(void **state)
{
    (void)state;
    check_slot("run.fan_air=integral", "run.fan_air_cell=0.2 m", 6.0);
}

/* On coarse cells, which take a second; nearer to the slot it is thinner than they can hold. */
static void a_resolved_sheet_keeps_the_measured_speed(void **state)
{
    (void)state;
    check_slot("run.fan_air=resolved", "run.fan_air_cell=0.5 m", 10.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_integral_sheet_keeps_the_measured_speed),
        cmocka_unit_test(a_resolved_sheet_keeps_the_measured_speed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
