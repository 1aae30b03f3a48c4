/* sim/air/stability.h - stability of the surface layer: Monin-Obukhov functions, and the Obukhov length of a day. */
#ifndef AIR_STABILITY_H
#define AIR_STABILITY_H

#include "scenario/scenario.h"

/** Functions of zeta = z / L, L the Obukhov length: below 0 unstable, 0 neutral, above 0 stable. No units. */
double air_psi_momentum(double zeta); /* U = u* / kappa (ln(z / z0) - psi(z / L) + psi(z0 / L)) */
/** sigma_w / u* = 1.25 (1 - 3 zeta)^(1/3), unstable, 1.25 (1 + 0.2 zeta), stable (J. C. Kaimal, J. J. Finnigan,
 *  Atmospheric Boundary Layer Flows, 1994, chapter 1; memory). Held at zeta -2 and 1. */
double air_sigma_up_over_friction(double zeta);
/** Lagrangian time scale over the neutral one at the same height and sigma: (1 - 6 zeta)^(1/4), unstable,
 *  1 / (1 + 5 zeta), stable (J. D. Wilson, G. W. Thurtell, G. E. Kidd, Boundary-Layer Meteorol. 21 (1981) 423; memory).
 */
double air_time_scale_ratio(double zeta);

/** Sine of the sun's height above the horizon. @param hour local solar time, 12: the sun stands highest */
double air_sine_of_sun(double latitude_rad, int day_of_year, double hour);

/** Stability class of Pasquill as a number: 0 (A, very unstable), 1 (B), 2 (C), 3 (D, neutral), 4 (E), 5 (F, stable);
 *  halves between. @param wind_10_m_s wind at 10 m  @param cloud share of the sky, 0 to 1 */
double air_stability_class(const scenario_weather *weather, double wind_10_m_s);
/** 1 / L of a class over ground of a roughness, 1/m (D. Golder, Boundary-Layer Meteorol. 3 (1972) 47, as fitted by
 *  J. H. Seinfeld, S. N. Pandis, Atmospheric Chemistry and Physics, 1998, table 16.2; memory). */
double air_per_obukhov_of_class_1_m(double stability_class, double roughness_m);

#endif
