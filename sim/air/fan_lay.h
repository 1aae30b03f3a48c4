/* sim/air/fan_lay.h - a solved flow of the fan, laid into the grid of a pass. */
#ifndef AIR_FAN_LAY_H
#define AIR_FAN_LAY_H

#include "air/excess.h"
#include "air/fan_flow.h"

/** At a flow's cells, what it adds to the wind's turbulence. level_more: the variance of each level component over the
 *  upward one. */
typedef struct {
    float *variance, *level_more, *dissipation; /* m2/s2, m2/s2, m2/s3 */
} fan_turbulence;

/** Sets a grid's excess to means of the flow around each node.
 *  @param roughness_m of the ground  @param excess with its level variance (air_excess_with_level())
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status fan_lay(const air_fan_flow *flow, const fan_turbulence *turbulence, double roughness_m,
                        const air_grid *grid, air_excess *excess);

#endif
