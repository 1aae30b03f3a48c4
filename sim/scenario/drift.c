/* sim/scenario/drift.c - the numbers by which drift is told.
 *
 * The ground's distances are those of published drift tables and of usual buffers; the others are common practice. */
#include "scenario/drift.h"

#include <string.h>

#define GROUND(d) \
    {"ground_" #d "_m", SCENARIO_DRIFT_GROUND, d, \
     "deposit on the ground " #d " m downwind of the block (mean over 1 m), percent of the application rate"}
#define AIRBORNE(d) \
    {"airborne_" #d "_m", SCENARIO_DRIFT_AIRBORNE, d, \
     "passes " #d " m downwind of the block in the air (net, all heights), percent of the output"}
#define SUM(d) \
    {"drift_sum_" #d "_m", SCENARIO_DRIFT_SUM, d, \
     "sum: on the ground beyond " #d " m or airborne out of the domain downwind, percent of the output"}

const scenario_drift_number scenario_drift_numbers[] = {
    GROUND(1), GROUND(3), GROUND(5), GROUND(10), GROUND(15), GROUND(20), GROUND(30), GROUND(50),
    AIRBORNE(5), AIRBORNE(10), AIRBORNE(20), AIRBORNE(50),
    SUM(5), SUM(10), SUM(20), SUM(50)};
_Static_assert(sizeof scenario_drift_numbers / sizeof scenario_drift_numbers[0] == SCENARIO_DRIFT_NUMBERS,
               "the counts of the kinds add up to the list");

int scenario_drift_first(scenario_drift_kind kind)
{
    int i = 0;
    while (scenario_drift_numbers[i].kind != kind)
        i++;
    return i;
}

int scenario_drift_count(scenario_drift_kind kind)
{
    int n = 0;
    for (int i = 0; i < SCENARIO_DRIFT_NUMBERS; i++)
        n += scenario_drift_numbers[i].kind == kind;
    return n;
}

int scenario_drift_named(const char *name)
{
    for (int i = 0; i < SCENARIO_DRIFT_NUMBERS; i++)
        if (strcmp(scenario_drift_numbers[i].name, name) == 0)
            return i;
    return -1;
}
