/* tests/test_draw_fan.c - the air around the sprayer that a result keeps, its picture, and its grid for others. */
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

#include "air_case.h"
#include "check.h"
#include "draw_place.h"
#include "report/fan_air.h"
#include "report/fan_parts.h"
#include "run/fan_box.h"
#include "run_case.h"
#include "svg_text.h"
#include "vtk_check.h"

typedef struct {
    run_case run;
    draw_place in;
} place;

static char *drawn(const place *at, const drupelet_result *result)
{
    assert_ok(drupelet_result_write(result, at->in.other, true));
    assert_ok(report_fan_air(at->in.other, at->in.picture, NULL, true));
    assert_int_equal(remove(at->in.other), 0);
    char *svg = svg_text_of(at->in.picture);
    assert_int_equal(remove(at->in.picture), 0);
    svg_assert_well_formed(svg);
    return svg;
}

/* At every point the numbers of the air that droplets read there, with few points of a fine grid. */
static void assert_of_the_air(const char *cell, double most_step_m)
{
    air_case c;
    run_fan_box b = {0};
    air_case_open(&c, "apple-wall-full-leaf.yaml", (const char *const[]){cell, "run.wind=profiles", NULL});
    const int middle = c.work.n_passes / 2;
    assert_ok(run_fan_box_make(c.field, &c.work, &b));
    assert_true((double)b.nx * b.ny * b.nz <= 4e5);
    assert_true(b.y_m[1] - b.y_m[0] < b.x_m[1] - b.x_m[0] + 1e-9); /* jets are thin along the travel */
    double nearest_m = INFINITY;
    for (int j = 0; j < b.ny; j++)
        nearest_m = fmin(nearest_m, fabs(b.y_m[j]));
    assert_true(nearest_m < 0.5 * c.field->pass[middle].dy_m + 1e-9); /* those at the outlets are kept */
    assert_true(b.x_m[1] - b.x_m[0] < most_step_m + 1e-9);
    assert_close(b.sprayer_x_m, c.work.pass[middle].x_m, 0.0, 1e-12);
    for (int k = 0; k < b.nz; k += 3)
        for (int j = 0; j < b.ny; j += 2)
            for (int i = 0; i < b.nx; i += 2) {
                const air_state a =
                    air_grid_at(c.field, &c.field->pass[middle], b.x_m[i] - b.sprayer_x_m, b.y_m[j], b.z_m[k]);
                const size_t at = ((size_t)k * (size_t)b.ny + (size_t)j) * (size_t)b.nx + (size_t)i;
                const double found[RUN_FAN_VALUES] = {a.u_m_s, a.v_m_s, a.w_m_s, a.sigma_m_s, a.sigma_level_m_s};
                for (int v = 0; v < RUN_FAN_VALUES; v++)
                    assert_close((double)b.value[v][at], found[v], 1e-4, 1e-4); /* the place in the grid is rounded */
            }
    run_fan_box_drop(&b);
    assert_true(b.nx == 0 && !b.x_m && !b.value[0]);
    run_fan_box_drop(&b); /* harmless */
    air_case_close(&c);
}

static void it_is_the_air_that_droplets_meet(void **state)
{
    (void)state;
    assert_of_the_air("run.air_cell=0.4 m", 0.4);
    assert_of_the_air("run.air_cell=0.12 m", 0.24); /* every second node */
}

static void the_picture_says_what_belongs_to_it(void **state)
{
    const place *at = *state;
    char *svg = drawn(at, at->run.result);
    static const char *const words[] = {"wind and fan together: fan at 540 rpm, 4.4 m3/s, travel 6 km/h",
                                        "Speed over the ground, m/s",
                                        "As the sprayer goes by: highest speed, and its way",
                                        "From above, at a height of 1.75 m",
                                        "ahead of the outlets, m",
                                        "Highest speed as the sprayer goes by, m/s, at heights",
                                        ">0.88 m<",
                                        ">3.5 m<",
                                        "Highest speed at the rows beside, m/s",
                                        ">upwind side<",
                                        "far side",
                                        "Rows 3.5 m apart"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (!strstr(svg, words[i])) print_error("no words '%s'\n", words[i]);
        assert_non_null(strstr(svg, words[i]));
    }
    assert_non_null(strstr(svg, drupelet_caution()));
    assert_int_equal(svg_count(svg, "height=\"13\" fill="), 10);
    assert_int_equal(svg_count(svg, "class=\"contour\" style"), 18); /* two maps */
    free(svg);
}

/* The highest speed is that of the fastest node along the travel; between nodes it is linear, outside it is held. */
static void numbers_of_the_picture_are_those_of_the_result(void **state)
{
    const place *at = *state;
    const drupelet_result *r = at->run.result;
    const int i = r->fan_nx / 3, k = r->fan_nz / 4;
    double most[2] = {0.0, 0.0};
    for (int next = 0; next < 2; next++)
        for (int j = 0; j < r->fan_ny; j++) {
            const size_t n = ((size_t)k * (size_t)r->fan_ny + (size_t)j) * (size_t)r->fan_nx + (size_t)(i + next);
            const double u = (double)r->fan_value[RUN_FAN_ACROSS][n], v = (double)r->fan_value[RUN_FAN_ALONG][n],
                         w = (double)r->fan_value[RUN_FAN_UP][n];
            most[next] = fmax(most[next], sqrt(u * u + v * v + w * w));
        }
    assert_close(fan_highest_speed(r, r->fan_x_m[i], r->fan_z_m[k]), most[0], 1e-6, 0.0);
    assert_close(fan_highest_speed(r, 0.3 * r->fan_x_m[i] + 0.7 * r->fan_x_m[i + 1], r->fan_z_m[k]),
                 0.3 * most[0] + 0.7 * most[1], 1e-6, 0.0);
    assert_close(fan_highest_speed(r, -1e6, 0.0), fan_highest_speed(r, r->fan_x_m[0], 0.0), 1e-12, 0.0);
    /* the jets are in it: before the row beside the sprayer the air is fast, behind it slower */
    const double near_m = r->fan_sprayer_x_m + 0.5 * r->row_spacing_m - 0.5 * r->canopy_width_m;
    assert_true(fan_highest_speed(r, near_m, 1.0) > 5.0);
    assert_true(fan_highest_speed(r, near_m + r->canopy_width_m, 1.0) < 0.8 * fan_highest_speed(r, near_m, 1.0));
}

/* The wind blows to the right in either picture. */
static void wind_the_other_way_turns_the_picture_round(void **state)
{
    const place *at = *state;
    run_case back = case_run("apple-wall-full-leaf.yaml", 2000, 2,
                             (const char *const[4]){"run.air_cell=0.5 m", "run.keep_fan_air=yes", "run.wind=profiles",
                                                    "weather.wind_angle=180 deg"});
    char *there = drawn(at, at->run.result), *svg = drawn(at, back.result);
    const drupelet_result *a = at->run.result, *b = back.result;
    assert_true(a->ground_distance_m[1] > a->ground_distance_m[0] && b->ground_distance_m[1] < b->ground_distance_m[0]);
    const double left = svg_at_words(there, "far side", 0);
    assert_close(svg_at_words(svg, "far side", 0), left, 0.0, 0.11);
    /* the mirror image of the block in the mirror image of the wind: the same air, to the rounding of the grids */
    const double x_m = 2.0, z_m = 1.5;
    assert_close(fan_highest_speed(b, b->fan_sprayer_x_m - x_m, z_m),
                 fan_highest_speed(a, a->fan_sprayer_x_m + x_m, z_m), 0.15,
                 0.0); /* another alley of the block: its wind is another */
    free(there);
    free(svg);
    case_end(&back);
}

static void a_result_without_it_says_how_to_make_one(void **state)
{
    const place *at = *state;
    drupelet_result *r = at->run.result;
    const int n[3] = {r->fan_nx, r->fan_ny, r->fan_nz};
    r->fan_nx = r->fan_ny = r->fan_nz = 0;
    const drupelet_status written = drupelet_result_write(r, at->in.other, true);
    r->fan_nx = n[0];
    r->fan_ny = n[1];
    r->fan_nz = n[2];
    assert_ok(written);
    const drupelet_status status = report_fan_air(at->in.other, at->in.picture, at->in.grid, true);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, at->in.other));
    assert_non_null(strstr(status.message, "--set run.keep_fan_air=yes"));
    assert_null(strchr(status.message, '\n'));
    assert_true(access(at->in.picture, F_OK) != 0 && access(at->in.grid, F_OK) != 0);
    assert_int_equal(remove(at->in.other), 0);
}

/* Pictures count on even axes around the sprayer. */
static void a_box_that_is_no_box_is_refused(void **state)
{
    const place *at = *state;
    drupelet_result *r = at->run.result;
    const struct {
        double *value, bad;
        const char *message;
    } CASES[] = {{&r->fan_x_m[3], 0.5 * (r->fan_x_m[3] + r->fan_x_m[4]),
                  "found points that do not rise in even steps at /fan_air/x"},
                 {&r->fan_sprayer_x_m, 1e4, "found points that do not lie around the sprayer at /fan_air/x"}};
    for (int c = 0; c < 2; c++) {
        const double kept = *CASES[c].value;
        *CASES[c].value = CASES[c].bad;
        const drupelet_status written = drupelet_result_write(r, at->in.other, true);
        *CASES[c].value = kept;
        assert_ok(written);
        drupelet_result *read;
        const drupelet_status status = drupelet_result_read(at->in.other, &read);
        assert_int_not_equal(status.code, DRUPELET_OK);
        if (!strstr(status.message, CASES[c].message)) print_error("%s\n", status.message);
        assert_non_null(strstr(status.message, CASES[c].message));
    }
    assert_int_equal(remove(at->in.other), 0);
}

static void vtk_reads_the_numbers_of_the_result(void **state)
{
    const place *at = *state;
    assert_ok(report_fan_air(at->in.result, NULL, at->in.grid, false));
    vtk_check(at->in.grid, at->in.result, "fan_air");
}

static int set_up(void **state)
{
    static place at;
    if (draw_place_make(&at.in) != 0)
        return -1;
    at.run = case_run("apple-wall-full-leaf.yaml", 2000, 2,
                      (const char *const[4]){"run.air_cell=0.5 m", "run.keep_fan_air=yes", "run.wind=profiles", NULL});
    *state = &at;
    return drupelet_result_write(at.run.result, at.in.result, false).code == DRUPELET_OK ? 0 : -1;
}

static int tear_down(void **state)
{
    place *at = *state;
    case_end(&at->run);
    return draw_place_remove(&at->in);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_is_the_air_that_droplets_meet),
        cmocka_unit_test(the_picture_says_what_belongs_to_it),
        cmocka_unit_test(numbers_of_the_picture_are_those_of_the_result),
        cmocka_unit_test(wind_the_other_way_turns_the_picture_round),
        cmocka_unit_test(a_result_without_it_says_how_to_make_one),
        cmocka_unit_test(a_box_that_is_no_box_is_refused),
        cmocka_unit_test(vtk_reads_the_numbers_of_the_result),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
