/* tests/test_retention.c - run-off: the law of a place's leaves beside sums over them, and runs with more and more
 * spray. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "droplet/droplet.h"
#include "run_case.h"
#include "tally/leaves.h"

static void incomplete_gamma_has_its_closed_forms(void **state)
{
    (void)state;
    /* whole a: exp(-x) sum of x^n/n! below a; a = 1/2: erfc of the root (NIST DLMF 8.4.6, 8.4.10) */
    for (double x = 0.01; x < 60.0; x *= 1.7) {
        double term = exp(-x), sum = term;
        for (int a = 1; a <= 30; a++) {
            assert_close(droplet_gamma_above(a, x), sum, 1e-11, 1e-14);
            term *= x / a;
            sum += term;
        }
        assert_close(droplet_gamma_above(0.5, x), erfc(sqrt(x)), 1e-11, 1e-14);
    }
    assert_close(droplet_gamma_above(3.0, 0.0), 1.0, 0.0, 0.0);
}

/* The same by adding up leaves: the gamma density in many steps. */
static double lost_by_sum(double filling, double variation)
{
    const double k = 1.0 / (variation * variation), step = 1e-4;
    double lost = 0.0;
    for (double z = 0.5 * step; z < 8.0; z += step) /* deposit over its mean */
        lost += step * exp(k * log(k) + (k - 1.0) * log(z) - k * z - lgamma(k)) * fmax(filling * z - 1.0, 0.0);
    return lost / filling;
}

static void the_law_adds_up_leaves(void **state)
{
    (void)state;
    for (double filling = 0.3; filling < 6.0; filling *= 1.5)
        for (double variation = 0.1; variation < 0.6; variation += 0.1)
            assert_close(droplet_run_off(filling, variation).lost, lost_by_sum(filling, variation), 1e-6, 1e-9);
    assert_close(droplet_run_off(0.0, 0.35).lost, 0.0, 0.0, 0.0);
    assert_close(droplet_run_off(0.9, 0.0).lost, 0.0, 0.0, 0.0);
    assert_close(droplet_run_off(4.0, 0.0).lost, 0.75, 1e-15, 0.0);
    assert_close(droplet_run_off(4.0, 0.0201).lost, droplet_run_off(4.0, 0.0199).lost, 1e-3, 0.0);
}

static void what_the_next_bit_loses_is_the_slope(void **state)
{
    (void)state;
    for (double f = 0.3; f < 6.0; f *= 1.5) {
        const double h = 1e-4 * f, more = (f + h) * droplet_run_off(f + h, 0.35).lost,
                     less = (f - h) * droplet_run_off(f - h, 0.35).lost;
        assert_close(droplet_run_off(f, 0.35).marginal, (more - less) / (2.0 * h), 1e-5, 1e-9);
    }
}

/* Of leaves that differ by 0.35, as in one region of a peach tree. */
static void usual_leaves_lose_nothing_and_full_ones_a_tenth(void **state)
{
    (void)state;
    assert_true(droplet_run_off(0.3, 0.35).lost < 1e-5);
    /* 10 to 15 % at the point of run-off, trees and vines: common practice */
    const double at_the_point = droplet_run_off(1.0, 0.35).lost;
    assert_true(at_the_point > 0.10 && at_the_point < 0.15);
    double before = 0.0;
    for (double f = 0.1; f < 30.0; f *= 1.2) {
        const double held = f * (1.0 - droplet_run_off(f, 0.35).lost);
        assert_true(held >= before - 1e-12 && held <= 1.0 + 1e-12); /* rises to the retention and stays there */
        before = held;
    }
    assert_close(before, 1.0, 1e-6, 0.0);
}

/* ---- runs ---- */

enum { DROPLETS = 20000 };

static const tally_where ALL = {-1, -1, -1, -1};

typedef struct { double liquid_mm, run_off, error, leaf; } leaves_of_run;

static leaves_of_run leaves_of(const run_case *c)
{
    const tally *a = c->outcome->accounts;
    tally_coverage *coverage;
    assert_int_equal(tally_check(a).code, DRUPELET_OK);
    assert_int_equal(tally_coverage_create(a, &coverage).code, DRUPELET_OK);
    const tally_estimate run_off = tally_run_off(a);
    const leaves_of_run l = {1e3 * tally_leaf_liquid_m(coverage, ALL).share, run_off.share, run_off.error,
                             tally_share(a, &a->fate[0][TALLY_LEAF], TALLY_FATES).share};
    tally_coverage_free(coverage);
    return l;
}

static leaves_of_run run_at(const char *speed, const char *size, const char *retention)
{
    char set_speed[64], set_size[64];
    snprintf(set_speed, sizeof set_speed, "sprayer.travel_speed=%s", speed);
    snprintf(set_size, sizeof set_size, "tips.fine cone.size=%s", size);
    run_case c = case_run("apple-wall-full-leaf.yaml", DROPLETS, 2,
                          (const char *[4]){set_speed, set_size, retention});
    const leaves_of_run l = leaves_of(&c);
    case_end(&c);
    return l;
}

/* The point of run-off: less speed and larger tips bring more, the leaves hold more until they are full. */
static void leaves_fill_up_and_then_hold_no_more(void **state)
{
    (void)state;
    const leaves_of_run usual = run_at("6 km/h", "01", NULL), much = run_at("1.5 km/h", "03", NULL),
                        more = run_at("0.5 km/h", "04", NULL), most = run_at("0.5 km/h", "08", NULL);
    print_message("held %.4f %.4f %.4f %.4f mm, dripped %.4f %.4f %.4f %.4f\n", usual.liquid_mm, much.liquid_mm,
                  more.liquid_mm, most.liquid_mm, usual.run_off, much.run_off, more.run_off, most.run_off);
    assert_true(usual.run_off < 1e-6); /* some 240 L/ha */
    assert_true(much.run_off > usual.run_off && more.run_off > much.run_off && most.run_off > more.run_off);
    assert_true(much.liquid_mm > 5.0 * usual.liquid_mm);
    /* mean over all leaves: what is in reach is full, so 2 times the spray adds little, and never beyond 0.15 mm */
    assert_true(most.liquid_mm < 0.15 && most.liquid_mm > more.liquid_mm);
    assert_true(most.liquid_mm < 1.25 * more.liquid_mm);
    assert_true(more.error > 0.0 && more.error < 0.1 * more.run_off);
}

static void what_drips_left_the_leaves(void **state)
{
    (void)state;
    /* the same droplets, once with leaves that hold less: what is missing on the leaves has dripped */
    const leaves_of_run large = run_at("1 km/h", "03", "canopy.retention=0.5 mm"),
                        small = run_at("1 km/h", "03", "canopy.retention=0.05 L/m2");
    assert_close(large.leaf + large.run_off, small.leaf + small.run_off, 1e-12, 0.0);
    assert_true(small.run_off > large.run_off + 0.1);
}

/* Few droplets know the layer on a cell badly; that alone must not drip. */
static void few_droplets_do_not_drip_more(void **state)
{
    (void)state;
    static const char *const set[4] = {"sprayer.travel_speed=0.8 km/h", "tips.fine cone.size=03"};
    run_case few = case_run("apple-wall-full-leaf.yaml", 20000, 2, set),
             many = case_run("apple-wall-full-leaf.yaml", 160000, 2, set);
    const leaves_of_run a = leaves_of(&few), b = leaves_of(&many);
    print_message("dripped %.4f +/- %.4f with few droplets, %.4f +/- %.4f with many\n", a.run_off, a.error, b.run_off,
                  b.error);
    assert_true(b.run_off > 0.01);
    assert_true(fabs(a.run_off - b.run_off) < 3.0 * hypot(a.error, b.error));
    case_end(&few);
    case_end(&many);
}

static void dripping_moves_every_account(void **state)
{
    (void)state;
    static const char *const wet[4] = {"sprayer.travel_speed=0.5 km/h", "tips.fine cone.size=04"};
    static const char *const dry[4] = {"sprayer.travel_speed=0.5 km/h", "tips.fine cone.size=04",
                                       "canopy.retention=0.5 mm"};
    run_case one = case_run("apple-wall-full-leaf.yaml", DROPLETS, 1, wet),
             again = case_run("apple-wall-full-leaf.yaml", DROPLETS, 5, wet),
             holds = case_run("apple-wall-full-leaf.yaml", DROPLETS, 2, dry);
    const tally *a = one.outcome->accounts, *b = again.outcome->accounts, *h = holds.outcome->accounts;
    const int64_t n = tally_leaves_cells(a->leaves);
    assert_memory_equal(a->leaves->cell, b->leaves->cell, TALLY_BATCHES * (size_t)n * sizeof *a->leaves->cell);
    assert_memory_equal(a->leaves->run_off, b->leaves->run_off, sizeof a->leaves->run_off);
    assert_memory_equal(a->voxel, b->voxel, (size_t)a->shape.n_voxels * sizeof *a->voxel);
    assert_memory_equal(a->ground, b->ground, TALLY_BATCHES * (size_t)a->shape.n_ground * sizeof *a->ground);
    for (int i = 0; i < TALLY_BATCHES; i++) {
        const int64_t more = a->leaves->run_off[i] - h->leaves->run_off[i];
        int64_t by_size = 0;
        assert_true(more > 0);
        assert_true(h->fate[i][TALLY_LEAF] - a->fate[i][TALLY_LEAF] == more);
        assert_true(a->fate[i][TALLY_GROUND_ROW] - h->fate[i][TALLY_GROUND_ROW] == more);
        assert_true(h->water[i][TALLY_LEAF] - a->water[i][TALLY_LEAF]
                    == a->water[i][TALLY_GROUND_ROW] - h->water[i][TALLY_GROUND_ROW]);
        assert_true(h->water[i][TALLY_LEAF] > a->water[i][TALLY_LEAF]);
        for (int k = 0; k < TALLY_SIZES; k++) {
            assert_true(a->size_fate[i][k][TALLY_LEAF] <= h->size_fate[i][k][TALLY_LEAF]);
            by_size += a->size_fate[i][k][TALLY_GROUND_ROW] - h->size_fate[i][k][TALLY_GROUND_ROW];
        }
        assert_true(by_size == more);
    }
    /* what arrived is the same: stains and numbers of droplets */
    for (int64_t i = 0; i < TALLY_BATCHES * n; i++)
        for (int side = 0; side < 2; side++)
            assert_true(a->leaves->cell[i].stain[side] == h->leaves->cell[i].stain[side]
                        && a->leaves->cell[i].number[side] == h->leaves->cell[i].number[side]);
    case_end(&one);
    case_end(&again);
    case_end(&holds);
}

/* A leafless wall at 3600 L/ha: wood drips, and what it lacks lies below it, in every account; at 240 L/ha it does
 * not. */
static void wood_drips(void **state)
{
    (void)state;
    static const char *const little[4] = {"run.wind=profiles"};
    static const char *const wet[4] = {"run.wind=profiles", "sprayer.travel_speed=0.8 km/h", "tips.fine cone.size=02"};
    static const char *const dry[4] = {"run.wind=profiles", "sprayer.travel_speed=0.8 km/h", "tips.fine cone.size=02",
                                       "canopy.wood_retention=5 L/m2"};
    run_case usual = case_run("apple-wall-dormant.yaml", DROPLETS, 2, little),
             drips = case_run("apple-wall-dormant.yaml", DROPLETS, 1, wet),
             holds = case_run("apple-wall-dormant.yaml", DROPLETS, 3, dry);
    const tally *u = usual.outcome->accounts, *a = drips.outcome->accounts, *h = holds.outcome->accounts;
    assert_int_equal(tally_check(a).code, DRUPELET_OK);
    const tally_estimate dripped = tally_wood_run_off(a);
    print_message("wood keeps %.3f of the output at 240 L/ha; of much more %.3f, and %.3f +/- %.3f drips\n",
                  tally_share(u, &u->fate[0][TALLY_WOOD], TALLY_FATES).share,
                  tally_share(a, &a->fate[0][TALLY_WOOD], TALLY_FATES).share, dripped.share, dripped.error);
    assert_true(tally_wood_run_off(u).share < 1e-6 && tally_wood_run_off(h).share < 1e-6);
    assert_true(dripped.share > 0.02 && dripped.error < 0.2 * dripped.share);
    assert_close(drips.result->wood_run_off.share, dripped.share, 0.0, 0.0);
    for (int b = 0; b < TALLY_BATCHES; b++) {
        const int64_t less = h->fate[b][TALLY_WOOD] - a->fate[b][TALLY_WOOD];
        assert_true(less > 0 && less == a->leaves->wood_run_off[b]);
        assert_true(a->fate[b][TALLY_GROUND_ROW] - h->fate[b][TALLY_GROUND_ROW] == less);
        assert_true(h->water[b][TALLY_WOOD] - a->water[b][TALLY_WOOD]
                    == a->water[b][TALLY_GROUND_ROW] - h->water[b][TALLY_GROUND_ROW]);
    }
    case_end(&usual);
    case_end(&drips);
    case_end(&holds);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(incomplete_gamma_has_its_closed_forms),
        cmocka_unit_test(the_law_adds_up_leaves),
        cmocka_unit_test(what_the_next_bit_loses_is_the_slope),
        cmocka_unit_test(usual_leaves_lose_nothing_and_full_ones_a_tenth),
        cmocka_unit_test(leaves_fill_up_and_then_hold_no_more),
        cmocka_unit_test(what_drips_left_the_leaves),
        cmocka_unit_test(few_droplets_do_not_drip_more),
        cmocka_unit_test(dripping_moves_every_account),
        cmocka_unit_test(wood_drips),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
