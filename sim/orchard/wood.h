/* sim/orchard/wood.h - where in a crown the wood is. */
#ifndef ORCHARD_WOOD_H
#define ORCHARD_WOOD_H

#include <stdbool.h>

#include "orchard/orchard.h"

/** Relative density of the branches of a voxel: 0 where fill is 0 (no crown). */
double orchard_branches(const drupelet_scenario *scenario, const orchard_canopy *canopy, int ix, double fill);
/** Gives a row's wood its heights, scales it to its share of the wood and adds the trunks; false where there is no
 *  place for the wood.
 *  @param wood, trunk [nz][ny][nx]; trunk is room */
bool orchard_finish_wood(const drupelet_scenario *scenario, const orchard_canopy *canopy, float *wood, float *trunk);
/** Of a measured tree's wood, the share below a height that is given over that of the tree, 0 to 1. */
double orchard_wood_below(double height);
/** Scales n voxels to an area; false where there is area to place and no voxel to hold it. */
bool orchard_scale(float *density, int64_t n, double wanted_m2, double voxel_m3);

#endif
