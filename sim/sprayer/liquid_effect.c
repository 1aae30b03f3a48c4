/* sim/sprayer/liquid_effect.c - drop size against surface tension and viscosity.
 *
 *   Dv50 / Dv50 of water = (sigma / sigma_w)^0.25 (mu / mu_w)^0.2
 * Pressure-swirl tips: sigma^0.25 mu^0.25 (A. H. Lefebvre 1983), sigma^0.6 nu^0.2 (A. Radcliffe 1960), sigma^0.6
 * nu^0.16 (A. K. Jasuja 1979), sigma^0.25 with mu^0.5 in one of two terms (X. F. Wang, A. H. Lefebvre 1987); fans:
 * sigma^0.25 with mu^0.5 in one of two terms (Snyder, Senser, Lefebvre 1989); all memory. Here the tension's
 * exponent is that of the correlations whose dimensions agree, the viscosity's the middle of the published ones:
 * choices. Solutions are seen to spray slightly finer than water with the tension at about 20 ms (R. Sijs, D. Bonn,
 * 2020). Water of the temperature of the weather is the liquid for which generic spectra hold, so that water never
 * changes them. Left out: the effect of temperature on water (5 % from 10 to 20 degC by the same exponents),
 * air-induction tips drawing more or less air, emulsions and polymers, which change the breakup itself. */
#include "sprayer/liquid_effect.h"

#include "base/elementary.h"
#include "base/moist_air.h"

#define TENSION_EXPONENT 0.25  /* published 0.25 to 0.6 */
#define VISCOSITY_EXPONENT 0.2 /* published 0.16 to 0.25, 0.5 in a part */

double sprayer_liquid_effect(const drupelet_scenario *scenario)
{
    const double temperature_K = scenario->weather.temperature_K;
    const double tension = scenario->liquid.atomization_tension_N_m / base_water_surface_tension_N_m(temperature_K);
    const double viscosity = scenario->liquid.viscosity_Pa_s / base_water_viscosity_Pa_s(temperature_K);
    return base_pow(tension, TENSION_EXPONENT) * base_pow(viscosity, VISCOSITY_EXPONENT);
}
