/* sim/droplet/impaction.c - share of the droplets in a target's path that hit it, and the projected area of leaves.
 *
 * Impaction and, with canopy.fine_catch, what besides it catches droplets below some 60 um: interception at edges,
 * hairs and round wood, and turbulence next to the surface. Settling is the droplet's own slip (kernel_flight.c).
 * Left out: flutter, electric charge, and Brownian motion, which matters below 1 um. */
#include <math.h>

#include "droplet/droplet.h"

#include "base/elementary.h"

/* Broad leaves: A. Petroff, L. Zhang, S. C. Pryor, Y. Belot, J. Aerosol Sci. 40 (2009) 218 (the constant
 * second hand; the paper: memory). */
double droplet_impaction_efficiency(double stokes)
{
    const double share = stokes / (stokes + DROPLET_PETROFF);
    return share * share;
}

/* A tart cherry of 24 years, measured to its last twig (Z. T. Brym, S. K. M. Ernest, PeerJ 2018, data files): below 5,
 * 10 and 20 mm, and thicker. The diameter of a class is its area over pi times its length, tests/data/
 * wood_by_diameter.csv. A further 237 m of its twigs have no diameter and do not count; of apples twigs were measured
 * by mass and length alone. */
droplet_wood droplet_wood_of(double diameter_m)
{
    droplet_wood wood = {{2.01e-3, 7.78e-3, 13.3e-3, 48.6e-3}, {0.215, 0.077, 0.164, 0.544}};
    if (diameter_m > 0.0)
        for (int w = 0; w < DROPLET_WOODS; w++) {
            wood.diameter_m[w] = diameter_m;
            wood.share[w] = w == 0 ? 1.0 : 0.0;
        }
    return wood;
}

/* The same source, second hand: broad leaves (d / (2 D)) (2 + ln(4 D / d)), needles 2 d / D. */
double droplet_edge_interception(double diameter_m, double width_m)
{
    return diameter_m / (2.0 * width_m) * (DROPLET_EDGE_LENGTHS + base_log(4.0 * width_m / diameter_m));
}

double droplet_round_interception(double diameter_m, double width_m)
{
    return DROPLET_ROUND * diameter_m / width_m;
}

/* W. G. N. Slinn, Atmos. Environ. 16 (1982) 1785 (memory): collectors of 10 um radius with a share of the vegetation's
 * drag, (1/3) F r / (r + 10 um); 1/3: viscous over total drag. */
double droplet_hair_interception(double diameter_m, double hair_share)
{
    return hair_share / DROPLET_HAIR_OVER * diameter_m / (diameter_m + DROPLET_HAIR_M);
}

/* Deposition on a wall from turbulent air over its friction velocity: 3.5e-4 tau+^2, at most 0.14, tau+ = tau u_f^2 /
 * nu (form: B. Y. H. Liu, J. K. Agarwal, J. Aerosol Sci. 5 (1974) 145; constants: A. Petroff and others, Atmos.
 * Environ. 42 (2008) 3625; both memory). Friction velocity of the leaf's own boundary layer, after Blasius: (u_f/u)^2
 * = 0.664 / sqrt(u D / nu). That of the canopy's turbulence instead would count eddies twice that are in the air's
 * speed here. */
double droplet_turbulent_impaction_m_s(double stokes_s, double air_m_s, double width_m, double viscosity_m2_s)
{
    if (!(air_m_s > 0.0)) return 0.0;
    const double friction2 = DROPLET_SKIN_FRICTION * air_m_s * sqrt(air_m_s * viscosity_m2_s / width_m);
    const double tau = stokes_s * friction2 / viscosity_m2_s;
    return sqrt(friction2) * fmin(DROPLET_TURBULENT * tau * tau, DROPLET_TURBULENT_MOST);
}

/* Leaves stand at random in clumps that stand at random: of a clump of cover t (leaves met on a straight way through
 * it) the share (1 - exp(-t)) / t is met before (T. Nilson, Agric. Meteorol. 8 (1971) 25; memory), and of what a leaf
 * catches only the share e, (1 - exp(-e t)) / (e t). Both by 1 / (1 + t / 2 + t^2 / 12), within 0.4 % up to t = 1.6.
 * */
double droplet_clump_cover(double clumping)
{
    return sqrt(12.0 / clumping - 3.0) - 3.0;
}

double droplet_clump_met(double cover, double caught)
{
    const double t = cover * caught;
    return 1.0 / (1.0 + t * (0.5 + t / 12.0));
}

droplet_collector droplet_leaf_collector(const scenario_canopy *c)
{
    return (droplet_collector){
        .width_m = c->leaf_width_m, .edge = c->fine_catch, .hair_share = c->fine_catch ? c->hair_share : 0.0};
}

droplet_collector droplet_wood_collector(const scenario_canopy *c, int i_wood)
{
    return (droplet_collector){.width_m = droplet_wood_of(c->wood_diameter_m).diameter_m[i_wood],
                               .round = c->fine_catch};
}

double droplet_target_efficiency(const droplet_collector *target, double diameter_m, double stokes)
{
    double e = droplet_impaction_efficiency(stokes) + droplet_hair_interception(diameter_m, target->hair_share);
    if (target->edge > 0.0) e += droplet_edge_interception(diameter_m, target->width_m);
    if (target->round > 0.0) e += droplet_round_interception(diameter_m, target->width_m);
    return e;
}

/* I. Langmuir, K. B. Blodgett, AAF Tech. Rep. 5418 (1946): no catch below K = 1/8. Closed form of report LTR-LT-92 (as
 * it is quoted by others; the report itself was not seen), within 0.03 of the table of 1946 for K above 0.1 and phi to
 * 1e4. */
double droplet_cylinder_efficiency(double k, double phi)
{
    const double re = sqrt(k * phi), k0 = 0.125 + (k - 0.125) / (1.0 + 0.1206 * base_pow(re, 0.59));
    if (!(k0 > 0.125)) return 0.0;
    const double low = 0.457 * base_pow(base_log10(8.0 * k0), 1.634);
    return low <= 0.5 ? low : k / (k + 0.5 * BASE_PI + 0.121 * base_pow(re, 0.6) + 0.754e-4 * base_pow(re, 1.38));
}

/* G. S. Campbell, Agric. For. Meteorol. 36 (1986) 317. */
double droplet_leaf_projection(double angle_ratio, double theta_rad)
{
    return base_hypot(angle_ratio * base_cos(theta_rad), base_sin(theta_rad))
           / (angle_ratio + 1.774 * base_pow(angle_ratio + 1.182, -0.733));
}
