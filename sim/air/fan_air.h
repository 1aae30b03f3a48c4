/* sim/air/fan_air.h - the solved air of the fan (run.fan_air: resolved) of all passes, laid into their grids. */
#ifndef AIR_FAN_AIR_H
#define AIR_FAN_AIR_H

#include "air/excess.h"
#include "air/fan_case.h"
#include "air/outlets.h"

typedef struct air_fans air_fans;

/** Solves for all flows that the passes of a scenario share, or reads them back. Tells watch the share of all that is
 *  done. The caller ends it with air_fans_free().
 *  @return DRUPELET_OK, DRUPELET_MEMORY, DRUPELET_STOPPED, DRUPELET_SCENARIO (cells too fine) or why there is no
 *          solution */
drupelet_status air_fans_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                const air_ambient *ambient, const sprayer_work *work, const air_flow_store *store,
                                int n_threads, air_watch watch, air_fans **fans);
void air_fans_free(air_fans *fans); /* NULL is allowed */

/** Which of the flows serves which pass. */
const air_fan_sharing *air_fans_sharing(const air_fans *fans);

/** How well the flow is known that wanders most (air_fan_flow.unsure); 0: all have settled. */
double air_fans_unsure(const air_fans *fans);

/** Widens the reach of the passes' grids to where the fan's air is still fast, within bounds. */
void air_fans_widen(const air_fans *fans, double fade_m, air_reach *reach);

/** Puts what the fan adds on a pass into its grid: velocities, variances and dissipation.
 *  @param excess all 0, with its level variance (air_excess_with_level())
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_fans_add(const air_fans *fans, int i_pass, const air_grid *grid, air_excess *excess);

#endif
