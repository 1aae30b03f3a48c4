/* sim/scenario/measured.h - the keys of a canopy that is given voxel by voxel. */
#ifndef SCENARIO_MEASURED_H
#define SCENARIO_MEASURED_H

#include "scenario/reader.h"
#include "scenario/scenario.h"

#define SCENARIO_VOXELS_MOST 2e8 /* choice: 1.6 GB of leaves and wood, and a number that fits 32 bits */

/** Takes height, base, width, leaf area, wood area (if the file has it) and voxel edge from c->measured, and checks
 *  them against the orchard and against keys that say the same. */
void scenario_take_measured(scenario_reader *r, const scenario_node *canopy, const scenario_orchard *o,
                            scenario_canopy *c);

#endif
