/* sim/sprayer/flow.c - flow and exit speed of a tip, area of an air outlet.
 * A worn tip gives its percentage more at every pressure; a plugged one gives nothing, and the pressure at the others
 * stays, as a regulator holds it. Left out: what viscosity does to flow, the few hundredths by which a real tip's
 * exponent departs from 0.50. */
#include <math.h>

#include "sprayer/sprayer.h"

#include "base/elementary.h"

double sprayer_flow_m3_s(double rated_flow_m3_s, double rated_pressure_Pa, double pressure_Pa)
{
    return rated_flow_m3_s * sqrt(pressure_Pa / rated_pressure_Pa);
}

double sprayer_nozzle_flow_m3_s(const scenario_tip *tip, const scenario_nozzle *nozzle)
{
    if (nozzle->plugged) return 0.0;
    return (1.0 + nozzle->worn) * sprayer_flow_m3_s(tip->flow_m3_s, tip->flow_pressure_Pa, nozzle->pressure_Pa);
}

double sprayer_exit_speed_m_s(double velocity_coefficient, double pressure_Pa, double density_kg_m3)
{
    return velocity_coefficient * sqrt(2.0 * pressure_Pa / density_kg_m3);
}

double sprayer_outlet_area_m2(const scenario_outlet *outlet)
{
    if (outlet->kind == SCENARIO_SPOUT)
        return 0.25 * BASE_PI * outlet->diameter_m * outlet->diameter_m;
    const double length_m = outlet->kind == SCENARIO_ARC ? outlet->radius_m * (outlet->to_rad - outlet->from_rad)
                                                         : outlet->top_m - outlet->bottom_m;
    return outlet->slot_m * length_m;
}
