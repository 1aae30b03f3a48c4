/* sim/sprayer/cone.c - directions in which droplets leave a tip: evenly over the solid angle of the outer part of the
 * cone, or, of a flat fan, over the plane across the travel direction. Left out: what a real tip gives to its rim and
 * its middle, of which no table could be read. */
#include <math.h>

#include "base/elementary.h"
#include "sprayer/sprayer.h"

#define HOLLOW_SHARE 0.7       /* inner edge of a hollow cone's spray over its outer half angle; common practice */
#define FAN_THICKNESS_RAD 0.12 /* flat fan, half of its thickness; common practice */

static bool is_fan(scenario_tip_kind kind)
{
    return kind == SCENARIO_FLAT_FAN || kind == SCENARIO_AIR_INDUCTION_FLAT_FAN;
}

/* Angle off the cone's axis inside which a share of the spray beyond the inner edge lies. */
static double cone_angle_rad(double half_angle_rad, double share)
{
    const double inner2 = HOLLOW_SHARE * HOLLOW_SHARE;
    return half_angle_rad * sqrt(inner2 + (1.0 - inner2) * share);
}

void sprayer_spray_direction(const sprayer_nozzle *nozzle, scenario_tip_kind kind, double u1, double u2,
                             double direction[3])
{
    const double axis = nozzle->nozzle->angle_rad;
    if (is_fan(kind)) {
        double sin_y, cos_y, sin_plane, cos_plane;
        base_sincos(FAN_THICKNESS_RAD * (2.0 * u2 - 1.0), &sin_y, &cos_y);
        base_sincos(axis + nozzle->half_angle_rad * (2.0 * u1 - 1.0), &sin_plane, &cos_plane);
        direction[0] = cos_y * cos_plane;
        direction[1] = sin_y;
        direction[2] = cos_y * sin_plane;
        return;
    }
    double forward, outward, sin_turn, cos_turn, sin_axis, cos_axis;
    base_sincos(cone_angle_rad(nozzle->half_angle_rad, u1), &outward, &forward);
    base_sincos(2.0 * BASE_PI * u2, &sin_turn, &cos_turn);
    base_sincos(axis, &sin_axis, &cos_axis);
    const double side = outward * cos_turn;
    direction[0] = forward * cos_axis - side * sin_axis;
    direction[1] = outward * sin_turn;
    direction[2] = forward * sin_axis + side * cos_axis;
}

sprayer_spray_sheet sprayer_sheet_of(const sprayer_nozzle *nozzle, scenario_tip_kind kind)
{
    if (is_fan(kind)) return (sprayer_spray_sheet){true, nozzle->half_angle_rad, FAN_THICKNESS_RAD};
    return (sprayer_spray_sheet){false, cone_angle_rad(nozzle->half_angle_rad, 0.5),
                                 0.5 * (1.0 - HOLLOW_SHARE) * nozzle->half_angle_rad};
}
