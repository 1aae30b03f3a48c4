/* tests/test_api.c - the library as a program outside meets it: scenarios from text and from a tree of values, every
 * quantity of a result by its name, results read back, sweeps, and all of that by threads at once. */
#define _POSIX_C_SOURCE 200809L
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>
#include <omp.h>

#include "base/elementary.h"
#include "check.h"
#include "drupelet/drupelet.h"
#include "result/quantity.h"
#include "small_run.h"
#include "text_file.h"

static char folder[64];
static run_case *run; /* a small one, for all */

static int make_folder(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/drupelet-api-XXXXXX");
    if (!mkdtemp(folder)) return -1;
    run = small_run(1);
    return 0;
}

static int drop_folder(void **state)
{
    (void)state;
    small_run_end(run);
    return rmdir(folder);
}

static void ok(drupelet_status status)
{
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
}

static void refused(drupelet_status status, const char *message)
{
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_string_equal(status.message, message);
}

static char *text_of(const char *path)
{
    FILE *file = fopen(path, "rb");
    char *text = calloc(1, 65536);
    assert_non_null(file);
    assert_non_null(text);
    assert_true(fread(text, 1, 65535, file) > 0);
    fclose(file);
    return text;
}

static drupelet_result *run_few(const drupelet_scenario *scenario)
{
    const drupelet_run_options few = {.n_droplets = 2048, .n_threads = 1};
    drupelet_result *result;
    ok(drupelet_run(scenario, &few, &result));
    return result;
}

/* ---- scenarios ---- */

static void text_reads_as_its_file(void **state)
{
    (void)state;
    static const char path[] = DRUPELET_TEST_DATA "/small-run.yaml";
    char *text = text_of(path);
    drupelet_scenario *of_file, *of_text;
    ok(drupelet_scenario_read(path, NULL, 0, &of_file));
    ok(drupelet_scenario_read_text("small-run", text, strlen(text), NULL, 0, &of_text));
    assert_string_equal(drupelet_scenario_resolved(of_text), drupelet_scenario_resolved(of_file));
    assert_string_equal(drupelet_scenario_text(of_text), text);
    assert_string_equal(drupelet_scenario_name(of_text), drupelet_scenario_name(of_file));
    drupelet_scenario_free(of_file);
    drupelet_scenario_free(of_text);

    const char *const set[] = {"weather.wind_speed=4.5 m/s"};
    ok(drupelet_scenario_read_text("small-run", text, strlen(text), set, 1, &of_text));
    assert_non_null(strstr(drupelet_scenario_resolved(of_text), "\nweather.wind_speed: 4.5 m/s\n"));
    drupelet_scenario_free(of_text);
    refused(drupelet_scenario_read_text("my text", "orchard: {rows: 500}\n", 21, NULL, 0, &of_text),
            "my text:1:17: orchard.rows: found 500, expected a whole number from 1 to 64");
    assert_null(of_text);
    const char *const unknown[] = {"run.dropletts=10"};
    const drupelet_status status = drupelet_scenario_read_text("small-run", text, strlen(text), unknown, 1, &of_text);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, "expected droplets"));
    free(text);
    char *huge = calloc(1, 1 << 19);
    assert_non_null(huge);
    memset(huge, '#', (1 << 19) - 1);
    refused(drupelet_scenario_read_text("huge", huge, (1 << 19) - 1, NULL, 0, &of_text),
            "huge: cannot be read: it is larger than 256 KiB, too large for a scenario");
    free(huge);
}

/* Two rows of a wall, put together value by value. */
static drupelet_tree *small_orchard(void)
{
    drupelet_tree *top, *group, *list, *entry;
    ok(drupelet_tree_create("made here", &top));
    ok(drupelet_tree_group(top, "orchard", &group));
    ok(drupelet_tree_number(group, "rows", 2, NULL));
    ok(drupelet_tree_number(group, "row_spacing", 3.5, "m"));
    ok(drupelet_tree_number(group, "tree_spacing", 100.0, "cm"));
    ok(drupelet_tree_group(top, "canopy", &group));
    ok(drupelet_tree_text(group, "crown", "wall"));
    ok(drupelet_tree_text(group, "height", "3 m"));
    ok(drupelet_tree_text(group, "base", "0.5 m"));
    ok(drupelet_tree_text(group, "width", "1.2 m"));
    ok(drupelet_tree_number(group, "leaf_area_index", 1.0 / 3.0, ""));
    ok(drupelet_tree_group(top, "sprayer", &group));
    ok(drupelet_tree_text(group, "travel_speed", "6 km/h"));
    ok(drupelet_tree_text(group, "pressure", "7 bar"));
    ok(drupelet_tree_group(group, "fan", &entry));
    ok(drupelet_tree_text(entry, "reference_speed", "540 rpm"));
    ok(drupelet_tree_text(entry, "reference_flow", "4.4 m3/s"));
    ok(drupelet_tree_text(entry, "reference_power", "10 kW"));
    ok(drupelet_tree_text(entry, "speed", "540 rpm"));
    ok(drupelet_tree_list(group, "outlets", &list));
    ok(drupelet_tree_group(list, NULL, &entry));
    ok(drupelet_tree_text(entry, "kind", "arc"));
    ok(drupelet_tree_text(entry, "side", "both"));
    ok(drupelet_tree_text(entry, "centre_height", "0.95 m"));
    ok(drupelet_tree_text(entry, "radius", "0.45 m"));
    ok(drupelet_tree_text(entry, "from", "-10 deg"));
    ok(drupelet_tree_text(entry, "to", "62 deg"));
    ok(drupelet_tree_text(entry, "slot", "120 mm"));
    ok(drupelet_tree_list(group, "nozzles", &list));
    for (int i = 0; i < 2; i++) {
        ok(drupelet_tree_group(list, NULL, &entry));
        ok(drupelet_tree_text(entry, "side", "both"));
        ok(drupelet_tree_text(entry, "tip", "01. \"fine\": cone\\\xC3\xA9"));
        ok(drupelet_tree_text(entry, "offset", "0.5 m"));
        ok(drupelet_tree_number(entry, "height", 0.9 + 0.2 * i, "m"));
        ok(drupelet_tree_number(entry, "angle", 10.0 * i - 5.0, "deg"));
    }
    ok(drupelet_tree_group(top, "tips", &group));
    ok(drupelet_tree_group(group, "01. \"fine\": cone\\\xC3\xA9", &entry));
    ok(drupelet_tree_text(entry, "kind", "hollow_cone"));
    ok(drupelet_tree_text(entry, "size", "01"));
    ok(drupelet_tree_group(top, "weather", &group));
    ok(drupelet_tree_text(group, "temperature", "20 degC"));
    ok(drupelet_tree_text(group, "relative_humidity", "60 %"));
    ok(drupelet_tree_text(group, "wind_speed", "3 m/s"));
    ok(drupelet_tree_text(group, "wind_height", "4 m"));
    return top;
}

static void a_tree_reads_as_the_text_that_it_makes(void **state)
{
    (void)state;
    drupelet_tree *tree = small_orchard(), *weather, *list;
    drupelet_scenario *scenario, *again;
    ok(drupelet_scenario_read_tree(tree, NULL, 0, &scenario));
    const char *text = drupelet_scenario_text(scenario), *resolved = drupelet_scenario_resolved(scenario);
    assert_string_equal(drupelet_scenario_name(scenario), "made here");
    assert_non_null(strstr(resolved, "orchard.tree_spacing: 1 m\n"));
    assert_non_null(strstr(resolved, "sprayer.nozzles.1.height: 1.1 m\n"));
    assert_non_null(strstr(resolved, "tips.01. \"fine\": cone\\\xC3\xA9.kind: hollow_cone\n"));
    ok(drupelet_scenario_read_text("made here", text, strlen(text), NULL, 0, &again));
    assert_string_equal(drupelet_scenario_resolved(again), resolved);
    drupelet_scenario_free(again);

    /* settings come on top, and the tree stays as it is */
    const char *const set[] = {"canopy.height=2.5 m"};
    ok(drupelet_scenario_read_tree(tree, set, 1, &again));
    assert_non_null(strstr(drupelet_scenario_resolved(again), "canopy.height: 2.5 m\n"));
    assert_string_equal(drupelet_scenario_text(again), text);
    drupelet_scenario_free(again);

    /* a fault names the key, but no line of a text that nobody has seen */
    ok(drupelet_tree_group(tree, "weather", &weather));
    ok(drupelet_tree_number(weather, "wind_speed", 3, "furlongs"));
    const drupelet_status status = drupelet_scenario_read_tree(tree, NULL, 0, &again);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, "made here: weather.wind_speed: found 3 furlongs, expected a speed"));
    assert_null(again);

    /* what fits no place of a tree */
    refused(drupelet_tree_text(tree, NULL, "3"),
            "made here: an entry: found no key, expected one: entries of a group have "
            "names");
    refused(drupelet_tree_number(weather, "wind_speed", NAN, "m/s"),
            "made here: wind_speed: found a number that is not finite, expected a finite number");
    refused(drupelet_tree_list(tree, "weather", &list),
            "made here: weather: found another kind of entry under this key, expected a value, a group or a list "
            "throughout");
    assert_null(list);
    ok(drupelet_tree_list(tree, "collectors", &list));
    refused(drupelet_tree_text(list, "name", "dish"),
            "made here: name: found a key in a list, expected NULL: entries of a list have no names");
    for (int depth = 2; depth < 12; depth++)
        ok(drupelet_tree_list(list, NULL, &list));
    assert_int_equal(drupelet_tree_list(list, NULL, &list).code, DRUPELET_SCENARIO);
    drupelet_scenario_free(scenario);
    drupelet_tree_free(tree);

    ok(drupelet_tree_create("bad bytes", &tree));
    ok(drupelet_tree_text(tree, "name", "\xFF\xFE"));
    assert_int_equal(drupelet_scenario_read_tree(tree, NULL, 0, &again).code, DRUPELET_SCENARIO);
    drupelet_tree_free(tree);
}

/* ---- results by name ---- */

/* Every quantity of the table comes out with its values, errors and texts, from the run and from its file. */
static void every_quantity_has_its_name(void **state)
{
    (void)state;
    char path[96];
    snprintf(path, sizeof path, "%s/result.h5", folder);
    ok(drupelet_result_write(run->result, path, false));
    drupelet_result *read;
    ok(drupelet_result_read(path, &read));
    unlink(path);
    const drupelet_result *const of[] = {run->result, read};
    int n_quantities = 0, n_values = 0;
    for (int g = 0; g < result_n_groups; g++)
        n_quantities += result_groups[g]->n;
    drupelet_quantity q;
    int i = 0;
    for (; drupelet_quantity_at(i, &q); i++) {
        char name[96];
        size_t shape[2][DRUPELET_MOST_AXES], n = 1;
        int n_axes[2];
        snprintf(name, sizeof name, "%s/%s", q.group, q.name);
        drupelet_quantity same;
        ok(drupelet_quantity_named(name, &same));
        assert_ptr_equal(same.meaning, q.meaning);
        assert_true(q.type == DRUPELET_TEXT ? q.unit[0] == '\0' : q.unit[0] != '\0');
        for (int k = 0; k < 2; k++)
            ok(drupelet_result_shape(of[k], name, shape[k], &n_axes[k]));
        assert_int_equal(n_axes[0], q.n_axes);
        assert_int_equal(n_axes[1], q.n_axes);
        for (int a = 0; a < q.n_axes; a++) {
            size_t axis[DRUPELET_MOST_AXES];
            int one;
            char along[96];
            snprintf(along, sizeof along, "%s/%s", q.group, q.axis[a]);
            ok(drupelet_result_shape(of[0], along, axis, &one));
            assert_int_equal(one, 1);
            assert_int_equal(axis[0], shape[0][a]);
            assert_int_equal(shape[1][a], shape[0][a]);
            n *= shape[0][a];
        }
        if (q.type == DRUPELET_TEXT) {
            for (size_t k = 0; k < n; k++) {
                const char *text[2];
                for (int w = 0; w < 2; w++)
                    ok(drupelet_result_text(of[w], name, k, &text[w]));
                assert_string_equal(text[0], text[1]);
            }
            continue;
        }
        double *value = calloc(4 * n + 1, sizeof *value);
        assert_non_null(value);
        for (int w = 0; w < 2; w++)
            ok(drupelet_result_numbers(of[w], name, n, value + (size_t)w * n, value + (size_t)(w + 2) * n));
        for (size_t k = 0; k < n; k++) {
            assert_true(value[k] == value[n + k] || (isnan(value[k]) && isnan(value[n + k])));
            assert_true(q.has_error || isnan(value[2 * n + k]));
            n_values += !isnan(value[k]);
            if (q.n_words > 0) assert_non_null(drupelet_quantity_word(name, (int)value[k]));
        }
        free(value);
    }
    assert_int_equal(i, n_quantities);
    assert_true(n_values > 10000);
    drupelet_result_free(read);
}

static void names_lead_to_the_headline_numbers(void **state)
{
    (void)state;
    const drupelet_result *r = run->result;
    double share[DRUPELET_FATES], error[DRUPELET_FATES], sum = 0.0;
    ok(drupelet_result_numbers(r, "fates/active_ingredient", DRUPELET_FATES, share, error));
    for (int f = 0; f < DRUPELET_FATES; f++) {
        const drupelet_share e = drupelet_result_fate(r, (drupelet_fate)f);
        assert_true(share[f] == e.share && error[f] == e.standard_error);
        sum += share[f];
    }
    assert_close(sum, 1.0, 1e-9, 0.0);
    double curve[8], distance_m[8];
    ok(drupelet_result_numbers(r, "ground/curve", 8, curve, NULL));
    ok(drupelet_result_numbers(r, "ground/curve_distance", 8, distance_m, NULL));
    for (int i = 0; i < 8; i++)
        assert_close(curve[i], 100.0 * drupelet_result_ground_deposit(r, distance_m[i]).share, 1e-12, 0.0);
    const drupelet_head head = drupelet_result_head(r);
    assert_string_equal(head.caution, drupelet_caution());
    assert_string_equal(head.version, drupelet_version());
    assert_int_equal(head.n_droplets, r->n_droplets);

    /* a result of a file knows what its table knows */
    char path[96];
    snprintf(path, sizeof path, "%s/result.h5", folder);
    ok(drupelet_result_write(r, path, false));
    drupelet_result *read;
    ok(drupelet_result_read(path, &read));
    unlink(path);
    assert_close(drupelet_result_ground_deposit(read, 5.0).share, drupelet_result_ground_deposit(r, 5.0).share, 1e-12,
                 0.0);
    assert_close(drupelet_result_drift_sum(read, 20.0).share, drupelet_result_drift_sum(r, 20.0).share, 1e-12, 0.0);
    assert_true(isnan(drupelet_result_ground_deposit(read, 5.5).share));
    assert_true(isnan(drupelet_result_drift_sum(read, 6.0).share));
    drupelet_result_free(read);
    refused(drupelet_result_read("/nowhere/result.h5", &read),
            "/nowhere/result.h5: cannot be read: No such file or directory");
    assert_null(read);
}

static void wrong_names_are_told(void **state)
{
    (void)state;
    const drupelet_result *r = run->result;
    double value[8];
    const char *text;
    size_t shape[DRUPELET_MOST_AXES];
    int n_axes = 7;
    refused(drupelet_result_shape(r, "ground/curv", shape, &n_axes),
            "ground/curv: found no such quantity, expected one as group/name: ground/curve");
    assert_int_equal(n_axes, 0);
    refused(drupelet_result_numbers(r, "grounds/curve", 8, value, NULL),
            "grounds/curve: found no such quantity, expected one as group/name of the group ground");
    refused(drupelet_result_numbers(r, "curve", 8, value, NULL),
            "curve: found no such quantity, expected one as group/name");
    refused(drupelet_result_numbers(r, "ground/curve", 7, value, NULL),
            "ground/curve: found room for 7 values, expected room for its 8");
    refused(drupelet_result_numbers(r, "fates/label", 10, value, NULL),
            "fates/label: found a text, expected numbers: ask for its text");
    refused(drupelet_result_text(r, "ground/curve", 0, &text),
            "ground/curve: found numbers, expected a text: ask for its numbers");
    refused(drupelet_result_text(r, "fates/label", 10, &text),
            "fates/label: found value 10, expected one of its 10, from 0");
    assert_null(drupelet_quantity_word("ground/curve", 0));
    assert_null(drupelet_group_name(drupelet_groups()));
}

/* ---- sweeps ---- */

static bool count_calls(int64_t n_done, int64_t n_cases, void *user)
{
    int *calls = user;
    assert_true(n_done >= 1 && n_done <= n_cases);
    return ++*calls < 100;
}

static bool stop_at_once(int64_t n_done, int64_t n_cases, void *user)
{
    (void)n_done, (void)n_cases, (void)user;
    return false;
}

static void a_sweep_gives_a_table(void **state)
{
    (void)state;
    static const char plan[] = "set: {run.wind: profiles}\ndroplets: 1000\nfactors:\n"
                               "  - {name: speed, key: sprayer.fan.speed, values: [300 rpm, 540 rpm]}\n"
                               "  - {name: leaves, key: canopy.upper_side, values: [easy, very_hard]}\n";
    char *base = text_of(DRUPELET_TEST_DATA "/small-run.yaml"), path[96], journal[128], file[96];
    snprintf(path, sizeof path, "%s/table.h5", folder);
    snprintf(journal, sizeof journal, "%s.journal", path);
    snprintf(file, sizeof file, "%s/plan.yaml", folder);
    int calls = 0;
    int64_t n_failed = 7;
    const drupelet_sweep_options options = {.n_threads = 2, .progress = count_calls, .user = &calls};

    /* a stop keeps what is finished, and the next call goes on with it */
    const drupelet_sweep_options stopped = {.n_threads = 1, .progress = stop_at_once};
    assert_int_equal(drupelet_sweep_run_text("plan", plan, "base", base, path, &stopped, &n_failed).code,
                     DRUPELET_STOPPED);
    assert_int_equal(access(path, F_OK), -1);
    assert_int_equal(access(journal, F_OK), 0);
    drupelet_sweep_options on = options;
    on.resume = true;
    ok(drupelet_sweep_run_text("plan", plan, "base", base, path, &on, &n_failed));
    assert_int_equal(calls, 3);
    assert_int_equal(n_failed, 0);
    assert_int_equal(access(journal, F_OK), -1);

    drupelet_sweep *table;
    ok(drupelet_sweep_read(path, &table));
    assert_string_equal(drupelet_sweep_name(table), "plan");
    assert_int_equal(drupelet_sweep_cases(table), 4);
    double speed[4], leaves[4], leaf[4], error[4];
    drupelet_column c;
    int n_columns = 0, n_factors = 0, n_errors = 0;
    for (; drupelet_sweep_column(table, n_columns, &c); n_columns++) {
        n_factors += c.is_factor;
        n_errors += c.has_error;
        ok(drupelet_sweep_numbers(table, c.name, 4, leaf, error));
        for (int i = 0; i < 4 && c.n_words > 0; i++)
            assert_non_null(drupelet_sweep_word(table, c.name, (int)leaf[i]));
    }
    assert_int_equal(n_factors, 2);
    assert_true(n_errors > 20);
    ok(drupelet_sweep_numbers(table, "speed", 4, speed, NULL));
    ok(drupelet_sweep_numbers(table, "leaves", 4, leaves, NULL));
    ok(drupelet_sweep_numbers(table, "leaf", 4, leaf, error));
    for (int i = 0; i < 4; i++) {
        assert_close(speed[i], i < 2 ? 300.0 : 540.0, 1e-12, 0.0);
        assert_string_equal(drupelet_sweep_word(table, "leaves", (int)leaves[i]), i % 2 ? "very_hard" : "easy");
        /* the same as the run of that case */
        const char *const set[] = {i < 2 ? "sprayer.fan.speed=300 rpm" : "sprayer.fan.speed=540 rpm",
                                   i % 2 ? "canopy.upper_side=very_hard" : "canopy.upper_side=easy",
                                   "run.droplets=1000", "run.wind=profiles"};
        drupelet_scenario *scenario;
        drupelet_result *result;
        ok(drupelet_scenario_read_text("base", base, strlen(base), set, 4, &scenario));
        ok(drupelet_run(scenario, NULL, &result));
        const drupelet_share of_run = drupelet_result_fate(result, DRUPELET_FATE_LEAF);
        assert_close(leaf[i], 100.0 * of_run.share, 1e-12, 0.0);
        assert_close(error[i], 100.0 * of_run.standard_error, 1e-12, 0.0);
        drupelet_result_free(result);
        drupelet_scenario_free(scenario);
    }
    assert_null(drupelet_sweep_word(table, "leaf", 0));
    refused(drupelet_sweep_numbers(table, "leaf", 3, leaf, NULL),
            "leaf: found room for 3 values, expected room for 4 cases");
    refused(drupelet_sweep_numbers(table, "leef", 4, leaf, NULL),
            "leef: found no such column, expected one of the sweep plan");
    drupelet_sweep_free(table);

    /* faults */
    assert_int_equal(drupelet_sweep_run_text("plan", plan, "base", base, path, &options, &n_failed).code,
                     DRUPELET_FILE);
    refused(drupelet_sweep_run_text("plan", "factors: [{key: weather.wind_speed, values: [99 m/s]}]", "base", base,
                                    "never.h5", NULL, &n_failed),
            "plan:1:46: weather.wind_speed: found 99 m/s, expected a speed from 0 m/s to 15 m/s");
    refused(drupelet_sweep_run_text("plan", "scenario: a.yaml", "base", base, "never.h5", NULL, &n_failed),
            "plan:1:1: scenario: found this key, expected nothing: the base scenario is given beside the plan");
    char of_file[256];
    snprintf(
        of_file, sizeof of_file,
        "scenario: %s\ndroplets: 1000\nset: {run.wind: profiles}\ndesign: listed\ncases: [{sprayer.pressure: 5 bar}]\n",
        DRUPELET_TEST_DATA "/small-run.yaml");
    text_file_put(file, of_file);
    const drupelet_sweep_options over = {.overwrite = true};
    ok(drupelet_sweep_run(file, path, &over, &n_failed));
    ok(drupelet_sweep_read(path, &table));
    assert_int_equal(drupelet_sweep_cases(table), 1);
    drupelet_sweep_free(table);
    assert_int_equal(drupelet_sweep_run(file, file, &over, &n_failed).code, DRUPELET_FILE);
    unlink(file);
    unlink(path);
    free(base);
}

/* What collectors caught is in the table as in the results of the cases; where a case has no such collector it is not
 * known, and what nobody knows (the cover of a dish) has no column. */
static void a_sweep_keeps_collectors(void **state)
{
    (void)state;
    static const char plan[] = "set: {run.wind: profiles}\ndroplets: 2000\nfactors:\n"
                               "  - {name: speed, key: sprayer.fan.speed, values: [400 rpm, 540 rpm]}\n"
                               "  - {name: dish, key: collectors.0.name, values: [dish 3 m, another dish]}\n";
    static const char *const name[] = {"dish 3 m", "line 20 m", "row 1 top"};
    char *base = text_of(DRUPELET_SCENARIOS "/drift-trial.yaml"), path[96];
    snprintf(path, sizeof path, "%s/table.h5", folder);
    int64_t n_failed;
    ok(drupelet_sweep_run_text("plan", plan, "base", base, path, NULL, &n_failed));
    drupelet_sweep *table;
    ok(drupelet_sweep_read(path, &table));
    unlink(path);
    assert_int_equal(drupelet_sweep_cases(table), 4);
    int known = 0;
    for (int i = 0; i < 4; i++) {
        const char *const set[] = {"run.wind=profiles", "run.droplets=2000",
                                   i < 2 ? "sprayer.fan.speed=400 rpm" : "sprayer.fan.speed=540 rpm"};
        drupelet_scenario *scenario;
        drupelet_result *result;
        ok(drupelet_scenario_read_text("base", base, strlen(base), set, 3, &scenario));
        ok(drupelet_run(scenario, NULL, &result));
        double of_run[11], of_run_error[11], cover[11];
        ok(drupelet_result_numbers(result, "collectors/caught", 11, of_run, of_run_error));
        ok(drupelet_result_numbers(result, "collectors/coverage", 11, cover, NULL));
        for (int k = 0; k < 11; k++) {
            const char *collector;
            char column[96];
            double value[4], error[4];
            ok(drupelet_result_text(result, "collectors/collector", (size_t)k, &collector));
            snprintf(column, sizeof column, "%s: coverage", collector);
            assert_int_equal(drupelet_sweep_numbers(table, column, 4, value, error).code,
                             isnan(cover[k]) ? DRUPELET_SCENARIO : DRUPELET_OK);
            snprintf(column, sizeof column, "%s: caught", collector);
            ok(drupelet_sweep_numbers(table, column, 4, value, error));
            if (k == 0 && i % 2 == 1) {
                assert_true(isnan(value[i]) && isnan(error[i]));
                continue;
            }
            assert_true(value[i] == of_run[k] && error[i] == of_run_error[k]);
            known++;
        }
        drupelet_result_free(result);
        drupelet_scenario_free(scenario);
    }
    assert_int_equal(known, 4 * 11 - 2);
    for (size_t k = 0; k < sizeof name / sizeof name[0]; k++) {
        char column[96];
        snprintf(column, sizeof column, "%s: droplets", name[k]);
        drupelet_column c;
        bool found = false;
        for (int i = 0; drupelet_sweep_column(table, i, &c) && !found; i++)
            found = strcmp(c.name, column) == 0 && strcmp(c.unit, "1/cm2") == 0 && c.has_error && !c.is_factor;
        assert_true(found);
    }
    drupelet_sweep_free(table);
    free(base);
}

/* ---- threads ---- */

/* Four threads read, run, ask, write and read back at once; each gets what one alone gets. */
static void threads_do_not_disturb_one_another(void **state)
{
    (void)state;
    enum { THREADS = 4, CURVE = 8 };
    double alone[2][CURVE], found[THREADS][CURVE];
    static const char *const wind[2][2] = {{"weather.wind_speed=2 m/s", "run.wind=profiles"},
                                           {"weather.wind_speed=4 m/s", "run.wind=profiles"}};
    bool good[THREADS];
    for (int w = 0; w < 2; w++) {
        drupelet_scenario *scenario;
        ok(drupelet_scenario_read(DRUPELET_TEST_DATA "/small-run.yaml", wind[w], 2, &scenario));
        drupelet_result *result = run_few(scenario);
        ok(drupelet_result_numbers(result, "ground/curve", CURVE, alone[w], NULL));
        drupelet_result_free(result);
        drupelet_scenario_free(scenario);
    }
#pragma omp parallel for num_threads(THREADS) schedule(static, 1)
    for (int t = 0; t < THREADS; t++) {
        const drupelet_run_options few = {.n_droplets = 2048, .n_threads = 1};
        drupelet_scenario *scenario = NULL;
        drupelet_result *result = NULL, *read = NULL;
        char path[96];
        snprintf(path, sizeof path, "%s/thread-%d.h5", folder, t);
        drupelet_status status =
            drupelet_scenario_read(DRUPELET_TEST_DATA "/small-run.yaml", wind[t % 2], 2, &scenario);
        if (status.code == DRUPELET_OK) status = drupelet_run(scenario, &few, &result);
        if (status.code == DRUPELET_OK) status = drupelet_result_write(result, path, false);
        if (status.code == DRUPELET_OK) status = drupelet_result_read(path, &read);
        if (status.code == DRUPELET_OK) status = drupelet_result_numbers(read, "ground/curve", CURVE, found[t], NULL);
        good[t] = status.code == DRUPELET_OK;
        unlink(path);
        drupelet_result_free(read);
        drupelet_result_free(result);
        drupelet_scenario_free(scenario);
    }
    for (int t = 0; t < THREADS; t++) {
        assert_true(good[t]);
        assert_memory_equal(found[t], alone[t % 2], sizeof found[t]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_reads_as_its_file),      cmocka_unit_test(a_tree_reads_as_the_text_that_it_makes),
        cmocka_unit_test(every_quantity_has_its_name), cmocka_unit_test(names_lead_to_the_headline_numbers),
        cmocka_unit_test(wrong_names_are_told),        cmocka_unit_test(a_sweep_gives_a_table),
        cmocka_unit_test(a_sweep_keeps_collectors),    cmocka_unit_test(threads_do_not_disturb_one_another),
    };
    return cmocka_run_group_tests(tests, make_folder, drop_folder);
}
