/* sim/droplet/spread.c - the wetted spot of a droplet that adheres.
 *
 * A droplet set down gently is a spherical cap of the leaf's contact angle t: spot over droplet
 * (4 sin^3 t / ((1 - cos t)^2 (2 + cos t)))^(1/3), plain geometry for droplets well below the capillary length, 2.7 mm.
 * One that arrives fast spreads further (Mao, Kuhn and Tran 1997) and then draws back, but only until the angle at its
 * rim has fallen to the receding angle: the spot is never more than a cap of the receding angle (from the meaning of
 * that angle), and never less than the cap at rest. Mao's disc at rest is up to a fifth wider than the cap; its spread
 * is therefore taken in proportion to its own value at rest (choice). Left out: slow spreading by surfactants after the
 * impact, veins and hairs, spots that flow together, drying rims. */
#include "droplet/droplet.h"

#include <math.h>

#include "base/elementary.h"
#include "base/vector_math.h"

double droplet_sessile_spread(double contact_angle_rad)
{
    const double c = base_cos(contact_angle_rad), s = base_sin(contact_angle_rad);
    return base_cbrt(4.0 * s * s * s / ((1.0 - c) * (1.0 - c) * (2.0 + c)));
}

/* cos(acos(q) / 3) for q from -1 to 0, within 4e-10: the polynomial of degree 8 in cos(acos(q) / 2) that is right at
 * Chebyshev's points. */
static double cosine_of_third(double q)
{
    static const double c[] = {0.5000000003363564,     0.5773501918544346,    -0.11110814173430816,
                               0.05341373366179601,    -0.03257837829813055,  0.021332886477957454,
                               -0.012799951265040688, 0.005640599174697761, -0.001256003990733757};
    const double s = sqrt(0.5 * (1.0 + q));
    double sum = c[8];
    for (int i = 7; i >= 0; i--)
        sum = sum * s + c[i];
    return sum;
}

/* Largest root of a b^3 - c b + 2/3 = 0, a = (1 - cos theta)/4 + 0.2 We^0.83 / Re^0.33, c = We/12 + 1. By cosines, as
 * all three roots are real when there is a positive one. */
static double greatest_root(double a, double c)
{
    const double r = sqrt(c / (3.0 * a)), cosine = -1.0 / (c * r);
    const double b = cosine >= -1.0 ? 2.0 * r * cosine_of_third(cosine) : NAN;
    return b >= 1.0 ? b : NAN;
}

double droplet_greatest_spread(double we, double re, double contact_angle_rad)
{
    return droplet_greatest_spread_by(we, re, 1.0 - base_cos(contact_angle_rad));
}

double droplet_greatest_spread_by(double we, double re, double one_less_cosine)
{
    const double lost = we > 0.0 ? 0.2 * base_pow(we, 0.83) / base_pow(re, 0.33) : 0.0;
    return greatest_root(0.25 * one_less_cosine + lost, we / 12.0 + 1.0);
}

droplet_spread droplet_spread_of(const droplet_leaf_class *leaf, const droplet_liquid *liquid)
{
    const double gentle = droplet_sessile_spread(leaf->contact_angle_rad);
    const double at_rest = droplet_greatest_spread(0.0, 0.0, leaf->contact_angle_rad);
    return (droplet_spread){.gentle = gentle,
                            .most = fmax(gentle, droplet_sessile_spread(leaf->receding_angle_rad)),
                            .per_rest = gentle / (isnan(at_rest) ? 1.0 : at_rest),
                            .still = 0.25 * (1.0 - base_cos(leaf->contact_angle_rad)),
                            .per_tension = 1.0 / liquid->surface_tension_N_m,
                            .lost = 0.2 * base_pow(liquid->surface_tension_N_m, -0.83)
                                    * base_pow(liquid->viscosity_Pa_s, 0.33)};
}

double droplet_spread_factor(const droplet_spread *leaf, double diameter_m, double normal_speed_m_s,
                             double density_kg_m3)
{
    const double line_kg_m2 = density_kg_m3 * diameter_m;
    const double we = line_kg_m2 * normal_speed_m_s * normal_speed_m_s * leaf->per_tension;
    const double lost = leaf->lost * sqrt(line_kg_m2) * (double)base_powf((float)normal_speed_m_s, 1.33f);
    const double fast = leaf->per_rest * greatest_root(leaf->still + lost, we / 12.0 + 1.0);
    if (!(fast > leaf->gentle)) /* too slow, or no root at all */
        return leaf->gentle;
    return fast < leaf->most ? fast : leaf->most;
}
