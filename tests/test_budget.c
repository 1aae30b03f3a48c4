/* tests/test_budget.c - the way of the spray by droplet size, crown zone and alley: every litre once. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "report/budget.h"
#include "small_run.h"
#include "store/store.h"
#include "tally/budget.h"

static void zones_are_seen_from_the_alley(void **state)
{
    (void)state;
    /* rows at 0, -4, -8 m; the sprayer drives between the first two */
    assert_int_equal(tally_zone(-2.0, 0.0, 4.0, -0.1, 2), TALLY_ZONE_OWN + 2);
    assert_int_equal(tally_zone(-2.0, 0.0, 4.0, 0.1, 2), TALLY_ZONE_OWN + TALLY_THIRDS + 2);
    assert_int_equal(tally_zone(-2.0, -4.0, 4.0, -3.9, 0), TALLY_ZONE_OWN);
    assert_int_equal(tally_zone(-2.0, -4.0, 4.0, -4.1, 0), TALLY_ZONE_OWN + TALLY_THIRDS);
    assert_int_equal(tally_zone(-2.0, -8.0, 4.0, -8.1, 0), TALLY_ZONE_NEXT);
    assert_int_equal(tally_zone(2.0, -8.0, 4.0, -8.1, 0), TALLY_ZONE_BEYOND);
}

static void classes_hold_what_lies_between_their_edges(void **state)
{
    (void)state;
    for (int c = 0; c < TALLY_CLASSES; c++) {
        assert_int_equal(tally_class(fmax(tally_class_edge_m(c), 1e-9)), c);
        if (c > 0) assert_int_equal(tally_class(tally_class_edge_m(c) * (1.0 - 1e-9)), c - 1);
    }
}

/* What dripped is on the ground by the fates, and on the leaves by the budget. */
static void every_litre_is_there_once(void **state)
{
    const drupelet_result *r = ((run_case *)*state)->result;
    double all = 0.0, passes = 0.0, group[TALLY_GROUPS] = {0.0};
    for (int c = 0; c < TALLY_CLASSES; c++)
        for (int z = 0; z < TALLY_ZONES; z++)
            for (int f = 0; f < TALLY_FIRSTS; f++)
                for (int e = 0; e < TALLY_ENDS; e++) {
                    const double share = r->budget.path[c][z][f][e].share;
                    assert_true(share == 0.0 || (z == TALLY_ZONE_NONE) == (f == TALLY_FIRST_NONE));
                    assert_true(share == 0.0 || z != TALLY_ZONE_NONE || tally_end_group(e) != TALLY_TREES);
                    group[tally_end_group(e)] += share;
                    all += share;
                }
    for (int i = 0; i < r->n_passes; i++)
        for (int e = 0; e < TALLY_ENDS; e++)
            passes += r->pass[i].end[e].share;
    assert_close(all, 1.0, 1e-9, 0.0);
    assert_close(passes, 1.0, 1e-9, 0.0);
    assert_true(r->run_off.share > 0.0);
    assert_close(group[TALLY_TREES], r->together[TALLY_TREES].share + r->run_off.share, 1e-9, 0.0);
    assert_close(group[TALLY_FLOOR], r->together[TALLY_FLOOR].share - r->run_off.share, 1e-9, 0.0);
    assert_close(group[TALLY_BEYOND], r->together[TALLY_BEYOND].share, 1e-9, 0.0);
    assert_close(group[TALLY_AIRBORNE], r->together[TALLY_AIRBORNE].share, 1e-9, 0.0);
}

/* Of what adheres at its first hit all stays there; what stayed at all impacts is what ended on trees. */
static void first_hits_agree_with_the_impacts(void **state)
{
    const drupelet_result *r = ((run_case *)*state)->result;
    const tally *a = r->outcome->accounts;
    double trees = 0.0, stayed = 0.0, flew_on = 0.0;
    for (int f = TALLY_FIRST_HIT; f < TALLY_FIRSTS; f++) {
        const double there = tally_budget(a, -1, -1, f, TALLY_END_FIRST).share;
        const double all = tally_budget(a, -1, -1, f, -1).share;
        if (f == TALLY_FIRST_HIT + DROPLET_ADHERES)
            assert_close(there, all, 1e-12, 0.0);
        else if (f == TALLY_FIRST_HIT + DROPLET_BOUNCES)
            assert_true(there == 0.0 && all > 0.01); /* it keeps its liquid */
        else
            assert_true(there > 0.15 * all && there < 0.85 * all); /* Bai et al. 2002 */
        flew_on += all - there;
    }
    for (int t = 0; t < TALLY_TARGETS; t++)
        for (int o = 0; o < TALLY_OUTCOMES; o++)
            stayed += r->stayed[t][o].share;
    for (int e = TALLY_END_FIRST; e <= TALLY_END_OTHER_ROW; e++)
        trees += tally_budget(a, -1, -1, -1, e).share;
    assert_close(trees, stayed, 1e-9, 0.0);
    assert_true(flew_on > 0.02);
}

/* The small run's rows face the sprayer on both sides. */
static void crowns_shade_what_lies_behind_them(void **state)
{
    const tally *a = ((run_case *)*state)->outcome->accounts;
    double facing = 0.0, behind = 0.0;
    for (int third = 0; third < TALLY_THIRDS; third++) {
        facing += tally_budget(a, -1, TALLY_ZONE_OWN + third, -1, -1).share;
        behind += tally_budget(a, -1, TALLY_ZONE_OWN + TALLY_THIRDS + third, -1, -1).share;
    }
    const double next = tally_budget(a, -1, TALLY_ZONE_NEXT, -1, -1).share;
    assert_true(facing > behind && behind > next && next > tally_budget(a, -1, TALLY_ZONE_BEYOND, -1, -1).share);
}

/* ---- what is shown ---- */

static char *text_of(FILE *from)
{
    const long n = ftell(from);
    char *text = calloc((size_t)n + 1, 1);
    rewind(from);
    assert_int_equal(fread(text, 1, (size_t)n, from), n);
    fclose(from);
    return text;
}

static void file_table_and_picture_tell_the_same(void **state)
{
    const run_case *run = *state;
    char folder[] = "/tmp/drupelet-budget-XXXXXX", result[64], csv[64], svg[64], line[512];
    assert_non_null(mkdtemp(folder));
    snprintf(result, sizeof result, "%s/r.h5", folder);
    snprintf(csv, sizeof csv, "%s/r.csv", folder);
    snprintf(svg, sizeof svg, "%s/r.svg", folder);
    assert_int_equal(drupelet_result_write(run->result, result, false).code, DRUPELET_OK);
    FILE *to = tmpfile();
    assert_int_equal(report_budget(result, csv, svg, false, to, false).code, DRUPELET_OK);
    char *text = text_of(to);
    assert_non_null(strstr(text, "ends together 100.000 L of 100 L"));
    free(text);
    to = tmpfile();
    assert_int_equal(report_budget(result, NULL, NULL, false, to, true).code, DRUPELET_OK);
    text = text_of(to);
    assert_non_null(strstr(text, "\"zone\": \"facing_top\""));
    free(text);
    double sum = 0.0, amount, error;
    FILE *table = fopen(csv, "r");
    assert_non_null(table);
    for (int i = 0; fgets(line, sizeof line, table); i++)
        if (i >= 2) {
            const char *at = line;
            for (int comma = 0; comma < 5; comma++)
                at = strchr(at, ',') + 1;
            assert_int_equal(sscanf(at, "%lf,%lf", &amount, &error), 2);
            sum += amount;
        }
    fclose(table);
    assert_close(sum, 100.0, 1e-6, 0.0);
    assert_int_equal(report_budget(result, csv, NULL, false, stdout, false).code, DRUPELET_FILE); /* it exists */
    table = fopen(svg, "r");
    assert_non_null(table);
    fseek(table, 0, SEEK_END);
    text = text_of(table);
    assert_non_null(strstr(text, "facing the sprayer, top"));
    free(text);
    remove(result);
    remove(csv);
    remove(svg);
    assert_int_equal(remove(folder), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(zones_are_seen_from_the_alley),
        cmocka_unit_test(classes_hold_what_lies_between_their_edges),
        cmocka_unit_test(every_litre_is_there_once),
        cmocka_unit_test(first_hits_agree_with_the_impacts),
        cmocka_unit_test(crowns_shade_what_lies_behind_them),
        cmocka_unit_test(file_table_and_picture_tell_the_same),
    };
    return cmocka_run_group_tests(tests, small_run_set_up, small_run_tear_down);
}
