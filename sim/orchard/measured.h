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

/** Relative density of the branches of a voxel: 0 where fill is 0 (no crown). */
double orchard_branches(const drupelet_scenario *scenario, const orchard_canopy *canopy, int ix, double fill);
/** Scales a row's branches to its share of the wood and adds the trunks; false where there is no place for the wood.
 *  @param wood, trunk [nz][ny][nx]; trunk is room */
bool orchard_finish_wood(const drupelet_scenario *scenario, const orchard_canopy *canopy, float *wood, float *trunk);

#endif
