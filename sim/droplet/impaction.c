/* sim/droplet/impaction.c - share of the droplets in a target's path that hit it, and the projected area of leaves.
 * Left out: interception (1 to 3 % of the catch on a leaf), turbulence next to the leaf, hairs, flutter. */
#include <math.h>

#include "droplet/droplet.h"

#include "base/elementary.h"

/* Broad leaves: A. Petroff, A. Mailliat, M. Amielh, F. Anselmet, Atmos. Environ. 42 (2008) 3625, 3654 (constant as it
 * stands in a public deposition code; paper: memory). */
double droplet_impaction_efficiency(double stokes)
{
    const double share = stokes / (stokes + DROPLET_PETROFF);
    return share * share;
}

/* I. Langmuir, K. B. Blodgett, AAF Tech. Rep. 5418 (1946): no catch below K = 1/8. Closed form of report LTR-LT-92 (as
 * it is quoted by others; the report itself was not seen), within 0.03 of the table of 1946 for K above 0.1 and phi to
 * 1e4. */
double droplet_cylinder_efficiency(double k, double phi)
{
    const double re = sqrt(k * phi), k0 = 0.125 + (k - 0.125) / (1.0 + 0.1206 * base_pow(re, 0.59));
    if (!(k0 > 0.125))
        return 0.0;
    const double low = 0.457 * base_pow(base_log10(8.0 * k0), 1.634);
    return low <= 0.5 ? low : k / (k + 0.5 * BASE_PI + 0.121 * base_pow(re, 0.6) + 0.754e-4 * base_pow(re, 1.38));
}

/* G. S. Campbell, Agric. For. Meteorol. 36 (1986) 317. */
double droplet_leaf_projection(double angle_ratio, double theta_rad)
{
    return base_hypot(angle_ratio * base_cos(theta_rad), base_sin(theta_rad))
           / (angle_ratio + 1.774 * base_pow(angle_ratio + 1.182, -0.733));
}
