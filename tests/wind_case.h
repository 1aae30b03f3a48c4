/* tests/wind_case.h - a scenario with no more in it than the wind needs. */
#ifndef WIND_CASE_H
#define WIND_CASE_H

#include <string.h>

#include "scenario/scenario.h"

/** Eight rows of a leafy wall, 3.5 m high, in a wind of so much at 2 m. */
static inline drupelet_scenario wind_case(double wind_speed_m_s, double per_obukhov_1_m)
{
    drupelet_scenario s;
    memset(&s, 0, sizeof s);
    s.orchard.n_rows = 8;
    s.orchard.row_spacing_m = 3.5;
    s.canopy.height_m = 3.5;
    s.canopy.leaf_area_index = 2.0;
    s.canopy.wood_area_index = 0.15;
    s.canopy.drag_coefficient = 0.2;
    s.weather.wind_speed_m_s = wind_speed_m_s;
    s.weather.wind_height_m = 2.0;
    s.weather.roughness_m = 0.03;
    s.weather.per_obukhov_1_m = per_obukhov_1_m;
    return s;
}

#endif
