/* sim/droplet/impact.h - numbers and directions that laws of impact share. */
#ifndef DROPLET_IMPACT_H
#define DROPLET_IMPACT_H

#include <math.h>

#include "droplet/droplet.h"

static inline double impact_weber(double diameter_m, double speed_m_s, const droplet_liquid *liquid)
{
    return liquid->density_kg_m3 * speed_m_s * speed_m_s * diameter_m / liquid->surface_tension_N_m;
}

static inline double impact_reynolds(double diameter_m, double speed_m_s, const droplet_liquid *liquid)
{
    return liquid->density_kg_m3 * speed_m_s * diameter_m / liquid->viscosity_Pa_s;
}

static inline double impact_dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* Two unit vectors across a unit vector (T. Duff, J. Burgess, P. Christensen, C. Hery, A. Kensler, M. Liani, R.
 * Villemin, J. Comput. Graph. Tech. 6 (2017) 1; memory). */
static inline void impact_across(const double direction[3], double a[3], double b[3])
{
    const double x = direction[0], y = direction[1], z = direction[2], sign = copysign(1.0, z);
    const double f = -1.0 / (sign + z), both = x * y * f;
    a[0] = 1.0 + sign * x * x * f;
    a[1] = sign * both;
    a[2] = -sign * x;
    b[0] = both;
    b[1] = sign + y * y * f;
    b[2] = -y;
}

#endif
