/* sim/run/result.c - what a result says through the public header, the end of its life, version and caution. */
#include <math.h>
#include <stdlib.h>

#include "drupelet/run.h"
#include "run/run.h"

/* The public names stand for the fates of the accounts, in the same order. */
#define SAME(public, private) _Static_assert((int)(public) == (int)(private), "two lists of fates that differ")
SAME(DRUPELET_FATE_LEAF, TALLY_LEAF);
SAME(DRUPELET_FATE_WOOD, TALLY_WOOD);
SAME(DRUPELET_FATE_GROUND_ALLEY, TALLY_GROUND_ALLEY);
SAME(DRUPELET_FATE_GROUND_ROW, TALLY_GROUND_ROW);
SAME(DRUPELET_FATE_GROUND_DOWNWIND, TALLY_GROUND_DOWNWIND);
SAME(DRUPELET_FATE_GROUND_UPWIND, TALLY_GROUND_UPWIND);
SAME(DRUPELET_FATE_AIR_DOWNWIND, TALLY_AIR_DOWNWIND);
SAME(DRUPELET_FATE_AIR_ABOVE, TALLY_AIR_ABOVE);
SAME(DRUPELET_FATE_AIR_UPWIND, TALLY_AIR_UPWIND);
SAME(DRUPELET_FATE_ALOFT, TALLY_ALOFT);
SAME(DRUPELET_FATES, TALLY_FATES);

void drupelet_result_free(drupelet_result *result)
{
    if (!result)
        return;
    tally_collectors_free(result->collected);
    run_collectors_free(result->collectors);
    free(result->slice.speed_m_s);
    free(result->track);
    tally_free(result->accounts);
    orchard_free(result->canopy);
    free(result);
}

static drupelet_share share_of(tally_estimate estimate)
{
    return (drupelet_share){estimate.share, estimate.error};
}

drupelet_target drupelet_result_target(const drupelet_result *result)
{
    const run_aim *aim = &result->aim;
    return (drupelet_target){aim->wanted, aim->reached, aim->error, result->n_droplets};
}

drupelet_share drupelet_result_fate(const drupelet_result *result, drupelet_fate fate)
{
    if ((unsigned)fate >= DRUPELET_FATES)
        return (drupelet_share){NAN, NAN};
    return share_of(tally_share(result->accounts, &result->accounts->fate[0][fate], TALLY_FATES));
}

drupelet_share drupelet_result_evaporated(const drupelet_result *result)
{
    return share_of(tally_evaporated(result->accounts));
}

drupelet_share drupelet_result_drift_sum(const drupelet_result *result, double distance_m)
{
    return share_of(tally_drift_sum(result->accounts, distance_m));
}

drupelet_share drupelet_result_airborne(const drupelet_result *result, double distance_m)
{
    const tally_shape *shape = &result->accounts->shape;
    for (int p = 0; p < TALLY_PLANES; p++)
        if (shape->plane_distance_m[p] == distance_m)
            return share_of(tally_plane(result->accounts, p, 0, shape->n_flux));
    return (drupelet_share){NAN, NAN};
}

drupelet_share drupelet_result_ground_deposit(const drupelet_result *result, double distance_m)
{
    const double x_m = tally_x_m(&result->accounts->shape, distance_m);
    return share_of(tally_ground_of_rate(result->accounts, x_m - 0.5, x_m + 0.5));
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
