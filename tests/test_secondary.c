/* tests/test_secondary.c - what leaves a leaf: oblique and wet impacts, air in droplets, secondary droplets and their
 * books. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "droplet/encounter.h"
#include "droplet/lane.h"
#include "droplet/droplet.h"
#include "run_case.h"

static const droplet_liquid water = {998.2, 72.74e-3, 1.0016e-3}; /* 20 degC, IAPWS */

/* Level leaves of one class (a spheroid of normals drawn out upwards), still air, nothing else to meet. */
static const droplet_setting level = {.leaf_width_m = 0.05f, .angle_ratio = 1e8f, .stokes_per_d2 = 3000.0f};

static droplet_targets targets_by(const droplet_outcome_kind *outcome, scenario_wetting wetting, double wet_share)
{
    drupelet_scenario s;
    droplet_targets t;
    memset(&s, 0, sizeof s);
    s.liquid = (scenario_liquid){.density_kg_m3 = water.density_kg_m3,
                                 .surface_tension_N_m = water.surface_tension_N_m,
                                 .viscosity_Pa_s = water.viscosity_Pa_s};
    for (int side = 0; side < 2; side++)
        s.canopy.leaf_surface[side] = scenario_leaf_of_class(wetting);
    s.canopy.wet_share = wet_share;
    s.canopy.leaf_width_m = s.canopy.wood_diameter_m = 0.05;
    droplet_targets_make_by(outcome, &s, 3, &t);
    return t;
}

static droplet_targets targets_of(scenario_wetting wetting, double wet_share)
{
    return targets_by(droplet_outcomes, wetting, wet_share);
}

typedef struct { double d_m, density_kg_m3, along_m_s, down_m_s; } impact;

static droplet_encounter hit(const droplet_targets *t, const impact *h, uint32_t id, droplet_batch *b)
{
    memset(b, 0, sizeof *b);
    b->id_low[0] = id;
    b->step[0] = 1;
    b->leaf_rate_1_s[0] = 1.0f;
    b->diameter_m[0] = b->whole_m[0] = (float)h->d_m;
    b->density_kg_m3[0] = (float)h->density_kg_m3;
    b->u_m_s[0] = (float)h->along_m_s;
    b->w_m_s[0] = (float)-h->down_m_s;
    return droplet_meet(&level, t, b, 0);
}

enum { HITS = 2000 };

static double share_of(const droplet_targets *t, const impact *h, droplet_outcome outcome)
{
    static droplet_batch b;
    int n = 0;
    for (uint32_t id = 0; id < HITS; id++)
        n += hit(t, h, id, &b).outcome == outcome;
    return (double)n / HITS;
}

/* We and Re go by the normal component: what a droplet does along the leaf changes no outcome. A bounce keeps 5/7 of
 * that (C. X. Bai, A. D. Gosman, SAE 950283 (1995)) and gives the normal part back by droplet_restitution(). */
static void only_the_normal_component_counts(void **state)
{
    (void)state;
    static droplet_batch straight, oblique;
    const droplet_targets t = targets_of(SCENARIO_HARD, 0.0);
    const droplet_leaf_class hard = droplet_leaf_class_of(SCENARIO_HARD);
    const impact down = {300e-6, water.density_kg_m3, 0.0, 3.0}, aslant = {300e-6, water.density_kg_m3, 8.0, 3.0};
    int n_bounced = 0;
    for (uint32_t id = 0; id < HITS; id++) {
        const droplet_encounter a = hit(&t, &down, id, &straight), b = hit(&t, &aslant, id, &oblique);
        assert_int_equal(a.outcome, b.outcome);
        if (b.outcome != DROPLET_BOUNCES)
            continue;
        n_bounced++;
        assert_close((double)oblique.u_m_s[0], 8.0 * 5.0 / 7.0, 1e-3, 0.0);
        assert_close((double)oblique.w_m_s[0], 3.0 * droplet_restitution(300e-6, 3.0, &hard, &water), 5e-3, 0.0);
        assert_true(b.kept == 0.0 && !b.splashed);
    }
    assert_true(n_bounced > HITS / 2);
}

/* Half of the hits at a border's own speed pass it: the scatter is symmetric. 4 standard errors of 2000: 4.5 %. */
static void borders_lie_in_the_middle_of_the_scatter(void **state)
{
    (void)state;
    for (int wetting = SCENARIO_HARD; wetting <= SCENARIO_VERY_HARD; wetting++) {
        const droplet_targets t = targets_of((scenario_wetting)wetting, 0.0);
        const droplet_leaf_class leaf = droplet_leaf_class_of((scenario_wetting)wetting);
        const double d_m = 250e-6;
        const impact bounce = {d_m, water.density_kg_m3, 0.0, droplet_bounce_speed_m_s(d_m, &leaf, &water)};
        const impact shatter = {d_m, water.density_kg_m3, 0.0, droplet_shatter_speed_m_s(d_m, &leaf, &water)};
        assert_close(share_of(&t, &bounce, DROPLET_BOUNCES), 0.5, 0.0, 0.045);
        assert_close(share_of(&t, &shatter, DROPLET_SHATTERS), 0.5, 0.0, 0.045);
    }
}

static bool between_two_speeds(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                               const droplet_liquid *liquid)
{
    (void)leaf;
    (void)liquid;
    return diameter_m > 100e-6 && normal_speed_m_s > 0.5 && normal_speed_m_s < 2.0;
}

/* A row whose outcome begins at no single speed: impacts ask it one by one, each leaf with its own scatter. Half of the
 * hits at either end pass it; a leaf that is 20 % different from the mean does not reach the middle from there. */
static void an_outcome_needs_no_single_threshold(void **state)
{
    (void)state;
    static droplet_batch b;
    droplet_outcome_kind outcome[DROPLET_OUTCOMES];
    memcpy(outcome, droplet_outcomes, sizeof outcome);
    outcome[DROPLET_BOUNCES].happens = between_two_speeds;
    outcome[DROPLET_BOUNCES].border_m_s = NULL;
    const droplet_targets t = targets_by(outcome, SCENARIO_EASY, 0.0), wet = targets_by(outcome, SCENARIO_EASY, 1.0);
    const struct { double d_m, speed_m_s, share; } hits[] = {
        {200e-6, 0.2, 0.0}, {200e-6, 0.5, 0.5}, {200e-6, 1.0, 1.0}, {200e-6, 2.0, 0.5}, {200e-6, 5.0, 0.0},
        {90e-6, 1.0, 0.0}};
    for (size_t i = 0; i < sizeof hits / sizeof hits[0]; i++) {
        const impact at = {hits[i].d_m, water.density_kg_m3, 0.0, hits[i].speed_m_s};
        assert_close(share_of(&t, &at, DROPLET_BOUNCES), hits[i].share, 0.0, 0.045);
        assert_close(share_of(&wet, &at, DROPLET_BOUNCES), 0.0, 0.0, 0.0);
    }
    const impact middle = {200e-6, water.density_kg_m3, 1.0, 1.0};
    const droplet_encounter e = hit(&t, &middle, 5, &b);
    assert_int_equal(e.outcome, DROPLET_BOUNCES);
    assert_true(e.kept == 0.0);
    assert_close((double)b.u_m_s[0], 5.0 / 7.0, 1e-3, 0.0);
}

/* Each row of the table is whole: names differ, and its border is where it begins to happen. */
static void borders_of_the_table_are_where_outcomes_begin(void **state)
{
    (void)state;
    const droplet_leaf_class leaf = droplet_leaf_class_of(SCENARIO_VERY_HARD);
    for (int o = 0; o < DROPLET_OUTCOMES; o++) {
        const droplet_outcome_kind *kind = &droplet_outcomes[o];
        assert_true(kind->name && kind->verb && kind->sentence && kind->happens && kind->letter);
        for (int other = 0; other < o; other++) {
            assert_string_not_equal(kind->name, droplet_outcomes[other].name);
            assert_int_not_equal(kind->letter, droplet_outcomes[other].letter);
        }
        if (!kind->border_m_s)
            continue;
        for (double d_m = 50e-6; d_m < 500e-6; d_m *= 1.5) {
            const double border_m_s = kind->border_m_s(d_m, &leaf, &water);
            assert_true(isfinite(border_m_s));
            assert_false(kind->happens(d_m, 0.999 * border_m_s, &leaf, &water));
            assert_true(kind->happens(d_m, 1.001 * border_m_s, &leaf, &water));
        }
    }
}

/* A wet leaf keeps what a dry one lets bounce; an easy leaf, dry limit 8.4 m/s at 300 um, splashes from the wet wall's
 * 7.2 m/s on; a hard one, 4.7 m/s, no later than when dry. */
static void wet_leaves_keep_or_splash(void **state)
{
    (void)state;
    const droplet_targets dry = targets_of(SCENARIO_HARD, 0.0), wet = targets_of(SCENARIO_HARD, 1.0),
                          half = targets_of(SCENARIO_HARD, 0.5);
    const impact slow = {300e-6, water.density_kg_m3, 0.0, 3.0}, fast = {300e-6, water.density_kg_m3, 0.0, 4.66};
    const double bounced = share_of(&dry, &slow, DROPLET_BOUNCES);
    assert_true(bounced > 0.8);
    assert_close(share_of(&wet, &slow, DROPLET_BOUNCES), 0.0, 0.0, 0.0);
    assert_close(share_of(&half, &slow, DROPLET_BOUNCES), 0.5 * bounced, 0.0, 0.045);
    assert_close(share_of(&wet, &fast, DROPLET_SHATTERS), share_of(&dry, &fast, DROPLET_SHATTERS), 0.0, 1e-9);
    const droplet_targets easy = targets_of(SCENARIO_EASY, 0.0), easy_wet = targets_of(SCENARIO_EASY, 1.0);
    const impact at_film = {300e-6, water.density_kg_m3, 0.0, droplet_wet_wall_splash_m_s(300e-6, &water)};
    assert_close(share_of(&easy_wet, &at_film, DROPLET_SHATTERS), 0.5, 0.0, 0.045);
    assert_true(share_of(&easy, &at_film, DROPLET_SHATTERS) < 0.3);
}

/* C. X. Bai, A. D. Gosman, SAE 950283 (1995): on a wet wall droplets rebound at We 2 to 20, also from leaves that would
 * let none bounce when dry; along the normal they keep 0.993 - 1.76 t + 1.56 t^2 - 0.49 t^3 = 0.178 of it, t = pi/2. */
static void slow_droplets_rebound_from_wet_leaves(void **state)
{
    (void)state;
    static droplet_batch b;
    static const struct { double weber; bool rebounds; } hits[] = {{0.5, false}, {7.0, true}, {60.0, false}};
    droplet_targets wet = targets_of(SCENARIO_EASY, 1.0);
    for (int on = 0; on <= 1; on++) {
        wet.wet_bounce = on;
        for (size_t i = 0; i < sizeof hits / sizeof hits[0]; i++) {
            const double speed_m_s =
                sqrt(hits[i].weber * water.surface_tension_N_m / (water.density_kg_m3 * 200e-6));
            const impact at = {200e-6, water.density_kg_m3, 0.0, speed_m_s};
            assert_close(share_of(&wet, &at, DROPLET_BOUNCES), on && hits[i].rebounds, 0.0, 0.01);
            if (on && hits[i].rebounds) {
                assert_int_equal(hit(&wet, &at, 5, &b).outcome, DROPLET_BOUNCES);
                assert_close((double)b.w_m_s[0], 0.178 * speed_m_s, 1e-2, 0.0);
            }
        }
    }
    wet.wet_bounce = true;
    const impact border = {200e-6, water.density_kg_m3, 0.0, droplet_wet_bounce_m_s(200e-6, &water)};
    assert_close(share_of(&wet, &border, DROPLET_BOUNCES), 0.5, 0.0, 0.045);
}

/* With a share a of air, We falls as 1 - a and K as (1 - a)^0.75: the speed that shatters rises as (1 - a)^-0.6. */
static void air_in_droplets_counts_by_density(void **state)
{
    (void)state;
    const droplet_targets t = targets_of(SCENARIO_HARD, 0.0);
    const droplet_leaf_class hard = droplet_leaf_class_of(SCENARIO_HARD);
    const double d_m = 400e-6, kept = 0.6;
    const droplet_liquid light = {kept * water.density_kg_m3, water.surface_tension_N_m, water.viscosity_Pa_s};
    const double shatter_m_s = droplet_shatter_speed_m_s(d_m, &hard, &light);
    assert_close(shatter_m_s / droplet_shatter_speed_m_s(d_m, &hard, &water), pow(kept, -0.6), 1e-9, 0.0);
    assert_close(droplet_bounce_speed_m_s(d_m, &hard, &light), droplet_bounce_speed_m_s(kept * d_m, &hard, &water),
                 1e-9, 0.0); /* what the encounter builds on */
    const impact at_shatter = {d_m, light.density_kg_m3, 0.0, shatter_m_s},
                 at_bounce = {d_m, light.density_kg_m3, 0.0, droplet_bounce_speed_m_s(d_m, &hard, &light)};
    assert_close(share_of(&t, &at_shatter, DROPLET_SHATTERS), 0.5, 0.0, 0.045);
    assert_close(share_of(&t, &at_bounce, DROPLET_BOUNCES), 0.5, 0.0, 0.045);
}

/* Both parcels of a splash: sizes between 0.09 and 0.9 m^(1/3) d, no faster than a fifth of the impact's energy and the
 * droplet's surface allow (C. X. Bai, H. Rusche, A. D. Gosman, Atomization Sprays 12 (2002) 1), and not alike. Their
 * angles are 5 to 50 degrees off the normal, as there, or off the leaf; on bean leaves the majority leaves almost along
 * it (D. M. Macdonald, H. A. McCartney, Ann. Appl. Biol. 113 (1988) 627), mostly below 3 m/s, up to about 10. */
static void parcels_follow_the_published_splash(void **state)
{
    (void)state;
    static droplet_batch b;
    droplet_targets t = targets_of(SCENARIO_HARD, 0.0);
    const impact h = {300e-6, water.density_kg_m3, 0.0, 9.0};
    const double most_m2_s2 = 0.2 * 9.0 * 9.0 + 12.0 * water.surface_tension_N_m / (water.density_kg_m3 * 300e-6);
    for (int along = 0; along <= 1; along++) {
        int n = 0, n_low = 0;
        double share = 0.0;
        t.along_leaf = along;
        for (uint32_t id = 0; id < HITS; id++) {
            const droplet_encounter e = hit(&t, &h, id, &b);
            if (!e.splashed)
                continue;
            const double thrown = 1.0 - e.kept, whole_m = 300e-6 * cbrt(thrown);
            const float v[2][3] = {{b.u_m_s[0], b.v_m_s[0], b.w_m_s[0]},
                                   {e.second_velocity_m_s[0], e.second_velocity_m_s[1], e.second_velocity_m_s[2]}};
            const double d_m[2] = {(double)b.diameter_m[0], (double)e.second_diameter_m};
            for (int k = 0; k < 2; k++) {
                const double level_m_s = hypot((double)v[k][0], (double)v[k][1]), up_m_s = (double)v[k][2];
                const double off = along ? atan2(up_m_s, level_m_s) : atan2(level_m_s, up_m_s);
                const double off_deg = off * 180.0 / acos(-1.0);
                assert_between(d_m[k] / whole_m, 0.09 - 1e-6, 0.9 + 1e-6);
                assert_between(off_deg, 4.99, 50.01);
                n_low += off_deg < 20.0;
                assert_true(thrown * (level_m_s * level_m_s + up_m_s * up_m_s) < most_m2_s2);
            }
            assert_close((double)b.whole_m[0], d_m[0], 1e-6, 0.0); /* nothing had evaporated */
            assert_close((double)e.second_whole_m, d_m[1], 1e-6, 0.0);
            assert_true(v[0][0] != v[1][0]);
            assert_true(e.second_path_limit > 0.0f);
            share += thrown;
            n++;
        }
        assert_true(n > HITS / 2);
        assert_close(share / n, 0.5, 0.0, 0.05);
        assert_true(along ? n_low > n : n_low < n); /* of 2 n parcels */
    }
}

/* Near a leaf's border all of the energy of motion is lost (Bai et al. 2002). Leaves differ, so that some of those that
 * splash at the mean border's speed are near theirs; with a plain fifth left everywhere none would be this slow. */
static void at_its_border_a_splash_has_no_speed_left(void **state)
{
    (void)state;
    static droplet_batch b;
    const droplet_targets t = targets_of(SCENARIO_EASY, 0.0);
    const droplet_leaf_class easy = droplet_leaf_class_of(SCENARIO_EASY);
    const impact h = {100e-6, water.density_kg_m3, 0.0, droplet_shatter_speed_m_s(100e-6, &easy, &water)};
    const double few_m2_s2 = 0.05 * h.down_m_s * h.down_m_s
                             + 12.0 * water.surface_tension_N_m / (water.density_kg_m3 * h.d_m);
    int n = 0, n_slow = 0;
    for (uint32_t id = 0; id < HITS; id++) {
        const droplet_encounter e = hit(&t, &h, id, &b);
        if (e.outcome != DROPLET_SHATTERS)
            continue;
        const double u = (double)b.u_m_s[0], v = (double)b.v_m_s[0], w = (double)b.w_m_s[0];
        n_slow += !e.splashed || (1.0 - e.kept) * (u * u + v * v + w * w) < few_m2_s2;
        n++;
    }
    assert_true(n > HITS / 4 && n_slow > n / 20);
}

/* The quantiles against the law itself, d^3 exp(-d/s) integrated by Simpson's rule: 1e-5 of the volume. */
static void sizes_follow_the_exponential_law(void **state)
{
    (void)state;
    enum { STEPS = 2000 };
    for (double over = 1.2; over < 8.0; over *= 1.8) {
        const droplet_splash splash = droplet_splash_of(300e-6, 0.5, over);
        const droplet_splash_law law = droplet_splash_law_of(300e-6, &splash);
        assert_close(law.scale_m, 300e-6 * cbrt(0.5 / (6.0 * splash.count)), 1e-9, 0.0);
        for (double share = 0.1; share < 0.95; share += 0.2) {
            const double upto_m = droplet_splash_quantile_m(&law, share);
            double part[2], surface = 0.0, volume = 0.0;
            for (int k = 0; k < 2; k++) {
                const double to_m = k == 0 ? upto_m : law.most_m, step_m = (to_m - law.least_m) / STEPS;
                volume = surface = 0.0;
                for (int i = 0; i <= STEPS; i++) {
                    const double d_m = law.least_m + i * step_m;
                    const double weight = i == 0 || i == STEPS ? 1.0 : 2.0 + 2.0 * (i % 2);
                    volume += weight * d_m * d_m * d_m * exp(-d_m / law.scale_m) * step_m / 3.0;
                    surface += weight * d_m * d_m * exp(-d_m / law.scale_m) * step_m / 3.0;
                }
                part[k] = volume;
            }
            assert_close(part[0] / part[1], share, 0.0, 1e-5);
            assert_close(droplet_splash_sauter_m(&law), volume / surface, 1e-6, 0.0);
        }
    }
}

static void a_lane_moves_whole(void **state)
{
    (void)state;
    static droplet_batch a, b;
    droplet_lane lane;
    unsigned char *bytes = (unsigned char *)&a;
    for (size_t i = 0; i < sizeof a; i++)
        bytes[i] = (unsigned char)(i * 7 + i / 251);
    memset(&b, 0, sizeof b);
    droplet_lane_take(&a, 5, &lane);
    droplet_lane_put(&lane, &b, 47);
    assert_memory_equal(&a.x_m[5], &b.x_m[47], 4);
    assert_memory_equal(&a.id_high[5], &b.id_high[47], 4);
    assert_memory_equal(&a.voxel[5], &b.voxel[47], 4);
    int n_zero = 0;
    for (size_t i = 0; i < sizeof b / 4; i++)
        n_zero += ((const uint32_t *)(const void *)&b)[i] == 0;
    assert_int_equal(n_zero, (int)(sizeof b / 4) - DROPLET_LANE_ROWS); /* no other lane was touched */
}

/* Large droplets on hard leaves: much shatters, parcels wait, and every part is booked once, for any number of
 * threads. */
static void parcels_keep_the_books(void **state)
{
    (void)state;
    static const char *const set[4] = {"canopy.upper_side=very_hard", "canopy.lower_side=very_hard",
                                       "canopy.upper_shatter_limit=20", "canopy.lower_shatter_limit=20"};
    run_case one = case_run("apple-wall-air-induction.yaml", 12000, 1, set),
             three = case_run("apple-wall-air-induction.yaml", 12000, 3, set);
    const tally *a = one.outcome->accounts, *b = three.outcome->accounts;
    double shattered = 0.0, emitted = 0.0;
    for (int batch = 0; batch < TALLY_BATCHES; batch++) {
        int64_t sum = 0, sized = 0;
        for (int f = 0; f < TALLY_FATES; f++) {
            sum += a->fate[batch][f];
            assert_int_equal(a->fate[batch][f], b->fate[batch][f]);
            assert_int_equal(a->water[batch][f], b->water[batch][f]);
            for (int size = 0; size < TALLY_SIZES; size++)
                sized += a->size_fate[batch][size][f];
        }
        assert_int_equal(sum, a->emitted[batch][0]);
        assert_int_equal(sized, a->emitted[batch][0]);
        assert_int_equal(a->evaporated[batch][0], b->evaporated[batch][0]);
        shattered += (double)a->impacts[batch][TALLY_LEAF][DROPLET_SHATTERS];
        emitted += (double)a->emitted[batch][0];
    }
    assert_true(shattered > 0.3 * emitted);
    assert_int_equal(one.result->n_steps, three.result->n_steps);
    case_end(&one);
    case_end(&three);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_the_normal_component_counts),
        cmocka_unit_test(borders_lie_in_the_middle_of_the_scatter),
        cmocka_unit_test(an_outcome_needs_no_single_threshold),
        cmocka_unit_test(borders_of_the_table_are_where_outcomes_begin),
        cmocka_unit_test(wet_leaves_keep_or_splash),
        cmocka_unit_test(air_in_droplets_counts_by_density),
        cmocka_unit_test(parcels_follow_the_published_splash),
        cmocka_unit_test(at_its_border_a_splash_has_no_speed_left),
        cmocka_unit_test(slow_droplets_rebound_from_wet_leaves),
        cmocka_unit_test(sizes_follow_the_exponential_law),
        cmocka_unit_test(a_lane_moves_whole),
        cmocka_unit_test(parcels_keep_the_books),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
