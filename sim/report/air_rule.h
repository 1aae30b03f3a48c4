/* sim/report/air_rule.h - the rule of thumb for the air that displaces a row's air, and the fan speed that gives it. */
#ifndef REPORT_AIR_RULE_H
#define REPORT_AIR_RULE_H

#include "scenario/scenario.h"

/** From - to, for the divisors of the canopy. */
typedef struct {
    double divisor[2]; /* R of the rule, lower first */
    double need_m3_h[2], fan_rpm[2];
} report_air_rule;

report_air_rule report_air_rule_of(const drupelet_scenario *scenario);
/** What the rule says of an air flow. */
const char *report_air_verdict(const report_air_rule *rule, double flow_m3_h);

#endif
