/* sim/verify/data.c - names of the reference data that the build embeds from tests/data (scripts/embed.cmake). */
#include <stddef.h>
#include <string.h>

#include "verify/table.h"

extern const char tests_data_air_properties_csv[];
extern const char tests_data_basic_drift_values_csv[];
extern const char tests_data_beard_1976_csv[];
extern const char tests_data_critical_speeds_csv[];
extern const char tests_data_falling_drop_csv[];
extern const char tests_data_flow_pressure_csv[];
extern const char tests_data_gunn_kinzer_1949_csv[];
extern const char tests_data_handbook_life_csv[];
extern const char tests_data_langmuir_blodgett_1946_csv[];
extern const char tests_data_leaf_deposit_units_csv[];
extern const char tests_data_leaf_impaction_csv[];
extern const char tests_data_leaf_outcome_csv[];
extern const char tests_data_leaf_projection_csv[];
extern const char tests_data_leaf_retention_csv[];
extern const char tests_data_line_catch_csv[];
extern const char tests_data_nozzle_sizes_csv[];
extern const char tests_data_nozzle_sizes_more_csv[];
extern const char tests_data_paper_stains_csv[];
extern const char tests_data_prairie_grass_csv[];
extern const char tests_data_pressure_exponents_csv[];
extern const char tests_data_radial_sheet_decay_csv[];
extern const char tests_data_random_cover_csv[];
extern const char tests_data_ranz_marshall_1952_csv[];
extern const char tests_data_rate_worked_csv[];
extern const char tests_data_reference_nozzles_csv[];
extern const char tests_data_residue_life_csv[];
extern const char tests_data_saturation_pressure_csv[];
extern const char tests_data_sessile_spread_csv[];
extern const char tests_data_settling_plume_csv[];
extern const char tests_data_size_distribution_csv[];
extern const char tests_data_sphere_drag_csv[];
extern const char tests_data_splash_csv[];
extern const char tests_data_splash_borders_csv[];
extern const char tests_data_stability_csv[];
extern const char tests_data_stokes_slip_csv[];
extern const char tests_data_vapour_diffusivity_csv[];
extern const char tests_data_thermal_time_csv[];
extern const char tests_data_ventilation_csv[];
extern const char tests_data_wang_pruppacher_1977_csv[];
extern const char tests_data_water_properties_csv[];
extern const char tests_data_wet_bulb_csv[];

const char *verify_data(const char *name)
{
    static const struct { const char *name, *text; } files[] = {
        {"air_properties", tests_data_air_properties_csv},
        {"basic_drift_values", tests_data_basic_drift_values_csv},
        {"beard_1976", tests_data_beard_1976_csv},
        {"critical_speeds", tests_data_critical_speeds_csv},
        {"falling_drop", tests_data_falling_drop_csv},
        {"flow_pressure", tests_data_flow_pressure_csv},
        {"gunn_kinzer_1949", tests_data_gunn_kinzer_1949_csv},
        {"handbook_life", tests_data_handbook_life_csv},
        {"langmuir_blodgett_1946", tests_data_langmuir_blodgett_1946_csv},
        {"leaf_deposit_units", tests_data_leaf_deposit_units_csv},
        {"leaf_impaction", tests_data_leaf_impaction_csv},
        {"leaf_outcome", tests_data_leaf_outcome_csv},
        {"leaf_projection", tests_data_leaf_projection_csv},
        {"leaf_retention", tests_data_leaf_retention_csv},
        {"line_catch", tests_data_line_catch_csv},
        {"nozzle_sizes", tests_data_nozzle_sizes_csv},
        {"nozzle_sizes_more", tests_data_nozzle_sizes_more_csv},
        {"paper_stains", tests_data_paper_stains_csv},
        {"prairie_grass", tests_data_prairie_grass_csv},
        {"pressure_exponents", tests_data_pressure_exponents_csv},
        {"radial_sheet_decay", tests_data_radial_sheet_decay_csv},
        {"random_cover", tests_data_random_cover_csv},
        {"ranz_marshall_1952", tests_data_ranz_marshall_1952_csv},
        {"rate_worked", tests_data_rate_worked_csv},
        {"reference_nozzles", tests_data_reference_nozzles_csv},
        {"residue_life", tests_data_residue_life_csv},
        {"saturation_pressure", tests_data_saturation_pressure_csv},
        {"sessile_spread", tests_data_sessile_spread_csv},
        {"settling_plume", tests_data_settling_plume_csv},
        {"size_distribution", tests_data_size_distribution_csv},
        {"sphere_drag", tests_data_sphere_drag_csv},
        {"splash", tests_data_splash_csv},
        {"splash_borders", tests_data_splash_borders_csv},
        {"stability", tests_data_stability_csv},
        {"stokes_slip", tests_data_stokes_slip_csv},
        {"vapour_diffusivity", tests_data_vapour_diffusivity_csv},
        {"thermal_time", tests_data_thermal_time_csv},
        {"ventilation", tests_data_ventilation_csv},
        {"wang_pruppacher_1977", tests_data_wang_pruppacher_1977_csv},
        {"water_properties", tests_data_water_properties_csv},
        {"wet_bulb", tests_data_wet_bulb_csv}};
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++)
        if (strcmp(files[i].name, name) == 0)
            return files[i].text;
    return NULL;
}
