/* sim/report/us_units.h - customary US units that sheets print beside metric ones. */
#ifndef REPORT_US_UNITS_H
#define REPORT_US_UNITS_H

#include "scenario/units.h"

static inline double report_mph(double speed_m_s)
{
    return scenario_units_from_si(SCENARIO_SPEED, "mph", speed_m_s);
}

static inline double report_ft(double length_m)
{
    return scenario_units_from_si(SCENARIO_LENGTH, "ft", length_m);
}

static inline double report_psi(double pressure_Pa)
{
    return scenario_units_from_si(SCENARIO_PRESSURE, "psi", pressure_Pa);
}

static inline double report_gal_acre(double rate_m)
{
    return scenario_units_from_si(SCENARIO_APPLICATION_RATE, "gal/acre", rate_m);
}

static inline double report_gal_min(double flow_m3_s)
{
    return scenario_units_from_si(SCENARIO_LIQUID_FLOW, "gal/min", flow_m3_s);
}

static inline double report_cfm(double flow_m3_s)
{
    return scenario_units_from_si(SCENARIO_AIR_FLOW, "cfm", flow_m3_s);
}

static inline double report_hp(double power_W)
{
    return scenario_units_from_si(SCENARIO_POWER, "hp", power_W);
}

#endif
