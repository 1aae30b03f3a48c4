/* sim/scenario/read_tips.h - the tips of a scenario file. */
#ifndef SCENARIO_READ_TIPS_H
#define SCENARIO_READ_TIPS_H

#include "scenario/node.h"
#include "scenario/reader.h"
#include "scenario/scenario.h"

/** Reads the section `tips` into a scenario; the reader's status says what is wrong. */
void scenario_read_tips(scenario_reader *r, scenario_node *root, drupelet_scenario *s);

#endif
