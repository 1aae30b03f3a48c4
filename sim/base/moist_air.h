/* sim/base/moist_air.h - properties of moist air and of water at the pressures of an orchard, in double precision.
 * Sources stand beside each equation in moist_air.c and water.c. */
#ifndef BASE_MOIST_AIR_H
#define BASE_MOIST_AIR_H

#define BASE_GRAVITY_M_S2 9.80665   /* standard gravity, ISO 80000-3 */
#define BASE_ZERO_CELSIUS_K 273.15
#define BASE_GAS_CONSTANT_J_MOL_K 8.314462618 /* CODATA 2018 */
#define BASE_AIR_HEAT_CAPACITY_J_KG_K 1006.0 /* dry air near 20 degC */
#define BASE_MOLAR_MASS_WATER_KG_MOL 0.01801528

/** One state of the air; fill with base_moist_air(). */
typedef struct {
    double temperature_K, pressure_Pa, relative_humidity; /* relative humidity 0 to 1 */
    double vapour_pressure_Pa;
    double density_kg_m3;     /* moist air */
    double viscosity_Pa_s;
    double mean_free_path_m;
    double wet_bulb_K;        /* thermodynamic wet bulb */
} base_air;

/** @param temperature_K 253 to 333  @param relative_humidity 0 to 1  @param pressure_Pa 5e4 to 1.1e5 */
base_air base_moist_air(double temperature_K, double relative_humidity, double pressure_Pa);

double base_saturation_pressure_Pa(double temperature_K);           /* over liquid water */
double base_air_viscosity_Pa_s(double temperature_K);
double base_air_density_kg_m3(double temperature_K, double pressure_Pa, double vapour_pressure_Pa);
double base_air_conductivity_W_m_K(double temperature_K);
double base_vapour_diffusivity_m2_s(double temperature_K, double pressure_Pa);
double base_latent_heat_J_kg(double temperature_K);
double base_wet_bulb_K(double temperature_K, double relative_humidity, double pressure_Pa);

double base_water_density_kg_m3(double temperature_K);
double base_water_surface_tension_N_m(double temperature_K);
double base_water_viscosity_Pa_s(double temperature_K);

#endif
