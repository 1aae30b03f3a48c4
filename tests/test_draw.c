/* tests/test_draw.c - the picture and the summary of a result. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "check.h"
#include "draw_place.h"
#include "report/draw.h"
#include "report/summary.h"
#include "report/text.h"
#include "small_run.h"
#include "svg_text.h"
#include "tally/drift.h"

typedef struct {
    run_case *run;
    draw_place in;
} place;

static int run(const char *command)
{
    const int answer = system(command);
    return WIFEXITED(answer) ? WEXITSTATUS(answer) : -1;
}

static bool installed(const char *program)
{
    char command[128];
    snprintf(command, sizeof command, "command -v %s >/dev/null", program);
    return run(command) == 0;
}

/* Draws a result; the caller frees the text. */
static char *drawn(const place *at, const drupelet_result *result)
{
    assert_ok(drupelet_result_write(result, at->in.other, true));
    assert_ok(report_draw(at->in.other, at->in.picture, true));
    assert_int_equal(remove(at->in.other), 0);
    char *svg = svg_text_of(at->in.picture);
    assert_int_equal(remove(at->in.picture), 0);
    svg_assert_well_formed(svg);
    return svg;
}

static void the_picture_says_what_belongs_to_it(void **state)
{
    const place *at = *state;
    char *svg = drawn(at, at->run->result), amount[64];
    static const char *const words[] = {"Nether Thistle (invented)",
                                        "row 1",
                                        "row 5",
                                        "edge of the block",
                                        "height, m",
                                        "wind 3 m/s at 2 m",
                                        "11° off straight across the rows",
                                        "241 L/ha on 28 m of treated width, 8 rows",
                                        "below 50",
                                        "250 and more",
                                        "assumed: generic tip",
                                        "seed 7",
                                        "6 km/h",
                                        "on leaves",
                                        "passes 50 m in the air",
                                        "still aloft at the end",
                                        "distance downwind of the block",
                                        "percent of the application rate",
                                        "one standard error",
                                        "On the ground, % of the rate",
                                        "In the air, % per m of height"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (!strstr(svg, words[i]))
            print_error("no words '%s'\n", words[i]);
        assert_non_null(strstr(svg, words[i]));
    }
    assert_non_null(strstr(svg, drupelet_caution()));
    assert_null(strstr(svg, "row 6"));
    const drupelet_share leaf = drupelet_result_fate(at->run->result, DRUPELET_FATE_LEAF);
    report_amount(amount, sizeof amount, 100.0 * leaf.share, 100.0 * leaf.standard_error, " ± ");
    assert_non_null(strstr(svg, amount));
    for (int i = 0; i < scenario_drift_first(SCENARIO_DRIFT_SUM); i++) { /* both headlines, number by number */
        const tally_estimate e = tally_drift(at->run->outcome->accounts, i);
        report_amount(amount, sizeof amount, 100.0 * e.share, 100.0 * e.error, " ± ");
        assert_non_null(strstr(svg, amount));
    }
    assert_null(strstr(svg, "Still aloft when the flight ends"));
    free(svg);
}

static void texts_of_users_are_escaped(void **state)
{
    const place *at = *state;
    char *svg = drawn(at, at->run->result);
    assert_non_null(strstr(svg, "Apple wall &lt;by hand&gt; &amp; &quot;half a \xc2\xb5&quot;"));
    assert_null(strstr(svg, "<by hand>"));
    free(svg);
}

static void both_axes_of_the_side_view_have_one_scale(void **state)
{
    const place *at = *state;
    char *svg = drawn(at, at->run->result);
    const double a_metre_across = (svg_at_words(svg, "row 1", 0) - svg_at_words(svg, "row 2", 0)) / 3.5;
    const double a_metre_up = (svg_at_words(svg, "2", 1) - svg_at_words(svg, "6", 1)) / 4.0;
    assert_close(a_metre_across, a_metre_up, 0.01, 0.0); /* coordinates are written to a tenth */
    /* the curve below has the same axis: row 1 stands half a row inside the edge */
    const double a_metre_below = (svg_at_words(svg, "20", 0) - svg_at_words(svg, "-10", 0)) / 30.0;
    assert_close(a_metre_below, a_metre_across, 0.01, 0.0);
    assert_close(svg_at_words(svg, "row 1", 0), svg_at_words(svg, "-5", 0) + 3.25 * a_metre_below, 0.0, 0.3);
    free(svg);
}

static void paths_of_every_size_are_drawn(void **state)
{
    const place *at = *state;
    char *svg = drawn(at, at->run->result);
    int classes = 0;
    for (const char *c = svg; (c = strstr(c, "<path class=\"path\"")); c++) {
        const char *data = strstr(c, " d=\"M0 0"), *end = strchr(c, '>');
        if (!data || data > end)
            continue; /* a sample of the key */
        int points = 0;
        for (const char *p = data + 8; p < end; p++)
            points += *p == 'L';
        if (points < 40)
            print_error("class %d has %d points\n", classes, points);
        assert_true(points >= 40);
        classes++;
    }
    assert_int_equal(classes, 5);
    free(svg);
}

static void wind_the_other_way_turns_the_rows_round(void **state)
{
    const place *at = *state;
    run_case *back = small_run(-1);
    char *svg = drawn(at, back->result);
    assert_true(svg_at_words(svg, "row 8", 0)
                > svg_at_words(svg, "row 4", 0)); /* row 8 is the one next to the open ground now */
    assert_true(svg_at_words(svg, "edge of the block", 0) > svg_at_words(svg, "row 8", 0));
    assert_null(strstr(svg, ">row 3<"));
    assert_non_null(strstr(svg, "11° off straight across the rows"));
    free(svg);
    small_run_end(back);
}

/* Paths are drawn by number, each class of size alike, so that a picture needs to say how little spray its many small
 * droplets are. */
static void the_picture_says_that_small_droplets_are_over_drawn(void **state)
{
    const place *at = *state;
    const drupelet_result *r = at->run->result;
    double small = 0.0, all = 0.0;
    for (int i = 0; i < r->n_tracks; i++) {
        all += r->track[i].weight;
        small += r->track[i].emitted_diameter_um < 50.0 ? r->track[i].weight : 0.0;
    }
    char *svg = drawn(at, r), share[128];
    snprintf(share, sizeof share, "of the paths and %.2g %% of the spray, so small droplets are over-drawn.",
             100.0 * small / all);
    assert_non_null(strstr(svg, "droplets sprayed below 50 µm have "));
    assert_non_null(strstr(svg, share));
    free(svg);
}

static void bare_results_are_drawn_too(void **state)
{
    const place *at = *state;
    run_case *bare = small_run(1);
    drupelet_result *r = bare->result;
    const size_t n = (size_t)r->n_rows * (size_t)r->nz * (size_t)r->ny * (size_t)r->nx;
    r->n_tracks = r->n_points = 0;
    r->wind_speed_m_s = 0.0;
    r->canopy_height_m = 12.0; /* far above the trees that there are: the scale must follow */
    memset(r->ground_percent_of_rate, 0, sizeof *r->ground_percent_of_rate * (size_t)r->n_ground);
    memset(r->leaf_deposit, 0, sizeof *r->leaf_deposit * n);
    memset(r->leaf_area_density_1_m, 0, sizeof *r->leaf_area_density_1_m * n);
    char *svg = drawn(at, bare->result);
    assert_non_null(strstr(svg, ">no wind<"));
    assert_int_equal(svg_count(svg, "class=\"curve\""), 0);
    assert_null(strstr(svg, "of the paths")); /* there are none */
    free(svg);
    r->ground_percent_of_rate[300] = (tally_estimate){1e-6, 1e-6}; /* a single droplet in a single batch */
    svg = drawn(at, bare->result);
    assert_true(svg_count(svg, "class=\"curve\"") >= 1);
    free(svg);
    small_run_end(bare);
}

static void equal_results_give_equal_pictures(void **state)
{
    const place *at = *state;
    char *one = drawn(at, at->run->result), *two = drawn(at, at->run->result);
    assert_string_equal(one, two);
    assert_null(strstr(one, at->in.folder));
    assert_true(strlen(one) < 1000000);
    free(one);
    free(two);
}

static void an_existing_picture_stays_unless_asked(void **state)
{
    const place *at = *state;
    FILE *f = fopen(at->in.picture, "w");
    assert_non_null(f);
    fputs("precious", f);
    fclose(f);
    assert_int_equal(report_draw(at->in.result, at->in.picture, false).code, DRUPELET_FILE);
    char *text = svg_text_of(at->in.picture);
    assert_string_equal(text, "precious");
    free(text);
    assert_int_equal(report_draw(at->in.picture, at->in.other, false).code, DRUPELET_SCENARIO); /* that is no result */
    assert_int_equal(access(at->in.other, F_OK), -1);
    assert_ok(report_draw(at->in.result, at->in.picture, true));
    text = svg_text_of(at->in.picture);
    assert_int_equal(strncmp(text, "<?xml", 5), 0);
    free(text);
    assert_int_equal(remove(at->in.picture), 0);
}

static void a_renderer_takes_it(void **state)
{
    const place *at = *state;
    char command[512];
    if (!installed("rsvg-convert")) {
        print_message("SKIPPED: rsvg-convert is not installed, so no picture was rendered\n");
        skip();
    }
    assert_ok(report_draw(at->in.result, at->in.picture, true));
    snprintf(command, sizeof command, "rsvg-convert -w 594 '%s' -o '%s'", at->in.picture, at->in.other);
    assert_int_equal(run(command), 0);
    char *png = svg_text_of(at->in.other);
    assert_int_equal(memcmp(png, "\211PNG", 4), 0);
    free(png);
    assert_int_equal(remove(at->in.picture), 0);
    assert_int_equal(remove(at->in.other), 0);
}

/* ---- summary ---- */

static char *summary(const place *at, const drupelet_result *result, bool json)
{
    FILE *to = fopen(at->in.other, "w");
    assert_non_null(to);
    report_summary(result, to, json);
    assert_int_equal(fclose(to), 0);
    char *text = svg_text_of(at->in.other);
    assert_int_equal(remove(at->in.other), 0);
    return text;
}

/* The number that follows the words. */
static double after(const char *text, const char *words)
{
    const char *found = strstr(text, words);
    if (!found)
        print_error("no words '%s'\n", words);
    assert_non_null(found);
    return strtod(found + strlen(words), NULL);
}

static void the_table_adds_up_to_100_litres(void **state)
{
    const place *at = *state;
    const drupelet_result *r = at->run->result;
    char *text = summary(at, r, false);
    double sum = 0.0;
    static const int ground[] = {
        TALLY_LEAF,          TALLY_WOOD, TALLY_GROUND_ALLEY, TALLY_GROUND_ROW, TALLY_GROUND_DOWNWIND,
        TALLY_GROUND_UPWIND, TALLY_ALOFT};
    for (size_t i = 0; i < sizeof ground / sizeof ground[0]; i++)
        sum += after(text, tally_fate_label(ground[i]));
    sum += after(text, "airborne, left the simulated space");
    assert_close(sum, 100.0, 0.0, 0.05); /* eight rounded numbers */
    assert_close(after(text, "together  "), 100.0, 0.0, 1e-9);
    assert_close(after(text, "beyond 10 m"), 100.0 * drupelet_result_drift_sum(r, 10.0).share, 0.0, 0.006);
    assert_close(after(text, "  at 5 m "), 100.0 * drupelet_result_ground_deposit(r, 5.0).share, 0.0, 0.06);
    assert_close(after(text, "left through the top"), 100.0 * drupelet_result_fate(r, DRUPELET_FATE_AIR_ABOVE).share,
                 0.0, 0.006);
    assert_close(after(text, "still aloft after 270 s, place unknown"),
                 100.0 * drupelet_result_fate(r, DRUPELET_FATE_ALOFT).share, 0.0, 0.006);
    assert_non_null(strstr(text, "on 28 m of treated width (8 rows)"));
    const char *row = strstr(text, "\n  50 m ");
    assert_non_null(row);
    row += strlen("\n  50 m ");
    double bands = 0.0;
    for (int i = 0; i < TALLY_BANDS; i++) {
        char *end;
        bands += strtod(row, &end);
        row = strncmp(end, " +/- ", 5) == 0 ? end + 5 + strspn(end + 5, "0123456789.") : end;
    }
    assert_close(strtod(row, NULL), bands, 0.0, 0.02); /* rounded numbers */
    assert_close(bands, 100.0 * drupelet_result_airborne(r, 50.0).share, 0.0, 0.02);
    assert_close(after(text, "all rows"), 100.0 * tally_row(r->outcome->accounts, -1, 2, -1).share, 0.0,
                 0.006); /* the top comes first */
    assert_non_null(strstr(text, "1 (most downwind)"));
    assert_non_null(strstr(text, "standard error"));
    assert_non_null(strstr(text, "241 L/ha"));
    assert_non_null(strstr(text, "assumed: generic tip"));
    assert_non_null(strstr(text, drupelet_caution()));
    free(text);
}

static void the_json_is_json_and_says_the_same(void **state)
{
    const place *at = *state;
    drupelet_result *r = at->run->result;
    char *text = summary(at, r, true);
    assert_close(after(text, "\"leaf\": {\"amount\": "), 100.0 * drupelet_result_fate(r, DRUPELET_FATE_LEAF).share,
                 1e-8, 0.0);
    assert_close(after(text, "\"application_rate_L_ha\": "), 1e7 * r->outcome->sprayer.application_rate_m, 1e-8, 0.0);
    assert_non_null(strstr(text, "\"name\": \"Apple wall <by hand> & \\\"half a \xc2\xb5\\\"\""));
    free(text);
    if (!installed("python3")) {
        print_message("SKIPPED: python3 is not installed, so no reader took the JSON\n");
        skip();
    }
    /* an amount that nobody knows must not become a bare nan */
    const tally_estimate known = r->drift_sum_percent[SCENARIO_SUMS - 1];
    r->drift_sum_percent[SCENARIO_SUMS - 1] = (tally_estimate){NAN, NAN};
    FILE *to = fopen(at->in.other, "w");
    assert_non_null(to);
    report_summary(r, to, true);
    r->drift_sum_percent[SCENARIO_SUMS - 1] = known;
    assert_int_equal(fclose(to), 0);
    char command[2048];
    snprintf(command, sizeof command,
             "python3 -c 'import json, sys\n"
             "s = json.load(open(sys.argv[1]), parse_constant=lambda c: sys.exit(3))\n"
             "f = s[\"fates_L_of_100_L\"]\n"
             "assert len(f) == 10 and abs(sum(a[\"amount\"] for a in f.values()) - 100) < 1e-6\n"
             "rows = s[\"leaves_by_row_L_of_100_L\"]\n"
             "assert len(rows) == 8 and abs(sum(r[\"together\"][\"amount\"] for r in rows) - f[\"leaf\"][\"amount\"]) "
             "< 1e-6\n"
             "air = s[\"airborne_by_height_percent_of_output\"]\n"
             "assert abs(sum(b[\"passes\"][\"amount\"] for b in air if b[\"distance_m\"] == 20)"
             " - s[\"airborne_percent_of_output\"][\"airborne_20_m\"][\"amount\"]) < 1e-6\n"
             "assert set(s[\"drift_elsewhere_percent_of_output\"]) == {\"air_above\", \"air_upwind\", "
             "\"ground_upwind\", \"aloft\"}\n"
             "assert list(s[\"ground_percent_of_rate\"])[2] == \"ground_5_m\" and s[\"treated_width_m\"] == 28\n"
             "assert s[\"drift_sum_percent_of_output\"][\"drift_sum_50_m\"][\"amount\"] is None\n"
             "assert s[\"tips\"][0][\"assumed\"] is True and s[\"tips\"][1][\"assumed\"] is False\n"
             "' '%s'",
             at->in.other);
    assert_int_equal(run(command), 0);
    assert_int_equal(remove(at->in.other), 0);
}

static void amounts_have_as_many_digits_as_their_error(void **state)
{
    (void)state;
    char text[64];
    static const struct { double value, error; const char *text;
    } table[] = {
        {12.3456, 0.1234, "12.35 +/- 0.12"},
        {12.3456, 2.5, "12.3 +/- 2.5"},
        {0.0001234, 0.0000456, "0.000123 +/- 0.000046"},
        {45.0, 31.0, "45.0 +/- 31.0"},
        {0.0, 0.0, "0"},
        {NAN, NAN, "unknown"},
        {100.0, 0.0, "100.00"},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        report_amount(text, sizeof text, table[i].value, table[i].error, " +/- ");
        assert_string_equal(text, table[i].text);
    }
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
        cmocka_unit_test(texts_of_users_are_escaped),
        cmocka_unit_test(both_axes_of_the_side_view_have_one_scale),
        cmocka_unit_test(paths_of_every_size_are_drawn),
        cmocka_unit_test(wind_the_other_way_turns_the_rows_round),
        cmocka_unit_test(the_picture_says_that_small_droplets_are_over_drawn),
        cmocka_unit_test(bare_results_are_drawn_too),
        cmocka_unit_test(equal_results_give_equal_pictures),
        cmocka_unit_test(an_existing_picture_stays_unless_asked),
        cmocka_unit_test(a_renderer_takes_it),
        cmocka_unit_test(the_table_adds_up_to_100_litres),
        cmocka_unit_test(the_json_is_json_and_says_the_same),
        cmocka_unit_test(amounts_have_as_many_digits_as_their_error),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
