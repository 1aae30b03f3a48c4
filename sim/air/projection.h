/* sim/air/projection.h - makes a velocity field free of divergence. */
#ifndef AIR_PROJECTION_H
#define AIR_PROJECTION_H

#include "air/air.h"

/** Makes the change of least cost to the velocities of a pass's grid that takes out their divergence (projection.c says
 * what a change costs). Nothing passes the outer faces of the grid.
 *  @param node    the grid's first node; AIR_U, AIR_V, AIR_W are changed
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_project(const air_grid *grid, float *node);
/** Divergence over the nodes as the projection sees it, root mean square, 1/s (for tests). */
double air_divergence_rms_1_s(const air_grid *grid, const float *node);

#endif
