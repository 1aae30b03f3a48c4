/* tests/test_score_collectors.c - measurements on dishes, lines and cards beside the collectors of a real run: by name
 * and by place, as volumes and as micrograms of tracer; airborne spray where a line stands; statistics of one value. */
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
#include "report/score.h"
#include "text_file.h"

static char folder[64], file[96], measured[96];
static drupelet_result *result;

static int make_result(void **state)
{
    (void)state;
    static const char *const set[] = {"run.wind=profiles"};
    const drupelet_run_options few = {.n_droplets = 4096, .n_threads = 2};
    drupelet_scenario *scenario = NULL;
    drupelet_result *run = NULL;
    strcpy(folder, "/tmp/drupelet-score-XXXXXX");
    if (!mkdtemp(folder)) return -1;
    snprintf(file, sizeof file, "%s/result.h5", folder);
    snprintf(measured, sizeof measured, "%s/trial.csv", folder);
    char text[8192] = "";
    FILE *from = fopen(DRUPELET_SCENARIOS "/drift-trial.yaml", "r"); /* it ends with the list of collectors */
    if (!from || fread(text, 1, sizeof text - 200, from) == 0 || fclose(from) != 0) return -1;
    strcat(text, "  - {name: line 12 m, kind: line, distance: 12.5 m, to: 6 m, segment: 1 m}\n");
    drupelet_status status = drupelet_scenario_read_text("trial", text, strlen(text), set, 1, &scenario);
    if (status.code == DRUPELET_OK) status = drupelet_run(scenario, &few, &run);
    if (status.code == DRUPELET_OK) status = drupelet_result_write(run, file, false);
    if (status.code == DRUPELET_OK) status = drupelet_result_read(file, &result);
    drupelet_result_free(run);
    drupelet_scenario_free(scenario);
    if (status.code != DRUPELET_OK) fprintf(stderr, "%s\n", status.message);
    return status.code == DRUPELET_OK ? 0 : -1;
}

static int drop_result(void **state)
{
    (void)state;
    drupelet_result_free(result);
    unlink(file);
    unlink(measured);
    return rmdir(folder);
}

static score_pair only_pair(const char *columns, const char *line)
{
    char text[512];
    score_list list;
    snprintf(text, sizeof text, "%s\n%s\n", columns, line);
    text_file_put(measured, text);
    const drupelet_status status = report_score_read(measured, result, &list);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    assert_int_equal(list.n, 1);
    const score_pair pair = list.pair[0];
    report_score_free(&list);
    return pair;
}

static void refused(const char *columns, const char *line, const char *message)
{
    char text[512];
    score_list list;
    snprintf(text, sizeof text, "%s\n%s\n", columns, line);
    text_file_put(measured, text);
    const drupelet_status status = report_score_read(measured, result, &list);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_string_equal(status.message + strlen(folder) + 1, message);
}

static const result_collector *collector(const char *name)
{
    for (int i = 0; i < result->n_collectors; i++)
        if (strcmp(result->collector[i].name, name) == 0) return &result->collector[i];
    fail_msg("there is no %s", name);
    return NULL;
}

static void assert_is(const score_pair *p, tally_estimate e)
{
    assert_close(p->value.simulated, e.share, 0.0, 0.0);
    assert_close(p->value.error, e.error, 0.0, 0.0);
}

/* Every collector by its name, in every unit that it has. */
static void collectors_go_by_name(void **state)
{
    (void)state;
    static const struct {
        const char *unit;
        run_measure measure;
    } units[] = {{"% of rate", RUN_PERCENT_OF_RATE},
                 {"uL/cm2", RUN_CAUGHT},
                 {"1/cm2", RUN_DROPLETS},
                 {"% of area", RUN_COVERAGE}};
    int n = 0;
    for (int i = 0; i < result->n_collectors; i++)
        for (int u = 0; u < 4; u++) {
            const result_collector *c = &result->collector[i];
            char line[160];
            snprintf(line, sizeof line, "%s,%s,3,%s", scenario_collector_kind_name(c->kind), c->name, units[u].unit);
            if (isnan(c->measured.of[units[u].measure].share)) continue;
            const score_pair p = only_pair("kind,collector,value,unit", line);
            assert_is(&p, c->measured.of[units[u].measure]);
            assert_string_equal(p.place, c->name);
            const score_group g = report_score_group_of(p.i_group);
            assert_string_equal(g.kind_name, scenario_collector_kind_name(c->kind));
            n++;
        }
    assert_int_equal(n, 12 * 3 + 4); /* the cards are water-sensitive paper */
}

static void collectors_are_found_where_they_stand(void **state)
{
    (void)state;
    static const char columns[] = "kind,distance_m,height_m,value,unit";
    const score_pair dish = only_pair(columns, "dish,10,,2,% of rate");
    assert_is(&dish, collector("dish 10 m")->measured.of[RUN_PERCENT_OF_RATE]);
    const score_pair near = only_pair(columns, "dish,10.2,0.1,2,% of rate"); /* a tape is not so exact */
    assert_is(&near, collector("dish 10 m")->measured.of[RUN_PERCENT_OF_RATE]);
    const result_collector *line = collector("line 5 m");
    const score_pair whole = only_pair(columns, "line,5,,2,uL/cm2");
    assert_is(&whole, line->measured.of[RUN_CAUGHT]);
    for (int k = 0; k < line->n_parts; k++) {
        const result_collector_part *part = &result->collector_part[line->first_part + k];
        char text[64];
        snprintf(text, sizeof text, "line,5,%g,2,uL/cm2", part->low_m + 0.3);
        const score_pair p = only_pair(columns, text);
        assert_is(&p, part->measured.of[RUN_CAUGHT]);
    }
    const score_pair top = only_pair(columns, "line,5,6,2,uL/cm2"); /* its very end */
    assert_is(&top, result->collector_part[line->first_part + line->n_parts - 1].measured.of[RUN_CAUGHT]);
    const score_pair card = only_pair(columns, "card,-1.75,3.2,2,uL/cm2");
    assert_is(&card, collector("row 1 top")->measured.of[RUN_CAUGHT]);

    refused(
        columns, "dish,8,,2,uL/cm2",
        "trial.csv:2:6: distance_m: found 8, expected a place where a dish of the result stands: dish 3 m, dish 5 m, "
        "dish 10 m, dish 20 m, dish 50 m");
    refused(
        columns, "card,-1.75,2,2,uL/cm2",
        "trial.csv:2:6: distance_m: found -1.75, expected a place with one card: name it in the column collector (row "
        "1 inside up or row 1 inside down)");
    refused("kind,collector,value,unit,height_m", "line,line 5 m,2,uL/cm2,7",
            "trial.csv:2:24: height_m: found 7, expected a height on the line, from 0 m to 6 m");
    refused("kind,collector,value,unit", "card,dish 5 m,2,uL/cm2",
            "trial.csv:2:1: kind: found card, expected dish, which this collector is in the result");
    refused("kind,collector,value,unit,distance_m", "dish,dish 5 m,2,uL/cm2,5",
            "trial.csv:2:24: distance_m: found 5, expected nothing: the collector's name says it");
    refused(
        "kind,collector,value,unit", "dish,dish 5 m,2,% of area",
        "trial.csv:2:17: unit: found % of area, expected a unit that the result has of this collector: cover is known "
        "of water-sensitive paper, volumes where the sprayer has a rate");
}

/* 1 uL of spray holds as many ug of tracer as a litre holds grams. */
static void masses_of_tracer_become_volumes(void **state)
{
    (void)state;
    const score_pair an_area =
        only_pair("kind,collector,value,unit,tracer_g_L,floor,error", "card,row 1 top,0.9,ug/cm2,1.5,0.03,0.15");
    assert_close(an_area.value.measured, 0.6, 1e-12, 0.0);
    assert_close(an_area.value.floor, 0.02, 1e-12, 0.0);
    assert_close(an_area.measured_error, 0.1, 1e-12, 0.0);
    assert_is(&an_area, collector("row 1 top")->measured.of[RUN_CAUGHT]);
    assert_string_equal(report_score_group_of(an_area.i_group).unit, "uL/cm2");
    /* a card is as high as it is wide, 76 mm; a piece of a line is 1 m of 2 mm */
    const score_pair card = only_pair("kind,collector,value,unit,tracer_g_L", "card,row 1 top,100,ug,2");
    assert_close(card.value.measured, 100.0 / 2.0 / (7.6 * 7.6), 1e-9, 0.0);
    const score_pair piece = only_pair("kind,collector,value,unit,tracer_g_L,height_m", "line,line 5 m,100,ug,2,2.5");
    assert_close(piece.value.measured, 100.0 / 2.0 / 20.0, 1e-9, 0.0);
    const score_pair line = only_pair("kind,collector,value,unit,tracer_g_L", "line,line 5 m,100,ug,2");
    assert_close(line.value.measured, 100.0 / 2.0 / 120.0, 1e-9, 0.0);
    const score_pair given = only_pair("kind,collector,value,unit,tracer_g_L,area_cm2", "card,row 1 top,100,ug,2,25");
    assert_close(given.value.measured, 2.0, 1e-12, 0.0);
    const score_pair dish = only_pair("kind,distance_m,value,unit,tracer_g_L,area_cm2", "dish,5,100,ug,2,400");
    assert_close(dish.value.measured, 0.125, 1e-12, 0.0);
    const score_pair ground = only_pair("kind,distance_m,value,unit,tracer_g_L", "ground,5,3,ug/cm2,2");
    assert_close(ground.value.measured, 1.5, 1e-12, 0.0);
    const score_pair leaf = only_pair("kind,row,value,unit,tracer_g_L", "canopy,1,3,ug/cm2,2");
    assert_close(leaf.value.measured, 1.5, 1e-12, 0.0);
    refused("kind,distance_m,value,unit,tracer_g_L", "dish,5,100,ug,2",
            "trial.csv:2:1: area_cm2: found no such column, expected one");
    refused(
        "kind,distance_m,value,unit,tracer_g_L", "dish,5,100,ug/cm2,",
        "trial.csv:2:19: tracer_g_L: found nothing, expected grams of tracer in a litre of spray from 1e-09 to 1000");
}

/* A line says what passes where it stands, wherever that is; at a plane the two agree. */
static void a_line_tells_what_passes_there(void **state)
{
    (void)state;
    static const char columns[] = "kind,distance_m,height_m,value,unit";
    const result_collector *line = collector("line 12 m");
    const tally_estimate net = result->collector_part[line->first_part + 1].measured.of[RUN_NET];
    const score_pair layer = only_pair(columns, "airborne,12.5,1.5,3,uL/cm2");
    assert_close(layer.value.simulated, net.share, 1e-12, 0.0);
    assert_close(layer.value.error, net.error, 1e-12, 0.0);
    const score_pair rate = only_pair(columns, "airborne,12.5,1.5,3,% of rate");
    assert_close(rate.value.simulated, 100.0 * net.share / (0.01 * result->application_rate_L_ha), 1e-9, 0.0);
    const score_pair per_m = only_pair(columns, "airborne,12.5,1.5,3,% of output per m");
    assert_close(per_m.value.simulated, rate.value.simulated / result->treated_width_m, 1e-9, 0.0);

    /* at 5 m a plane stands, too: the line's pieces of 1 m are two bins of it. The line samples 0.2 m of air */
    const result_collector *at_plane = collector("line 5 m");
    double plane = 0.0, of_line = 0.0;
    for (int k = 0; k < 6; k++) {
        char text[64];
        for (int bin = 0; bin < 2; bin++) {
            snprintf(text, sizeof text, "airborne,5,%g,3,uL/cm2", k + 0.5 * bin + 0.2);
            plane += 0.5 * only_pair(columns, text).value.simulated;
        }
        of_line += result->collector_part[at_plane->first_part + k].measured.of[RUN_NET].share;
    }
    assert_close(of_line, plane, 0.03, 0.0);
    refused(
        columns, "airborne,12.5,7,3,uL/cm2",
        "trial.csv:2:10: distance_m: found 12.5, expected the distance of an upright plane of the result, 5 m, 10 m, "
        "20 m or 50 m, or one where a line of the result reaches the height");
}

static char *report_of(const char *text)
{
    char *printed = NULL, table[96], svg[96];
    size_t n = 0;
    FILE *to = open_memstream(&printed, &n);
    assert_non_null(to);
    text_file_put(measured, text);
    snprintf(table, sizeof table, "%s/pairs.csv", folder);
    snprintf(svg, sizeof svg, "%s/pairs.svg", folder);
    const drupelet_status status = report_score(file, measured, table, svg, true, to);
    assert_int_equal(fclose(to), 0);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    char *all = calloc(1, n + (1 << 17));
    assert_non_null(all);
    strcpy(all, printed);
    free(printed);
    for (int i = 0; i < 2; i++) {
        FILE *from = fopen(i ? svg : table, "r");
        assert_non_null(from);
        const size_t used = strlen(all);
        assert_true(fread(all + used, 1, (1 << 16) - 1, from) > 0);
        fclose(from);
        unlink(i ? svg : table);
    }
    return all;
}

/* One value has no statistics: neither in the text, nor in the table, nor in the picture. Two have. */
static void one_value_makes_no_statistics(void **state)
{
    (void)state;
    static const char one[] = "kind,distance_m,value,unit\ndish,5,4,% of rate\n";
    static const char two[] = "kind,distance_m,value,unit\ndish,5,4,% of rate\ndish,10,2,% of rate\n";
    static const char a_zero[] = "kind,distance_m,value,unit\ndish,5,4,% of rate\ndish,10,0,% of rate\n";
    char *text = report_of(one);
    assert_non_null(strstr(text, "one pair alone makes no statistics"));
    assert_non_null(strstr(text, "1 pair: no statistics"));
    assert_null(strstr(text, "(FAC2)"));
    assert_null(strstr(text, "FAC2 "));
    assert_null(strstr(text, "NMSE"));
    free(text);
    text = report_of(two);
    assert_non_null(strstr(text, "(FAC2)"));
    assert_non_null(strstr(text, "; VG "));
    assert_non_null(strstr(text, ">VG "));
    free(text);
    text = report_of(a_zero); /* a single logarithm */
    assert_non_null(strstr(text, "(FAC2)"));
    assert_null(strstr(text, "(MG)"));
    assert_null(strstr(text, ">VG "));
    free(text);
}

/* The invented trial that is shipped is about the collectors of its scenario, and says that it is invented. */
static void the_shipped_trial_is_scored_whole(void **state)
{
    (void)state;
    FILE *from = fopen(DRUPELET_SCENARIOS "/drift-trial-measured.csv", "r");
    assert_non_null(from);
    char text[8192] = "";
    assert_true(fread(text, 1, sizeof text - 1, from) > 0);
    fclose(from);
    assert_non_null(strstr(text, "Invented"));
    text_file_put(measured, text);
    score_list list;
    const drupelet_status status = report_score_read(measured, result, &list);
    assert_string_equal(status.message, "");
    assert_int_equal(list.n, 17);
    report_score_free(&list);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(collectors_go_by_name),           cmocka_unit_test(collectors_are_found_where_they_stand),
        cmocka_unit_test(masses_of_tracer_become_volumes), cmocka_unit_test(a_line_tells_what_passes_there),
        cmocka_unit_test(one_value_makes_no_statistics),   cmocka_unit_test(the_shipped_trial_is_scored_whole),
    };
    return cmocka_run_group_tests(tests, make_result, drop_result);
}
