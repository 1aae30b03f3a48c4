/* sim/sprayer/nozzle_names.h - which nozzles of a sprayer are worn or plugged, by name. */
#ifndef SPRAYER_NOZZLE_NAMES_H
#define SPRAYER_NOZZLE_NAMES_H

#include <stddef.h>

#include "scenario/scenario.h"

/** Wear from which a tip is changed: flow above that of a new tip, over the latter (common practice). */
#define SPRAYER_WORN_MOST 0.10

typedef enum { SPRAYER_WORN_NOZZLES, SPRAYER_PLUGGED_NOZZLES } sprayer_nozzle_fault;

/** Names the nozzles that are plugged, or those that are worn by more than SPRAYER_WORN_MOST and not plugged: "left and
 *  right at 0.85 m (+20 %), left at 1.06 m (+12 %)", left and right as the driver sees them. What finds no room is
 *  counted.
 *  @return number of nozzles, left and right ones each for itself */
int sprayer_nozzle_names(const drupelet_scenario *scenario, sprayer_nozzle_fault fault, char *text, size_t room);

#endif
