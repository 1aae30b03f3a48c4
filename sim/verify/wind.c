/* sim/verify/wind.c - wind over open ground and inside the canopy beside its published forms. */
#include "air/wind.h"

#include "base/elementary.h"
#include "base/status.h"
#include "verify/checks.h"

drupelet_status verify_wind(verify_list *list)
{
    const drupelet_scenario scenario = {
        .orchard = {.n_rows = 8, .row_spacing_m = 3.5},
        .canopy = {.height_m = 3.5, .leaf_area_index = 2.0, .drag_coefficient = 0.2},
        .weather = {.wind_speed_m_s = 3.0, .wind_height_m = 2.0, .roughness_m = 0.03}};
    const air_wind wind = air_wind_of(&scenario);
    verify_compare(list, "wind.log_law", 3.0 * base_log(10.0 / 0.03) / base_log(2.0 / 0.03),
                   air_wind_speed_m_s(&wind, 0.0, 10.0), "speed at 10 m where it is 3 m/s at 2 m");
    verify_compare(list, "wind.inside", 0.800738, air_wind_speed_m_s(&wind, 1.0, 0.90 * 3.5) / wind.speed_top_m_s,
                   "U/Uh at 0.9 h");
    verify_compare(list, "wind.inside", 0.329193, air_wind_speed_m_s(&wind, 1.0, 0.50 * 3.5) / wind.speed_top_m_s,
                   "U/Uh at 0.5 h");
    verify_compare_range(list, "wind.displacement", 0.65, 0.80, wind.displacement_m / 3.5, "displacement over height");
    verify_compare_range(list, "wind.roughness", 0.06, 0.12, wind.roughness_block_m / 3.5, "roughness over height");
    verify_compare(list, "wind.canopy_top", 0.30, wind.friction_block_m_s / wind.speed_top_m_s,
                   "u*/Uh, leaf area index 2");
    return base_ok();
}
