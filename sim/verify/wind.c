/* sim/verify/wind.c - wind over open ground and inside the canopy beside its published forms. */
#include "air/wind.h"

#include "base/elementary.h"
#include "base/status.h"
#include "verify/checks.h"

#define SUBJECT "Wind"
#define LOG_LAW "Log law with kappa = 0.40, roughness 0.03 m (e.g. Kaimal and Finnigan 1994); exact"
#define INSIDE                                                                                                         \
    "U/Uh = exp(-n(1 - z/h)), n = Cd LAI/(2 x 0.3^2), LAI 2, Cd 0.2 (Massman 1997; Harman and Finnigan 2007); memory"
#define CANOPY_TOP                                                                                                     \
    "u*/Uh at the top of full canopies: Raupach, Finnigan and Brunet, Boundary-Layer Meteorol. 78 (1996) 351; memory"

static const verify_target log_law = {SUBJECT, LOG_LAW, "m/s", VERIFY_RELATIVE, 0.001, false};
static const verify_target inside = {SUBJECT, INSIDE, "", VERIFY_RELATIVE, 0.001, false};
static const verify_target canopy_top = {SUBJECT,         CANOPY_TOP, "",
                                         VERIFY_RELATIVE, 0.20,       false}; /* spread of canopies */

drupelet_status verify_wind(verify_list *list)
{
    const drupelet_scenario scenario = {
        .orchard = {.n_rows = 8, .row_spacing_m = 3.5},
        .canopy = {.height_m = 3.5, .leaf_area_index = 2.0, .drag_coefficient = 0.2},
        .weather = {.wind_speed_m_s = 3.0, .wind_height_m = 2.0, .roughness_m = 0.03}};
    const air_wind wind = air_wind_of(&scenario);
    verify_compare(list, &log_law, 3.0 * base_log(10.0 / 0.03) / base_log(2.0 / 0.03),
                   air_wind_speed_m_s(&wind, 0.0, 10.0), "speed at 10 m where it is 3 m/s at 2 m");
    verify_compare(list, &inside, 0.800738, air_wind_speed_m_s(&wind, 1.0, 0.90 * 3.5) / wind.speed_top_m_s,
                   "U/Uh at 0.9 h");
    verify_compare(list, &inside, 0.329193, air_wind_speed_m_s(&wind, 1.0, 0.50 * 3.5) / wind.speed_top_m_s,
                   "U/Uh at 0.5 h");
    verify_compare(list, &canopy_top, 0.30, wind.friction_block_m_s / wind.speed_top_m_s, "u*/Uh, leaf area index 2");
    return base_ok();
}
