/* sim/sprayer/spray.h - the spectrum that one tip, new or worn, gives at one pressure. */
#ifndef SPRAYER_SPRAY_H
#define SPRAYER_SPRAY_H

#include "sprayer/sprayer.h"

/** @return DRUPELET_OK or DRUPELET_SCENARIO (diameters that do not fit the form; the message starts with the key
 *  path) */
drupelet_status sprayer_spray_of(const drupelet_scenario *scenario, int i_tip, double pressure_Pa, double worn,
                                 sprayer_spray *spray);

#endif
