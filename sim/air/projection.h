/* sim/air/projection.h - makes a velocity field free of divergence. */
#ifndef AIR_PROJECTION_H
#define AIR_PROJECTION_H

#include "air/excess.h"

/** What all grids of a shape have in common: transforms and factors of the equation. */
typedef struct air_projection air_projection;

/** The caller ends it with air_projection_free(). */
drupelet_status air_projection_create(const air_grid *grid, air_projection **projection);
void air_projection_free(air_projection *projection); /* NULL is allowed */

/** Floats of room that an excess needs for air_project(). */
size_t air_projection_room(const air_projection *projection);
/** Makes the change of least cost to the velocities of a grid that takes out their divergence (projection.c says what a
 *  change costs). Nothing passes the outer faces of the grid. Several threads may use one projection.
 *  @param excess   u, v and w are changed, squares and room are overwritten */
void air_project(const air_projection *projection, air_excess *excess);

#endif
