/* sim/air/block_flow.h - the section of wind that a scenario's block of rows makes: its mesh and its drag. */
#ifndef AIR_BLOCK_FLOW_H
#define AIR_BLOCK_FLOW_H

#include "air/flow.h"
#include "orchard/orchard.h"
#include "scenario/scenario.h"

/** How the section lies in the orchard: x of the section is side times x of the scenario, and the component along the
 *  rows goes likewise. So the wind of the section always comes from its first face. */
typedef struct {
    double side_across, side_along; /* 1 or -1 */
} air_block_sides;
air_block_sides air_block_sides_of(const drupelet_scenario *scenario);

/** Makes the case of a scenario. In neutral air it does not depend on the speed of the wind unless leaves give way to
 *  it. The caller ends it with
 *  air_flow_case_free(), also after a failure.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_block_flow_case(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                    air_flow_case *flow_case);

#endif
