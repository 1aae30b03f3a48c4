/* sim/air/fan_machine.h - what the sprayer is in the mesh of the fan's air: outlets, intake and body. */
#ifndef AIR_FAN_MACHINE_H
#define AIR_FAN_MACHINE_H

#include "air/fan_flow.h"
#include "sprayer/sprayer.h"

/** Sets body and sources of a case whose mesh and travel speed are set: those of a pass.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_fan_set_machine(const drupelet_scenario *scenario, const sprayer_work *work,
                                    const sprayer_pass *pass, air_fan_case *fan_case);

#endif
