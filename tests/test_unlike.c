/* tests/test_unlike.c - how single leaves differ in their deposit: by place, angle and shade, without the noise of few
 * droplets, and what that makes of the cover. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"
#include "check.h"
#include "run_case.h"
#include "tally/unlike.h"

static const double PI = 3.141592653589793;

/* The share of leaf area by kind beside a count of leaves drawn from the spheroid that encounters draw from. */
static void kinds_share_the_leaf_area_out(void **state)
{
    (void)state;
    static const double ratios[] = {0.5, 1.0, 1.5, 3.0};
    for (int i = 0; i < 4; i++) {
        double sum = 0.0, level = 0.0;
        for (int k = 0; k < DROPLET_LEAF_KINDS; k++) {
            sum += droplet_leaf_kind_share(ratios[i], k);
            level += k < 8 ? droplet_leaf_kind_share(ratios[i], k) : 0.0;
        }
        assert_close(sum, 1.0, 1e-12, 0.0);
        if (i == 1) assert_close(level, 1.0 - cos(PI / 6.0), 1e-4, 0.0); /* a sphere's cap of 30 degrees */
    }
    assert_true(droplet_leaf_kind_share(3.0, 0) > droplet_leaf_kind_share(1.0, 0)); /* flatter leaves */
    static const double axes[3][3] = {{0.0, 0.0, 1.0}, {0.6, 0.1, 0.79372539}, {-0.9, 0.1, -0.42426407}};
    assert_true(droplet_leaf_kind(axes[0]) < 8);
    assert_true(droplet_leaf_kind(axes[1]) >= 8 && droplet_leaf_kind(axes[1]) < 16);
    assert_true(droplet_leaf_kind(axes[2]) >= 16);
    const double turned[3] = {0.9, -0.1, 0.42426407}; /* the same leaf from below */
    assert_int_equal(droplet_leaf_kind(turned), droplet_leaf_kind(axes[2]));
}

/* Mean of 1 - exp(-n X) over the gamma distribution, summed up. */
static void unlike_leaves_are_covered_less(void **state)
{
    (void)state;
    for (double layers = 0.05; layers < 4.0; layers *= 2.0)
        for (double v = 0.2; v < 1.0; v += 0.2) {
            const double k = 1.0 / (v * v), step = 1e-4;
            double sum = 0.0;
            for (double x = 0.5 * step; x < 20.0; x += step)
                sum += step * exp(k * log(k) + (k - 1.0) * log(x) - k * x - lgamma(k)) * -expm1(-layers * x);
            assert_close(tally_covered(layers, v * v), sum, 2e-4, 0.0);
            assert_true(tally_covered(layers, v * v) < tally_covered(layers, 0.0));
        }
    assert_close(tally_covered(0.7, 0.0), 1.0 - exp(-0.7), 1e-14, 0.0);
}

enum { ROWS = 1, NZ = 3, NY = 40, NX = 2, VOXELS = ROWS * NZ * NY * NX };

static tally_leaves *leaves_of(float density[VOXELS])
{
    tally_leaves *l = NULL;
    assert_int_equal(tally_leaves_create(ROWS, NZ, NY, NX, &l).code, DRUPELET_OK);
    for (int iz = 0; iz < NZ; iz++)
        l->third[iz] = iz;
    for (int v = 0; v < VOXELS; v++)
        density[v] = 1.0f;
    return l;
}

static tally_foliage foliage_of(const float *density)
{
    tally_foliage f = {
        .leaf_area_density_1_m = density, .voxel_m3 = 1.0, .ny = NY, .cover_1 = 0.5, .leaf_width_m = 0.05};
    for (int k = 0; k < DROPLET_LEAF_KINDS; k++)
        f.kind_share[k] = droplet_leaf_kind_share(1.0, k);
    return f;
}

/* So many droplets at random on leaves of which each voxel gets the same: their noise is no difference. */
static void noise_is_no_difference(void **state)
{
    (void)state;
    static const float down[3] = {0.0f, 0.0f, -1.0f};
    static float density[VOXELS];
    const tally_foliage f = foliage_of(density);
    double mean = 0.0;
    enum { TRIES = 40, DROPLETS = 2000 };
    for (int try = 0; try < TRIES; try++) {
        tally_leaves *l = leaves_of(density);
        for (int i = 0; i < DROPLETS; i++) {
            uint32_t bits[4];
            base_random_block(11, BASE_STREAM_IMPACT, (uint64_t)try << 32 | (uint64_t)i, 0, bits);
            const int v = (int)(base_uniform(bits[0]) * VOXELS), iz = v / (NX * NY), ix = v % NX;
            double of = base_uniform(bits[1]);
            int kind = 0;
            while (kind < DROPLET_LEAF_KINDS - 1 && of >= f.kind_share[kind])
                of -= f.kind_share[kind++];
            tally_leaves_face(l, (int)(bits[2] % TALLY_BATCHES), v, iz, ix, 1, kind, down, TALLY_PARTS / DROPLETS);
        }
        tally_leaves_differ(l, &f);
        for (int t = 0; t < TALLY_THIRDS; t++)
            for (int s = 0; s < TALLY_SIDES; s++) /* 8 droplets a voxel: their noise alone would be 0.12 */
                mean += (l->unlike[t][s].place2 + l->unlike[t][s].angle2[2]) / (TRIES * TALLY_THIRDS * TALLY_SIDES);
        tally_leaves_free(l);
    }
    assert_true(mean < 0.04); /* of 0.2; estimates below 0 count as 0, so a little is left */
}

/* Every other voxel gets three times the rest, with many droplets: (3 - 1)^2 / (3 + 1)^2 = 0.25. All faces one way
 * of three slopes alike: known by its area. Droplets come straight down: tau = 0.5 x 10 widths of 5 cm. */
static void place_angle_and_shade_are_told_apart(void **state)
{
    (void)state;
    static const float down[3] = {0.0f, 0.0f, -1.0f}, ways[2][3] = {{0.6f, 0.0f, -0.8f}, {-0.6f, 0.0f, -0.8f}};
    static float density[VOXELS];
    const tally_foliage f = foliage_of(density);
    tally_leaves *l = leaves_of(density);
    for (int b = 0; b < 2; b++)
        for (int v = 0; v < VOXELS; v++)
            for (int k = 16; k < 24; k++)
                tally_leaves_face(l, b, v, v / (NX * NY), v % NX, 1, k, down, v / NX % NY % 2 ? 3000 : 1000);
    tally_leaves_differ(l, &f);
    const tally_unlike *u = &l->unlike[1][0];
    const double steep = cos(PI / 3.0); /* share of leaf area on slopes of 60 degrees and more */
    assert_close(u->place2, 0.25, 1e-9, 0.0);
    assert_close(u->angle2[2], 1.0 / steep - 1.0, 1e-3, 0.0);
    assert_close(u->angle2[1], u->angle2[2], 1e-12, 0.0);
    assert_true(u->angle2[0] == 0.0); /* nothing on the lower sides */
    assert_close(u->shade2, expm1(0.46 * 0.5 * 0.5), 1e-5, 0.0);
    assert_close(tally_unlike_both(u), 1.25 / steep * (1.0 + u->shade2) - 1.0, 1e-3, 0.0);
    assert_close(l->leaf_to_leaf, sqrt(tally_unlike_both(u)), 1e-6, 0.0); /* all thirds and sides alike */
    tally_leaves_free(l);

    l = leaves_of(density); /* two directions, 37 degrees to either side: a sine of 0.6, a shadow of 1.7 widths */
    for (int b = 0; b < 2; b++)
        for (int v = 0; v < VOXELS; v++)
            tally_leaves_face(l, b, v, v / (NX * NY), v % NX, 1, 0, ways[v / NX % 2], 1000000);
    tally_leaves_differ(l, &f);
    assert_close(l->unlike[1][0].shade2, expm1(0.46 * 0.5 * 0.05 / 0.6), 1e-4, 0.0);
    tally_leaves_free(l);
}

/* Runs of few and of many droplets tell the same, and any number of threads the same bytes. */
static void a_run_tells_how_its_leaves_differ(void **state)
{
    (void)state;
    static const char *const quick[4] = {"run.wind=profiles"}, *const even[4] = {"run.wind=profiles", "canopy.gaps=0 %",
                                                                                "canopy.bough_variation=0 %"};
    run_case few = case_run("apple-wall-full-leaf.yaml", 4000, 1, quick),
             same = case_run("apple-wall-full-leaf.yaml", 4000, 3, quick),
             many = case_run("apple-wall-full-leaf.yaml", 32000, 2, quick),
             plain = case_run("apple-wall-full-leaf.yaml", 32000, 2, even);
    const tally_leaves *f = few.outcome->accounts->leaves, *s = same.outcome->accounts->leaves,
                       *m = many.outcome->accounts->leaves, *p = plain.outcome->accounts->leaves;
    assert_memory_equal(f->unlike, s->unlike, sizeof f->unlike);
    assert_true(f->leaf_to_leaf == s->leaf_to_leaf);
    assert_close(f->leaf_to_leaf, m->leaf_to_leaf, 0.15, 0.0);
    assert_true(p->leaf_to_leaf < m->leaf_to_leaf); /* boughs make leaves differ */
    assert_between(m->unlike_all.angle2[2], 0.02, 1.0 / 3.0); /* one direction alone, spherical leaves: 1/3 */
    assert_between(m->unlike_all.shade2, 0.001, 0.5);
    assert_close(many.result->leaf_to_leaf_percent, 100.0 * m->leaf_to_leaf, 1e-12, 0.0);
    case_end(&plain);
    case_end(&many);
    case_end(&same);
    case_end(&few);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kinds_share_the_leaf_area_out),        cmocka_unit_test(unlike_leaves_are_covered_less),
        cmocka_unit_test(noise_is_no_difference),               cmocka_unit_test(place_angle_and_shade_are_told_apart),
        cmocka_unit_test(a_run_tells_how_its_leaves_differ),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
