/* sim/sprayer/spectrum.h - volume spectrum of a tip: share of the sprayed volume in droplets below a diameter. */
#ifndef SPRAYER_SPECTRUM_H
#define SPRAYER_SPECTRUM_H

#include "drupelet/status.h"
#include "scenario/scenario.h"

/** Parameters of one form, all diameters in metres. */
typedef struct {
    scenario_spectrum_form form;   /* never SCENARIO_SPECTRUM_GENERIC: a generic tip is resolved to a named form */
    double a, b, c;                /* see spectrum.c: median and ln(GSD); scale and exponent; dm, a, delta */
    int n_table;
    double table_diameter_m[SCENARIO_SPECTRUM], table_share_below[SCENARIO_SPECTRUM];
} sprayer_spectrum;

/** From measured quantiles. Two-parameter forms meet Dv10 and Dv90; the upper-limit form meets all three.
 *  @param form one of the three named forms
 *  @return DRUPELET_SCENARIO where the three do not fit the form (not rising; Dv50^2 <= Dv10 Dv90 for the upper
 *  limit) */
drupelet_status sprayer_spectrum_fit(scenario_spectrum_form form, double dv10_m, double dv50_m, double dv90_m,
                                     sprayer_spectrum *spectrum);
/** From a measured volume table; straight lines of share over ln d between its points.
 *  @param n 2 to SCENARIO_SPECTRUM; both columns rising, shares from 0 to 1
 *  @return DRUPELET_SCENARIO where they are not */
drupelet_status sprayer_spectrum_from_table(int n, const double diameter_m[], const double share_below[],
                                            sprayer_spectrum *spectrum);
/** The same shape with every diameter times a factor above 0. */
void sprayer_spectrum_scale(sprayer_spectrum *spectrum, double factor);
double sprayer_spectrum_share_below(const sprayer_spectrum *spectrum, double diameter_m);
/** Diameter below which a share of the volume lies; share strictly between 0 and 1. */
double sprayer_spectrum_quantile_m(const sprayer_spectrum *spectrum, double share);
double sprayer_spectrum_sauter_m(const sprayer_spectrum *spectrum);
const char *sprayer_spectrum_form_name(scenario_spectrum_form form);

#endif
