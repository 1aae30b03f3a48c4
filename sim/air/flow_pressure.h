/* sim/air/flow_pressure.h - the pressure that makes a section of wind free of divergence. */
#ifndef AIR_FLOW_PRESSURE_H
#define AIR_FLOW_PRESSURE_H

#include "air/flow_mesh.h"

typedef struct air_flow_pressure air_flow_pressure;

/** The caller ends it with air_flow_pressure_free(). */
drupelet_status air_flow_pressure_create(const air_flow_mesh *mesh, air_flow_pressure **pressure);
void air_flow_pressure_free(air_flow_pressure *pressure); /* NULL is allowed */

/** Solves for phi: the sum over a cell's faces of area * slope of phi is source. No slope at the inflow, the
 *  ground and the top; phi is 0 where the air leaves.
 *  @param source [nx][nz], used up  @param phi [nx][nz] */
void air_flow_pressure_solve(const air_flow_pressure *pressure, double *source, double *phi);

#endif
