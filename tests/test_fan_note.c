/* tests/test_fan_note.c - a sweep over fan speeds says that its two kinds of drift may disagree, and which way the
 * model leans; a sweep over other things says nothing of it. */
#define _POSIX_C_SOURCE 200809L
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "report/tradeoff.h"
#include "synthetic_sweep.h"

static report_fan_note known; /* says which outputs the note compares */

/* Ground deposit rises with fan speed, airborne spray falls. */
static double opposite(int i_output, int64_t p)
{
    const double speed = (double)(p / SYNTHETIC_TIPS);
    return i_output == known.i_ground ? 3.0 + speed : i_output == known.i_airborne ? 9.0 - speed : 1.0;
}

static double alike(int i_output, int64_t p)
{
    const double speed = (double)(p / SYNTHETIC_TIPS);
    return i_output == known.i_ground || i_output == known.i_airborne ? 3.0 + speed : 1.0;
}

/* What airborne spray is least at differs, but by less than the batches can tell. */
static double nearly_alike(int i_output, int64_t p)
{
    const double speed = (double)(p / SYNTHETIC_TIPS);
    return i_output == known.i_ground ? 3.0 + speed : i_output == known.i_airborne ? 3.0 + 1e-4 * speed : 1.0;
}

static void note_of(const synthetic_sweep *s, store_sweep *sweep, report_fan_note *note)
{
    synthetic_sweep_write(s, sweep);
    assert_int_equal(report_fan_note_of(sweep, note).code, DRUPELET_OK);
}

static int find_outputs(void **state)
{
    (void)state;
    store_sweep sweep;
    note_of(&(synthetic_sweep){.truth = alike}, &sweep, &known);
    synthetic_sweep_done(&sweep);
    return known.i_ground != known.i_airborne ? 0 : -1;
}

static void opposite_ranks_are_told(void **state)
{
    (void)state;
    store_sweep sweep;
    report_fan_note note;
    note_of(&(synthetic_sweep){.truth = opposite}, &sweep, &note);
    assert_int_equal(note.i_factor, 0);
    assert_true(note.compared && note.opposite);
    assert_string_equal(note.least_ground, "300 rpm");
    assert_string_equal(note.least_airborne, "480 rpm");
    assert_non_null(strstr(note.text, "rank its settings oppositely, beyond noise: on the mean"));
    assert_non_null(strstr(note.text, "docs/validation.md"));
    synthetic_sweep_done(&sweep);
}

static void ranks_within_noise_are_not_called_opposite(void **state)
{
    (void)state;
    double (*const truth[])(int, int64_t) = {alike, nearly_alike};
    for (int i = 0; i < 2; i++) {
        store_sweep sweep;
        report_fan_note note;
        note_of(&(synthetic_sweep){.truth = truth[i]}, &sweep, &note);
        assert_true(note.compared && !note.opposite);
        assert_non_null(strstr(note.text, "can rank its settings oppositely"));
        assert_int_equal(strstr(note.text, "are least at 300 rpm") != NULL, truth[i] == alike);
        assert_non_null(strstr(note.text, "docs/validation.md"));
        synthetic_sweep_done(&sweep);
    }
}

static void only_a_factor_of_the_fan_counts(void **state)
{
    (void)state;
    static const struct {
        const char *key, *plan;
        int i_factor;
    } cases[] = {
        {"sprayer.fan", "a: b", 0},
        {"sprayer", "a: b", 0},
        {"sprayer.fan.reference_flow", "a: b", 0},
        {"sprayer.fans", "a: b", -1},
        {"sprayer.travel_speed", "a: b", -1},
        {"weather.wind_speed", "factors: [{name: tip, options: {fine: {weather.hour: 2}}}]", -1},
        {"weather.wind_speed", "factors: [{name: tip, options: {fine: {sprayer.fan.speed: 300 rpm}}}]", 1},
        {"weather.wind_speed", "factors: [{name: other, options: {fine: {sprayer.fan.speed: 300 rpm}}}]", -1},
        {"weather.wind_speed", "factors: [", -1}, /* no YAML */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        store_sweep sweep;
        report_fan_note note;
        note_of(&(synthetic_sweep){.truth = alike, .key = cases[i].key, .plan = cases[i].plan}, &sweep, &note);
        if (note.i_factor != cases[i].i_factor)
            fail_msg("%s, %s: factor %d", cases[i].key, cases[i].plan, note.i_factor);
        assert_int_equal(note.text[0] != '\0', cases[i].i_factor >= 0);
        synthetic_sweep_done(&sweep);
    }
}

static char *printed(const store_sweep *sweep, const report_fan_note *note, bool json)
{
    char *text = NULL;
    size_t n;
    report_tradeoff t;
    const report_question question = {.output = {note->i_ground, note->i_airborne}, .a = -1, .b = -1};
    FILE *to = open_memstream(&text, &n);
    assert_non_null(to);
    assert_int_equal(report_tradeoff_create(sweep, &question, &t).code, DRUPELET_OK);
    report_tradeoff_print(&t, note, to, json);
    report_tradeoff_free(&t);
    fclose(to);
    return text;
}

static void text_and_json_hold_the_note(void **state)
{
    (void)state;
    for (int fan = 0; fan < 2; fan++) {
        store_sweep sweep;
        report_fan_note note;
        note_of(&(synthetic_sweep){.truth = opposite, .key = fan ? NULL : "sprayer.pressure"}, &sweep, &note);
        char *text = printed(&sweep, &note, false), *json = printed(&sweep, &note, true);
        assert_int_equal(strstr(text, "biased against less air") != NULL, fan); /* lines are broken elsewhere */
        assert_int_equal(strstr(json, "\"ranked_oppositely\": true") != NULL, fan);
        assert_int_equal(strstr(json, note.text) != NULL && note.text[0] != '\0', fan);
        free(text);
        free(json);
        synthetic_sweep_done(&sweep);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(opposite_ranks_are_told),
        cmocka_unit_test(ranks_within_noise_are_not_called_opposite),
        cmocka_unit_test(only_a_factor_of_the_fan_counts),
        cmocka_unit_test(text_and_json_hold_the_note),
    };
    return cmocka_run_group_tests(tests, find_outputs, NULL);
}
