/* tests/test_rate_plan.c - from a rate back to flows, sizes and pressures, and round again. */
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
#include "data_file.h"
#include "drupelet/drupelet.h"
#include "scenario/units.h"
#include "sprayer/generic.h"
#include "sprayer/rate_plan.h"

#define L_MIN 60000.0 /* L/min in m3/s */
#define L_HA 1e7      /* L/ha in m */

static drupelet_scenario *scenario_of(const char *file, const char *const *set, int n)
{
    char path[512];
    drupelet_scenario *scenario = NULL;
    snprintf(path, sizeof path, "%s/%s.yaml", DRUPELET_SCENARIOS, file);
    const drupelet_status status = drupelet_scenario_read(path, set, n, &scenario);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return scenario;
}

static sprayer_plan *plan_of(const drupelet_scenario *scenario, double rate_L_ha, bool equal)
{
    sprayer_plan *plan = malloc(sizeof *plan);
    assert_non_null(plan);
    const drupelet_status status = sprayer_plan_out(scenario, rate_L_ha / L_HA, equal, plan);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return plan;
}

/* tests/data/rate_worked.csv: q = L/ha x km/h x m / 600 and GPM = GPA x mph x ft / 495 (common practice), by hand, five
 * digits. */
static void flow_follows_the_textbook_formulas(void **state)
{
    (void)state;
    verify_table *table = data_file_open("rate_worked");
    for (int i = 0; i < verify_table_rows(table); i++) {
        char speed[64], spacing[64];
        double rate_m = 0.0;
        snprintf(speed, sizeof speed, "sprayer.travel_speed=%s", verify_table_text(table, i, "speed"));
        snprintf(spacing, sizeof spacing, "orchard.row_spacing=%s", verify_table_text(table, i, "spacing"));
        const char *const set[] = {speed, spacing};
        assert_int_equal(scenario_units_read(SCENARIO_APPLICATION_RATE, verify_table_text(table, i, "rate"), &rate_m,
                                             NULL), SCENARIO_READ);
        drupelet_scenario *scenario = scenario_of("apple-wall-full-leaf", set, 2);
        sprayer_plan *plan = plan_of(scenario, L_HA * rate_m, false);
        assert_close(L_MIN * plan->flow_m3_s, verify_table_number(table, i, "flow_L_min"), 5e-5, 0.0);
        assert_close(plan->machine_flows_a_row, 1.0, 1e-12, 0.0);
        free(plan);
        drupelet_scenario_free(scenario);
    }
    assert_int_equal(verify_table_rows(table), 5);
    verify_table_free(table);
}

/* 300 L/ha at 6 km/h in rows of 3.5 m: 10.5 L/min, 0.75 L/min from each of 14 nozzles. Size 01 (0.3948 L/min at 3 bar)
 * gives that at 3 (0.75 / 0.3948)^2 = 10.83 bar, size 015 (0.5922) at 4.81 bar, size 0075 (0.2961) at 19.25 bar. */
static void sizes_give_the_flow_at_the_pressures_worked_by_hand(void **state)
{
    (void)state;
    drupelet_scenario *scenario = scenario_of("apple-wall-full-leaf", NULL, 0);
    sprayer_plan *plan = plan_of(scenario, 300.0, false);
    assert_int_equal(plan->n_groups, 1);
    assert_int_equal(plan->n_circuits, 1);
    assert_int_equal(plan->group[0].n_nozzles, 14);
    assert_close(plan->group[0].row_share, 1.0, 1e-12, 0.0);
    assert_close(L_MIN * plan->group[0].flow_m3_s, 0.75, 1e-9, 0.0);
    static const struct { const char *size; double bar; } worked[] = {{"01", 10.83}, {"015", 4.81}, {"0075", 19.25}};
    for (int i = 0; i < 3; i++)
        assert_close(1e-5 * sprayer_pressure_for_flow_Pa(sprayer_plan_rated_flow_m3_s(plan, 0, worked[i].size), 300e3,
                                                         plan->group[0].flow_m3_s),
                     worked[i].bar, 1e-3, 0.0);
    /* usual pressures are 5 to 20 bar: 01 and 0075, the one nearer to 7 bar first. 11 bar: 0.75 sqrt(11 / 10.83) */
    sprayer_plan_choice choice[SPRAYER_CHOICES];
    assert_int_equal(sprayer_plan_choose(plan, 0, choice), 2);
    assert_string_equal(choice[0].size[0], "01");
    assert_string_equal(choice[1].size[0], "0075");
    assert_close(1e-5 * choice[0].pressure_Pa, 11.0, 1e-12, 0.0);
    assert_close(1e-5 * choice[1].pressure_Pa, 19.0, 1e-12, 0.0); /* 19.246, to half a bar */
    assert_close(L_HA * choice[0].rate_m, 300.0 * sqrt(11.0 / 10.83), 1e-3, 0.0);
    assert_true(choice[0].usual && choice[1].usual && choice[0].split_error < 1e-9);
    free(plan);
    drupelet_scenario_free(scenario);
}

/* The rate that a choice promises is the rate that the sprayer then has, whatever the alleys, sides and kinds. */
static void a_choice_put_into_the_scenario_gives_its_rate(void **state)
{
    (void)state;
    static const struct {
        const char *file, *set[2];
        bool equal;
        double rate_L_ha;
    } cases[] = {{"apple-wall-full-leaf", {NULL, NULL}, false, 300.0},
                 {"apple-wall-full-leaf", {"sprayer.alleys=[1, 3, 5, 7]", NULL}, false, 180.0},
                 {"apple-wall-full-leaf", {"sprayer.shut_outside=no", NULL}, true, 250.0},
                 {"apple-wall-full-leaf", {"sprayer.nozzles.2.plugged=yes", "sprayer.nozzles.3.worn=30 %"}, false, 300},
                 {"apple-wall-air-induction", {NULL, NULL}, false, 250.0},
                 {"tall-globe-orchard", {NULL, NULL}, false, 1200.0},
                 {"vineyard", {"sprayer.nozzles.0.side=left", NULL}, false, 300.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const int n_set = (cases[i].set[0] != NULL) + (cases[i].set[1] != NULL);
        drupelet_scenario *s = scenario_of(cases[i].file, cases[i].set, n_set);
        sprayer_plan *plan = plan_of(s, cases[i].rate_L_ha, cases[i].equal);
        sprayer_plan_choice choice[SPRAYER_CHOICES];
        assert_true(sprayer_plan_choose(plan, 0, choice) > 0);
        double sum = 0.0;
        for (int g = 0; g < plan->n_groups; g++) {
            sum += plan->group[g].row_share;
            scenario_tip *tip = &s->tip[plan->group[g].i_tip];
            tip->flow_m3_s = sprayer_plan_rated_flow_m3_s(plan, g, choice[0].size[g]);
            tip->flow_pressure_Pa = 300e3;
        }
        assert_close(sum, 1.0, 1e-9, 0.0);
        for (int k = 0; k < s->sprayer.n_nozzles; k++) {
            s->sprayer.nozzle[k].pressure_Pa = choice[0].pressure_Pa;
            s->sprayer.nozzle[k].plugged = false;
            s->sprayer.nozzle[k].worn = 0.0;
        }
        sprayer_work *work = malloc(sizeof *work);
        assert_non_null(work);
        assert_int_equal(sprayer_work_out(s, work).code, DRUPELET_OK);
        assert_close(work->application_rate_m, choice[0].rate_m, 1e-9, 0.0);
        assert_close(L_HA * choice[0].rate_m, cases[i].rate_L_ha, 0.06, 0.0); /* the gauge's steps */
        free(work);
        free(plan);
        drupelet_scenario_free(s);
    }
}

/* Two pressures on one machine are two circuits; each is chosen for by itself. */
static void nozzles_with_their_own_pressure_make_a_circuit(void **state)
{
    (void)state;
    static const char *const set[] = {"sprayer.nozzles.0.pressure=10 bar", "sprayer.nozzles.1.pressure=10 bar"};
    drupelet_scenario *scenario = scenario_of("apple-wall-full-leaf", set, 2);
    sprayer_plan *plan = plan_of(scenario, 300.0, false);
    assert_int_equal(plan->n_circuits, 2);
    assert_int_equal(plan->n_groups, 2);
    assert_int_equal(plan->group[0].n_nozzles, 4);
    assert_close(plan->group[0].flow_m3_s / plan->group[1].flow_m3_s, sqrt(10.0 / 7.0), 1e-9, 0.0);
    for (int c = 0; c < 2; c++) {
        sprayer_plan_choice choice[SPRAYER_CHOICES];
        assert_true(sprayer_plan_choose(plan, c, choice) > 0);
        assert_non_null(choice[0].size[c]);
        assert_null(choice[0].size[1 - c]);
    }
    free(plan);
    plan = plan_of(scenario, 300.0, true); /* equal flows: the circuits stay */
    assert_int_equal(plan->n_groups, 2);
    assert_close(plan->group[0].flow_m3_s, plan->group[1].flow_m3_s, 1e-12, 0.0);
    free(plan);
    drupelet_scenario_free(scenario);
}

/* Sizes 01 and 02 on one pressure give flows of 1 to 2; asked for 1 to 2 they are found, asked for equal flows they are
 * not kept. */
static void one_pressure_serves_two_groups(void **state)
{
    (void)state;
    static const char *const set[] = {"tips.wide={kind: hollow_cone, size: 02}", "sprayer.nozzles.6.tip=wide"};
    drupelet_scenario *scenario = scenario_of("apple-wall-full-leaf", set, 2);
    sprayer_plan *plan = plan_of(scenario, 280.0, false);
    sprayer_plan_choice choice[SPRAYER_CHOICES];
    assert_int_equal(plan->n_groups, 2);
    assert_close(plan->group[1].flow_m3_s / plan->group[0].flow_m3_s, 2.0, 1e-9, 0.0);
    assert_true(sprayer_plan_choose(plan, 0, choice) > 0);
    assert_string_equal(choice[0].size[0], "01");
    assert_string_equal(choice[0].size[1], "02");
    assert_true(choice[0].split_error < 1e-9);
    free(plan);
    plan = plan_of(scenario, 280.0, true);
    assert_int_equal(plan->n_groups, 2); /* two tips */
    assert_true(sprayer_plan_choose(plan, 0, choice) > 0);
    assert_string_equal(choice[0].size[0], choice[0].size[1]);
    free(plan);
    drupelet_scenario_free(scenario);
}

static void what_no_size_gives_is_said_to_be_unusual(void **state)
{
    (void)state;
    drupelet_scenario *scenario = scenario_of("apple-wall-full-leaf", NULL, 0);
    sprayer_plan_choice choice[SPRAYER_CHOICES];
    sprayer_plan *plan = plan_of(scenario, 40.0, false); /* 0.1 L/min: size 005 at 0.8 bar */
    assert_int_equal(sprayer_plan_choose(plan, 0, choice), 1);
    assert_false(choice[0].usual);
    assert_string_equal(choice[0].size[0], "005");
    free(plan);
    plan = plan_of(scenario, 10.0, false); /* 0.025 L/min: below 0.5 bar even there */
    assert_int_equal(sprayer_plan_choose(plan, 0, choice), 0);
    free(plan);
    scenario->sprayer.travel_speed_m_s = 0.0;
    plan = malloc(sizeof *plan);
    assert_non_null(plan);
    const drupelet_status status = sprayer_plan_out(scenario, 1e-5, false, plan);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, "stands still"));
    free(plan);
    drupelet_scenario_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flow_follows_the_textbook_formulas),
        cmocka_unit_test(sizes_give_the_flow_at_the_pressures_worked_by_hand),
        cmocka_unit_test(a_choice_put_into_the_scenario_gives_its_rate),
        cmocka_unit_test(nozzles_with_their_own_pressure_make_a_circuit),
        cmocka_unit_test(one_pressure_serves_two_groups),
        cmocka_unit_test(what_no_size_gives_is_said_to_be_unusual),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
