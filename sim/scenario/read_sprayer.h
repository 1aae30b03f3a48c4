/* sim/scenario/read_sprayer.h - the sprayer of a scenario file. */
#ifndef SCENARIO_READ_SPRAYER_H
#define SCENARIO_READ_SPRAYER_H

#include "scenario/node.h"
#include "scenario/reader.h"
#include "scenario/scenario.h"

/** Reads the section `sprayer` into a scenario whose orchard and tips are read; the reader's status says what is wrong.
 */
void scenario_read_sprayer(scenario_reader *r, scenario_node *root, drupelet_scenario *s);

#endif
