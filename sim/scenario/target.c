/* sim/scenario/target.c - the names of what run.target can be: the numbers of drift, water evaporated, the fates. */
#include <stddef.h>

#include "scenario/scenario.h"

static const char *const OTHERS[SCENARIO_TARGETS] = {/* those of drift have their names in drift.c */
    [SCENARIO_TARGET_EVAPORATED] = "evaporated",
    [SCENARIO_TARGET_LEAF] = "leaf",
    [SCENARIO_TARGET_WOOD] = "wood",
    [SCENARIO_TARGET_GROUND_ALLEY] = "ground_alley",
    [SCENARIO_TARGET_GROUND_ROW] = "ground_row",
    [SCENARIO_TARGET_GROUND_DOWNWIND] = "ground_downwind",
    [SCENARIO_TARGET_GROUND_UPWIND] = "ground_upwind",
    [SCENARIO_TARGET_AIR_DOWNWIND] = "air_downwind",
    [SCENARIO_TARGET_AIR_ABOVE] = "air_above",
    [SCENARIO_TARGET_AIR_UPWIND] = "air_upwind",
    [SCENARIO_TARGET_ALOFT] = "aloft"};

const char *scenario_target_name(int i)
{
    if (i < 0 || i >= SCENARIO_TARGETS)
        return NULL;
    return i < SCENARIO_TARGET_EVAPORATED ? scenario_drift_numbers[i - SCENARIO_TARGET_DRIFT].name : OTHERS[i];
}
