/* sim/scenario/mix.h - surfactants and solids of the liquid. */
#ifndef SCENARIO_MIX_H
#define SCENARIO_MIX_H

#include "scenario/reader.h"
#include "scenario/scenario.h"

/** Surface tension between measured ages: straight lines over the logarithm of the age, the end values beyond.
 *  @param n 1 or more  @param age_s rising, above 0 */
double scenario_tension_at(int n, const double age_s[], const double tension_N_m[], double at_age_s);
/** Viscosity of a suspension over that of its liquid. @param solids share of volume, 0 to 0.4 */
double scenario_suspension_factor(double solids);

/** Reads surfactant, dynamic_surface_tension and surface_tension. */
void scenario_read_tension(scenario_reader *r, const scenario_node *group, double water_N_m, scenario_liquid *liquid);
/** Reads solids and nonvolatile, which is never less. */
void scenario_read_solids(scenario_reader *r, const scenario_node *group, scenario_liquid *liquid);

#endif
