/* sim/scenario/target.c - the names of what run.target can be: the numbers of drift, water evaporated, the fates. */
#include <stddef.h>

#include "scenario/scenario.h"

static const char *const FATE[DRUPELET_FATES] = {
    [DRUPELET_FATE_LEAF] = "leaf",
    [DRUPELET_FATE_WOOD] = "wood",
    [DRUPELET_FATE_GROUND_ALLEY] = "ground_alley",
    [DRUPELET_FATE_GROUND_ROW] = "ground_row",
    [DRUPELET_FATE_GROUND_DOWNWIND] = "ground_downwind",
    [DRUPELET_FATE_GROUND_UPWIND] = "ground_upwind",
    [DRUPELET_FATE_AIR_DOWNWIND] = "air_downwind",
    [DRUPELET_FATE_AIR_ABOVE] = "air_above",
    [DRUPELET_FATE_AIR_UPWIND] = "air_upwind",
    [DRUPELET_FATE_ALOFT] = "aloft"};

const char *scenario_target_name(int i)
{
    if (i < 0 || i >= SCENARIO_TARGETS)
        return NULL;
    return i < SCENARIO_TARGET_EVAPORATED ? scenario_drift_numbers[i - SCENARIO_TARGET_DRIFT].name
           : i < SCENARIO_TARGET_FATE     ? "evaporated"
                                          : FATE[i - SCENARIO_TARGET_FATE];
}
