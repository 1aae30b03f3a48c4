/* tests/test_draw_wind.c - the picture of the wind, and its grid for other programs. */
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

#include "base/elementary.h"
#include "check.h"
#include "draw_place.h"
#include "report/contour.h"
#include "report/wind.h"
#include "report/wind_parts.h"
#include "small_run.h"
#include "svg_text.h"
#include "vtk_check.h"

typedef struct {
    run_case *run;
    draw_place in;
} place;

/* Draws the wind of a result; the caller frees the text. */
static char *drawn(const place *at, const drupelet_result *result)
{
    assert_ok(drupelet_result_write(result, at->in.other, true));
    assert_ok(report_wind(at->in.other, at->in.picture, NULL, true));
    assert_int_equal(remove(at->in.other), 0);
    char *svg = svg_text_of(at->in.picture);
    assert_int_equal(remove(at->in.picture), 0);
    svg_assert_well_formed(svg);
    return svg;
}

static void assert_says(const char *svg, const char *words)
{
    if (!strstr(svg, words)) print_error("no words '%s'\n", words);
    assert_non_null(strstr(svg, words));
}

static void the_picture_says_what_belongs_to_it(void **state)
{
    const place *at = *state;
    char *svg = drawn(at, at->run->result);
    static const char *const words[] = {"wind across 8 rows, without the air of the fan: 3 m/s at 2 m",
                                        "11° off straight across the rows",
                                        "Level speed, m/s",
                                        "m/s in the section (across and up)",
                                        "times as large as distances",
                                        "height, m",
                                        "edge of the block",
                                        "Speed over that of the open ground ahead, at heights",
                                        ">0.5 m<",
                                        ">1 m<",
                                        ">2 m<",
                                        ">3.5 m<",
                                        "distance downwind of the block, m",
                                        "Profiles at the places A, B, ... of the section, m/s",
                                        "standard deviation of the upward wind",
                                        "C: middle alley",
                                        "D: last alley",
                                        "Apple wall &lt;by hand&gt; &amp; &quot;half a"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        assert_says(svg, words[i]);
    assert_says(svg, drupelet_caution());
    assert_int_equal(svg_count(svg, "class=\"crown\""), SMALL_RUN_ROWS);
    /* the key has every band, and each but the slowest has a contour */
    const int n_bands = svg_count(svg, "height=\"13\" fill=");
    assert_between(n_bands, 5, WIND_MOST_BANDS);
    assert_int_equal(svg_count(svg, "class=\"contour\" style"), n_bands - 1);
    free(svg);
}

/* Numbers of the picture are those of the result: a place in the section, and the end of a line of the diagram. */
static void what_is_drawn_is_the_wind_of_the_result(void **state)
{
    const place *at = *state;
    const drupelet_result *r = at->run->result;
    for (int k = 0; k < r->wind_nz; k += 7)
        for (int i = 0; i < r->wind_nx; i += 5) {
            const size_t here = (size_t)k * (size_t)r->wind_nx + (size_t)i;
            for (run_wind_value v = 0; v < RUN_WIND_VALUES; v++)
                assert_close(wind_value_at(r, v, r->wind_x_m[i], r->wind_z_m[k]), (double)r->wind_value[v][here], 1e-6,
                             1e-9);
        }
    const double x_m = 0.3 * r->wind_x_m[9] + 0.7 * r->wind_x_m[10], z_m = 0.5 * (r->wind_z_m[4] + r->wind_z_m[5]);
    const float *u = r->wind_value[RUN_WIND_ACROSS] + 4 * r->wind_nx;
    assert_close(wind_value_at(r, RUN_WIND_ACROSS, x_m, z_m),
                 0.5 * (0.3 * (double)(u[9] + u[9 + r->wind_nx]) + 0.7 * (double)(u[10] + u[10 + r->wind_nx])), 1e-6,
                 0.0);
    /* outside it is held to the border */
    assert_close(wind_value_at(r, RUN_WIND_ACROSS, -1e6, 1e6),
                 (double)r->wind_value[RUN_WIND_ACROSS][(r->wind_nz - 1) * r->wind_nx], 1e-12, 0.0);
}

/* Of a round hill the ring is a circle, and of a plain there is none. */
static void a_contour_lies_where_the_level_is(void **state)
{
    (void)state;
    enum { N = 41 };
    double value[N * N];
    contour_raster raster = {.n_across = N, .n_up = N, .value = value, .right = 80.0, .bottom = 80.0};
    for (int k = 0; k < N; k++)
        for (int i = 0; i < N; i++)
            value[k * N + i] = 40.0 - base_hypot(2.0 * i - 40.0, 2.0 * k - 40.0);
    char *text = NULL;
    size_t n;
    FILE *to = open_memstream(&text, &n);
    assert_non_null(to);
    assert_ok(contour_rings(to, &raster, 15.0));
    assert_ok(contour_rings(to, &raster, 41.0)); /* none */
    assert_int_equal(fclose(to), 0);
    assert_int_equal(svg_count(text, "M"), 1);
    assert_int_equal(svg_count(text, "Z"), 1);
    int points = 0;
    for (char *c = text; *c == 'M' || *c == 'L'; points++) {
        const double x = strtod(c + 1, &c), y = strtod(c, &c);
        assert_close(base_hypot(x - 40.0, y - 40.0), 25.0, 0.0, 0.2); /* a fifth of a unit: straight between points */
    }
    assert_true(points >= 12);
    free(text);
    /* two hills that touch at a saddle are two rings, or one with the middle high */
    double saddle[4] = {1.0, 0.0, 0.0, 1.0};
    const contour_raster corner = {.n_across = 2, .n_up = 2, .value = saddle, .right = 4.0, .top = 4.0};
    for (int low = 0; low < 2; low++) {
        /* the border has no value, so the level alone decides: the middle is half as high */
        to = open_memstream(&text, &n);
        assert_non_null(to);
        assert_ok(contour_rings(to, &corner, low ? 0.6 : 0.4));
        assert_int_equal(fclose(to), 0);
        assert_int_equal(svg_count(text, "M"), low ? 2 : 1);
        free(text);
    }
}

static void wind_the_other_way_turns_the_rows_round(void **state)
{
    const place *at = *state;
    run_case *back = small_run(-1);
    char *there = drawn(at, at->run->result), *svg = drawn(at, back->result);
    /* the wind blows to the right in either, so row 1 stands next to the edge at the right, then far from it */
    const double edge = svg_at_words(there, "edge of the block", 0);
    assert_true(svg_at_words(there, "7", 0) < edge - 150.0);
    assert_true(svg_at_words(svg, "7", 0) > edge - 60.0 && svg_at_words(svg, "7", 0) < edge);
    assert_close(svg_at_words(svg, "edge of the block", 0), svg_at_words(there, "edge of the block", 0), 0.0, 0.11);
    assert_says(svg, "11° off straight across the rows");
    free(there);
    free(svg);
    small_run_end(back);
}

static void calm_is_drawn_too(void **state)
{
    const place *at = *state;
    drupelet_result *r = at->run->result;
    const size_t n = (size_t)r->wind_nx * (size_t)r->wind_nz;
    float *kept = malloc(RUN_WIND_VALUES * n * sizeof *kept);
    assert_non_null(kept);
    for (int v = 0; v < RUN_WIND_VALUES; v++) {
        memcpy(kept + (size_t)v * n, r->wind_value[v], n * sizeof *kept);
        memset(r->wind_value[v], 0, n * sizeof *kept);
    }
    char *svg = drawn(at, r);
    for (int v = 0; v < RUN_WIND_VALUES; v++)
        memcpy(r->wind_value[v], kept + (size_t)v * n, n * sizeof *kept);
    free(kept);
    assert_says(svg, "There is no wind ahead to compare with.");
    free(svg);
}

static void it_says_which_wind_it_is(void **state)
{
    const place *at = *state;
    drupelet_result *r = at->run->result;
    const int8_t kept = r->computed_wind;
    r->computed_wind = 0;
    char *assumed = drawn(at, r);
    r->computed_wind = 1;
    char *computed = drawn(at, r);
    r->computed_wind = kept;
    assert_says(computed, "Computed wind across 8 rows");
    assert_says(computed, "The wind is computed over, in and behind the rows");
    assert_says(assumed, "Assumed wind across 8 rows");
    assert_says(assumed, "The wind is assumed: profiles");
    free(computed);
    free(assumed);
}

static void a_result_without_it_says_how_to_make_one(void **state)
{
    const place *at = *state;
    drupelet_result *r = at->run->result;
    const int nx = r->wind_nx, nz = r->wind_nz;
    r->wind_nx = r->wind_nz = 0;
    const drupelet_status written = drupelet_result_write(r, at->in.other, true);
    r->wind_nx = nx;
    r->wind_nz = nz;
    assert_ok(written);
    const drupelet_status status = report_wind(at->in.other, at->in.picture, at->in.grid, true);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, at->in.other));
    assert_non_null(strstr(status.message, "--set run.keep_wind=yes"));
    assert_null(strchr(status.message, '\n'));
    assert_true(access(at->in.picture, F_OK) != 0 && access(at->in.grid, F_OK) != 0);
    assert_int_equal(remove(at->in.other), 0);
}

static void what_exists_stays_unless_asked(void **state)
{
    const place *at = *state;
    assert_ok(report_wind(at->in.result, at->in.picture, at->in.grid, false));
    assert_int_equal(report_wind(at->in.result, at->in.picture, NULL, false).code, DRUPELET_FILE);
    assert_int_equal(report_wind(at->in.result, NULL, at->in.grid, false).code, DRUPELET_FILE);
    assert_ok(report_wind(at->in.result, at->in.picture, at->in.grid, true));
    assert_int_equal(remove(at->in.picture), 0);
    assert_int_equal(remove(at->in.grid), 0);
}

static void vtk_reads_the_numbers_of_the_result(void **state)
{
    const place *at = *state;
    assert_ok(report_wind(at->in.result, NULL, at->in.grid, false));
    vtk_check(at->in.grid, at->in.result, "wind");
}

static int set_up(void **state)
{
    static place at;
    if (draw_place_make(&at.in) != 0)
        return -1;
    at.run = small_run(1);
    *state = &at;
    return drupelet_result_write(at.run->result, at.in.result, false).code == DRUPELET_OK ? 0 : -1;
}

static int tear_down(void **state)
{
    const place *at = *state;
    small_run_end(at->run);
    return draw_place_remove(&at->in);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_picture_says_what_belongs_to_it),
        cmocka_unit_test(what_is_drawn_is_the_wind_of_the_result),
        cmocka_unit_test(a_contour_lies_where_the_level_is),
        cmocka_unit_test(wind_the_other_way_turns_the_rows_round),
        cmocka_unit_test(calm_is_drawn_too),
        cmocka_unit_test(it_says_which_wind_it_is),
        cmocka_unit_test(a_result_without_it_says_how_to_make_one),
        cmocka_unit_test(what_exists_stays_unless_asked),
        cmocka_unit_test(vtk_reads_the_numbers_of_the_result),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
