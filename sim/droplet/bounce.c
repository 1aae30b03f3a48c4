/* sim/droplet/bounce.c - a droplet bounces off a leaf.
 *
 * By the energy left after spreading (T. Mao, D. C. S. Kuhn, H. Tran, AIChE J. 43 (1997) 2169; constants: memory), on
 * leaves with a receding angle above 100 degrees (C. Antonini et al., Langmuir 29 (2013) 16045). We and Re of the
 * normal speed. On a leaf that is wet already droplets rebound from the liquid at We 2 to 20, and merge with it at
 * lower and higher ones (C. X. Bai, A. D. Gosman, SAE 950283 (1995), as coded in an open library for fluid dynamics),
 * or, with canopy.wet_leaves: hold, never (moist surfaces catch nearly what aerodynamics predicts: A. C. Chamberlain,
 * R. C. Chadwick, Ann. Appl. Biol. 71 (1972) 141). Left out: slow droplets that bounce off very water-repellent
 * leaves without much spreading. */
#include <math.h>

#include "base/elementary.h"
#include "droplet/impact.h"
#include "droplet/outcome.h"
#include "droplet/droplet.h"

#define BOUNCING_RECEDING_RAD 1.7453292519943295 /* 100 degrees */
#define SLOWEST_M_S 0.01
#define FASTEST_M_S 40.0
#define N_SPEEDS 800 /* 1 % apart */

#define WET_LEAST_WEBER 2.0 /* Bai and Gosman 1995 */
#define WET_MOST_WEBER 20.0

#define TANGENTIAL_BOUNCE (5.0 / 7.0) /* C. X. Bai, A. D. Gosman, SAE 950283 (1995) */

/* What a contact angle means for the energy of a rebound. */
typedef struct { double one_less_cosine, power; } rim;

static rim rim_of(double contact_angle_rad)
{
    const double one_less_cosine = 1.0 - base_cos(contact_angle_rad);
    return (rim){one_less_cosine, base_pow(one_less_cosine, 0.63)};
}

static double rebound_energy(double diameter_m, double speed_m_s, const rim *r, const droplet_liquid *liquid)
{
    const double b = droplet_greatest_spread_by(impact_weber(diameter_m, speed_m_s, liquid),
                                                impact_reynolds(diameter_m, speed_m_s, liquid), r->one_less_cosine);
    return 0.25 * b * b * r->one_less_cosine - 0.12 * base_pow(b, 2.3) * r->power + 2.0 / (3.0 * b) - 1.0;
}

double droplet_rebound_energy(double diameter_m, double speed_m_s, double contact_angle_rad,
                              const droplet_liquid *liquid)
{
    const rim r = rim_of(contact_angle_rad);
    return rebound_energy(diameter_m, speed_m_s, &r, liquid);
}

/* Without regard to shattering. */
bool droplet_bounces(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                     const droplet_liquid *liquid)
{
    return leaf->receding_angle_rad > BOUNCING_RECEDING_RAD
           && droplet_rebound_energy(diameter_m, normal_speed_m_s, leaf->contact_angle_rad, liquid) > 0.0; /* NAN: no */
}

/* From the same two energies: what is left over the kinetic energy before. */
double droplet_restitution(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                           const droplet_liquid *liquid)
{
    const double energy = droplet_rebound_energy(diameter_m, normal_speed_m_s, leaf->contact_angle_rad, liquid);
    return energy > 0.0 ? fmin(0.9, sqrt(12.0 * energy / impact_weber(diameter_m, normal_speed_m_s, liquid))) : 0.0;
}

double droplet_bounce_speed_m_s(double diameter_m, const droplet_leaf_class *leaf, const droplet_liquid *liquid)
{
    const double ratio = base_pow(FASTEST_M_S / SLOWEST_M_S, 1.0 / N_SPEEDS);
    const rim r = rim_of(leaf->contact_angle_rad);
    double low = 0.0, high = SLOWEST_M_S;
    if (!(leaf->receding_angle_rad > BOUNCING_RECEDING_RAD))
        return INFINITY;
    while (high <= FASTEST_M_S && !(rebound_energy(diameter_m, high, &r, liquid) > 0.0)) { /* NAN: no */
        low = high;
        high *= ratio;
    }
    if (high > FASTEST_M_S)
        return INFINITY;
    for (int i = 0; i < 40; i++) {
        const double middle = 0.5 * (low + high);
        if (rebound_energy(diameter_m, middle, &r, liquid) > 0.0)
            high = middle;
        else
            low = middle;
    }
    return high;
}

static double at_weber_m_s(double weber, double diameter_m, const droplet_liquid *liquid)
{
    return sqrt(weber * liquid->surface_tension_N_m / (liquid->density_kg_m3 * diameter_m));
}

double droplet_wet_bounce_m_s(double diameter_m, const droplet_liquid *liquid)
{
    return at_weber_m_s(WET_LEAST_WEBER, diameter_m, liquid);
}

double droplet_wet_bounce_end_m_s(double diameter_m, const droplet_liquid *liquid)
{
    return at_weber_m_s(WET_MOST_WEBER, diameter_m, liquid);
}

/* Off a wet wall, by the angle between way and wall (rad): Bai and Gosman 1995, who take it from solid particles. */
static double wet_restitution(double angle_rad)
{
    return 0.993 - angle_rad * (1.76 - angle_rad * (1.56 - 0.49 * angle_rad));
}

void droplet_bounce_off(const droplet_arrival *a, droplet_batch *b, int i, double velocity_m_s[3],
                        droplet_encounter *e)
{
    (void)b;
    (void)i;
    const double along = impact_dot(velocity_m_s, a->normal), normal_speed_m_s = e->normal_speed_m_s;
    const double speed_m_s = sqrt(impact_dot(a->approach, a->approach));
    const double steep = speed_m_s > 0.0 ? fmin(normal_speed_m_s / speed_m_s, 1.0) : 1.0;
    const double angle_rad = base_atan(steep / sqrt(fmax(1.0 - steep * steep, 1e-12)));
    const double restitution = a->wet ? wet_restitution(angle_rad)
                                      : droplet_restitution(a->alike_m, normal_speed_m_s, a->surface, a->liquid);
    e->kept = 0.0;
    for (int c = 0; c < 3; c++)
        velocity_m_s[c] = TANGENTIAL_BOUNCE * (velocity_m_s[c] - along * a->normal[c])
                          + restitution * normal_speed_m_s * a->normal[c];
}
