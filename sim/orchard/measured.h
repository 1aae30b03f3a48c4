/* sim/orchard/measured.h - a canopy from given voxels, beside the one that is grown (canopy.c). */
#ifndef ORCHARD_MEASURED_H
#define ORCHARD_MEASURED_H

#include <stdbool.h>

#include "orchard/orchard.h"

/** Voxels across, along and up as the file has them. */
void orchard_measured_shape(const scenario_measured_canopy *measured, orchard_canopy *canopy);
/** Fills the voxels of every row.
 *  @return DRUPELET_OK, DRUPELET_MEMORY, or DRUPELET_SCENARIO where wood finds no place */
drupelet_status orchard_fill_measured(const drupelet_scenario *scenario, orchard_canopy *canopy);

#endif
