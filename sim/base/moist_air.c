/* sim/base/moist_air.c - moist air at the pressures of an orchard: density, viscosity, conductivity, vapour, wet bulb.
 * An ideal gas of dry air and vapour. Left out: the pressure's effect on saturation (0.4 %), the vapour's on viscosity
 * and conductivity (below 1 % at 40 degC). */
#include "base/moist_air.h"

#include <math.h>

#include "base/elementary.h"

#define MOLAR_MASS_DRY_AIR_KG_MOL 0.0289644 /* U.S. Standard Atmosphere, 1976 */
#define STANDARD_PRESSURE_PA 101325.0

/* Saturation over liquid water, below 0 degC supercooled. R. W. Hyland, A. Wexler, ASHRAE Trans. 89 (1983) 500;
 * constants as in ASHRAE Handbook Fundamentals (2017), chapter 1, equation 6. */
double base_saturation_pressure_Pa(double temperature_K)
{
    const double t = temperature_K;
    return base_exp(-5800.2206 / t + 1.3914993 + t * (-0.048640239 + t * (4.1764768e-5 - t * 1.4452093e-8))
                    + 6.5459673 * base_log(t));
}

/* Saturation over ice; same source, equation 5 (memory). */
static double ice_saturation_Pa(double temperature_K)
{
    const double t = temperature_K;
    return base_exp(-5674.5359 / t + 6.3925247
                    + t * (-9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - t * 9.484024e-13)))
                    + 4.1635019 * base_log(t));
}

/* W. Sutherland's form with the constants of the U.S. Standard Atmosphere, 1976. */
double base_air_viscosity_Pa_s(double temperature_K)
{
    return 1.458e-6 * temperature_K * sqrt(temperature_K) / (temperature_K + 110.4);
}

double base_air_density_kg_m3(double temperature_K, double pressure_Pa, double vapour_pressure_Pa)
{
    return ((pressure_Pa - vapour_pressure_Pa) * MOLAR_MASS_DRY_AIR_KG_MOL
            + vapour_pressure_Pa * BASE_MOLAR_MASS_WATER_KG_MOL)
           / (BASE_GAS_CONSTANT_J_MOL_K * temperature_K);
}

/* K. V. Beard, H. R. Pruppacher, J. Atmos. Sci. 28 (1971) 1455: 5.69 + 0.0168 t in units of 1e-5 cal/(cm s K). */
double base_air_conductivity_W_m_K(double temperature_K)
{
    return 4.1868e-3 * (5.69 + 0.0168 * (temperature_K - BASE_ZERO_CELSIUS_K));
}

/* W. D. Hall, H. R. Pruppacher, J. Atmos. Sci. 33 (1976) 1995. */
double base_vapour_diffusivity_m2_s(double temperature_K, double pressure_Pa)
{
    return 0.211e-4 * base_pow(temperature_K / BASE_ZERO_CELSIUS_K, 1.94) * (STANDARD_PRESSURE_PA / pressure_Pa);
}

/* Straight line through IAPWS-95 from 0 to 40 degC, within 0.02 %. */
double base_latent_heat_J_kg(double temperature_K)
{
    return 2.5009e6 - 2364.9 * (temperature_K - BASE_ZERO_CELSIUS_K);
}

/* Humidity ratio of air that has this wet bulb, less the given one: 0 at the root.
 * ASHRAE Handbook Fundamentals (2017), chapter 1, equations 20, 33 (water) and 35 (ice). */
static double wet_bulb_excess(double wet_C, int ice, double temperature_C, double humidity_ratio, double pressure_Pa)
{
    const double wet_K = wet_C + BASE_ZERO_CELSIUS_K;
    const double e = ice ? ice_saturation_Pa(wet_K) : base_saturation_pressure_Pa(wet_K);
    const double saturated = 0.621945 * e / (pressure_Pa - e), heat = 1.006 * (temperature_C - wet_C);
    const double ratio =
        ice ? ((2830.0 - 0.24 * wet_C) * saturated - heat) / (2830.0 + 1.86 * temperature_C - 2.1 * wet_C)
            : ((2501.0 - 2.326 * wet_C) * saturated - heat) / (2501.0 + 1.86 * temperature_C - 4.186 * wet_C);
    return ratio - humidity_ratio;
}

static double wet_bulb_C(int ice, double low_C, double high_C, double temperature_C, double humidity_ratio,
                         double pressure_Pa)
{
    for (int i = 0; i < 60; i++) { /* the excess rises with the wet bulb */
        const double middle = 0.5 * (low_C + high_C);
        if (wet_bulb_excess(middle, ice, temperature_C, humidity_ratio, pressure_Pa) > 0.0)
            high_C = middle;
        else
            low_C = middle;
    }
    return 0.5 * (low_C + high_C);
}

double base_wet_bulb_K(double temperature_K, double relative_humidity, double pressure_Pa)
{
    const double t_C = temperature_K - BASE_ZERO_CELSIUS_K;
    const double e = relative_humidity * base_saturation_pressure_Pa(temperature_K);
    const double ratio = 0.621945 * e / (pressure_Pa - e);
    /* A wick freezes below 0 degC. Where both a wet and an icy wick have a root, the wet one counts. */
    const int wet = t_C >= 0.0 && wet_bulb_excess(0.0, 0, t_C, ratio, pressure_Pa) <= 0.0;
    const double wet_C = wet ? wet_bulb_C(0, 0.0, t_C, t_C, ratio, pressure_Pa)
                             : wet_bulb_C(1, -60.0, fmin(t_C, 0.0), t_C, ratio, pressure_Pa);
    return wet_C + BASE_ZERO_CELSIUS_K;
}

/* Mean free path: K. V. Beard, J. Atmos. Sci. 33 (1976) 851: 66.2 nm at 20 degC and 1013.25 hPa. */
base_air base_moist_air(double temperature_K, double relative_humidity, double pressure_Pa)
{
    const double vapour_Pa = relative_humidity * base_saturation_pressure_Pa(temperature_K);
    const double viscosity_Pa_s = base_air_viscosity_Pa_s(temperature_K);
    return (base_air){
        .temperature_K = temperature_K,
        .pressure_Pa = pressure_Pa,
        .relative_humidity = relative_humidity,
        .vapour_pressure_Pa = vapour_Pa,
        .density_kg_m3 = base_air_density_kg_m3(temperature_K, pressure_Pa, vapour_Pa),
        .viscosity_Pa_s = viscosity_Pa_s,
        .mean_free_path_m = 6.62e-8 * (viscosity_Pa_s / 1.818e-5) * (STANDARD_PRESSURE_PA / pressure_Pa)
                            * sqrt(temperature_K / 293.15),
        .wet_bulb_K = base_wet_bulb_K(temperature_K, relative_humidity, pressure_Pa)};
}
