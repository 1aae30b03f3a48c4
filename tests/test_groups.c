/* tests/test_groups.c - fates taken together, outcomes by size, and their way through the result file. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/moist_air.h"
#include "check.h"
#include "droplet/droplet.h"
#include "store/store.h"
#include "synthetic_result.h"
#include "tally/groups.h"

static void every_fate_is_in_one_group(void **state)
{
    (void)state;
    synthetic_run *run = synthetic_run_create(1);
    const tally *a = run->result->accounts;
    double sum = 0.0;
    for (int g = 0; g < TALLY_GROUPS; g++) {
        double parts = 0.0;
        for (int f = 0; f < TALLY_FATES; f++)
            parts += tally_group_of((tally_fate)f) == (tally_group)g
                         ? tally_share(a, &a->fate[0][f], TALLY_FATES).share : 0.0;
        assert_close(tally_together(a, (tally_group)g).share, parts, 1e-12, 1e-15);
        sum += parts;
    }
    assert_close(sum, 1.0, 1e-9, 0.0);
    synthetic_run_free(run);
}

/* Batches in which one part falls by what the other rises: the sum has no error, though its parts have. */
static void the_error_of_a_sum_is_its_own(void **state)
{
    (void)state;
    synthetic_run *run = synthetic_run_create(1);
    tally *a = run->result->accounts;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        a->emitted[b][0] = 1000;
        a->fate[b][TALLY_LEAF] = 500 + 10 * (b % 2);
        a->fate[b][TALLY_WOOD] = 100 - 10 * (b % 2);
    }
    assert_close(tally_together(a, TALLY_TREES).share, 0.6, 1e-12, 0.0);
    assert_close(tally_together(a, TALLY_TREES).error, 0.0, 0.0, 1e-12);
    assert_true(tally_share(a, &a->fate[0][TALLY_LEAF], TALLY_FATES).error > 1e-4);
    synthetic_run_free(run);
}

static void an_outcome_is_a_share_of_the_impacts(void **state)
{
    (void)state;
    synthetic_run *run = synthetic_run_create(1);
    tally *a = run->result->accounts;
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int s = 0; s < TALLY_SIZES; s++)
            for (int o = 0; o < TALLY_OUTCOMES; o++)
                a->size_impacts[b][TALLY_LEAF][s][o] = 0;
    for (int b = 0; b < TALLY_BATCHES; b++) { /* bounced 1 of 4 and 3 of 4 in turn, of equally many impacts */
        a->size_impacts[b][TALLY_LEAF][7][DROPLET_ADHERES] = b % 2 ? 30 : 10;
        a->size_impacts[b][TALLY_LEAF][7][DROPLET_BOUNCES] = b % 2 ? 10 : 30;
    }
    const tally_estimate e = tally_outcome_share(a, TALLY_LEAF, 7, DROPLET_BOUNCES);
    assert_close(e.share, 0.5, 1e-12, 0.0);
    assert_close(e.error, 0.25 / sqrt(TALLY_BATCHES - 1.0), 1e-12, 0.0); /* as a mean of ratios 1/4 and 3/4 has it */
    assert_close(tally_outcome_share(a, TALLY_LEAF, -1, DROPLET_ADHERES).share, 0.5, 1e-12, 0.0);
    assert_true(isnan(tally_outcome_share(a, TALLY_LEAF, 8, DROPLET_BOUNCES).share));
    synthetic_run_free(run);
}

static void the_file_brings_them_back(void **state)
{
    (void)state;
    char path[] = "/tmp/drupelet-groups-XXXXXX";
    const int fd = mkstemp(path);
    assert_true(fd >= 0);
    close(fd);
    synthetic_run *run = synthetic_run_create(-1);
    const tally *a = run->result->accounts;
    run->scenario.weather.pressure_Pa = 101325.0; /* the caricature does without */
    run->scenario.liquid.surface_tension_N_m = 0.072;
    for (int i = 0; i < run->result->sprayer.n_sprays; i++)
        run->result->sprayer.spray[i].droplet_density_kg_m3 = 998.0;
    assert_int_equal(drupelet_result_write(run->result, path, true).code, DRUPELET_OK);
    store_result r;
    assert_int_equal(store_read(path, &r).code, DRUPELET_OK);
    for (int g = 0; g < TALLY_GROUPS; g++) {
        assert_close(r.together[g].share, tally_together(a, (tally_group)g).share, 0.0, 0.0);
        assert_close(r.together[g].error, tally_together(a, (tally_group)g).error, 0.0, 0.0);
    }
    const scenario_weather *w = &run->scenario.weather;
    const base_air air = base_moist_air(w->temperature_K, w->relative_humidity, w->pressure_Pa);
    double whole = 0.0;
    for (int s = 0; s < TALLY_SIZES; s++) {
        whole += r.size_emitted[s].share;
        const tally_estimate e = tally_outcome_share(a, TALLY_LEAF, s, DROPLET_BOUNCES);
        if (isnan(e.share))
            assert_true(isnan(r.size_outcome[TALLY_LEAF][s][DROPLET_BOUNCES].share));
        else
            assert_close(r.size_outcome[TALLY_LEAF][s][DROPLET_BOUNCES].error, e.error, 0.0, 0.0);
        assert_close(r.settling_m_s[s],
                     droplet_settling_speed_m_s(1e-6 * sqrt(r.size_low_um[s] * r.size_high_um[s]),
                                                run->result->sprayer.spray[0].droplet_density_kg_m3,
                                                run->scenario.liquid.surface_tension_N_m, &air), 1e-9, 0.0);
    }
    assert_close(whole, 1.0, 1e-9, 0.0);
    assert_close(r.nonvolatile_percent, 100.0 * run->scenario.liquid.nonvolatile, 1e-12, 0.0);
    double rows = 0.0;
    for (int i = 0; i < r.n_rows; i++)
        rows += r.row[i].together.share;
    assert_close(rows, r.fate[TALLY_LEAF].share, 1e-9, 0.0);
    assert_close(r.third[2][1].share, tally_row(a, -1, 2, 1).share, 0.0, 0.0);
    int n_rebounds = 0;
    for (int i = 0; i < r.n_tracks; i++) {
        assert_true(r.track[i].bounces + r.track[i].shatters > 0 || isnan(r.track[i].last_rebound_s));
        n_rebounds += r.track[i].bounces > 0;
    }
    assert_true(n_rebounds > 0);
    store_free(&r);
    synthetic_run_free(run);
    remove(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_fate_is_in_one_group),
        cmocka_unit_test(the_error_of_a_sum_is_its_own),
        cmocka_unit_test(an_outcome_is_a_share_of_the_impacts),
        cmocka_unit_test(the_file_brings_them_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
