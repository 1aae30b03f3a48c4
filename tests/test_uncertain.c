/* tests/test_uncertain.c - which inputs vary in a scenario and over what range, and the law that shares out the
 * spread. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"
#include "check.h"
#include "drupelet/drupelet.h"
#include "report/uncertain.h"
#include "scenario/keys.h"
#include "scenario/read.h"
#include "sweep/draw.h"
#include "sweep/uncertain.h"

enum { N = 512, INPUTS = 3 };

/* A Latin hypercube; y = what the test makes of it. */
static void draw(double x[INPUTS][N])
{
    for (int f = 0; f < INPUTS; f++)
        for (int i = 0; i < N; i++)
            x[f][i] = sweep_latin(i, N, f, 1);
}

static double law_of(double x[INPUTS][N], const double *y, report_driver driver[])
{
    const double *column[INPUTS];
    double explained;
    for (int f = 0; f < INPUTS; f++)
        column[f] = x[f];
    const drupelet_status status = report_rank_law(N, INPUTS, column, y, driver, &explained);
    assert_int_equal(status.code, DRUPELET_OK);
    return explained;
}

/* Ranks see no scale: an exponential of one input is all of the spread, and the others have none. */
static void what_rises_throughout_is_all_of_the_spread(void **state)
{
    (void)state;
    double x[INPUTS][N], y[N];
    report_driver d[INPUTS];
    draw(x);
    for (int i = 0; i < N; i++)
        y[i] = exp(9.0 * x[1][i]);
    assert_close(law_of(x, y, d), 1.0, 0, 1e-9);
    assert_close(d[1].coefficient, 1.0, 0, 1e-9);
    assert_true(d[1].clear);
    for (int f = 0; f < INPUTS; f += 2)
        assert_close(d[f].coefficient, 0.0, 0, 1e-9);
}

/* y = 2 a - b: four fifths and one fifth of the variance, of values; of ranks about that. */
static void two_inputs_share_the_spread(void **state)
{
    (void)state;
    double x[INPUTS][N], y[N];
    report_driver d[INPUTS];
    draw(x);
    for (int i = 0; i < N; i++)
        y[i] = 2.0 * x[0][i] - x[2][i];
    assert_true(law_of(x, y, d) > 0.9);
    assert_close(d[0].coefficient * d[0].coefficient, 0.8, 0, 0.08);
    assert_close(d[2].coefficient * d[2].coefficient, 0.2, 0, 0.08);
    assert_true(d[0].coefficient > 0.0 && d[2].coefficient < 0.0);
    assert_true(d[0].clear && d[2].clear && !d[1].clear);
}

/* Of 300 inputs without effect on noise next to none is clear: three errors are passed by chance once in 300 or so. */
static void an_input_without_effect_gets_no_share(void **state)
{
    (void)state;
    double x[INPUTS][N], y[N];
    report_driver d[INPUTS];
    int n_clear = 0;
    draw(x);
    for (int k = 0; k < 100; k++) {
        for (int i = 0; i < N; i++) {
            uint32_t random[4];
            base_random_block(7, BASE_STREAM_RESAMPLE, (uint64_t)i, (uint32_t)k, random);
            y[i] = base_uniform(random[0]);
        }
        law_of(x, y, d);
        for (int f = 0; f < INPUTS; f++)
            n_clear += d[f].clear;
    }
    assert_in_range(n_clear, 0, 5);
}

static void what_does_not_vary_has_no_driver(void **state)
{
    (void)state;
    double x[INPUTS][N], y[N];
    report_driver d[INPUTS];
    draw(x);
    for (int i = 0; i < N; i++)
        y[i] = 3.0;
    assert_true(isnan(law_of(x, y, d)));
    for (int f = 0; f < INPUTS; f++)
        assert_false(d[f].clear);
}

/* Every row of the list is a key of scenarios that holds a number; its range lies in what the key allows, holds the
 * default and says where it comes from. */
static void ranges_hold_the_defaults(void **state)
{
    (void)state;
    for (int i = 0; i < scenario_n_uncertain_keys; i++) {
        const scenario_uncertain *u = &scenario_uncertain_keys[i];
        const scenario_key *key = scenario_key_of(u->path);
        assert_non_null(key);
        assert_int_equal(key->holds, SCENARIO_IS_QUANTITY);
        assert_true(strlen(u->source) > 10);
        if (u->bounds != SCENARIO_BETWEEN)
            continue;
        assert_true(u->low < u->high && u->low >= key->low && u->high <= key->high);
        if (key->otherwise && key->otherwise[0]) {
            const double otherwise = strtod(key->otherwise, NULL);
            if (!(otherwise >= u->low && otherwise <= u->high))
                fail_msg("%s: the default %s lies outside %g to %g", u->path, key->otherwise, u->low, u->high);
        }
    }
}

static sweep_uncertain_plan plan_of(const char *file, int n_settings, const char *const setting[], int n_known,
                                    const char *const known[], int n_ranges, const char *const range[])
{
    drupelet_scenario *scenario = NULL;
    scenario_node *root = NULL;
    char *text = NULL;
    size_t n = 0;
    sweep_uncertain_plan plan = {0};
    const sweep_uncertain_question q = {.n_samples = 32, .n_settings = n_settings, .setting = setting,
                                        .n_known = n_known, .known = known, .n_ranges = n_ranges, .range = range};
    drupelet_status status = drupelet_scenario_read(file, setting, n_settings, &scenario);
    if (status.code == DRUPELET_OK) status = scenario_file_text(file, "a scenario", SCENARIO_MOST_KIB, &text, &n);
    if (status.code == DRUPELET_OK) status = scenario_load(file, text, n, setting, n_settings, &root);
    if (status.code == DRUPELET_OK) status = sweep_uncertain_make(scenario, root, &q, &plan);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    scenario_node_free(root);
    free(text);
    drupelet_scenario_free(scenario);
    return plan;
}

static const scenario_uncertain_input *input_of(const sweep_uncertain_plan *plan, const char *key)
{
    for (int i = 0; i < plan->inputs.n; i++)
        if (strcmp(plan->inputs.input[i].key, key) == 0)
            return &plan->inputs.input[i];
    return NULL;
}

#define WALL DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml"

static void what_the_scenario_gives_is_left_alone(void **state)
{
    (void)state;
    sweep_uncertain_plan plain = plan_of(WALL, 0, NULL, 0, NULL, 0, NULL);
    assert_null(input_of(&plain, "canopy.leaf_width")); /* given */
    const scenario_uncertain_input *wood = input_of(&plain, "canopy.wood_area_index");
    assert_non_null(wood);
    assert_string_equal(wood->low, "0.05");
    assert_string_equal(wood->high, "0.4");
    const scenario_uncertain_input *leaves = input_of(&plain, "canopy.leaf_area_index"); /* 1.7, an estimate */
    assert_non_null(leaves);
    assert_string_equal(leaves->low, "1.19");
    assert_string_equal(leaves->high, "2.38");
    const scenario_uncertain_input *tip = input_of(&plain, "tips.fine cone.generic_factor"); /* 105 to 160 um of 125 */
    assert_non_null(tip);
    assert_string_equal(tip->low, "0.84");
    assert_string_equal(tip->high, "1.28");
    sweep_uncertain_free(&plain);

    sweep_uncertain_plan given =
        plan_of(WALL, 3,
                (const char *const[]){
                    "canopy.wood_area_index=0.2", "canopy.leaf_area_index=0",
                    "tips.fine cone.spectrum={form: upper_limit, dv10: 60 um, dv50: 120 um, dv90: 200 um}"},
                1, (const char *const[]){"weather.gusts"}, 0, NULL);
    assert_null(input_of(&given, "canopy.wood_area_index"));
    assert_null(input_of(&given, "canopy.leaf_area_index"));
    assert_null(input_of(&given, "canopy.clumping")); /* there are no leaves */
    assert_null(input_of(&given, "tips.fine cone.generic_factor"));
    assert_null(input_of(&given, "weather.gusts"));
    assert_non_null(input_of(&given, "weather.roughness"));
    sweep_uncertain_free(&given);
}

static void a_range_that_is_asked_for_replaces_the_usual_one(void **state)
{
    (void)state;
    sweep_uncertain_plan plan =
        plan_of(WALL, 0, NULL, 0, NULL, 2,
                (const char *const[]){"canopy.wood_area_index=0.1 to 0.2", "weather.wind_speed=2 m/s to 4 m/s"});
    const scenario_uncertain_input *wood = input_of(&plan, "canopy.wood_area_index");
    assert_string_equal(wood->high, "0.2");
    assert_string_equal(wood->source, "as asked");
    assert_string_equal(input_of(&plan, "weather.wind_speed")->low, "2 m/s");
    int n = 0;
    for (int i = 0; i < plan.inputs.n; i++)
        n += strcmp(plan.inputs.input[i].key, "canopy.wood_area_index") == 0;
    assert_int_equal(n, 1);
    sweep_uncertain_free(&plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_rises_throughout_is_all_of_the_spread),
        cmocka_unit_test(two_inputs_share_the_spread),
        cmocka_unit_test(an_input_without_effect_gets_no_share),
        cmocka_unit_test(what_does_not_vary_has_no_driver),
        cmocka_unit_test(ranges_hold_the_defaults),
        cmocka_unit_test(what_the_scenario_gives_is_left_alone),
        cmocka_unit_test(a_range_that_is_asked_for_replaces_the_usual_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
