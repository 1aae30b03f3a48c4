/* sim/droplet/collector.c - catch of lines and stains on paper.
 *
 * A line is a smooth cylinder: catch by impaction after Langmuir and Blodgett (impaction.c) plus interception of
 * droplets that touch it with their edge, diameter over line diameter (the limit of straight paths; none where the line
 * catches nothing by impaction, K below 1/8). As on a leaf (kernel_flight.c) the droplets come with E u + s: the air's
 * velocity u lets a share E through to the line, the droplet's slip s against the air is its own. Left out: hairs and
 * yarn (catch more), vibration, what shatters or drips off, washing losses (0.66 to 0.82 of strings is recovered:
 * Agronomy 13 (2023) 2738). */

#include <math.h>

#include "base/elementary.h"
#include "droplet/droplet.h"

/* K on the radius, phi = 18 rho_a^2 U R / (rho mu_a): the drop's Reynolds number squared over K. */
static double impaction(double stokes_s, double density_kg_m3, double line_m, double speed_m_s, const base_air *air)
{
    const double k = 2.0 * stokes_s * speed_m_s / line_m;
    const double phi = 9.0 * air->density_kg_m3 * air->density_kg_m3 * speed_m_s * line_m
                       / (density_kg_m3 * air->viscosity_Pa_s);
    return droplet_cylinder_efficiency(k, phi);
}

double droplet_line_efficiency(double diameter_m, double density_kg_m3, double line_m, double air_speed_m_s,
                               const base_air *air)
{
    const double along[2] = {air_speed_m_s, 0.0};
    return droplet_line_catch_m_s(diameter_m, density_kg_m3, line_m, along, along, air) / air_speed_m_s;
}

double droplet_line_catch_m_s(double diameter_m, double density_kg_m3, double line_m, const double air_m_s[2],
                              const double speed_m_s[2], const base_air *air)
{
    const double stokes_s = droplet_stokes_time_s(diameter_m, density_kg_m3, air);
    const double u = base_hypot(air_m_s[0], air_m_s[1]), v = base_hypot(speed_m_s[0], speed_m_s[1]);
    const double e = impaction(stokes_s, density_kg_m3, line_m, u, air), slip = e - 1.0;
    const double impacting = base_hypot(speed_m_s[0] + slip * air_m_s[0], speed_m_s[1] + slip * air_m_s[1]);
    const double touching = 2.0 * stokes_s * fmax(u, v) > 0.125 * line_m ? v * diameter_m / line_m : 0.0;
    return impacting + touching;
}

/* H. Zhu, M. Salyani, R. D. Fox, Comput. Electron. Agric. 76 (2011) 38: d = 1.06 A^0.455, um and um2 (memory, fairly
 * sure); for stains of some 50 to 1000 um, beyond that the power law is carried on. */
double droplet_stain_m2(double diameter_m)
{
    return 1e-12 * base_pow(1e6 * diameter_m / 1.06, 1.0 / 0.455);
}
