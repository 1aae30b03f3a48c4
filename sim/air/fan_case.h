/* sim/air/fan_case.h - which flow around the sprayer (fan_flow.h) a scenario asks for, and which passes share one. */
#ifndef AIR_FAN_CASE_H
#define AIR_FAN_CASE_H

#include "air/ambient.h"
#include "air/fan_flow.h"
#include "orchard/orchard.h"
#include "sprayer/sprayer.h"

/** Which flow serves which pass. */
typedef struct {
    int n_flows;
    int flow_of_pass[SCENARIO_ROWS + 1]; /* -1: no air is blown on that pass */
} air_fan_sharing;

/** Passes share a flow where the same outlets blow, the same rows stand within one row spacing, and the wind there
 *  differs by less than AIR_FAN_SHARED_WIND_M_S from its mean over them. The flows are in the order of their first
 *  passes.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_fan_share(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                              const air_ambient *ambient, const sprayer_work *work, air_fan_sharing *sharing);

/** Choice: the air of a fan that a row stops has 3 to 10 m/s there, and bends by an eighth where the wind differs by so
 *  much. Every pass keeps its own wind; what it shares is what the fan adds. */
#define AIR_FAN_SHARED_WIND_M_S 0.75

/** The case of the passes that share flow i_flow: outlets and rows of the middle one of them, wind of all of them on
 *  average. The caller ends it with air_fan_case_free(), also after a failure.
 *  @return DRUPELET_OK, DRUPELET_MEMORY or DRUPELET_SCENARIO (the mesh is too fine) */
drupelet_status air_fan_case_of(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                const air_ambient *ambient, const sprayer_work *work, const air_fan_sharing *sharing,
                                int i_flow, air_fan_case *fan_case);

#endif
