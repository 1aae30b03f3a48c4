/* sim/base/water.c - density, surface tension and viscosity of pure liquid water at atmospheric pressure, 0 to 60 degC
 * (smooth a little below). Left out: what tank mixes do; a scenario gives their values. */

#include "base/moist_air.h"

#include "base/elementary.h"

/* G. S. Kell, J. Chem. Eng. Data 20 (1975) 97. */
double base_water_density_kg_m3(double temperature_K)
{
    const double t = temperature_K - BASE_ZERO_CELSIUS_K;
    return (999.83952
            + t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12)))))
           / (1.0 + 16.87985e-3 * t);
}

/* IAPWS R1-76(2014), surface tension of ordinary water substance. */
double base_water_surface_tension_N_m(double temperature_K)
{
    const double tau = 1.0 - temperature_K / 647.096;
    return 0.2358 * base_pow(tau, 1.256) * (1.0 - 0.625 * tau);
}

/* J. Patek, J. Hruby, J. Klomfar, M. Souckova, A. H. Harvey, J. Phys. Chem. Ref. Data 38 (2009) 21, viscosity at 0.1
 * MPa (memory; the test compares it with IAPWS R12-08). */
double base_water_viscosity_Pa_s(double temperature_K)
{
    const double t = temperature_K / 300.0;
    return 1e-6
           * (280.68 * base_pow(t, -1.9) + 511.45 * base_pow(t, -7.7) + 61.131 * base_pow(t, -19.6)
              + 0.45903 * base_pow(t, -40.0));
}
