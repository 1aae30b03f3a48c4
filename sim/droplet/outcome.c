/* sim/droplet/outcome.c - does a droplet that meets a leaf stay, bounce or shatter?
 *
 * Shatter: K = We^(1/2) Re^(1/4) above a limit of the leaf (C. Mundo, M. Sommerfeld, C. Tropea, Int. J. Multiphase Flow
 * 21 (1995) 151: 57.7 on a rotating disc; easily wetted leaves hold droplets beyond that). Bounce: by the energy left
 * after spreading (T. Mao, D. C. S. Kuhn, H. Tran, AIChE J. 43 (1997) 2169; constants: memory), on leaves with a
 * receding angle above 100 degrees (C. Antonini et al., Langmuir 29 (2013) 16045). We and Re of the normal speed.
 * Splash droplets: splash.c. Air inside droplets: their own density in We and Re; both depend on density times diameter
 * and on speed alone, so that a droplet of a share q of the liquid's density has the borders of one of q times its
 * diameter. Left out: slow droplets that bounce off very water-repellent leaves without much spreading. */
#include <math.h>

#include "base/elementary.h"
#include "droplet/droplet.h"
#include "droplet/splash.h"
#include "droplet/spread.h"

#define BOUNCING_RECEDING_RAD 1.7453292519943295 /* 100 degrees */
#define SLOWEST_M_S 0.01
#define FASTEST_M_S 40.0
#define N_SPEEDS 800 /* 1 % apart */

droplet_leaf_class droplet_leaf_class_of(scenario_wetting wetting)
{
    return scenario_leaf_of_class(wetting);
}

static double weber(double diameter_m, double speed_m_s, const droplet_liquid *liquid)
{
    return liquid->density_kg_m3 * speed_m_s * speed_m_s * diameter_m / liquid->surface_tension_N_m;
}

static double reynolds(double diameter_m, double speed_m_s, const droplet_liquid *liquid)
{
    return liquid->density_kg_m3 * speed_m_s * diameter_m / liquid->viscosity_Pa_s;
}

double droplet_rebound_energy(double diameter_m, double speed_m_s, double contact_angle_rad,
                              const droplet_liquid *liquid)
{
    const double b = droplet_greatest_spread(weber(diameter_m, speed_m_s, liquid),
                                             reynolds(diameter_m, speed_m_s, liquid), contact_angle_rad);
    const double turn = 1.0 - base_cos(contact_angle_rad);
    return 0.25 * b * b * turn - 0.12 * base_pow(b, 2.3) * base_pow(turn, 0.63) + 2.0 / (3.0 * b) - 1.0;
}

static double shatter_number(double diameter_m, double speed_m_s, const droplet_liquid *liquid)
{
    return sqrt(weber(diameter_m, speed_m_s, liquid)) * sqrt(sqrt(reynolds(diameter_m, speed_m_s, liquid)));
}

/* Without regard to shattering. */
static int lets_go(double diameter_m, double speed_m_s, const droplet_leaf_class *leaf, const droplet_liquid *liquid)
{
    return leaf->receding_angle_rad > BOUNCING_RECEDING_RAD
           && droplet_rebound_energy(diameter_m, speed_m_s, leaf->contact_angle_rad, liquid) > 0.0; /* NAN: no */
}

droplet_outcome droplet_leaf_outcome(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                                     const droplet_liquid *liquid)
{
    if (shatter_number(diameter_m, normal_speed_m_s, liquid) > leaf->shatter_limit)
        return DROPLET_SHATTERS;
    return lets_go(diameter_m, normal_speed_m_s, leaf, liquid) ? DROPLET_BOUNCES : DROPLET_ADHERES;
}

/* From the same two energies: what is left over the kinetic energy before. */
double droplet_restitution(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                           const droplet_liquid *liquid)
{
    const double energy = droplet_rebound_energy(diameter_m, normal_speed_m_s, leaf->contact_angle_rad, liquid);
    return energy > 0.0 ? fmin(0.9, sqrt(12.0 * energy / weber(diameter_m, normal_speed_m_s, liquid))) : 0.0;
}

/* K at 1 m/s grows as speed^(5/4). */
double droplet_shatter_speed_m_s(double diameter_m, const droplet_leaf_class *leaf, const droplet_liquid *liquid)
{
    return base_pow(leaf->shatter_limit / shatter_number(diameter_m, 1.0, liquid), 0.8);
}

double droplet_bounce_speed_m_s(double diameter_m, const droplet_leaf_class *leaf, const droplet_liquid *liquid)
{
    const double ratio = base_pow(FASTEST_M_S / SLOWEST_M_S, 1.0 / N_SPEEDS);
    double low = 0.0, high = SLOWEST_M_S;
    while (high <= FASTEST_M_S && !lets_go(diameter_m, high, leaf, liquid)) {
        low = high;
        high *= ratio;
    }
    if (high > FASTEST_M_S)
        return INFINITY;
    for (int i = 0; i < 40; i++) {
        const double middle = 0.5 * (low + high);
        if (lets_go(diameter_m, middle, leaf, liquid))
            high = middle;
        else
            low = middle;
    }
    return high;
}

droplet_splash droplet_shatter(double diameter_m, double normal_speed_m_s, double u, const droplet_leaf_class *leaf,
                               const droplet_liquid *liquid)
{
    const double over = base_pow(shatter_number(diameter_m, normal_speed_m_s, liquid) / leaf->shatter_limit, 1.6);
    return droplet_splash_of(diameter_m, 0.2 + 0.6 * u, over); /* dry wall */
}
