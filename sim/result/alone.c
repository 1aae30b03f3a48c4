/* sim/result/alone.c - a droplet alone: let go at the top of the crowns into the mean wind over open ground, how it
 * falls, how far the wind takes it, how it dries; and what a leaf does to it in air of a speed.
 *
 * It falls at its speed of settling and moves with the wind of its height: gusts and eddies, the fan's air and the
 * orchard are left out. At a leaf: the share of the droplets in the leaf's path that hit it (the law of impaction.c),
 * and what happens where one hits a mean dry leaf squarely at the speed of the air. */
#include <math.h>

#include "air/wind.h"
#include "base/moist_air.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "droplet/outcome.h"
#include "result/quantity.h"

/* Round numbers that a class can speak of, from what drifts whole to what falls like rain (choice). */
static const double SIZE_UM[RESULT_ALONE_SIZES] = {15,  20,  25,  30,  40,  50,  60,  80, 100,
                                                   120, 150, 200, 250, 300, 400, 500, 700};
/* From a breath of air to the outlet of a fan (choice). */
static const double SPEED_M_S[RESULT_ALONE_SPEEDS] = {0.5, 1, 2, 3, 4, 5, 7, 10, 15, 20, 30};

/* A path ends on the ground, or where one of these is reached (choices): a speck goes on for hours. */
static const double FARTHEST_M = 200.0, LONGEST_S = 600.0;
enum { STEPS = 150, PLACES = 4 * STEPS + 1 };

static const char *side_name(int i)
{
    static const char *const name[] = {"lower", "upper"};
    return i >= 0 && i < 2 ? name[i] : NULL;
}

static const result_quantity QUANTITIES[] = {
    {"size", NULL, RESULT_DOUBLE, "um", "diameter when let go", RESULT_AT(alone.size_um),
     RESULT_IN_PAGE | RESULT_MAY_LACK, .length = RESULT_ALONE_SIZES},
    {"point", NULL, RESULT_INT32, "1", "point of the path, in the order of time", .length = RESULT_ALONE_POINTS,
     .place.none = true},
    {"time", "size point", RESULT_DOUBLE, "s", "time since it was let go", RESULT_AT(alone.time_s),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"distance", "size point", RESULT_DOUBLE, "m", "how far the wind has taken it", RESULT_AT(alone.distance_m),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"height", "size point", RESULT_DOUBLE, "m", "height above the ground", RESULT_AT(alone.height_m),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"diameter", "size point", RESULT_DOUBLE, "um", "diameter that is left", RESULT_AT(alone.diameter_um),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"fall_speed", "size", RESULT_DOUBLE, "m/s", "speed of fall in still air when let go", RESULT_AT(alone.fall_m_s),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"dry_after", "size", RESULT_DOUBLE, "s",
     "time until its water has evaporated as it falls, however deep; not a number where it stays",
     RESULT_AT(alone.dry_after_s), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"speed", NULL, RESULT_DOUBLE, "m/s", "speed of the air at a leaf", RESULT_AT(alone.speed_m_s),
     RESULT_IN_PAGE | RESULT_MAY_LACK, .length = RESULT_ALONE_SPEEDS},
    {"leaf_side", NULL, RESULT_TEXT, NULL, "side of a leaf", .length = 2, .word = side_name, .place.none = true},
    {"hits", "size speed", RESULT_DOUBLE, "1", "share of the droplets in a leaf's path that hit it",
     RESULT_AT(alone.hits), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1.0},
    {"outcome", "leaf_side size speed", RESULT_INT8, "1", "outcome where one hits a mean dry leaf squarely",
     RESULT_AT(alone.outcome), RESULT_IN_PAGE | RESULT_MAY_LACK, .word = droplet_outcome_name,
     .n_words = DROPLET_OUTCOMES},
};

/* What a droplet needs from the scenario. */
typedef struct {
    const drupelet_scenario *scenario;
    base_air air;
    air_wind wind;
    double density_kg_m3;
} surroundings;

typedef struct {
    double t_s, x_m, z_m, d_m;
} place;

/* In each step it falls, is carried, loses of d^2 or grows older by one STEPS-th of the most that it can, whichever
 * comes first. @return number of places, 1 or more */
static int fall(const surroundings *s, double diameter_m, place path[PLACES])
{
    const scenario_liquid *liquid = &s->scenario->liquid;
    const double dry_m = droplet_dry_diameter_m(diameter_m, liquid->nonvolatile);
    const double dry2 = dry_m * dry_m, all2 = diameter_m * diameter_m - dry2, top_m = s->scenario->canopy.height_m;
    place p = {0.0, 0.0, top_m, diameter_m};
    droplet_falling f = {0.0, 0.0};
    double of_m = 0.0; /* diameter that f is of */
    int n = 0;
    path[n++] = p;
    while (n < PLACES && p.z_m > 0.0 && p.x_m < FARTHEST_M && p.t_s < LONGEST_S) {
        if (p.d_m != of_m) {
            f = droplet_falling_at(s->scenario->run.ventilation, p.d_m, s->density_kg_m3, liquid->surface_tension_N_m,
                                   &s->air);
            of_m = p.d_m;
        }
        const double left2 = p.d_m * p.d_m - dry2, drying = left2 > 0.0 ? fmax(f.area_rate_m2_s, 0.0) : 0.0;
        const double wind_m_s = fabs(air_wind_speed_m_s(&s->wind, 0.0, p.z_m));
        double dt_s = fmin(LONGEST_S, top_m / f.speed_m_s) / STEPS;
        if (wind_m_s > 0.0) dt_s = fmin(dt_s, FARTHEST_M / STEPS / wind_m_s);
        if (drying > 0.0) dt_s = fmin(dt_s, fmin(all2 / STEPS, left2) / drying);
        if (p.z_m < f.speed_m_s * dt_s) dt_s = p.z_m / f.speed_m_s;
        p.t_s += dt_s;
        p.x_m += wind_m_s * dt_s;
        p.z_m = fmax(p.z_m - f.speed_m_s * dt_s, 0.0);
        p.d_m = sqrt(fmax(p.d_m * p.d_m - drying * dt_s, dry2));
        path[n++] = p;
    }
    return n;
}

/* Points of it for a picture: as far from one another, over what the path spans in distance, height and size. */
static void keep_points(const place *path, int n, int i_size, result_alone_droplet *a)
{
    const place first = path[0], last = path[n - 1];
    const double wide = fmax(last.x_m - first.x_m, 1e-9), high = fmax(first.z_m - last.z_m, 1e-9),
                 small = fmax(first.d_m - last.d_m, 1e-9);
    double all = 0.0, gone = 0.0;
    for (int i = 1; i < n; i++)
        all += (path[i].x_m - path[i - 1].x_m) / wide + (path[i - 1].z_m - path[i].z_m) / high
               + (path[i - 1].d_m - path[i].d_m) / small;
    for (int k = 0, i = 0; k < RESULT_ALONE_POINTS; k++) {
        const double to = all * k / (RESULT_ALONE_POINTS - 1);
        double next = gone;
        while (i < n - 1 && (k == RESULT_ALONE_POINTS - 1 || next < to - 1e-12)) {
            i++;
            next += (path[i].x_m - path[i - 1].x_m) / wide + (path[i - 1].z_m - path[i].z_m) / high
                    + (path[i - 1].d_m - path[i].d_m) / small;
        }
        gone = next;
        a->time_s[i_size][k] = path[i].t_s;
        a->distance_m[i_size][k] = path[i].x_m;
        a->height_m[i_size][k] = path[i].z_m;
        a->diameter_um[i_size][k] = 1e6 * path[i].d_m;
    }
}

static void meet_leaves(const surroundings *s, int i_size, result_alone_droplet *a)
{
    const scenario_liquid *l = &s->scenario->liquid;
    const scenario_canopy *c = &s->scenario->canopy;
    const droplet_liquid liquid = {l->density_kg_m3, l->surface_tension_N_m, l->viscosity_Pa_s};
    const droplet_collector leaf = droplet_leaf_collector(c);
    const double d_m = 1e-6 * SIZE_UM[i_size], stop_s = droplet_stokes_time_s(d_m, s->density_kg_m3, &s->air);
    for (int v = 0; v < RESULT_ALONE_SPEEDS; v++) {
        a->hits[i_size][v] = fmin(droplet_target_efficiency(&leaf, d_m, stop_s * SPEED_M_S[v] / leaf.width_m), 1.0);
        for (int side = 0; side < 2; side++)
            a->outcome[side][i_size][v] =
                (int8_t)droplet_leaf_outcome(d_m, SPEED_M_S[v], &c->leaf_surface[side], &liquid);
    }
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const scenario_weather *w = &o->scenario->weather;
    const surroundings s = {o->scenario, base_moist_air(w->temperature_K, w->relative_humidity, w->pressure_Pa),
                            air_wind_of(o->scenario), sprayer_mean_density_kg_m3(&o->sprayer)};
    result_alone_droplet *a = &r->alone;
    for (int v = 0; v < RESULT_ALONE_SPEEDS; v++)
        a->speed_m_s[v] = SPEED_M_S[v];
    if (r->for_sweep) return base_ok();
#pragma omp parallel for schedule(dynamic) num_threads(o->n_threads > 1 ? o->n_threads : 1)
    for (int i = 0; i < RESULT_ALONE_SIZES; i++) {
        place path[PLACES];
        const double d_m = 1e-6 * SIZE_UM[i];
        const droplet_life life = droplet_free_fall_by(s.scenario->run.ventilation, d_m, s.density_kg_m3,
                                                       s.scenario->liquid.nonvolatile, &s.air);
        const int n = fall(&s, d_m, path);
        a->size_um[i] = SIZE_UM[i];
        a->fall_m_s[i] =
            droplet_settling_speed_m_s(d_m, s.density_kg_m3, s.scenario->liquid.surface_tension_N_m, &s.air);
        a->dry_after_s[i] = isfinite(life.lifetime_s) ? life.lifetime_s : NAN;
        keep_points(path, n, i, a);
        meet_leaves(&s, i, a);
    }
    return base_ok();
}

const result_group result_alone = {
    "alone", "a droplet alone in the open wind, and at a leaf", QUANTITIES, RESULT_COUNT(QUANTITIES), NULL, fill, NULL};
