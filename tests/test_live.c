/* tests/test_live.c - one simulation in pieces, as the workers of a page fly it: the numbers of a run, whoever flew
 * what; and trees of values, whole and damaged. */
#define _POSIX_C_SOURCE 200809L
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>
#include "check.h"
#include "drupelet/drupelet.h"
#include "live/live.h"
#include "live/tree.h"
#include "page/parts.h"
#include "scenario/read.h"

#define SMALL DRUPELET_TEST_DATA "/small-run.yaml"

static const char *const SETTINGS[] = {"run.target_error=1.5 %", "run.droplets=40000"};
enum { SETTINGS_N = sizeof SETTINGS / sizeof SETTINGS[0] };

/* As tree.c tells. */
static void flatten(const scenario_node *node, FILE *to)
{
    if (node->kind == SCENARIO_VALUE) {
        fprintf(to, "%c%s%c", node->quoted ? 'Q' : 'V', node->text, 0);
        return;
    }
    fputc(node->kind == SCENARIO_GROUP ? 'G' : 'L', to);
    for (const scenario_node *child = node->first; child; child = child->next) {
        if (node->kind == SCENARIO_GROUP) fprintf(to, "K%s%c", child->key, 0);
        flatten(child, to);
    }
    fputc('.', to);
}

/* The small scenario as bytes; the caller frees them. */
static char *small_tree(size_t *n)
{
    char *text, *bytes = NULL;
    size_t n_text;
    scenario_node *root;
    assert_int_equal(scenario_file_text(SMALL, "a scenario", SCENARIO_MOST_KIB, &text, &n_text).code, DRUPELET_OK);
    assert_int_equal(scenario_load("small", text, n_text, SETTINGS, SETTINGS_N, &root).code, DRUPELET_OK);
    FILE *to = open_memstream(&bytes, n);
    assert_non_null(to);
    flatten(root, to);
    fclose(to);
    scenario_node_free(root);
    free(text);
    return bytes;
}

/* What a run of the same scenario would put onto a page. */
static char *told_by_a_run(int64_t *n_droplets)
{
    drupelet_scenario *scenario;
    drupelet_result *result;
    const drupelet_run_options options = {.n_threads = 2};
    char *words = NULL;
    size_t n;
    assert_int_equal(drupelet_scenario_read(SMALL, SETTINGS, SETTINGS_N, &scenario).code, DRUPELET_OK);
    assert_int_equal(drupelet_run(scenario, &options, &result).code, DRUPELET_OK);
    *n_droplets = result->n_droplets;
    FILE *to = open_memstream(&words, &n);
    assert_non_null(to);
    base_json json = {.to = to};
    base_json_open(&json, NULL, '{');
    assert_int_equal(page_result(&json, NULL, result, false).code, DRUPELET_OK);
    base_json_close(&json, '}');
    fclose(to);
    drupelet_result_free(result);
    drupelet_scenario_free(scenario);
    return words;
}

static char *told_by(live_run *live, bool at_end)
{
    char *words = NULL;
    size_t n;
    FILE *to = open_memstream(&words, &n);
    assert_non_null(to);
    const drupelet_status status = live_tell(live, to, at_end, false);
    fclose(to);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return words;
}

/* Whose batch it is, of three workers who take turns in no order. */
static int flies(int64_t i_batch, int round)
{
    return (int)((7 * i_batch + i_batch / 5 + round) % 3);
}

static void in_pieces_it_has_the_numbers_of_a_run(void **state)
{
    (void)state;
    live_run worker[3] = {{0}};
    size_t n_tree;
    char *tree = small_tree(&n_tree);
    for (int w = 0; w < 3; w++)
        assert_int_equal(live_open(&worker[w], tree, n_tree).code, DRUPELET_OK);
    int64_t *number = malloc((size_t)live_numbers(&worker[0]) * sizeof *number), flown = 0, n_droplets;
    assert_non_null(number);
    int rounds = 0;
    for (int more; (more = live_next(&worker[0])) != 0; rounds++) {
        assert_int_equal(more, 1);
        const int64_t each = live_per_batch(&worker[0]);
        for (int w = 1; w < 3; w++)
            assert_int_equal(live_take_round(&worker[w], &worker[0].round).code, DRUPELET_OK);
        for (int64_t b = 0; b < TALLY_BATCHES; b++) {
            live_run *who = &worker[rounds == 0 ? 0 : flies(b, rounds)];
            const int64_t middle = b * each + each / 3; /* a batch in two ranges */
            assert_int_equal(live_fly(who, b * each, middle, rounds == 0).code, DRUPELET_OK);
            assert_int_equal(live_fly(who, middle, (b + 1) * each, rounds == 0).code, DRUPELET_OK);
            if (b == TALLY_BATCHES / 2) { /* what is known meanwhile can be told, and changes nothing */
                live_give(&worker[1], number);
                live_add(&worker[0], number);
                free(told_by(&worker[0], false));
            }
        }
        for (int w = 1; w < 3; w++) {
            live_give(&worker[w], number);
            live_add(&worker[0], number);
        }
        flown += each * TALLY_BATCHES;
        live_look(&worker[0]);
    }
    char *run = told_by_a_run(&n_droplets), *pieces = told_by(&worker[0], true);
    assert_true(rounds >= 2);
    assert_int_equal(flown, n_droplets);
    assert_string_equal(pieces, run);
    free(run);
    free(pieces);
    free(number);
    free(tree);
    for (int w = 0; w < 3; w++)
        live_close(&worker[w]);
}

/* Another scenario with the same air takes over that of the one before; another wind makes another. */
static void the_air_stays_where_it_is_the_same(void **state)
{
    (void)state;
    live_run live = {0};
    size_t n_tree;
    char *tree = small_tree(&n_tree);
    assert_int_equal(live_open(&live, tree, n_tree).code, DRUPELET_OK);
    const base_hash first = live.air_key;
    const float *node = live.air->node;
    assert_int_equal(live_open(&live, tree, n_tree).code, DRUPELET_OK);
    assert_ptr_equal(live.air->node, node);
    char *wind = NULL;
    for (size_t i = 0; i + 12 < n_tree; i++)
        if (memcmp(tree + i, "wind_speed\0V", 12) == 0) wind = tree + i + 12;
    assert_non_null(wind);
    wind[0] = wind[0] == '2' ? '3' : '2';
    assert_int_equal(live_open(&live, tree, n_tree).code, DRUPELET_OK);
    assert_memory_not_equal(&live.air_key, &first, sizeof first);
    free(tree);
    live_close(&live);
}

/* Bytes that are cut or changed are refused or read as something else; nothing is read beyond them. */
static void damaged_trees_are_refused(void **state)
{
    (void)state;
    size_t n_tree, refused = 0;
    char *tree = small_tree(&n_tree);
    scenario_node *root;
    assert_int_equal(live_tree(tree, n_tree, &root).code, DRUPELET_OK);
    scenario_node_free(root);
    for (size_t n = 0; n < n_tree; n++) {
        char *cut = malloc(n + 1); /* of its own size, for the sanitizer to see */
        assert_non_null(cut);
        memcpy(cut, tree, n);
        char *exact = realloc(cut, n > 0 ? n : 1);
        assert_int_equal(live_tree(exact, n, &root).code, DRUPELET_SCENARIO);
        assert_null(root);
        free(exact);
    }
    for (size_t i = 0; i < n_tree; i++) {
        const char was = tree[i];
        tree[i] = (char)(was ^ 0x15);
        refused += live_tree(tree, n_tree, &root).code == DRUPELET_SCENARIO;
        scenario_node_free(root);
        tree[i] = was;
    }
    assert_true(refused > 0);
    char deep[200]; /* lists in lists in lists */
    memset(deep, 'L', sizeof deep);
    assert_int_equal(live_tree(deep, sizeof deep, &root).code, DRUPELET_SCENARIO);
    assert_int_equal(live_tree("V1", 3, &root).code, DRUPELET_SCENARIO); /* no group */
    free(tree);
}

static void a_scenario_that_cannot_be_leaves_nothing_open(void **state)
{
    (void)state;
    static const char tree[] = "GKcanopy\0GKheight\0V4 m\0.."; /* the rest is missing */
    live_run live = {0};
    const drupelet_status status = live_open(&live, tree, sizeof tree - 1);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, "expected"));
    assert_null(live.scenario);
    live_close(&live);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_pieces_it_has_the_numbers_of_a_run),
        cmocka_unit_test(the_air_stays_where_it_is_the_same),
        cmocka_unit_test(damaged_trees_are_refused),
        cmocka_unit_test(a_scenario_that_cannot_be_leaves_nothing_open),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
