/* sim/scenario/sections.h - the readers of the sections of a scenario file, as read.c calls them; the reader's status
 * says what is wrong. */
#ifndef SCENARIO_SECTIONS_H
#define SCENARIO_SECTIONS_H

#include "scenario/reader.h"
#include "scenario/scenario.h"

/** Takes height, base, width, leaf area, wood area (if the file has it) and voxel edge from c->measured, and checks
 *  them against the orchard and against keys that say the same. */
void scenario_take_measured(scenario_reader *r, const scenario_node *canopy, const scenario_orchard *o,
                            scenario_canopy *c);
/** Reads leaf, leaf_age, the sides and their numbers. @param group canopy */
void scenario_read_leaf(scenario_reader *r, const scenario_node *root, const scenario_node *group,
                        scenario_canopy *canopy);
void scenario_read_tips(scenario_reader *r, scenario_node *root, drupelet_scenario *s);
/** Reads tips.*.classes, where it is given, into the tip. Refused: a class named twice or out of order, diameters that
 *  do not rise from one border to the next, and borders beside a generic spectrum, which no instrument has measured. */
void scenario_read_classes(scenario_reader *r, const scenario_node *tip_group, scenario_tip *tip);
/** Needs orchard and tips. */
void scenario_read_sprayer(scenario_reader *r, scenario_node *root, drupelet_scenario *s);
/** Needs the weather: the liquid is water at the air's temperature unless given. */
void scenario_read_liquid(scenario_reader *r, scenario_node *root, drupelet_scenario *s);
/** Needs orchard, canopy, weather and run. */
void scenario_read_collectors(scenario_reader *r, scenario_node *root, drupelet_scenario *scenario);

#endif
