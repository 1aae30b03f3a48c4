/* sim/droplet/splash.c - splashing: borders and sizes of secondary droplets.
 *
 * Borders: C. X. Bai, A. D. Gosman, SAE 950283 (1995) and C. X. Bai, H. Rusche, A. D. Gosman, Atomization Sprays 12
 * (2002) 1, We > A La^-0.183 with A 2630 on a dry and 1320 on a wet wall (as coded in an open library for fluid
 * dynamics), La = rho sigma d / mu^2; R. L. Vander Wal, G. M. Berger, S. D. Mozes, Exp. Fluids 40 (2006) 53,
 * sqrt(Ca) > 0.35, Ca = mu v / sigma, dry and smooth; G. E. Cossali, A. Coghe, M. Marengo, Exp. Fluids 22 (1997) 463,
 * We Oh^-0.4 > 2100 on a thin film (memory). They differ by a factor of 2 in speed for spray droplets.
 * Sizes: N = 5 (We/We_c - 1) droplets, number by size falling as exp(-d/s), s = d_0 (m/(6 N))^(1/3), between 0.09 and
 * 0.9 of m^(1/3) d_0 (Bai et al. 2002; m: share of mass that leaves). That s closes the mass of N droplets; where
 * parcels of equal volume stand for them, their sizes follow the law weighted by volume. */
#include "droplet/droplet.h"

#include <math.h>

#include "base/elementary.h"

#define DRY_WALL 2630.0
#define WET_WALL 1320.0
#define LAPLACE_EXPONENT 0.183
#define SMOOTH_WALL 0.35
#define THIN_FILM 2100.0
#define MOST 0.9   /* of m^(1/3) d */
#define LEAST 0.09

/* We = A La^-0.183 solved for the speed. */
static double wall_m_s(double a, double diameter_m, const droplet_liquid *l)
{
    const double la = l->density_kg_m3 * l->surface_tension_N_m * diameter_m / (l->viscosity_Pa_s * l->viscosity_Pa_s);
    return sqrt(a * base_pow(la, -LAPLACE_EXPONENT) * l->surface_tension_N_m / (l->density_kg_m3 * diameter_m));
}

double droplet_dry_wall_splash_m_s(double diameter_m, const droplet_liquid *liquid)
{
    return wall_m_s(DRY_WALL, diameter_m, liquid);
}

double droplet_wet_wall_splash_m_s(double diameter_m, const droplet_liquid *liquid)
{
    return wall_m_s(WET_WALL, diameter_m, liquid);
}

double droplet_smooth_wall_splash_m_s(const droplet_liquid *liquid)
{
    return SMOOTH_WALL * SMOOTH_WALL * liquid->surface_tension_N_m / liquid->viscosity_Pa_s;
}

/* Oh = La^-1/2 does not depend on the speed. */
double droplet_thin_film_splash_m_s(double diameter_m, const droplet_liquid *l)
{
    const double la = l->density_kg_m3 * l->surface_tension_N_m * diameter_m / (l->viscosity_Pa_s * l->viscosity_Pa_s);
    return sqrt(THIN_FILM * base_pow(la, -0.2) * l->surface_tension_N_m / (l->density_kg_m3 * diameter_m));
}

droplet_splash droplet_splash_of(double diameter_m, double mass_share, double over)
{
    const double wanted = fmax(1.0, 5.0 * (over - 1.0));
    const double secondary_m = diameter_m * fmin(base_cbrt(mass_share / wanted), MOST * base_cbrt(mass_share));
    return (droplet_splash){mass_share, mass_share * base_pow(diameter_m / secondary_m, 3.0), secondary_m};
}

droplet_splash_law droplet_splash_law_of(double diameter_m, const droplet_splash *splash)
{
    const double whole_m = diameter_m * base_cbrt(splash->mass_share);
    return (droplet_splash_law){splash->diameter_m / base_cbrt(6.0), LEAST * whole_m, MOST * whole_m};
}

/* 1 - exp(-x) (1 + x + x^2/2 [+ x^3/6]): the share of the surface, or of the volume, of an exponential law below x. */
static double surface_below(double x)
{
    return 1.0 - base_exp(-x) * (1.0 + x * (1.0 + 0.5 * x));
}

static double volume_below(double x)
{
    return 1.0 - base_exp(-x) * (1.0 + x * (1.0 + x * (0.5 + x / 6.0)));
}

double droplet_splash_quantile_m(const droplet_splash_law *law, double share)
{
    double low = law->least_m / law->scale_m, high = law->most_m / law->scale_m;
    const double from = volume_below(low), wanted = from + share * (volume_below(high) - from);
    for (int i = 0; i < 30; i++) {
        const double middle = 0.5 * (low + high);
        if (volume_below(middle) < wanted)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high) * law->scale_m;
}

double droplet_splash_sauter_m(const droplet_splash_law *law)
{
    const double low = law->least_m / law->scale_m, high = law->most_m / law->scale_m;
    return 3.0 * law->scale_m * (volume_below(high) - volume_below(low)) / (surface_below(high) - surface_below(low));
}
