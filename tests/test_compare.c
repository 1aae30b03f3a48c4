/* tests/test_compare.c - what drupelet compare says of results: which settings differ, the errors of differences batch
 * by batch, collectors by name, files without batches, and that text, JSON and table have the same numbers. */
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

#include "check.h"
#include "hostile_file.h"
#include "report/compare.h"
#include "result/columns.h"
#include "result/quantity.h"

enum { BASE, AGAIN, DAMP, OTHER_SEED, FEW_ROWS, FILES };
static char folder[64], path[FILES][96];

static void ok(drupelet_status status)
{
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
}

static void make(int i, int n, const char *const settings[])
{
    drupelet_scenario *scenario = NULL;
    drupelet_result *result = NULL;
    const drupelet_run_options few = {.n_droplets = 4096, .n_threads = 2};
    snprintf(path[i], sizeof path[i], "%s/%d.h5", folder, i);
    drupelet_status status = drupelet_scenario_read(DRUPELET_SCENARIOS "/drift-trial.yaml", settings, n, &scenario);
    if (status.code == DRUPELET_OK) status = drupelet_run(scenario, &few, &result);
    if (status.code == DRUPELET_OK) status = drupelet_result_write(result, path[i], false);
    drupelet_result_free(result);
    drupelet_scenario_free(scenario);
    if (status.code != DRUPELET_OK) {
        fprintf(stderr, "%s\n", status.message);
        exit(EXIT_FAILURE);
    }
}

static int make_results(void **state)
{
    (void)state;
#define WIND "run.wind=profiles" /* quicker, and the wind is not what this is about */
    strcpy(folder, "/tmp/drupelet-compare-XXXXXX");
    if (!mkdtemp(folder)) return -1;
    make(BASE, 1, (const char *const[]){WIND});
    make(AGAIN, 2, (const char *const[]){WIND, "weather.roughness=3 cm"});
    make(DAMP, 3, (const char *const[]){WIND, "weather.relative_humidity=62 %", "collectors.0.name=dish at 3 m"});
    make(OTHER_SEED, 2, (const char *const[]){WIND, "run.seed=5"});
    make(FEW_ROWS, 2, (const char *const[]){WIND, "orchard.rows=6"});
    return 0;
}

static int drop_results(void **state)
{
    (void)state;
    for (int i = 0; i < FILES; i++)
        unlink(path[i]);
    return rmdir(folder);
}

static const compare_number *number_named(const report_comparison *c, const char *name)
{
    for (int i = 0; i < c->n_numbers; i++)
        if (strcmp(c->number[i].name, name) == 0) return &c->number[i];
    fail_msg("there is no %s", name);
    return NULL;
}

static void a_result_is_like_itself(void **state)
{
    (void)state;
    report_comparison c;
    ok(report_comparison_create(2, (const char *const[]){path[BASE], path[BASE]}, &c));
    assert_int_equal(c.n_settings, 0);
    assert_int_equal(c.n_elsewhere, 0);
    assert_true(c.n_numbers > result_columns_all());
    for (int i = 0; i < c.n_numbers; i++) {
        const tally_estimate d = c.number[i].difference[1];
        assert_true(d.share == 0.0);
        assert_true(!c.number[i].paired || d.error == 0.0);
        assert_false(report_beyond_noise(d));
    }
    report_comparison_free(&c);
}

/* Settings that differ, in value and not only in where the value comes from. */
static void settings_that_differ_are_found(void **state)
{
    (void)state;
    report_comparison c;
    ok(report_comparison_create(3, (const char *const[]){path[BASE], path[DAMP], path[FEW_ROWS]}, &c));
    int n_seen = 0;
    for (int i = 0; i < c.n_settings; i++) {
        const compare_setting *s = &c.setting[i];
        if (strcmp(s->key, "weather.relative_humidity") == 0) {
            assert_string_equal(s->value[0], "60 %");
            assert_string_equal(s->value[1], "62 %");
            assert_string_equal(s->value[2], "60 %");
            n_seen++;
        } else if (strcmp(s->key, "orchard.rows") == 0) {
            assert_string_equal(s->value[1], "8");
            assert_string_equal(s->value[2], "6");
            n_seen++;
        } else if (strcmp(s->key, "collectors.0.name") == 0) {
            assert_string_equal(s->value[0], "dish 3 m");
            assert_string_equal(s->value[1], "dish at 3 m");
            n_seen++;
        }
        assert_string_not_equal(s->key, "run.seed");
    }
    assert_int_equal(n_seen, 3);
    report_comparison_free(&c);

    /* the roughness is 3 cm by default: given or not, it is the same */
    ok(report_comparison_create(2, (const char *const[]){path[BASE], path[AGAIN]}, &c));
    assert_non_null(strstr(c.result[0]->resolved, "weather.roughness: 0.03 m (default)"));
    assert_non_null(strstr(c.result[1]->resolved, "weather.roughness: 0.03 m\n"));
    assert_int_equal(c.n_settings, 0);
    report_comparison_free(&c);

    assert_string_equal(report_setting_mark("canopy.wood", "1 m (deep) (default)"), " (default)");
    assert_null(report_setting_mark("place", "Nowhere (invented)"));
    assert_null(report_setting_mark("canopy.wood", "1 m"));
}

/* The error of a difference is that of 32 differences; what chance does to both alike drops out of it. */
static void errors_of_differences_are_paired(void **state)
{
    (void)state;
    report_comparison c;
    ok(report_comparison_create(3, (const char *const[]){path[BASE], path[DAMP], path[OTHER_SEED]}, &c));
    int n_paired = 0, n_sharper = 0;
    for (int i = 0; i < c.n_numbers; i++) {
        const compare_number *n = &c.number[i];
        assert_true(n->paired == (i < result_columns_all() && result_column_target(i) >= 0));
        if (isnan(n->difference[1].share)) continue;
        assert_close(n->difference[1].share, n->value[1].share - n->value[0].share, 1e-12, 1e-15);
        const double apart = sqrt(pow(n->value[0].error, 2.0) + pow(n->value[1].error, 2.0));
        if (!n->paired) {
            assert_close(n->difference[1].error, apart, 1e-12, 0.0);
            continue;
        }
        /* worked out anew from the batches of the files */
        const int target = result_column_target(i);
        double mean = 0.0, squares = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++)
            mean += ((double)c.result[1]->batch_percent[target * TALLY_BATCHES + b]
                     - (double)c.result[0]->batch_percent[target * TALLY_BATCHES + b])
                    / 32.0;
        for (int b = 0; b < TALLY_BATCHES; b++)
            squares += pow((double)c.result[1]->batch_percent[target * TALLY_BATCHES + b]
                               - (double)c.result[0]->batch_percent[target * TALLY_BATCHES + b] - mean,
                           2.0);
        assert_close(n->difference[1].error, sqrt(squares / 31.0 / 32.0), 1e-9, 1e-15);
        n_paired++;
        n_sharper += n->difference[1].error < 0.7 * apart;
    }
    assert_int_equal(n_paired, result_columns_batched());
    /* 2 % more humid air lets most droplets fly as before */
    assert_true(n_sharper > 10);
    const compare_number *evaporated = number_named(&c, "evaporated");
    assert_true(evaporated->difference[1].share < 0.0 && report_beyond_noise(evaporated->difference[1]));
    /* with another seed nothing is shared: the errors are those of independent runs (of 32 batches: within a half) */
    const compare_number *leaf = number_named(&c, "leaf");
    assert_between(leaf->difference[2].error / sqrt(pow(leaf->value[0].error, 2.0) + pow(leaf->value[2].error, 2.0)),
                   0.5, 1.5);
    report_comparison_free(&c);
}

/* A number of each batch is in the file; all batches together make the number. */
static void batches_make_the_number(void **state)
{
    (void)state;
    drupelet_result *r;
    ok(drupelet_result_read(path[BASE], &r));
    assert_int_equal(r->n_batched, SCENARIO_TARGETS);
    for (int i = 0; i < result_columns_batched(); i++) {
        const int target = result_column_target(i);
        double mean = 0.0, squares = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++)
            mean += (double)r->batch_percent[target * TALLY_BATCHES + b] / TALLY_BATCHES;
        for (int b = 0; b < TALLY_BATCHES; b++)
            squares += pow((double)r->batch_percent[target * TALLY_BATCHES + b] - mean, 2.0);
        const tally_estimate whole = result_column_value(r, i);
        assert_close(mean, whole.share, 0.01, 1e-9); /* the batches emit alike but for the last droplets */
        assert_close(sqrt(squares / 31.0 / 32.0), whole.error, 0.02, 1e-9);
    }
    assert_int_equal(result_column_target(result_columns_batched()), -1);
    drupelet_result_free(r);
}

static void collectors_go_by_name(void **state)
{
    (void)state;
    report_comparison c;
    ok(report_comparison_create(2, (const char *const[]){path[BASE], path[DAMP]}, &c));
    const compare_number *gone = number_named(&c, "dish 3 m"), *new = number_named(&c, "dish at 3 m"),
                         *kept = number_named(&c, "dish 5 m");
    assert_true(isfinite(gone->value[0].share) && isnan(gone->value[1].share) && isnan(gone->difference[1].share));
    assert_true(isnan(new->value[0].share) && isfinite(new->value[1].share));
    assert_close(kept->value[0].share, c.result[0]->collector[1].measured.of[RUN_CAUGHT].share, 0.0, 0.0);
    assert_false(report_beyond_noise(gone->difference[1]));
    report_comparison_free(&c);
}

/* Another number of rows gives other shapes, and files of before have no batches: both are said. */
static void what_cannot_be_compared_is_said(void **state)
{
    (void)state;
    report_comparison c;
    ok(report_comparison_create(2, (const char *const[]){path[BASE], path[FEW_ROWS]}, &c));
    bool other_shape = false;
    for (int i = 0; i < c.n_elsewhere; i++)
        other_shape =
            other_shape || (strcmp(c.elsewhere[i].name, "canopy/row_deposit") == 0 && c.elsewhere[i].n_differ[1] == -1);
    assert_true(other_shape);
    report_comparison_free(&c);

    hostile_remove(path[OTHER_SEED], "batches");
    ok(report_comparison_create(2, (const char *const[]){path[BASE], path[OTHER_SEED]}, &c));
    assert_int_equal(c.result[1]->n_batched, 0);
    const compare_number *leaf = number_named(&c, "leaf");
    assert_false(leaf->paired);
    assert_close(leaf->difference[1].error, sqrt(pow(leaf->value[0].error, 2.0) + pow(leaf->value[1].error, 2.0)),
                 1e-12, 0.0);
    report_comparison_free(&c);

    drupelet_status status = report_comparison_create(2, (const char *const[]){path[BASE], "/nowhere.h5"}, &c);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    report_comparison_free(&c);
}

static char *text_of(const report_comparison *c, void (*print)(const report_comparison *, FILE *))
{
    char *text = NULL;
    size_t n = 0;
    FILE *to = open_memstream(&text, &n);
    assert_non_null(to);
    print(c, to);
    assert_int_equal(fclose(to), 0);
    return text;
}

static void all_ways_say_the_same(void **state)
{
    (void)state;
    report_comparison c;
    char table[96], line[160];
    ok(report_comparison_create(2, (const char *const[]){path[BASE], path[DAMP]}, &c));
    char *text = text_of(&c, report_comparison_print), *json = text_of(&c, report_comparison_json);
    assert_non_null(strstr(text, "  weather.relative_humidity           A  60 %                    B  62 %\n"));
    assert_non_null(strstr(text, "licensed"));
    assert_null(strstr(text, "nan"));
    const compare_number *n = number_named(&c, "evaporated");
    snprintf(table, sizeof table, "%s/table.csv", folder);
    ok(report_comparison_csv(&c, table, false));
    FILE *file = fopen(table, "r");
    assert_non_null(file);
    int n_lines = 0, n_found = 0;
    snprintf(line, sizeof line, "result,evaporated,percent,2.h5,%.9g,%.9g,%.9g,%.9g,yes\n", n->value[1].share,
             n->value[1].error, n->difference[1].share, n->difference[1].error);
    for (char read[1024]; fgets(read, sizeof read, file);) {
        n_lines += read[0] != '#';
        n_found += strcmp(read, line) == 0 || strcmp(read, "setting,weather.relative_humidity,,2.h5,62 %,,,,\n") == 0;
    }
    fclose(file);
    unlink(table);
    assert_int_equal(n_found, 2);
    assert_int_equal(n_lines, 1 + 2 * (c.n_settings + c.n_numbers));
    snprintf(line, sizeof line, "{\"amount\": %.9g, \"standard_error\": %.9g, \"percent\": ", n->difference[1].share,
             n->difference[1].error);
    assert_non_null(strstr(json, line));
    free(text);
    free(json);
    report_comparison_free(&c);

    /* more than three stand below one another */
    ok(report_comparison_create(4, (const char *const[]){path[BASE], path[DAMP], path[BASE], path[AGAIN]}, &c));
    text = text_of(&c, report_comparison_print);
    assert_non_null(strstr(text, "\n    D  "));
    free(text);
    report_comparison_free(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_result_is_like_itself),
        cmocka_unit_test(settings_that_differ_are_found),
        cmocka_unit_test(errors_of_differences_are_paired),
        cmocka_unit_test(batches_make_the_number),
        cmocka_unit_test(collectors_go_by_name),
        cmocka_unit_test(all_ways_say_the_same),
        cmocka_unit_test(what_cannot_be_compared_is_said),
    };
    return cmocka_run_group_tests(tests, make_results, drop_results);
}
