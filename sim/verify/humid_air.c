/* sim/verify/humid_air.c - moist air and water beside steam tables, psychrometric tables and measured diffusivities. */
#include "base/moist_air.h"
#include "verify/checks.h"

#define ASHRAE "ASHRAE Handbook Fundamentals (2017), chapter 1, equations 6 to 35; computed"
#define IAPWS "IAPWS-95; computed"

static double kelvin(const verify_table *t, int row)
{
    return verify_table_number(t, row, "temperature_C") + BASE_ZERO_CELSIUS_K;
}

static double saturation_Pa(const verify_table *t, int row)
{
    return base_saturation_pressure_Pa(kelvin(t, row));
}

static double wet_bulb_C(const verify_table *t, int row)
{
    return base_wet_bulb_K(verify_table_number(t, row, "dry_bulb_C") + BASE_ZERO_CELSIUS_K,
                           0.01 * verify_table_number(t, row, "relative_humidity_percent"), 101325.0)
           - BASE_ZERO_CELSIUS_K;
}

static double dry_air_kg_m3(const verify_table *t, int row)
{
    return base_air_density_kg_m3(kelvin(t, row), 101325.0, 0.0);
}

static double viscosity_uPa_s(const verify_table *t, int row)
{
    return 1e6 * base_air_viscosity_Pa_s(kelvin(t, row));
}

static double conductivity_mW_m_K(const verify_table *t, int row)
{
    return 1e3 * base_air_conductivity_W_m_K(kelvin(t, row));
}

static double latent_heat_kJ_kg(const verify_table *t, int row)
{
    return 1e-3 * base_latent_heat_J_kg(kelvin(t, row));
}

static double diffusivity_mm2_s(const verify_table *t, int row)
{
    return 1e6 * base_vapour_diffusivity_m2_s(kelvin(t, row), 101325.0);
}

static double measured_diffusivity_mm2_s(const verify_table *t, int row)
{
    return 1e6 * base_vapour_diffusivity_m2_s(verify_table_number(t, row, "temperature_K"), 101325.0);
}

static double water_kg_m3(const verify_table *t, int row)
{
    return base_water_density_kg_m3(kelvin(t, row));
}

static double tension_mN_m(const verify_table *t, int row)
{
    return 1e3 * base_water_surface_tension_N_m(kelvin(t, row));
}

static double water_viscosity_mPa_s(const verify_table *t, int row)
{
    return 1e3 * base_water_viscosity_Pa_s(kelvin(t, row));
}

static const verify_model models[] = {
    {"saturation_Pa", saturation_Pa},
    {"wet_bulb_C", wet_bulb_C},
    {"dry_air_kg_m3", dry_air_kg_m3},
    {"viscosity_uPa_s", viscosity_uPa_s},
    {"conductivity_mW_m_K", conductivity_mW_m_K},
    {"measured_diffusivity_mm2_s", measured_diffusivity_mm2_s},
    {"latent_heat_kJ_kg", latent_heat_kJ_kg},
    {"diffusivity_mm2_s", diffusivity_mm2_s},
    {"water_kg_m3", water_kg_m3},
    {"tension_mN_m", tension_mN_m},
    {"water_viscosity_mPa_s", water_viscosity_mPa_s},
};

drupelet_status verify_humid_air(verify_list *list)
{
    return verify_columns(list, "humid_air", models, sizeof models / sizeof models[0]);
}
