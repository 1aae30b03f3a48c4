/* sim/report/air_rule.c - the air that displaces a row's air.
 *
 * Q = 1000 v S H / R with Q in m3/h, travel speed v in km/h, row spacing S and canopy height H in m; R is 2 to 2.5 in
 * dense canopies, 2.5 to 3 in usual ones, 3 to 3.5 in open or dormant ones (a rule of thumb in extension texts;
 * memory). Fan speed by the fan law, flow ~ speed. */
#include "report/air_rule.h"

#define DENSE_LEAF_AREA 3.0 /* leaf area index from which a canopy counts as dense, and below which as open; choice */
#define OPEN_LEAF_AREA 1.0

report_air_rule report_air_rule_of(const drupelet_scenario *scenario)
{
    const scenario_sprayer *sprayer = &scenario->sprayer;
    const double leaves = scenario->canopy.leaf_area_index;
    report_air_rule rule;
    rule.divisor[0] = leaves >= DENSE_LEAF_AREA ? 2.0 : leaves >= OPEN_LEAF_AREA ? 2.5 : 3.0;
    rule.divisor[1] = rule.divisor[0] + 0.5;
    for (int i = 0; i < 2; i++) {
        rule.need_m3_h[i] = 1000.0 * 3.6 * sprayer->travel_speed_m_s * scenario->orchard.row_spacing_m
                            * scenario->canopy.height_m / rule.divisor[1 - i];
        rule.fan_rpm[i] =
            sprayer->fan_reference_rpm * rule.need_m3_h[i] / (3600.0 * sprayer->fan_reference_flow_m3_s);
    }
    return rule;
}

const char *report_air_verdict(const report_air_rule *rule, double flow_m3_h)
{
    return flow_m3_h < rule->need_m3_h[0]   ? "less than the rule asks for: may not reach through the row"
           : flow_m3_h > rule->need_m3_h[1] ? "more than the rule asks for: may blow through the row"
                                            : "within the rule";
}
