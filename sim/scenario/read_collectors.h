/* sim/scenario/read_collectors.h - the list of virtual collectors of a scenario file. */
#ifndef SCENARIO_READ_COLLECTORS_H
#define SCENARIO_READ_COLLECTORS_H

#include "scenario/reader.h"
#include "scenario/scenario.h"

/** Reads them into a scenario of which orchard, canopy, weather and run are there. */
void scenario_read_collectors(scenario_reader *r, scenario_node *root, drupelet_scenario *scenario);

#endif
