/* sim/sweep/shared_air.h - which cases have the same air, and the airs in use. */
#ifndef SWEEP_SHARED_AIR_H
#define SWEEP_SHARED_AIR_H

#include "air/air.h"
#include "scenario/scenario.h"
#include "sweep/record.h"

/** Hash of all that makes the air of a scenario: two scenarios with one key have the same air, bit by bit. What does
 *  not touch the air (tips, pressure, liquid, temperature, humidity, leaf surfaces, droplets and so on) is left out;
 *  whatever is not known to be without effect counts. */
sweep_identity sweep_air_key(const drupelet_scenario *scenario);

/** The scenario less what does not touch its air, as the key sees it; text and canopy file are NULL. */
void sweep_air_only(const drupelet_scenario *scenario, drupelet_scenario *rest);

/** Makes the air of a scenario. */
drupelet_status sweep_air_make(const drupelet_scenario *scenario, int n_threads, air_field **field);

#endif
