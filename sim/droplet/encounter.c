/* sim/droplet/encounter.c - which target a droplet meets, on which side and how hard, and what becomes of it.
 *
 * The approach is w = E u + slip: the part of the air's motion that carries the droplet into the target, and the
 * droplet's own. The leaf's normal is that of a spheroid lit by parallel rays along w: leaf angles after G. S.
 * Campbell, Agric. For. Meteorol. 36 (1986) 317, weighted by |n.w|, and turned where leaves give way to the air.
 * Outcome by the table of outcomes (outcome.h), each border blurred by 20 % from leaf to leaf (choice). */
#include "droplet/encounter.h"

#include <math.h>
#include <string.h>

#include "base/elementary.h"
#include "base/random.h"
#include "base/vector_math.h"
#include "droplet/impact.h"

#define FIRST_M 2e-6
#define LAST_M 6e-3
#define NEVER_LOG 20.0            /* a speed that no droplet reaches */
#define LEAF_TO_LEAF 0.2          /* standard deviation of ln(border speed); choice */
#define FARTHEST 6.8              /* a normal number of 32 bits is never farther from 0, in standard deviations */

/* Of a border speed; never 0. */
static double log_of(double speed_m_s)
{
    return isfinite(speed_m_s) ? base_log(fmax(speed_m_s, 1e-3)) : NEVER_LOG;
}

/* Diameter of a point of the tables. */
static double point_m(const droplet_targets *t, int i)
{
    return base_exp(t->log_first + i * (base_log(LAST_M / FIRST_M) / (DROPLET_BORDER_POINTS - 1)));
}

/* @param leaf NULL: one that is wet already */
static void make_borders(const droplet_targets *t, const droplet_leaf_class *leaf, droplet_borders *borders)
{
    for (int o = DROPLET_ADHERES + 1; o < DROPLET_OUTCOMES; o++) {
        const droplet_outcome_kind *kind = &t->outcome[o];
        for (int i = 0; i < DROPLET_BORDER_POINTS; i++)
            if (leaf && kind->border_m_s)
                borders->log_speed[o][i] = log_of(kind->border_m_s(point_m(t, i), leaf, &t->liquid));
            else if (!leaf && kind->wet_border_m_s)
                borders->log_speed[o][i] = log_of(kind->wet_border_m_s(point_m(t, i), &t->liquid));
    }
}

/* Speed at or below which all adhere. An outcome without a border may happen at any speed. */
static double log_safe(const droplet_targets *t, const droplet_borders *dry, bool may_be_wet, int i)
{
    double least = NEVER_LOG;
    for (int o = DROPLET_ADHERES + 1; o < DROPLET_OUTCOMES; o++) {
        least = fmin(least, t->outcome[o].border_m_s ? dry->log_speed[o][i] : -INFINITY);
        if (may_be_wet && t->outcome[o].wet_border_m_s)
            least = fmin(least, t->wet_borders.log_speed[o][i]);
    }
    return least - FARTHEST * LEAF_TO_LEAF;
}

void droplet_targets_make(const drupelet_scenario *scenario, uint64_t seed, droplet_targets *t)
{
    droplet_targets_make_by(droplet_outcomes, scenario, seed, t);
}

void droplet_targets_make_by(const droplet_outcome_kind *outcome, const drupelet_scenario *scenario, uint64_t seed,
                             droplet_targets *t)
{
    memset(t, 0, sizeof *t);
    t->outcome = outcome;
    t->seed = seed;
    t->liquid = (droplet_liquid){scenario->liquid.density_kg_m3, scenario->liquid.surface_tension_N_m,
                                 scenario->liquid.viscosity_Pa_s};
    t->log_first = base_log(FIRST_M);
    t->per_log_step = 1.0 / (base_log(LAST_M / FIRST_M) / (DROPLET_BORDER_POINTS - 1));
    t->wet_share = scenario->canopy.wet_share;
    t->wet_bounce = scenario->canopy.wet_bounce;
    t->along_leaf = scenario->canopy.splash_along_leaf;
    t->leaf = droplet_leaf_collector(&scenario->canopy);
    for (int w = 0; w < DROPLET_WOODS; w++)
        t->branch[w] = droplet_wood_collector(&scenario->canopy, w);
    t->wood = droplet_leaf_class_of(SCENARIO_EASY); /* bark is rough and takes water (common practice) */
    for (int side = 0; side < 2; side++) {
        t->side[side] = scenario->canopy.leaf_surface[side];
        t->spread[side] = droplet_spread_of(&t->side[side], &t->liquid);
        make_borders(t, &t->side[side], &t->side_borders[side]);
    }
    make_borders(t, &t->wood, &t->wood_borders);
    make_borders(t, NULL, &t->wet_borders);
    for (int o = DROPLET_ADHERES + 1; o < DROPLET_OUTCOMES; o++)
        for (int i = 0; i < DROPLET_BORDER_POINTS && t->outcome[o].wet_end_m_s; i++)
            t->wet_ends.log_speed[o][i] = log_of(t->outcome[o].wet_end_m_s(point_m(t, i), &t->liquid));
    for (int of = 0; of < 3; of++)
        for (int i = 0; i < DROPLET_BORDER_POINTS; i++)
            t->log_adheres[of][i] = log_safe(t, of < 2 ? &t->side_borders[of] : &t->wood_borders,
                                             of < 2 && t->wet_share > 0.0, i);
}

/* Where a diameter stands in the tables of borders. */
typedef struct { int i; double fraction; } table_place;

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
    return table[at.i] + at.fraction * (table[at.i + 1] - table[at.i]);
}

static double unit(double a[3])
{
    const double size = sqrt(impact_dot(a, a)), per_size = size > 0.0 ? 1.0 / size : 1.0;
    for (int c = 0; c < 3; c++)
        a[c] *= per_size;
    return size;
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
    impact_across(ray, a, b);
    base_sincos_turn((float)u2, &sine, &cosine);
    const double r = sqrt(u1), ra = r * (double)cosine, rb = r * (double)sine, front = sqrt(1.0 - u1);
    for (int c = 0; c < 3; c++)
        normal[c] = ra * a[c] + rb * b[c] - front * ray[c];
    normal[0] *= per_ratio;
    normal[1] *= per_ratio;
    unit(normal);
}

/* Leaves give way along the air: their vector areas n dA lose so much of their component along it. A sum of |n.w| dA
 * over leaves is the same whether n or w loses it. */
static void give_way(double given, const double air[3], double a[3])
{
    const double speed2 = impact_dot(air, air), along = speed2 > 0.0 ? given * impact_dot(a, air) / speed2 : 0.0;
    for (int c = 0; c < 3; c++)
        a[c] -= along * air[c];
}

/* Efficiency of the wood that is met: each diameter as often as its share is approached. @param turn even, 0 to 1 */
static double wood_efficiency(const droplet_setting *s, const droplet_targets *t, double d_m, double stop_m,
                              const double air[3], const double own[3], double turn)
{
    double efficiency[DROPLET_WOODS], up_to[DROPLET_WOODS], sum = 0.0;
    for (int w = 0; w < DROPLET_WOODS; w++) {
        efficiency[w] = droplet_target_efficiency(&t->branch[w], d_m, stop_m / t->branch[w].width_m);
        double approach[3];
        for (int c = 0; c < 3; c++)
            approach[c] = efficiency[w] * air[c] + own[c];
        up_to[w] = sum += (double)s->wood_share[w] * sqrt(impact_dot(approach, approach));
    }
    int w = 0;
    while (w < DROPLET_WOODS - 1 && turn * sum >= up_to[w])
        w++;
    return efficiency[w];
}

/* Does an outcome happen to a droplet that arrives? @param differs of this leaf from a mean one, in ln(speed) */
static bool happens(const droplet_targets *t, droplet_arrival *a, const droplet_borders *borders, table_place at,
                    droplet_outcome o, double differs)
{
    const droplet_outcome_kind *kind = &t->outcome[o];
    if (a->wet && kind->wet_end_m_s) {
        a->log_border = border(t->wet_borders.log_speed[o], at) + differs;
        return t->wet_bounce && a->log_speed > a->log_border
               && a->log_speed < border(t->wet_ends.log_speed[o], at) + differs;
    }
    if (!kind->border_m_s) {
        a->log_border = (double)NAN;
        return kind->happens(a->alike_m, base_exp(a->log_speed - differs), a->surface, a->liquid);
    }
    a->log_border = border(borders->log_speed[o], at);
    if (a->wet && kind->wet_border_m_s)
        a->log_border = fmin(a->log_border, border(t->wet_borders.log_speed[o], at));
    a->log_border += differs;
    return a->log_speed > a->log_border;
}

/* Target, outcome, side and speed; the lane stays as it is. */
static droplet_encounter arrive(const droplet_setting *s, const droplet_targets *t, const droplet_batch *b, int i,
                                droplet_arrival *a)
{
    const uint64_t id = (uint64_t)b->id_high[i] << 32 | b->id_low[i];
    uint32_t bits[8];
    base_random_block(t->seed, BASE_STREAM_IMPACT, id, droplet_impact_block(b, i, 0), bits);
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
    const double stokes_s =
        (double)s->stokes_per_d2 * (double)b->density_kg_m3[i] * d_m * (d_m + (double)s->slip_length_m);
    const double stop_m = stokes_s * sqrt(impact_dot(air, air));
    const double efficiency = e.target == DROPLET_ON_LEAF
                                  ? droplet_target_efficiency(&t->leaf, d_m, stop_m / t->leaf.width_m)
                                  : wood_efficiency(s, t, d_m, stop_m, air, own, (pick - leaf) / wood);
    for (int c = 0; c < 3; c++)
        a->approach[c] = efficiency * air[c] + own[c];
    const double given = e.target == DROPLET_ON_LEAF ? (double)b->given[i] : 0.0;
    double met[3] = {a->approach[0], a->approach[1], a->approach[2]};
    give_way(given, air, met);
    leaf_normal(met, e.target == DROPLET_ON_LEAF ? (double)s->angle_ratio : 1.0, base_uniform(bits[2]),
                base_uniform(bits[3]), a->normal);
    e.leaf_kind = droplet_leaf_kind(a->normal);
    double towards[3] = {a->approach[0], a->approach[1], a->approach[2]};
    unit(towards);
    for (int c = 0; c < 3; c++)
        e.towards[c] = (float)towards[c];
    if (given > 0.0) {
        give_way(given, air, a->normal);
        unit(a->normal);
    }
    e.normal_speed_m_s = fabs(impact_dot(a->approach, a->normal));
    e.upper_side = a->normal[2] > 0.0;

    const int on_leaf = e.target == DROPLET_ON_LEAF;
    const droplet_borders *borders = on_leaf ? &t->side_borders[e.upper_side] : &t->wood_borders;
    a->seed = t->seed;
    a->id = id;
    a->liquid = &t->liquid;
    a->along_leaf = t->along_leaf;
    a->surface = on_leaf ? &t->side[e.upper_side] : &t->wood;
    a->diameter_m = d_m;
    a->alike_m = d_m * (double)b->density_kg_m3[i] / t->liquid.density_kg_m3;
    a->log_speed = (double)base_logf((float)e.normal_speed_m_s + 1e-6f);
    const table_place at = find_place(t, (double)base_logf((float)a->alike_m));
    if (a->log_speed <= border(t->log_adheres[on_leaf ? e.upper_side : 2], at))
        return e; /* at or below the speed at which every droplet adheres: how leaves differ need not be drawn */

    base_random_block(t->seed, BASE_STREAM_IMPACT, id, droplet_impact_block(b, i, 1), bits + 4);
    float sine, cosine; /* two normal numbers, for how leaves differ (Box and Muller) */
    base_sincos_turn((float)base_uniform(bits[5]), &sine, &cosine);
    const double size = LEAF_TO_LEAF * sqrt(-2.0 * (double)base_logf((float)base_uniform(bits[4])));
    const double differs[2] = {size * (double)cosine, size * (double)sine}; /* more outcomes: by turns */
    a->chance = base_uniform(bits[6]);
    a->wet = on_leaf && base_uniform(bits[7]) < t->wet_share;
    for (int o = DROPLET_OUTCOMES - 1; o > DROPLET_ADHERES; o--)
        if (happens(t, a, borders, at, (droplet_outcome)o, differs[o % 2])) {
            e.outcome = (droplet_outcome)o;
            break;
        }
    return e;
}

droplet_encounter droplet_preview(const droplet_setting *s, const droplet_targets *t, const droplet_batch *b, int i)
{
    droplet_arrival a;
    return arrive(s, t, b, i, &a);
}

droplet_encounter droplet_meet(const droplet_setting *s, const droplet_targets *t, droplet_batch *b, int i)
{
    droplet_arrival a;
    droplet_encounter e = arrive(s, t, b, i, &a);
    b->path[i] = 0.0f;
    b->path_limit[i] = e.path_limit;
    if (e.target == DROPLET_ON_GRASS)
        return e;
    double velocity[3] = {(double)b->u_m_s[i], (double)b->v_m_s[i], (double)b->w_m_s[i]};
    if (t->outcome[e.outcome].flies_on)
        t->outcome[e.outcome].flies_on(&a, b, i, velocity, &e);
    b->turbulent_u_m_s[i] = b->turbulent_v_m_s[i] = b->turbulent_w_m_s[i] = b->next_s[i] = 0.0f;
    b->u_m_s[i] = (float)velocity[0];
    b->v_m_s[i] = (float)velocity[1];
    b->w_m_s[i] = (float)velocity[2];
    return e;
}
