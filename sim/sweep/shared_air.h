/* sim/sweep/shared_air.h - the air that cases with the same key (air/air_key.h) share. */
#ifndef SWEEP_SHARED_AIR_H
#define SWEEP_SHARED_AIR_H

#include "air/air.h"
#include "scenario/scenario.h"

/** Makes the air of a scenario. */
drupelet_status sweep_air_make(const drupelet_scenario *scenario, int n_threads, air_field **field);

#endif
