/* sim/droplet/shatter.c - a droplet shatters on a leaf.
 *
 * K = We^(1/2) Re^(1/4) above a limit of the leaf (C. Mundo, M. Sommerfeld, C. Tropea, Int. J. Multiphase Flow 21
 * (1995) 151: 57.7 on a rotating disc; easily wetted leaves hold droplets beyond that), of the normal speed; on a leaf
 * that is wet already by the border of a wet wall where it is the lower one. Sizes of the secondary droplets: splash.c.
 * Left out: film that a splash carries off with it, air that leaves droplets as they shatter. */
#include <math.h>

#include "base/elementary.h"
#include "base/random.h"
#include "droplet/impact.h"
#include "droplet/outcome.h"
#include "droplet/droplet.h"

#define TANGENTIAL_SHATTER 0.6    /* C. X. Bai, H. Rusche, A. D. Gosman, Atomization Sprays 12 (2002) 1 */
#define ENERGY_LEFT 0.2           /* same: at least 80 % of the impact energy is lost, or We_c / We */
#define FIRST_ANGLE 5.0           /* degrees; same: 5 to 50 off the normal, on engine walls */
#define ANGLES 45.0

static double shatter_number(double diameter_m, double speed_m_s, const droplet_liquid *liquid)
{
    return sqrt(impact_weber(diameter_m, speed_m_s, liquid))
           * sqrt(sqrt(impact_reynolds(diameter_m, speed_m_s, liquid)));
}

bool droplet_shatters(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                      const droplet_liquid *liquid)
{
    return shatter_number(diameter_m, normal_speed_m_s, liquid) > leaf->shatter_limit;
}

/* K at 1 m/s grows as speed^(5/4). */
double droplet_shatter_speed_m_s(double diameter_m, const droplet_leaf_class *leaf, const droplet_liquid *liquid)
{
    return base_pow(leaf->shatter_limit / shatter_number(diameter_m, 1.0, liquid), 0.8);
}

droplet_splash droplet_shatter(double diameter_m, double normal_speed_m_s, double u, const droplet_leaf_class *leaf,
                               const droplet_liquid *liquid)
{
    const double over = base_pow(shatter_number(diameter_m, normal_speed_m_s, liquid) / leaf->shatter_limit, 1.6);
    return droplet_splash_of(diameter_m, 0.2 + 0.6 * u, over); /* dry wall */
}

/* Speed at which secondary droplets leave, 0 where no energy is left for them to. Of the energy of motion the share
 * max(0.8, We_c / We) is lost; the surface of the whole droplet pays for theirs (Bai et al. 2002, as coded in an open
 * library for fluid dynamics). @param over We / We_c */
static double scatter_speed_m_s(double tension_N_m, double density_kg_m3, double diameter_m, double sauter_m,
                                double mass_share, double normal_speed_m_s, double over)
{
    const double surface = 12.0 * tension_N_m / density_kg_m3; /* twice the energy, times diameter */
    const double left = fmax(fmin(ENERGY_LEFT, 1.0 - 1.0 / over), 0.0);
    const double left_m2_s2 = left * normal_speed_m_s * normal_speed_m_s / mass_share
                              + surface * (1.0 / (mass_share * diameter_m) - 1.0 / sauter_m);
    return left_m2_s2 > 0.0 ? sqrt(left_m2_s2) : 0.0;
}

/* Velocity of a secondary droplet, all round the normal. On bean leaves the majority left almost along the leaf,
 * whatever their size (D. M. Macdonald, H. A. McCartney, Ann. Appl. Biol. 113 (1988) 627, abstract): the angles of
 * engine walls, counted from the leaf and crowded towards it by the square of a uniform number (choice; half of them
 * below 16 degrees). */
static void scatter(const droplet_arrival *arrival, const double before[3], double speed_m_s, double u1, double u2,
                    double velocity[3])
{
    const double *normal = arrival->normal, along = impact_dot(before, normal);
    const double off_deg = arrival->along_leaf ? 90.0 - FIRST_ANGLE - ANGLES * u1 * u1 : FIRST_ANGLE + ANGLES * u1;
    double a[3], b[3], sin_off, cos_off, sin_turn, cos_turn;
    base_sincos(off_deg * BASE_PI / 180.0, &sin_off, &cos_off);
    base_sincos(2.0 * BASE_PI * u2, &sin_turn, &cos_turn);
    impact_across(normal, a, b);
    for (int c = 0; c < 3; c++)
        velocity[c] = TANGENTIAL_SHATTER * (before[c] - along * normal[c])
                      + speed_m_s * (cos_off * normal[c] + sin_off * (cos_turn * a[c] + sin_turn * b[c]));
}

/* Secondary droplets: what stays, and the two that stand for what leaves. */
void droplet_shatter_off(const droplet_arrival *a, droplet_batch *b, int i, double velocity[3], droplet_encounter *e)
{
    const double d_m = a->diameter_m, density_kg_m3 = (double)b->density_kg_m3[i];
    const double share = fmin(0.2 + (a->wet ? 0.9 : 0.6) * a->chance, 1.0); /* Bai et al. 2002 */
    const double over = base_exp(2.0 * (a->log_speed - a->log_border));
    const droplet_splash splash = droplet_splash_of(d_m, share, over);
    const droplet_splash_law law = droplet_splash_law_of(d_m, &splash);
    const double speed_m_s = scatter_speed_m_s(a->liquid->surface_tension_N_m, density_kg_m3, d_m,
                                               droplet_splash_sauter_m(&law), splash.mass_share, e->normal_speed_m_s,
                                               over);
    if (!(speed_m_s > 0.0))
        return;
    uint32_t turns[4], more[4];
    base_random_block(a->seed, BASE_STREAM_IMPACT, a->id, droplet_impact_block(b, i, 2), turns);
    base_random_block(a->seed, BASE_STREAM_SPLASH, a->id, b->step[i], more);
    const double u = base_uniform(more[0]), before[3] = {velocity[0], velocity[1], velocity[2]};
    const double first_m = droplet_splash_quantile_m(&law, u);
    const double second_m = droplet_splash_quantile_m(&law, 1.0 - u);
    double second[3];
    scatter(a, before, speed_m_s, base_uniform(turns[0]), base_uniform(turns[1]), velocity);
    scatter(a, before, speed_m_s, base_uniform(more[1]), base_uniform(more[2]), second);
    e->kept = 1.0 - splash.mass_share;
    e->splashed = 1;
    e->second_path_limit = (float)-base_log(base_uniform(more[3]));
    e->second_diameter_m = (float)second_m;
    e->second_whole_m = b->whole_m[i] * (float)(second_m / d_m);
    for (int c = 0; c < 3; c++)
        e->second_velocity_m_s[c] = (float)second[c];
    b->whole_m[i] *= (float)(first_m / d_m);
    b->diameter_m[i] = (float)first_m;
}
