/* sim/verify/humid_air.c - moist air and water beside steam tables, psychrometric tables and measured diffusivities. */
#include "base/moist_air.h"
#include "base/status.h"
#include "verify/checks.h"
#include "verify/table.h"

#define SUBJECT "Humid air and water"
#define WAGNER_PRUSS "Wagner and Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783 (IAPWS); computed"
#define ASHRAE "ASHRAE Handbook Fundamentals (2017), chapter 1, equations 6 to 35; computed"
#define LEMMON_JACOBSEN "Lemmon and Jacobsen, Int. J. Thermophys. 25 (2004) 21; computed"
#define FULLER "Fuller, Schettler and Giddings, Ind. Eng. Chem. 58(5) (1966) 18, Table 3; measured"
#define IDEAL_GAS "ideal gas of 28.964 g/mol"
#define LATENT_HEAT "IAPWS-95; computed"
#define WATER "IAPWS-95 (density), R1-76(2014) (surface tension), R12-08 (viscosity); computed"

static const verify_target saturation = {SUBJECT, WAGNER_PRUSS, "Pa", VERIFY_RELATIVE, 0.001, false};
static const verify_target wet_bulb = {SUBJECT, ASHRAE, "degC", VERIFY_ABSOLUTE, 0.05, false};
static const verify_target air_density = {SUBJECT, IDEAL_GAS, "kg/m3", VERIFY_RELATIVE, 0.001, false};
static const verify_target air_viscosity = {SUBJECT, LEMMON_JACOBSEN, "uPa s", VERIFY_RELATIVE, 0.01, false};
static const verify_target latent_heat = {SUBJECT, LATENT_HEAT, "kJ/kg", VERIFY_RELATIVE, 0.001, false};
static const verify_target diffusivity = {SUBJECT, FULLER, "mm2/s", VERIFY_RELATIVE, 0.04, false};
static const verify_target water_density = {SUBJECT, WATER, "kg/m3", VERIFY_RELATIVE, 0.005, false};
static const verify_target water_tension = {SUBJECT, WATER, "mN/m", VERIFY_RELATIVE, 0.005, false};
static const verify_target water_viscosity = {SUBJECT, WATER, "mPa s", VERIFY_RELATIVE, 0.005, false};

static void compare_vapour(verify_list *list, const verify_table *pressure, const verify_table *bulb)
{
    verify_worst worst = {.target = &saturation};
    for (int i = 0; i < verify_table_rows(pressure); i++) {
        const double t_C = verify_table_number(pressure, i, "temperature_C");
        const double published = verify_table_number(pressure, i, "p_sat_wagner_pruss_Pa");
        const double ours = base_saturation_pressure_Pa(t_C + BASE_ZERO_CELSIUS_K);
        verify_worst_case(&worst, published, ours, "%g degC", t_C);
        if (t_C == 20.0)
            verify_compare(list, &saturation, published, ours, "vapour pressure at saturation, 20 degC");
    }
    verify_worst_compare(list, &worst, "vapour pressure at saturation");

    worst = (verify_worst){.target = &wet_bulb};
    for (int i = 0; i < verify_table_rows(bulb); i++) {
        const double t_C = verify_table_number(bulb, i, "dry_bulb_C");
        const double humidity = verify_table_number(bulb, i, "relative_humidity_percent");
        const double published = verify_table_number(bulb, i, "wet_bulb_thermodynamic_C");
        const double ours = base_wet_bulb_K(t_C + BASE_ZERO_CELSIUS_K, 0.01 * humidity, 101325.0) - BASE_ZERO_CELSIUS_K;
        verify_worst_case(&worst, published, ours, "%g degC, %g %% RH", t_C, humidity);
        if (humidity == 50.0 && (t_C == 20.0 || t_C == 30.0))
            verify_compare(list, &wet_bulb, published, ours, "wet bulb, %g degC, %g %% RH", t_C, humidity);
    }
    verify_worst_compare(list, &worst, "wet bulb");
}

static void compare_dry_air(verify_list *list, const verify_table *air, const verify_table *measured)
{
    verify_worst density = {.target = &air_density}, viscosity = {.target = &air_viscosity},
                 heat = {.target = &latent_heat};
    for (int i = 0; i < verify_table_rows(air); i++) {
        const double t_C = verify_table_number(air, i, "temperature_C"), t_K = t_C + BASE_ZERO_CELSIUS_K;
        verify_worst_case(&density, verify_table_number(air, i, "dry_air_density_kg_m3"),
                          base_air_density_kg_m3(t_K, 101325.0, 0.0), "%g degC", t_C);
        verify_worst_case(&viscosity, 1e6 * verify_table_number(air, i, "viscosity_lemmon_jacobsen_2004_Pa_s"),
                          1e6 * base_air_viscosity_Pa_s(t_K), "%g degC", t_C);
        verify_worst_case(&heat, 1e-3 * verify_table_number(air, i, "latent_heat_iapws95_J_kg"),
                          1e-3 * base_latent_heat_J_kg(t_K), "%g degC", t_C);
    }
    verify_worst_compare(list, &density, "density of dry air");
    verify_worst_compare(list, &viscosity, "viscosity of air");
    verify_worst_compare(list, &heat, "latent heat");

    verify_worst vapour = {.target = &diffusivity};
    for (int i = 0; i < verify_table_rows(measured); i++) {
        const double t_K = verify_table_number(measured, i, "temperature_K");
        verify_worst_case(&vapour, 100.0 * verify_table_number(measured, i, "diffusivity_cm2_s_at_1_atm"),
                          1e6 * base_vapour_diffusivity_m2_s(t_K, 101325.0), "%.1f degC", t_K - BASE_ZERO_CELSIUS_K);
    }
    verify_worst_compare(list, &vapour, "vapour diffusivity");
}

static void compare_water(verify_list *list, const verify_table *water)
{
    verify_worst density = {.target = &water_density}, tension = {.target = &water_tension};
    verify_worst viscosity = {.target = &water_viscosity};
    for (int i = 0; i < verify_table_rows(water); i++) {
        const double t_C = verify_table_number(water, i, "temperature_C"), t_K = t_C + BASE_ZERO_CELSIUS_K;
        verify_worst_case(&density, verify_table_number(water, i, "density_iapws95_kg_m3"),
                          base_water_density_kg_m3(t_K), "%g degC", t_C);
        verify_worst_case(&tension, verify_table_number(water, i, "surface_tension_mN_m"),
                          1e3 * base_water_surface_tension_N_m(t_K), "%g degC", t_C);
        verify_worst_case(&viscosity, verify_table_number(water, i, "viscosity_mPa_s"),
                          1e3 * base_water_viscosity_Pa_s(t_K), "%g degC", t_C);
    }
    verify_worst_compare(list, &density, "density of water");
    verify_worst_compare(list, &tension, "surface tension of water");
    verify_worst_compare(list, &viscosity, "viscosity of water");
}

drupelet_status verify_humid_air(verify_list *list)
{
    verify_table *pressure = NULL, *bulb = NULL, *air = NULL, *measured = NULL, *water = NULL;
    drupelet_status status = verify_table_open("saturation_pressure", &pressure);
    if (status.code == DRUPELET_OK) status = verify_table_open("wet_bulb", &bulb);
    if (status.code == DRUPELET_OK) status = verify_table_open("air_properties", &air);
    if (status.code == DRUPELET_OK) status = verify_table_open("vapour_diffusivity", &measured);
    if (status.code == DRUPELET_OK) status = verify_table_open("water_properties", &water);
    if (status.code == DRUPELET_OK) {
        compare_vapour(list, pressure, bulb);
        compare_dry_air(list, air, measured);
        compare_water(list, water);
    }
    verify_table_free(water);
    verify_table_free(measured);
    verify_table_free(air);
    verify_table_free(bulb);
    verify_table_free(pressure);
    return status;
}
