/* tests/test_range.c - the droplets of a round flown in ranges, each into accounts of its own, add up to the round. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "flight_case.h"
#include "run/run.h"
#include "tally/leaves.h"
#include "tally/ledger.h"

enum { DROPLETS = 4096, TRACKS = TALLY_BATCHES };

/* What a range of droplets leaves behind. */
typedef struct {
    tally *accounts;
    int64_t n_steps;
} books;

static void fly(const flight_case *c, const run_collectors *collectors, int64_t from, int64_t up_to, int n_threads,
                tally_track *track, books *b)
{
    assert_int_equal(run_accounts_create(c->scenario, c->canopy, &c->work, collectors, &b->accounts).code, DRUPELET_OK);
    droplet_setting *setting = malloc(sizeof *setting);
    double plane_x_m[DROPLET_PLANES];
    assert_non_null(setting);
    for (int p = 0; p < DROPLET_PLANES; p++)
        plane_x_m[p] = tally_x_m(&b->accounts->shape, b->accounts->shape.plane_distance_m[p]);
    droplet_setting_make(c->scenario, &c->work, c->canopy, c->field, c->scenario->run.seed, plane_x_m, setting);
    run_collectors_watch(collectors, setting);
    const run_flight_plan plan = {.emission = c->emission,
                                  .setting = setting,
                                  .targets = &c->targets,
                                  .canopy = c->canopy,
                                  .crown = &c->scenario->canopy,
                                  .collectors = collectors,
                                  .from = from,
                                  .up_to = up_to,
                                  .n_threads = n_threads};
    assert_int_equal(run_fly(&plan, b->accounts, TRACKS, track, &b->n_steps).code, DRUPELET_OK);
    free(setting);
}

static void end(books *b)
{
    tally_free(b->accounts);
}

static void assert_same(const books *found, const books *expected)
{
    const tally *a = found->accounts, *e = expected->accounts;
    for (int i = 0; i < ledger_accounts; i++) {
        const int64_t n = (ledger[i].all_batches ? 1 : TALLY_BATCHES) * ledger_numbers(&ledger[i], &a->shape);
        const int64_t *of_all = ledger_values(&ledger[i], e);
        int64_t k = 0;
        while (k < n && of_all[k] == 0)
            k++;
        assert_true(k < n); /* there is something to compare */
        assert_memory_equal(ledger_values(&ledger[i], a), of_all, (size_t)n * sizeof *of_all);
    }
    assert_memory_equal(a->leaves->cell, e->leaves->cell,
                        (size_t)(TALLY_BATCHES * tally_leaves_cells(a->leaves)) * sizeof *a->leaves->cell);
    assert_memory_equal(found->accounts->caught, expected->accounts->caught,
                        (size_t)(TALLY_BATCHES * found->accounts->shape.n_pieces * TALLY_CATCHES) * sizeof(int64_t));
    assert_int_equal(found->n_steps, expected->n_steps);
}

static void ranges_add_up_to_the_round(void **state)
{
    (void)state;
    static const int64_t border[] = {0, 1, 1700, DROPLETS}; /* neither of chunks nor of batches */
    static flight_case c;
    run_collectors *collectors = NULL;
    books all, sum, range;
    tally_track *whole = calloc(TRACKS, sizeof *whole), *pieces = calloc(TRACKS, sizeof *pieces);
    assert_non_null(whole);
    assert_non_null(pieces);
    assert_int_equal(flight_case_open(DRUPELET_SCENARIOS "/drift-trial.yaml", NULL, DROPLETS, false, &c).code,
                     DRUPELET_OK);
    assert_int_equal(run_collectors_create(c.scenario, &c.work, &collectors).code, DRUPELET_OK);
    fly(&c, collectors, 0, DROPLETS, 2, whole, &all);
    assert_int_equal(tally_check(all.accounts).code, DRUPELET_OK);
    fly(&c, collectors, border[2], border[3], 1, pieces, &sum);
    assert_true(memcmp(sum.accounts->fate, all.accounts->fate, TALLY_BATCHES * sizeof *all.accounts->fate) != 0);
    for (int k = 0; k < 2; k++) {
        fly(&c, collectors, border[k], border[k + 1], 1 + k, pieces, &range);
        tally_add(sum.accounts, range.accounts);
        sum.n_steps += range.n_steps;
        end(&range);
    }
    assert_same(&sum, &all);
    assert_memory_equal(pieces, whole, TRACKS * sizeof *whole);
    end(&sum);
    end(&all);
    run_collectors_free(collectors);
    flight_case_close(&c);
    free(pieces);
    free(whole);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(ranges_add_up_to_the_round)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
