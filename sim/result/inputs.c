/* sim/result/inputs.c - what was simulated: the scenario as it was read, and the numbers of it that people ask for. */
#include "base/moist_air.h"
#include "base/status.h"
#include "result/quantity.h"
#include "scenario/keys.h"

static const char *wind_name(int computed)
{
    return scenario_word_of("run.wind", computed);
}

static const char *fan_air_name(int resolved)
{
    return scenario_word_of("run.fan_air", resolved);
}

static const result_quantity QUANTITIES[] = {
    {"name", "", RESULT_TEXT, NULL, "name of the scenario", RESULT_AT(name)},
    {"place", "", RESULT_TEXT, NULL, "place of the scenario", RESULT_AT(place)},
    {"scenario", "", RESULT_TEXT, NULL, "scenario as read", RESULT_AT(scenario_text)},
    {"settings", "", RESULT_TEXT, NULL, "what was set beside the file, one key and value a line, in order",
     RESULT_AT(settings), RESULT_MAY_LACK},
    {"resolved", "", RESULT_TEXT, NULL, "every value that was used, one a line, defaults marked", RESULT_AT(resolved),
     RESULT_IN_PAGE},
    {"row_spacing", "", RESULT_DOUBLE, "m", "distance between rows", RESULT_AT(row_spacing_m), RESULT_IN_PAGE,
     .key = "orchard.row_spacing"},
    {"tree_spacing", "", RESULT_DOUBLE, "m", "distance between trees in the row", RESULT_AT(tree_spacing_m),
     RESULT_IN_PAGE, .key = "orchard.tree_spacing"},
    {"grass_height", "", RESULT_DOUBLE, "m", "height of the grass", RESULT_AT(grass_height_m), RESULT_IN_PAGE,
     .key = "orchard.grass_height"},
    {"canopy_height", "", RESULT_DOUBLE, "m", "top of the crown", RESULT_AT(canopy_height_m), RESULT_IN_PAGE,
     .key = "canopy.height"},
    {"canopy_base", "", RESULT_DOUBLE, "m", "lowest leaves", RESULT_AT(canopy_base_m), RESULT_IN_PAGE,
     .key = "canopy.base"},
    {"canopy_width", "", RESULT_DOUBLE, "m", "width of the crown across the row", RESULT_AT(canopy_width_m),
     RESULT_IN_PAGE, .key = "canopy.width"},
    {"leaf_area_index", "", RESULT_DOUBLE, "m2/m2", "one-sided leaf area per orchard area", RESULT_AT(leaf_area_index),
     RESULT_IN_PAGE, .key = "canopy.leaf_area_index"},
    {"travel_speed", "", RESULT_DOUBLE, "km/h", "travel speed", RESULT_AT(travel_speed_km_h), RESULT_IN_PAGE,
     .key = "sprayer.travel_speed"},
    {"temperature", "", RESULT_DOUBLE, "degC", "air temperature", RESULT_AT(temperature_degC), RESULT_IN_PAGE,
     .key = "weather.temperature"},
    {"relative_humidity", "", RESULT_DOUBLE, "percent", "relative humidity", RESULT_AT(relative_humidity_percent),
     RESULT_IN_PAGE, .key = "weather.relative_humidity"},
    {"wind_speed", "", RESULT_DOUBLE, "m/s", "wind speed over the open ground", RESULT_AT(wind_speed_m_s),
     RESULT_IN_PAGE, .key = "weather.wind_speed"},
    {"wind_height", "", RESULT_DOUBLE, "m", "height of the wind speed", RESULT_AT(wind_height_m), RESULT_IN_PAGE,
     .key = "weather.wind_height"},
    {"wind_angle", "", RESULT_DOUBLE, "degree", "direction of the wind: 0 along +x, 90 along +y",
     RESULT_AT(wind_angle_deg), RESULT_IN_PAGE, .key = "weather.wind_angle"},
    {"wind", "", RESULT_INT8, "1", "how the wind over, in and behind the block was found", RESULT_AT(computed_wind),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_IN_SUMMARY, .word = wind_name, .n_words = 2, .summary = {.rank = 11}},
    {"fan_air", "", RESULT_INT8, "1", "how the air of the fan was found", RESULT_AT(resolved_fan_air),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_IN_SUMMARY, .word = fan_air_name, .n_words = 2, .summary = {.rank = 11}},
    {"air_pressure", "", RESULT_DOUBLE, "hPa", "pressure of the air", RESULT_AT(air_pressure_hPa),
     RESULT_IN_PAGE | RESULT_MAY_LACK, .key = "weather.pressure"},
    {"nonvolatile", "", RESULT_DOUBLE, "percent", "share of the liquid's volume that does not evaporate",
     RESULT_AT(nonvolatile_percent), RESULT_IN_PAGE | RESULT_MAY_LACK, .key = "liquid.nonvolatile"},
    {"fan_speed", "", RESULT_DOUBLE, "rpm", "speed of the fan", RESULT_AT(fan_speed_rpm),
     RESULT_IN_PAGE | RESULT_MAY_LACK, .key = "sprayer.fan.speed"},
    {"domain_top", "", RESULT_DOUBLE, "m", "height at which the simulation ends", RESULT_AT(domain_top_m),
     RESULT_IN_PAGE, .key = "run.domain_top"},
    {"time_limit", "", RESULT_DOUBLE, "s", "time that a droplet is followed, at most", RESULT_AT(time_limit_s),
     RESULT_IN_SUMMARY, .summary = {.rank = 10}, .key = "run.time_limit"},
};

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const drupelet_scenario *s = o->scenario;
    r->row_spacing_m = s->orchard.row_spacing_m;
    r->tree_spacing_m = s->orchard.tree_spacing_m;
    r->grass_height_m = s->orchard.grass_height_m;
    r->canopy_height_m = s->canopy.height_m;
    r->canopy_base_m = s->canopy.base_m;
    r->canopy_width_m = s->canopy.width_m;
    r->leaf_area_index = s->canopy.leaf_area_index;
    r->travel_speed_km_h = 3.6 * s->sprayer.travel_speed_m_s;
    r->temperature_degC = s->weather.temperature_K - BASE_ZERO_CELSIUS_K;
    r->relative_humidity_percent = 100.0 * s->weather.relative_humidity;
    r->wind_speed_m_s = s->weather.wind_speed_m_s;
    r->wind_height_m = s->weather.wind_height_m;
    r->wind_angle_deg = BASE_DEGREES_A_RADIAN * s->weather.wind_angle_rad;
    r->air_pressure_hPa = 1e-2 * s->weather.pressure_Pa;
    r->nonvolatile_percent = 100.0 * s->liquid.nonvolatile;
    r->fan_speed_rpm = s->sprayer.fan_rpm;
    r->domain_top_m = s->run.domain_top_m;
    r->time_limit_s = s->run.time_limit_s;
    r->computed_wind = s->run.computed_wind;
    r->resolved_fan_air = s->run.resolved_fan_air;
    r->name = result_copy(s->name);
    r->place = result_copy(s->place);
    r->scenario_text = result_copy(s->text ? s->text : "");
    r->settings = result_copy(s->settings ? s->settings : "");
    r->resolved = result_copy(s->resolved ? s->resolved : "");
    return r->name && r->place && r->scenario_text && r->settings && r->resolved
               ? base_ok()
               : base_error(DRUPELET_MEMORY, "no memory for the result");
}

const result_group result_inputs = {"inputs", "what was simulated", QUANTITIES, RESULT_COUNT(QUANTITIES), NULL, fill,
                                    NULL};
