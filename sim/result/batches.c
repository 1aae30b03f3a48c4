/* sim/result/batches.c - the headline numbers of each batch of droplets. Batch b of two results with one seed has the
 * same random numbers, so that differences between results have standard errors of their own. */
#include "base/status.h"
#include "result/columns.h"
#include "result/quantity.h"

static const result_quantity QUANTITIES[] = {
    {"number", NULL, RESULT_TEXT, NULL, "number that a run can aim at", .use = RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, n_batched), .word = scenario_target_name, .place.none = true,
     .most = SCENARIO_TARGETS},
    {"batch", NULL, RESULT_INT32, "1", "batch of droplets", .place.none = true, .length = TALLY_BATCHES, .first = 1},
    {"percent", "number batch", RESULT_FLOAT, "percent",
     "the number, from the droplets of the batch alone: ground deposit in percent of the application rate, evaporated "
     "in percent of the water emitted, the others in percent of the output",
     RESULT_APART(batch_percent), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .low = -1e9, .high = 1e9},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    (void)o;
    r->n_batched = SCENARIO_TARGETS;
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    for (int i = 0; i < SCENARIO_TARGETS; i++) {
        tally_estimate whole;
        result_take_batches(o->accounts, (scenario_target)i, &whole, r->batch_percent + i * TALLY_BATCHES);
    }
    return base_ok();
}

const result_group result_batches = {"batches",  "headline numbers of each batch of droplets, for differences",
                                     QUANTITIES, RESULT_COUNT(QUANTITIES),
                                     count,      fill,
                                     NULL};
