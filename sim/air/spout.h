/* sim/air/spout.h - lays the jet of a round spout into a pass's grid. */
#ifndef AIR_SPOUT_H
#define AIR_SPOUT_H

#include "air/excess.h"
#include "air/jet.h"

/** Adds a round jet to the grid: momentum of its excess velocity (merge.h) and its turbulence.
 *  @param point   [n_points]  @param diameter_m of the spout */
drupelet_status air_spout_add(const air_grid *grid, air_excess *excess, int n_points, const air_jet_point *point,
                              double diameter_m);

#endif
