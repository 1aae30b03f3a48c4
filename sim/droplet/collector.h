/* sim/droplet/collector.h - what a line catches, and the stain of a droplet on water-sensitive paper. */
#ifndef DROPLET_COLLECTOR_H
#define DROPLET_COLLECTOR_H

#include "base/moist_air.h"

/** What a smooth upright line takes out of the air: droplets caught over those in the air that blows through its
 *  outline; interception included, so it may exceed 1. For droplets that move with the air.
 *  @param air_speed_m_s across the line */
double droplet_line_efficiency(double diameter_m, double density_kg_m3, double line_m, double air_speed_m_s,
                               const base_air *air);
/** Speed with which a line sweeps droplets out of the air: catch per time over concentration and outline, m/s.
 *  @param air_m_s, speed_m_s velocity of air and droplet across the line (two components each) */
double droplet_line_catch_m_s(double diameter_m, double density_kg_m3, double line_m, const double air_m_s[2],
                              const double speed_m_s[2], const base_air *air);
/** Area of the stain on water-sensitive paper, m2. */
double droplet_stain_m2(double diameter_m);

#endif
