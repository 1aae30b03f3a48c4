/* sim/result/of_run.c - a result from a run. */
#define _POSIX_C_SOURCE 200809L
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "result/quantity.h"

char *result_copy(const char *text)
{
    return strdup(text);
}

drupelet_result *result_create(void)
{
    return calloc(1, sizeof(drupelet_result));
}

void drupelet_result_free(drupelet_result *result)
{
    if (!result)
        return;
    result_drop(result);
    free(result->target_name);
    free(result->version);
    free(result->caution);
    run_outcome_free(result->outcome);
    free(result);
}

static drupelet_status fill_head(const run_outcome *o, drupelet_result *r)
{
    const droplet_humidity *h = &o->humidity;
    r->n_threads = o->n_threads;
    r->seed = o->seed;
    r->n_droplets = o->n_droplets;
    r->n_steps = o->n_steps;
    r->target = (drupelet_target){o->aim.wanted, o->aim.reached, o->aim.error, o->n_droplets};
    r->target_asked = o->aim.asked;
    r->target_rounds = o->aim.n_rounds;
    r->spray_vapour_g_m3 = 1e3 * h->vapour_kg_m3;
    r->spray_humidity_percent = 100.0 * h->relative_humidity;
    r->spray_cooling_K = h->cooling_K;
    r->spray_slower_drying_percent = 100.0 * h->slower;
    r->version = result_copy(drupelet_version());
    r->caution = result_copy(drupelet_caution());
    r->target_name = o->aim.wanted ? result_copy(scenario_target_name((int)o->scenario->run.target)) : NULL;
    return r->version && r->caution && (r->target_name || !o->aim.wanted)
               ? base_ok()
               : base_error(DRUPELET_MEMORY, "no memory for the result");
}

drupelet_status result_of_run(run_outcome *outcome, bool for_sweep, drupelet_result **result)
{
    *result = NULL;
    drupelet_result *r = result_create();
    drupelet_status status = r ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the result");
    if (!r) {
        run_outcome_free(outcome);
        return status;
    }
    r->outcome = outcome;
    r->for_sweep = for_sweep;
    for (int g = 0; g < result_n_groups; g++)
        if (result_groups[g]->count)
            result_groups[g]->count(outcome, r);
    if (!result_make_room(r))
        status = base_error(DRUPELET_MEMORY, "no memory for the result");
    if (status.code == DRUPELET_OK)
        status = fill_head(outcome, r);
    for (int g = 0; g < result_n_groups && status.code == DRUPELET_OK; g++)
        status = result_groups[g]->fill(outcome, r);
    if (status.code == DRUPELET_OK)
        *result = r;
    else
        drupelet_result_free(r);
    return status;
}
