/* sim/scenario/time_limit.h - how long a droplet is followed unless the scenario says so. */
#ifndef SCENARIO_TIME_LIMIT_H
#define SCENARIO_TIME_LIMIT_H

#include "scenario/scenario.h"

/** Below this wind the air counts as still: anemometers of the trade do not turn, and the direction is nobody's to tell
 *  (common practice: starting speeds of cup anemometers are 0.2 to 0.5 m/s; choice: half of the least). */
#define SCENARIO_STILL_M_S 0.1

/** Default of run.time_limit, s; needs orchard, weather and run.open_ground. */
double scenario_usual_time_limit_s(const drupelet_scenario *scenario);

#endif
