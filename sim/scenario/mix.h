/* sim/scenario/mix.h - the liquid: water, with surfactants and solids. */
#ifndef SCENARIO_MIX_H
#define SCENARIO_MIX_H

/** Surface tension between measured ages: straight lines over the logarithm of the age, the end values beyond.
 *  @param n 1 or more  @param age_s rising, above 0 */
double scenario_tension_at(int n, const double age_s[], const double tension_N_m[], double at_age_s);
/** Viscosity of a suspension over that of its liquid. @param solids share of volume, 0 to 0.4 */
double scenario_suspension_factor(double solids);

#endif
