/* sim/air/yielding.h - leaves that give way to the air: how much of their area still stands across it. */
#ifndef AIR_YIELDING_H
#define AIR_YIELDING_H

#include "scenario/scenario.h"

/** How the leaves of a canopy give way. All 0: they are rigid. */
typedef struct {
    double of_wind, of_jet; /* 1 where they yield to the wind, to the fan's jets; else 0 */
    double per_turning_s_m; /* 1 / the speed around which they begin to */
    double half_exponent;   /* half of Vogel's, 0 or below */
    double response_s;      /* time in which they take up a new shape */
} air_yielding;

air_yielding air_yielding_of(const scenario_canopy *canopy);

/** Share of their area, and of the force on them over what it would be were they rigid, that is left in an even stream:
 *  (1 + (U / turning speed)^2)^(exponent / 2). 1 in still air. */
double air_standing_share(const air_yielding *yielding, double speed_m_s);

#endif
