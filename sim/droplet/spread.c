/* sim/droplet/spread.c - the wetted spot of a droplet that adheres.
 *
 * A droplet set down gently is a spherical cap of the leaf's contact angle t: spot over droplet
 * (4 sin^3 t / ((1 - cos t)^2 (2 + cos t)))^(1/3), plain geometry for droplets well below the capillary length, 2.7 mm.
 * One that arrives fast spreads further (Mao, Kuhn and Tran 1997) and then draws back, but only until the angle at its
 * rim has fallen to the receding angle: the spot is never more than a cap of the receding angle (from the meaning of
 * that angle), and never less than the cap at rest. Mao's disc at rest is up to a fifth wider than the cap; its spread
 * is therefore taken in proportion to its own value at rest (choice). Left out: slow spreading by surfactants after the
 * impact, veins and hairs, spots that flow together, drying rims. */
#include "droplet/spread.h"

#include <math.h>

double droplet_sessile_spread(double contact_angle_rad)
{
    const double c = cos(contact_angle_rad), s = sin(contact_angle_rad);
    return cbrt(4.0 * s * s * s / ((1.0 - c) * (1.0 - c) * (2.0 + c)));
}

/* Largest root of a b^3 - c b + 2/3 = 0, a = (1 - cos theta)/4 + 0.2 We^0.83 / Re^0.33, c = We/12 + 1. By cosines, as
 * all three roots are real when there is a positive one. */
double droplet_greatest_spread(double we, double re, double contact_angle_rad)
{
    const double lost = we > 0.0 ? 0.2 * pow(we, 0.83) / pow(re, 0.33) : 0.0;
    const double a = 0.25 * (1.0 - cos(contact_angle_rad)) + lost, c = we / 12.0 + 1.0;
    const double r = sqrt(c / (3.0 * a)), cosine = -1.0 / (3.0 * a * r * r * r);
    const double b = cosine >= -1.0 ? 2.0 * r * cos(acos(cosine) / 3.0) : NAN;
    return b >= 1.0 ? b : NAN;
}

droplet_spread droplet_spread_of(const droplet_leaf_class *leaf)
{
    const double gentle = droplet_sessile_spread(leaf->contact_angle_rad);
    const double at_rest = droplet_greatest_spread(0.0, 0.0, leaf->contact_angle_rad);
    return (droplet_spread){.contact_angle_rad = leaf->contact_angle_rad,
                            .gentle = gentle,
                            .most = fmax(gentle, droplet_sessile_spread(leaf->receding_angle_rad)),
                            .per_rest = gentle / (isnan(at_rest) ? 1.0 : at_rest)};
}

double droplet_spread_factor(const droplet_spread *leaf, double diameter_m, double normal_speed_m_s,
                             const droplet_liquid *liquid)
{
    const double momentum = liquid->density_kg_m3 * normal_speed_m_s * diameter_m;
    const double fast = leaf->per_rest
                        * droplet_greatest_spread(momentum * normal_speed_m_s / liquid->surface_tension_N_m,
                                                  momentum / liquid->viscosity_Pa_s, leaf->contact_angle_rad);
    return isnan(fast) ? leaf->gentle : fmin(fmax(fast, leaf->gentle), leaf->most);
}
