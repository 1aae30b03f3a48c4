/* sim/air/stability.c - Monin-Obukhov functions, the sun's height, stability classes.
 *
 * Unstable: phi_m = (1 - 16 zeta)^(-1/4) and its integral (A. J. Dyer, Boundary-Layer Meteorol. 7 (1974) 363; C. A.
 * Paulson, J. Appl. Meteorol. 9 (1970) 857). Stable: A. C. M. Beljaars, A. A. M. Holtslag, J. Appl. Meteorol. 30 (1991)
 * 327, with a = 1, b = 0.667, c = 5, d = 0.35: about -5 zeta near neutral, and no collapse of the wind beyond zeta = 1.
 * Classes: F. Pasquill, Meteorol. Mag. 90 (1961) 33, with the sun's height limits of D. B. Turner, Workbook of
 * Atmospheric Dispersion Estimates, 1970. All from memory, certain but for the fit of Golder's curves. */
#include "air/stability.h"

#include <math.h>

#include "base/elementary.h"

#define DYER 16.0
#define BH_A 1.0
#define BH_B 0.667
#define BH_C 5.0
#define BH_D 0.35
#define MOST_UNSTABLE (-2.0) /* the published range of the turbulence functions */
#define MOST_STABLE 1.0

static double held(double value, double low, double high)
{
    return fmin(fmax(value, low), high);
}

double air_psi_momentum(double zeta)
{
    if (zeta < 0.0) {
        const double x = sqrt(sqrt(1.0 - DYER * zeta)), quarter_turn = 0.5 * BASE_PI;
        return 2.0 * base_log(0.5 * (1.0 + x)) + base_log(0.5 * (1.0 + x * x)) - 2.0 * base_atan(x) + quarter_turn;
    }
    return -(BH_A * zeta + BH_B * (zeta - BH_C / BH_D) * base_exp(-BH_D * zeta) + BH_B * BH_C / BH_D);
}

double air_sigma_up_over_friction(double zeta)
{
    const double z = held(zeta, MOST_UNSTABLE, MOST_STABLE);
    return 1.25 * (z < 0.0 ? base_cbrt(1.0 - 3.0 * z) : 1.0 + 0.2 * z);
}

double air_time_scale_ratio(double zeta)
{
    return zeta < 0.0 ? sqrt(sqrt(1.0 - 6.0 * fmax(zeta, MOST_UNSTABLE))) : 1.0 / (1.0 + 5.0 * zeta);
}

double air_sine_of_sun(double latitude_rad, int day_of_year, double hour)
{
    const double turn = 2.0 * BASE_PI, tilt_rad = 23.45 / 360.0 * turn;
    const double declination_rad = -tilt_rad * base_cos(turn * (day_of_year + 10.0) / 365.0);
    return base_sin(latitude_rad) * base_sin(declination_rad)
           + base_cos(latitude_rad) * base_cos(declination_rad) * base_cos(turn * (hour - 12.0) / 24.0);
}

double air_stability_class(const scenario_weather *w, double wind_10_m_s)
{
    enum { STRONG, MODERATE, SLIGHT, CLOUDY_NIGHT, CLEAR_NIGHT, SKIES };
    static const struct { double below_m_s, of_sky[SKIES]; } table[] = {{2.0, {0.0, 0.5, 1.0, 4.0, 5.0}},
                                                                       {3.0, {0.5, 1.0, 2.0, 4.0, 5.0}},
                                                                       {5.0, {1.0, 1.5, 2.0, 3.0, 4.0}},
                                                                       {6.0, {2.0, 2.5, 3.0, 3.0, 3.0}},
                                                                       {INFINITY, {2.0, 3.0, 3.0, 3.0, 3.0}}};
    const double neutral = 3.0;
    const double now = air_sine_of_sun(w->latitude_rad, w->day_of_year, w->hour);
    const double hour_before = air_sine_of_sun(w->latitude_rad, w->day_of_year, w->hour - 1.0);
    const double hour_after = air_sine_of_sun(w->latitude_rad, w->day_of_year, w->hour + 1.0);
    if (w->cloud >= 0.95) /* overcast, day or night */
        return neutral;
    int sky;
    if (fmin(now, fmin(hour_before, hour_after))
        < 0.0) { /* night lasts from an hour before sunset to one after sunrise */
        sky = w->cloud >= 0.5 ? CLOUDY_NIGHT : CLEAR_NIGHT;
    } else {
        sky = now > base_sin(60.0 * BASE_DEGREE) ? STRONG : now > base_sin(35.0 * BASE_DEGREE) ? MODERATE : SLIGHT;
        sky += w->cloud >= 0.5; /* broken cloud takes one step of the sun's strength */
        if (sky > SLIGHT)
            return neutral;
    }
    int line = 0;
    while (wind_10_m_s >= table[line].below_m_s)
        line++;
    return table[line].of_sky[sky];
}

double air_per_obukhov_of_class_1_m(double stability_class, double roughness_m)
{
    static const double a[] = {-0.096, -0.037, -0.002, 0.0, 0.004, 0.035};
    static const double b[] = {0.029, 0.029, 0.018, 0.0, -0.018, -0.036};
    const double at = held(stability_class, 0.0, 5.0);
    const int low = (int)at, high = low < 5 ? low + 1 : low;
    const double log_roughness = base_log10(held(roughness_m, 0.001, 0.5)), part = at - low;
    return (1.0 - part) * (a[low] + b[low] * log_roughness) + part * (a[high] + b[high] * log_roughness);
}
