/* sim/scenario/read_classes.h - borders of size classes that a scenario gives for a tip. */
#ifndef SCENARIO_READ_CLASSES_H
#define SCENARIO_READ_CLASSES_H

#include "scenario/reader.h"
#include "scenario/scenario.h"

/** Reads tips.*.classes, where it is given, into the tip. Refused: a class named twice or out of order, diameters that
 *  do not rise from one border to the next, and borders beside a generic spectrum, which no instrument has measured. */
void scenario_read_classes(scenario_reader *r, const scenario_node *tip_group, scenario_tip *tip);

#endif
