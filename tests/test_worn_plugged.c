/* tests/test_worn_plugged.c - runs with worn and plugged nozzles: what reaches which height, and books that close. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "run_case.h"

enum { N = 20000, TOP = TALLY_THIRDS - 1, BOTTOM = 0 };
static const char *const FILE_NAME = "apple-wall-full-leaf.yaml";

/* On leaves of a third of the crown's height, L/ha. */
static double leaf_L_ha(const run_case *c, int third)
{
    return 1e7 * c->outcome->sprayer.application_rate_m * tally_row(c->outcome->accounts, -1, third, -1).share;
}

static void books_close(const run_case *c)
{
    const tally *a = c->outcome->accounts;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        const int64_t emitted = a->emitted[b][0];
        int64_t fates = 0;
        for (int f = 0; f < TALLY_FATES; f++)
            fates += a->fate[b][f];
        assert_true(emitted == TALLY_PARTS / TALLY_BATCHES);
        assert_true(fates == emitted);
    }
}

/* The two uppermost nozzles of a side hit the upper leaves (52 and 43 deg above the level, towards a wall of 3.5 m).
 * With both plugged, 10 of 14 nozzles spray: the top third loses more than that share, the bottom third less. */
static void a_plugged_nozzle_leaves_its_height_bare(void **state)
{
    (void)state;
    static const char *const set[] = {"sprayer.nozzles.5.plugged=yes", "sprayer.nozzles.6.plugged=yes", NULL, NULL};
    run_case clean = case_run(FILE_NAME, N, 2, NULL), plugged = case_run(FILE_NAME, N, 2, set);
    books_close(&clean);
    books_close(&plugged);
    assert_close(plugged.outcome->sprayer.application_rate_m / clean.outcome->sprayer.application_rate_m, 10.0 / 14.0,
                 1e-12, 0.0);
    const double top = leaf_L_ha(&plugged, TOP) / leaf_L_ha(&clean, TOP);
    const double bottom = leaf_L_ha(&plugged, BOTTOM) / leaf_L_ha(&clean, BOTTOM);
    assert_between(top, 0.1, 0.6); /* 0.35; the one below it reaches there, too */
    assert_true(bottom > 1.1 * 10.0 / 14.0); /* 0.86 */
    case_end(&plugged);
    case_end(&clean);
}

/* Nothing leaves a plugged nozzle: with the right side plugged, a pass sprays to its left alone, and the pass that has
 * only the right side open is dropped. */
static void a_plugged_side_sprays_nowhere(void **state)
{
    (void)state;
    static const char *const set[] = {
        "sprayer.nozzles=[{side: left, tip: fine cone, offset: 0.5 m, height: 1 m, angle: 20 deg},"
        " {side: right, tip: fine cone, offset: 0.5 m, height: 1 m, angle: 20 deg, plugged: yes}]",
        "sprayer.direction=same", NULL, NULL};
    run_case c = case_run(FILE_NAME, N, 2, set);
    books_close(&c);
    assert_int_equal(c.outcome->sprayer.n_passes, 8); /* all drive along +y: the last alley would spray to the right */
    for (int i = 0; i < c.outcome->n_tracks; i++)
        assert_int_equal(c.outcome->track[i].i_nozzle, 0);
    assert_true(c.outcome->n_tracks > 0);
    case_end(&c);
}

/* A spray of its own tip whose nozzles are all plugged has no droplets, and the run goes on without it. */
static void a_tip_that_is_plugged_everywhere_has_no_droplets(void **state)
{
    (void)state;
    static const char *const set[] = {"tips.other={kind: flat_fan, size: 04, cone_angle: 110 deg}",
                                      "sprayer.nozzles.0.tip=other", "sprayer.nozzles.0.plugged=yes", NULL};
    run_case c = case_run(FILE_NAME, N, 2, set);
    books_close(&c);
    assert_int_equal(c.outcome->sprayer.n_sprays, 2);
    for (int i = 0; i < c.outcome->n_tracks; i++)
        assert_true(c.outcome->track[i].i_nozzle > 1);
    case_end(&c);
}

/* All tips worn by 30 %: the rate rises by 30 %, and the droplets are coarser, so less of each litre drifts. */
static double drift_in_batch(const tally *a, int b)
{
    return (double)(a->fate[b][TALLY_AIR_DOWNWIND] + a->fate[b][TALLY_AIR_ABOVE] + a->fate[b][TALLY_AIR_UPWIND])
           / (double)(TALLY_PARTS / TALLY_BATCHES);
}

static void worn_tips_spray_more_and_coarser(void **state)
{
    (void)state;
    const char *const nozzles = "sprayer.nozzles=[{tip: fine cone, offset: 0.5 m, height: 1.2 m, angle: 40 deg}]";
    const char *const new_set[] = {nozzles, NULL, NULL, NULL};
    const char *const worn_set[] = {nozzles, "sprayer.nozzles.0.worn=50 %", NULL, NULL};
    run_case fresh = case_run(FILE_NAME, N, 2, new_set), worn = case_run(FILE_NAME, N, 2, worn_set);
    books_close(&worn);
    assert_close(worn.outcome->sprayer.application_rate_m, 1.5 * fresh.outcome->sprayer.application_rate_m, 1e-12, 0.0);
    assert_close(worn.outcome->sprayer.spray[0].dv50_m, pow(1.5, 0.25) * fresh.outcome->sprayer.spray[0].dv50_m,
                 1e-9, 0);
    assert_true(case_difference_in_errors(&worn, &fresh, drift_in_batch) > 3.0);
    case_end(&worn);
    case_end(&fresh);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plugged_nozzle_leaves_its_height_bare),
        cmocka_unit_test(a_plugged_side_sprays_nowhere),
        cmocka_unit_test(a_tip_that_is_plugged_everywhere_has_no_droplets),
        cmocka_unit_test(worn_tips_spray_more_and_coarser),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
