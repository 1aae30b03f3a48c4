/* sim/droplet/drag.c - drag of a droplet and its terminal speed of fall.
 *
 * Stokes drag with slip, times a factor for inertia (base/sphere.c: rigid sphere, since circulation inside a water
 * droplet changes drag by less than 2 %), times one for large drops that flatten as they fall. The last one holds at
 * terminal speed; it is used at any speed, so a large drop that is slower than that (and rounder) gets too much of it.
 * Left out: evaporation's effect on drag, oscillation, break-up in flight. */
#include <math.h>

#include "droplet/droplet.h"

#include "base/elementary.h"

enum { MOST_STEPS = 60 };

/* d(Re factor) / d Re. */
static double drag_rise(double re)
{
    const double late = 42500.0 * base_pow(re, -1.16), one = 1.0 + late;
    return 1.0 + 0.15 * 1.687 * base_pow(re, 0.687) + 0.0175 * re * (2.0 + 3.16 * late) / (one * one);
}

/* K. V. Beard, J. Atmos. Sci. 33 (1976) 851. */
double droplet_slip_correction(double diameter_m, double mean_free_path_m)
{
    return 1.0 + DROPLET_SLIP_LENGTHS * mean_free_path_m / diameter_m;
}

double droplet_stokes_time_s(double diameter_m, double density_kg_m3, const base_air *air)
{
    return density_kg_m3 * diameter_m * diameter_m * droplet_slip_correction(diameter_m, air->mean_free_path_m)
           / (18.0 * air->viscosity_Pa_s);
}

/* Speed of fall in Stokes flow. */
static double stokes_speed_m_s(double diameter_m, double density_kg_m3, const base_air *air)
{
    return droplet_stokes_time_s(diameter_m, density_kg_m3, air) * BASE_GRAVITY_M_S2
           * (1.0 - air->density_kg_m3 / density_kg_m3);
}

/* Beard's third regime, water drops of 1.07 to 7 mm: Re = Np^(1/6) exp(sum b_i X^i), X = ln(Bo Np^(1/6)). The factor is
 * what brings the sphere's terminal speed to that. Outside, it is held: at 1 for smaller drops, at its last value for
 * larger ones. Near 1 mm the sphere law has 7 % more drag than Beard's drops; it is left as it is there, so that the
 * factor is 1 or more and joins on without a jump (for surface tensions of 0.02 N/m and more). */
double droplet_deformation_factor(double diameter_m, double density_kg_m3, double surface_tension_N_m,
                                  const base_air *air)
{
    static const double b[] = {-5.00015, 5.23778, -2.04914, 0.475294, -0.0542819, 0.00238449};
    const double x_first = 2.91, x_last = 6.67; /* X of water drops of 1.07 and 7 mm at 20 degC */
    const double weight = (density_kg_m3 - air->density_kg_m3) * BASE_GRAVITY_M_S2;
    const double mu = air->viscosity_Pa_s, rho = air->density_kg_m3;
    const double np6 =
        base_pow(base_pow(surface_tension_N_m, 3.0) * rho * rho / (base_pow(mu, 4.0) * weight), 1.0 / 6.0);
    const double per_d2 = 4.0 * weight / (3.0 * surface_tension_N_m); /* Bond number over diameter squared */
    const double x_of_drop = base_log(per_d2 * diameter_m * diameter_m * np6);
    if (!(x_of_drop > x_first))
        return 1.0;
    const double x = fmin(x_of_drop, x_last), d_m = sqrt(base_exp(x) / (per_d2 * np6));
    double y = 0.0;
    for (int i = 5; i >= 0; i--)
        y = y * x + b[i];
    const double re = np6 * base_exp(y), speed_m_s = mu * re / (rho * d_m);
    return fmax(1.0, stokes_speed_m_s(d_m, density_kg_m3, air) / (speed_m_s * base_sphere_drag_factor(re)));
}

double droplet_settling_speed_m_s(double diameter_m, double density_kg_m3, double surface_tension_N_m,
                                  const base_air *air)
{
    const double stokes_m_s = stokes_speed_m_s(diameter_m, density_kg_m3, air);
    const double flat = droplet_deformation_factor(diameter_m, density_kg_m3, surface_tension_N_m, air);
    const double re_per_speed = air->density_kg_m3 * diameter_m / air->viscosity_Pa_s;
    double speed_m_s = stokes_m_s, step_m_s = stokes_m_s;
    /* Newton's steps, which come down to the root since speed times drag factor rises ever faster with speed */
    for (int i = 0; i < MOST_STEPS && fabs(step_m_s) > 1e-15 * speed_m_s; i++) {
        const double re = re_per_speed * speed_m_s;
        step_m_s = (speed_m_s * base_sphere_drag_factor(re) * flat - stokes_m_s) / (drag_rise(re) * flat);
        speed_m_s -= step_m_s;
    }
    return speed_m_s;
}
