/* sim/sprayer/liquid_effect.h - how a liquid that is not water changes the drop size of a generic tip. */
#ifndef SPRAYER_LIQUID_EFFECT_H
#define SPRAYER_LIQUID_EFFECT_H

#include "scenario/scenario.h"

/** Volume median with the scenario's liquid over that with water of the same temperature; 1 for water. */
double sprayer_liquid_effect(const drupelet_scenario *scenario);

#endif
