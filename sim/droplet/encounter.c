/* sim/droplet/encounter.c - which target a droplet meets, on which side and how hard, and what becomes of it.
 *
 * The approach is w = E u + slip: the part of the air's motion that carries the droplet into the target, and the
 * droplet's own. The leaf's normal is that of a spheroid lit by parallel rays along w: leaf angles after G. S.
 * Campbell, Agric. For. Meteorol. 36 (1986) 317, weighted by |n.w|. Outcome by droplet_leaf_outcome's borders, each
 * blurred by 20 % from leaf to leaf (choice). On a leaf that is wet already nothing bounces (choice; moist surfaces
 * catch nearly what aerodynamics predicts: A. C. Chamberlain, R. C. Chadwick, Ann. Appl. Biol. 71 (1972) 141), and the
 * border of splashing is that of a wet wall where it is the lower one. Left out: film that a splash carries off with
 * it, air that leaves droplets as they shatter, droplets that shake off later. */
#include "droplet/encounter.h"

#include <math.h>
#include <string.h>

#include "base/elementary.h"
#include "base/random.h"
#include "base/vector_math.h"
#include "droplet/splash.h"

#define FIRST_M 2e-6
#define LAST_M 6e-3
#define NEVER_LOG 20.0            /* a speed that no droplet reaches */
#define LEAF_TO_LEAF 0.2          /* standard deviation of ln(border speed); choice */
#define FARTHEST 6.8              /* a normal number of 32 bits is never farther from 0, in standard deviations */
#define TANGENTIAL_BOUNCE (5.0 / 7.0) /* C. X. Bai, A. D. Gosman, SAE 950283 (1995) */
#define TANGENTIAL_SHATTER 0.6    /* C. X. Bai, H. Rusche, A. D. Gosman, Atomization Sprays 12 (2002) 1 */
#define ENERGY_LEFT 0.2           /* same: at least 80 % of the impact energy is lost */

static void make_borders(const droplet_leaf_class *leaf, const droplet_liquid *liquid, double log_first,
                         double log_step, droplet_borders *borders)
{
    for (int i = 0; i < DROPLET_BORDER_POINTS; i++) {
        const double d_m = base_exp(log_first + i * log_step);
        const double bounce = droplet_bounce_speed_m_s(d_m, leaf, liquid);
        borders->log_bounce[i] = isfinite(bounce) ? base_log(fmax(bounce, 1e-3)) : NEVER_LOG;
        borders->log_shatter[i] = base_log(droplet_shatter_speed_m_s(d_m, leaf, liquid));
    }
}

void droplet_targets_make(const drupelet_scenario *scenario, uint64_t seed, droplet_targets *t)
{
    const double log_step = base_log(LAST_M / FIRST_M) / (DROPLET_BORDER_POINTS - 1);
    memset(t, 0, sizeof *t);
    t->seed = seed;
    t->liquid = (droplet_liquid){scenario->liquid.density_kg_m3, scenario->liquid.surface_tension_N_m,
                                 scenario->liquid.viscosity_Pa_s};
    t->log_first = base_log(FIRST_M);
    t->per_log_step = 1.0 / log_step;
    for (int side = 0; side < 2; side++)
        t->side[side] = scenario->canopy.leaf_surface[side];
    for (int side = 0; side < 2; side++)
        t->spread[side] = droplet_spread_of(&t->side[side], &t->liquid);
    t->wood = droplet_leaf_class_of(SCENARIO_EASY); /* bark is rough and takes water (common practice) */
    for (int side = 0; side < 2; side++)
        make_borders(&t->side[side], &t->liquid, t->log_first, log_step, &t->side_borders[side]);
    make_borders(&t->wood, &t->liquid, t->log_first, log_step, &t->wood_borders);
    t->wet_share = scenario->canopy.wet_share;
    for (int i = 0; i < DROPLET_BORDER_POINTS; i++)
        t->log_film[i] = base_log(droplet_wet_wall_splash_m_s(base_exp(t->log_first + i * log_step), &t->liquid));
    for (int of = 0; of < 3; of++)
        for (int i = 0; i < DROPLET_BORDER_POINTS; i++) {
            const droplet_borders *b = of < 2 ? &t->side_borders[of] : &t->wood_borders;
            const double dry = fmin(b->log_bounce[i], b->log_shatter[i]);
            t->log_adheres[of][i] =
                (of < 2 && t->wet_share > 0.0 ? fmin(dry, t->log_film[i]) : dry) - FARTHEST * LEAF_TO_LEAF;
        }
}

/* Where a diameter stands in the tables of borders. */
typedef struct { int i; double part; } table_place;

static table_place find_place(const droplet_targets *t, double log_diameter)
{
    double f = (log_diameter - t->log_first) * t->per_log_step;
    f = f > 0.0 ? f : 0.0;
    f = f < DROPLET_BORDER_POINTS - 1.000001 ? f : DROPLET_BORDER_POINTS - 1.000001;
    const int i = (int)f;
    return (table_place){i, f - i};
}

static double border(const double *table, table_place at)
{
    return table[at.i] + at.part * (table[at.i + 1] - table[at.i]);
}

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static double unit(double a[3])
{
    const double size = sqrt(dot(a, a)), per_size = size > 0.0 ? 1.0 / size : 1.0;
    for (int c = 0; c < 3; c++)
        a[c] *= per_size;
    return size;
}

/* Two unit vectors across a unit vector (T. Duff, J. Burgess, P. Christensen, C. Hery, A. Kensler, M. Liani, R.
 * Villemin, J. Comput. Graph. Tech. 6 (2017) 1; memory). */
static void across(const double direction[3], double a[3], double b[3])
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

/* Normal of the leaf that is met, against the approach. ratio: horizontal over vertical axis of the spheroid of leaf
 * normals. */
static void leaf_normal(const double approach[3], double ratio, double u1, double u2, double normal[3])
{
    const double per_ratio = 1.0 / ratio;
    double ray[3] = {approach[0] * per_ratio, approach[1] * per_ratio, approach[2]}; /* spheroid squeezed to a sphere */
    double a[3], b[3];
    float sine, cosine;
    unit(ray);
    across(ray, a, b);
    base_sincos_turn((float)u2, &sine, &cosine);
    const double r = sqrt(u1), ra = r * (double)cosine, rb = r * (double)sine, front = sqrt(1.0 - u1);
    for (int c = 0; c < 3; c++)
        normal[c] = ra * a[c] + rb * b[c] - front * ray[c];
    normal[0] *= per_ratio;
    normal[1] *= per_ratio;
    unit(normal);
}

static void bounce(double velocity[3], const double normal[3], double normal_speed_m_s, double restitution)
{
    const double along = dot(velocity, normal);
    for (int c = 0; c < 3; c++)
        velocity[c] =
            TANGENTIAL_BOUNCE * (velocity[c] - along * normal[c]) + restitution * normal_speed_m_s * normal[c];
}

/* Speed at which secondary droplets leave, 0 where no energy is left for them to. */
static double scatter_speed_m_s(double tension_N_m, double density_kg_m3, double diameter_m, double sauter_m,
                                double mass_share, double normal_speed_m_s)
{
    const double surface = 12.0 * tension_N_m / density_kg_m3; /* twice the energy, times diameter */
    const double left_m2_s2 = ENERGY_LEFT * normal_speed_m_s * normal_speed_m_s / mass_share
                              + surface * (1.0 / diameter_m - 1.0 / sauter_m);
    return left_m2_s2 > 0.0 ? sqrt(left_m2_s2) : 0.0;
}

/* Velocity of a secondary droplet: 5 to 50 degrees off the normal (Bai et al. 2002), all round. */
static void scatter(const double before[3], const double normal[3], double speed_m_s, double u1, double u2,
                    double velocity[3])
{
    const double along = dot(before, normal);
    double a[3], b[3], sin_off, cos_off, sin_turn, cos_turn;
    base_sincos((5.0 + 45.0 * u1) * BASE_PI / 180.0, &sin_off, &cos_off);
    base_sincos(2.0 * BASE_PI * u2, &sin_turn, &cos_turn);
    across(normal, a, b);
    for (int c = 0; c < 3; c++)
        velocity[c] = TANGENTIAL_SHATTER * (before[c] - along * normal[c])
                      + speed_m_s * (cos_off * normal[c] + sin_off * (cos_turn * a[c] + sin_turn * b[c]));
}

/* How a droplet arrives. */
typedef struct {
    double diameter_m, alike_m; /* alike: a droplet without air, same We and Re */
    double approach[3], normal[3];
    double log_speed, log_shatter; /* normal speed, and that at which it shatters on a mean leaf */
    int wet;
    const droplet_leaf_class *surface;
} arrival;

/* Which of a droplet's blocks of random numbers an impact takes: three a step, for it meets at most one target a step,
 * but others for each target that it has passed in it before (run/parts.h). */
static uint32_t impact_block(const droplet_batch *b, int i, uint32_t which)
{
    return 3 * b->step[i] + which + (b->passed[i] << 24);
}

/* Target, outcome, side and speed; the lane stays as it is. */
static droplet_encounter arrive(const droplet_setting *s, const droplet_targets *t, const droplet_batch *b, int i,
                                uint32_t bits[8], arrival *a)
{
    const uint64_t id = (uint64_t)b->id_high[i] << 32 | b->id_low[i];
    base_random_block(t->seed, BASE_STREAM_IMPACT, id, impact_block(b, i, 0), bits);
    const double leaf = (double)b->leaf_rate_1_s[i], wood = (double)b->wood_rate_1_s[i],
                 grass = (double)b->grass_rate_1_s[i];
    const double pick = base_uniform(bits[1]) * (leaf + wood + grass);
    droplet_encounter e = {.target = pick < leaf          ? DROPLET_ON_LEAF
                                     : pick < leaf + wood ? DROPLET_ON_WOOD
                                                          : DROPLET_ON_GRASS,
                           .outcome = DROPLET_ADHERES,
                           .kept = 1.0,
                           .path_limit = -base_logf((float)base_uniform(bits[0]))};
    if (e.target == DROPLET_ON_GRASS)
        return e;

    const double d_m = (double)b->diameter_m[i];
    const double air[3] = {(double)b->air_u_m_s[i], (double)b->air_v_m_s[i], (double)b->air_w_m_s[i]};
    double own[3];
    droplet_own_slip(b, i, own);
    const double width_m = (double)(e.target == DROPLET_ON_LEAF ? s->leaf_width_m : s->wood_diameter_m);
    const double stokes_s =
        (double)s->stokes_per_d2 * (double)b->density_kg_m3[i] * d_m * (d_m + (double)s->slip_length_m);
    const double efficiency = droplet_impaction_efficiency(stokes_s * sqrt(dot(air, air)) / width_m);
    for (int c = 0; c < 3; c++)
        a->approach[c] = efficiency * air[c] + own[c];
    leaf_normal(a->approach, e.target == DROPLET_ON_LEAF ? (double)s->angle_ratio : 1.0, base_uniform(bits[2]),
                base_uniform(bits[3]), a->normal);
    e.normal_speed_m_s = fabs(dot(a->approach, a->normal));
    e.upper_side = a->normal[2] > 0.0;

    const int on_leaf = e.target == DROPLET_ON_LEAF;
    const droplet_borders *borders = on_leaf ? &t->side_borders[e.upper_side] : &t->wood_borders;
    a->surface = on_leaf ? &t->side[e.upper_side] : &t->wood;
    a->diameter_m = d_m;
    a->alike_m = d_m * (double)b->density_kg_m3[i] / t->liquid.density_kg_m3;
    a->log_speed = (double)base_logf((float)e.normal_speed_m_s + 1e-6f);
    const table_place at = find_place(t, (double)base_logf((float)a->alike_m));
    if (a->log_speed <= border(t->log_adheres[on_leaf ? e.upper_side : 2], at))
        return e; /* half of them or more: the rest need not be known */

    base_random_block(t->seed, BASE_STREAM_IMPACT, id, impact_block(b, i, 1), bits + 4);
    float sine, cosine; /* two normal numbers, for how leaves differ (Box and Muller) */
    base_sincos_turn((float)base_uniform(bits[5]), &sine, &cosine);
    const double size = LEAF_TO_LEAF * sqrt(-2.0 * (double)base_logf((float)base_uniform(bits[4])));
    a->wet = on_leaf && base_uniform(bits[7]) < t->wet_share;
    const double dry_shatter = border(borders->log_shatter, at);
    a->log_shatter = a->wet ? fmin(dry_shatter, border(t->log_film, at)) : dry_shatter;
    if (a->log_speed > a->log_shatter + size * (double)cosine)
        e.outcome = DROPLET_SHATTERS;
    else if (!a->wet && a->log_speed > border(borders->log_bounce, at) + size * (double)sine)
        e.outcome = DROPLET_BOUNCES;
    return e;
}

droplet_encounter droplet_look(const droplet_setting *s, const droplet_targets *t, const droplet_batch *b, int i)
{
    uint32_t bits[8];
    arrival a;
    return arrive(s, t, b, i, bits, &a);
}

/* Secondary droplets: what stays, and the two that stand for what leaves. */
static void shatter(const droplet_targets *t, droplet_batch *b, int i, const uint32_t bits[8], const arrival *a,
                    double velocity[3], droplet_encounter *e)
{
    const double d_m = a->diameter_m, density_kg_m3 = (double)b->density_kg_m3[i];
    const double share = fmin(0.2 + (a->wet ? 0.9 : 0.6) * base_uniform(bits[6]), 1.0); /* Bai et al. 2002 */
    const droplet_splash splash = droplet_splash_of(d_m, share, base_exp(2.0 * (a->log_speed - a->log_shatter)));
    const droplet_splash_law law = droplet_splash_law_of(d_m, &splash);
    const double speed_m_s = scatter_speed_m_s(t->liquid.surface_tension_N_m, density_kg_m3, d_m,
                                               droplet_splash_sauter_m(&law), splash.mass_share, e->normal_speed_m_s);
    if (!(speed_m_s > 0.0))
        return;
    const uint64_t id = (uint64_t)b->id_high[i] << 32 | b->id_low[i];
    uint32_t turns[4], more[4];
    base_random_block(t->seed, BASE_STREAM_IMPACT, id, impact_block(b, i, 2), turns);
    base_random_block(t->seed, BASE_STREAM_SPLASH, id, b->step[i], more);
    const double u = base_uniform(more[0]), before[3] = {velocity[0], velocity[1], velocity[2]};
    const double first_m = droplet_splash_quantile_m(&law, u);
    const double second_m = droplet_splash_quantile_m(&law, 1.0 - u);
    double second[3];
    scatter(before, a->normal, speed_m_s, base_uniform(turns[0]), base_uniform(turns[1]), velocity);
    scatter(before, a->normal, speed_m_s, base_uniform(more[1]), base_uniform(more[2]), second);
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

droplet_encounter droplet_meet(const droplet_setting *s, const droplet_targets *t, droplet_batch *b, int i)
{
    uint32_t bits[8];
    arrival a;
    droplet_encounter e = arrive(s, t, b, i, bits, &a);
    b->path[i] = 0.0f;
    b->path_limit[i] = e.path_limit;
    if (e.target == DROPLET_ON_GRASS)
        return e;
    double velocity[3] = {(double)b->u_m_s[i], (double)b->v_m_s[i], (double)b->w_m_s[i]};
    if (e.outcome == DROPLET_SHATTERS) {
        shatter(t, b, i, bits, &a, velocity, &e);
    } else if (e.outcome == DROPLET_BOUNCES) {
        e.kept = 0.0;
        bounce(velocity, a.normal, e.normal_speed_m_s,
               droplet_restitution(a.alike_m, e.normal_speed_m_s, a.surface, &t->liquid));
    }
    b->tossed_u_m_s[i] = b->tossed_v_m_s[i] = b->tossed_w_m_s[i] = b->next_s[i] = 0.0f;
    b->u_m_s[i] = (float)velocity[0];
    b->v_m_s[i] = (float)velocity[1];
    b->w_m_s[i] = (float)velocity[2];
    return e;
}
