/* sim/sprayer/generic.h - what a generic tip of a kind is assumed to do (generic_tips.csv, embedded at build time). */
#ifndef SPRAYER_GENERIC_H
#define SPRAYER_GENERIC_H

#include "scenario/scenario.h"

typedef struct {
    double dv50_m, flow_m3_s, pressure_Pa;      /* volume median at a rated flow and a pressure */
    double dv50_lowest_m, dv50_highest_m;       /* between which a real tip may well lie there */
    double pressure_exponent, flow_exponent;
    double dv10_over_dv50, dv90_over_dv50;
    double pressure_lowest_Pa, pressure_highest_Pa; /* where such tips are usually run */
    double velocity_coefficient;                /* exit speed over sqrt(2 p / density) */
} sprayer_generic;

sprayer_generic sprayer_generic_tip(scenario_tip_kind kind);
const char *sprayer_kind_name(scenario_tip_kind kind); /* as in a scenario: "hollow_cone" */
/** Volume median of a generic tip, m. @param flow_m3_s at 300 kPa */
double sprayer_generic_dv50_m(const sprayer_generic *tip, double flow_m3_s, double pressure_Pa);
enum { SPRAYER_STANDING = 64 };
/** Where the numbers of a kind stand, such as "Dv50 memory, exponent published". */
void sprayer_generic_standing(scenario_tip_kind kind, char text[SPRAYER_STANDING]);

#endif
