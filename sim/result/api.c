/* sim/result/api.c - a result through the public header: a run, what it says, version and caution. */
#include <math.h>

#include "base/number.h"
#include "result/result.h"

drupelet_status drupelet_run(const drupelet_scenario *scenario, const drupelet_run_options *options,
                             drupelet_result **result)
{
    run_outcome *outcome;
    void *former_locale;
    *result = NULL;
    drupelet_status status = base_c_locale_enter(&former_locale);
    if (status.code == DRUPELET_OK)
        status = run_in_air(scenario, options, NULL, &outcome);
    if (status.code == DRUPELET_OK)
        status = result_of_run(outcome, false, result);
    base_c_locale_leave(former_locale);
    return status;
}

static drupelet_share share_of(tally_estimate estimate)
{
    return (drupelet_share){estimate.share, estimate.error};
}

drupelet_head drupelet_result_head(const drupelet_result *result)
{
    return (drupelet_head){.name = result->name,
                           .version = result->version,
                           .caution = result->caution,
                           .seed = result->seed,
                           .n_droplets = result->n_droplets,
                           .n_steps = result->n_steps};
}

drupelet_target drupelet_result_target(const drupelet_result *result)
{
    return result->target;
}

drupelet_share drupelet_result_fate(const drupelet_result *result, drupelet_fate fate)
{
    if ((unsigned)fate >= DRUPELET_FATES)
        return (drupelet_share){NAN, NAN};
    return share_of(result->fate[fate]);
}

drupelet_share drupelet_result_evaporated(const drupelet_result *result)
{
    return share_of(result->evaporated);
}

/* A number of drift that the result holds at some distances; not a number elsewhere. */
static drupelet_share at_distance(int n, const double distance_m[], const tally_estimate percent[], double asked_m)
{
    for (int i = 0; i < n; i++)
        if (distance_m[i] == asked_m)
            return (drupelet_share){0.01 * percent[i].share, 0.01 * percent[i].error};
    return (drupelet_share){NAN, NAN};
}

drupelet_share drupelet_result_airborne(const drupelet_result *result, double distance_m)
{
    return at_distance(TALLY_PLANES, result->plane_distance_m, result->flux_percent, distance_m);
}

drupelet_share drupelet_result_drift_sum(const drupelet_result *result, double distance_m)
{
    if (!result->outcome) /* read from a file */
        return at_distance(SCENARIO_SUMS, result->drift_distance_m, result->drift_sum_percent, distance_m);
    return share_of(tally_drift_sum(result->outcome->accounts, distance_m));
}

drupelet_share drupelet_result_ground_deposit(const drupelet_result *result, double distance_m)
{
    if (!result->outcome)
        return at_distance(SCENARIO_CURVE, result->curve_distance_m, result->curve_percent, distance_m);
    const tally *accounts = result->outcome->accounts;
    const double x_m = tally_x_m(&accounts->shape, distance_m);
    return share_of(tally_ground_of_rate(accounts, x_m - 0.5, x_m + 0.5));
}

const char *drupelet_version(void)
{
    return DRUPELET_VERSION;
}

const char *drupelet_caution(void)
{
    return "For teaching, research and planning trials. No substitute for the product label, local law, buffer zones "
           "or a licensed adviser.";
}
