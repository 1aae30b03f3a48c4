/* tests/test_orchard.c - crown shapes, and voxels that hold the leaf and wood area that the scenario says. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "grown.h"
#include "orchard/orchard.h"

static const double PI = 3.141592653589793;

/* A block made by hand: trees 3 m apart in rows 4 m apart. */
static drupelet_scenario block(scenario_crown crown)
{
    drupelet_scenario s = {.run.seed = 5};
    s.orchard = (scenario_orchard){.n_rows = 3, .row_spacing_m = 4.0, .tree_spacing_m = 3.0, .n_trees = 4};
    s.canopy = (scenario_canopy){.crown = crown,
                                 .height_m = 3.6,
                                 .base_m = 0.6,
                                 .width_m = 2.0,
                                 .leaf_area_index = 1.8,
                                 .wood_area_index = 0.15,
                                 .wood_diameter_m = 0.01,
                                 .clumping = 1.0,
                                 .drag_coefficient = 0.2,
                                 .bough_size_m = 0.4,
                                 .voxel_m = 0.2};
    return s;
}

static double voxel_m3(const orchard_canopy *c)
{
    return c->edge_m * c->edge_m * c->edge_y_m;
}

static double area_m2(const orchard_canopy *c, const float *density, int64_t first, int64_t n)
{
    double sum = 0.0;
    for (int64_t v = first; v < first + n; v++)
        sum += (double)density[v];
    return sum * voxel_m3(c);
}

static void leaf_and_wood_area_are_met(void **state)
{
    (void)state;
    for (int crown = SCENARIO_WALL; crown <= SCENARIO_BOWL; crown++) {
        drupelet_scenario s = block((scenario_crown)crown);
        s.canopy.gap_fraction = 0.3;
        s.canopy.tree_variation = 0.25;
        orchard_canopy *c = grown(&s);
        const double ground_m2 = 4.0 * 12.0;
        const int64_t per_row = orchard_voxels(c) / c->n_rows;
        /* single precision in the voxels */
        assert_close(area_m2(c, c->leaf_area_density_1_m, 0, orchard_voxels(c)), 1.8 * 3 * ground_m2, 1e-6, 0.0);
        for (int row = 0; row < 3; row++)
            assert_close(area_m2(c, c->wood_area_density_1_m, row * per_row, per_row), 0.15 * ground_m2, 1e-6, 0.0);
        for (int64_t v = 0; v < orchard_voxels(c); v++)
            assert_true(c->leaf_area_density_1_m[v] >= 0.0f && c->wood_area_density_1_m[v] >= 0.0f);
        orchard_free(c);
    }
}

static void voxels_fill_the_period_and_the_width(void **state)
{
    (void)state;
    static const double voxels_m[] = {0.13, 0.2, 0.35, 0.7};
    for (int i = 0; i < 4; i++) {
        drupelet_scenario s = block(SCENARIO_GLOBE);
        s.canopy.voxel_m = voxels_m[i];
        orchard_canopy *c = grown(&s);
        assert_close(c->period_m, 12.0, 1e-12, 0.0);
        assert_close(c->ny * c->edge_y_m, 12.0, 1e-12, 0.0);
        assert_close(c->edge_y_m, voxels_m[i], 0.25, 0.0);
        assert_int_equal(c->nx % 2, 0); /* no voxel on both sides of the row line */
        assert_close(c->half_width_m, 0.5 * c->nx * c->edge_m, 1e-12, 0.0);
        assert_between(c->half_width_m, 1.0, 1.0 + voxels_m[i]);
        assert_between(c->nz * c->edge_m, 3.6 - 1e-9, 3.6 + voxels_m[i]);
        orchard_free(c);
    }
}

/* LAI x spacing over the wall's section: 1.8 x 4 / (2 x 3) = 1.2 m2/m3, everywhere inside. */
static void a_whole_wall_is_uniform(void **state)
{
    (void)state;
    const drupelet_scenario s = block(SCENARIO_WALL);
    orchard_canopy *c = grown(&s);
    assert_int_equal(c->nx, 10);
    assert_int_equal(c->nz, 18);
    for (int iz = 0; iz < c->nz; iz++)
        for (int iy = 0; iy < c->ny; iy++)
            for (int ix = 0; ix < c->nx; ix++)
                assert_close((double)c->leaf_area_density_1_m[grown_at(c, 1, iz, iy, ix)], iz < 3 ? 0.0 : 1.2, 1e-6,
                             0.0);
    orchard_free(c);
}

/* Leaf area over crown volume. Globe: an ellipsoid, 4/3 pi (1 m)^2 x 1.5 m. The others: a fine count of points. */
static void density_is_leaf_area_over_crown_volume(void **state)
{
    (void)state;
    for (int crown = SCENARIO_CONE; crown <= SCENARIO_BOWL; crown++) {
        drupelet_scenario s = block((scenario_crown)crown);
        s.canopy.voxel_m = 0.1;
        int64_t inside = 0;
        const int n = 100;
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n; j++)
                for (int k = 0; k < n; k++)
                    inside += orchard_crown_density(&s.canopy, 3.0, 2.0 * (i + 0.5) / n - 1.0,
                                                    2.0 * (j + 0.5) / n - 1.0, 0.6 + 3.0 * (k + 0.5) / n)
                              > 0.0;
        const double volume_m3 = 12.0 * (double)inside / (n * n * n);
        if (crown == SCENARIO_GLOBE) assert_close(volume_m3, 4.0 / 3.0 * PI * 1.5, 0.005, 0.0);
        orchard_canopy *c = grown(&s);
        double most = 0.0;
        for (int64_t v = 0; v < orchard_voxels(c); v++)
            most = fmax(most, (double)c->leaf_area_density_1_m[v]);
        assert_close(most, 1.8 * 4.0 * 3.0 / volume_m3, 0.01,
                     0.0); /* of a voxel well inside; 1 %: points on the surface */
        orchard_free(c);
    }
}

static double radius_at(const scenario_canopy *c, double height_m, double from_m)
{
    double r_m = from_m;
    while (r_m < 3.0 && orchard_crown_density(c, 3.0, r_m, 0.0, height_m) > 0.0)
        r_m += 0.001;
    return r_m;
}

static void crowns_have_their_shapes(void **state)
{
    (void)state;
    for (int crown = SCENARIO_WALL; crown <= SCENARIO_BOWL; crown++) {
        const drupelet_scenario s = block((scenario_crown)crown);
        const scenario_canopy *c = &s.canopy;
        double widest_m = 0.0;
        for (double z_m = 0.0; z_m < 5.0; z_m += 0.01)
            for (double x_m = -1.5; x_m < 1.5; x_m += 0.01)
                if (orchard_crown_density(c, 3.0, x_m, 0.0, z_m) > 0.0) {
                    assert_between(z_m, 0.6 - 1e-9, 3.6 + 1e-9);
                    widest_m = fmax(widest_m, fabs(x_m));
                }
        assert_between(widest_m, 0.98, 1.0 + 1e-9);
    }
    const drupelet_scenario cone = block(SCENARIO_CONE), globe = block(SCENARIO_GLOBE), bowl = block(SCENARIO_BOWL);
    assert_true(radius_at(&cone.canopy, 1.2, 0.0) > 2.0 * radius_at(&cone.canopy, 3.0, 0.0)); /* a spindle is pointed */
    assert_close(radius_at(&globe.canopy, 2.1, 0.0), 1.0, 0.01, 0.0);
    assert_close(radius_at(&globe.canopy, 3.0, 0.0), 0.8, 0.01, 0.0);            /* (1 - (0.9 / 1.5)^2)^0.5 */
    assert_true(orchard_crown_density(&bowl.canopy, 3.0, 0.0, 0.0, 3.0) == 0.0); /* open centre */
    assert_true(orchard_crown_density(&bowl.canopy, 3.0, 0.8, 0.0, 3.0) > 0.0);
    assert_true(radius_at(&bowl.canopy, 3.5, 0.9) > 0.9); /* widens upwards */
    assert_true(orchard_crown_density(&bowl.canopy, 3.0, 0.9, 0.0, 1.0) == 0.0);
}

static void a_profile_shares_the_leaves_out_by_height(void **state)
{
    (void)state;
    drupelet_scenario s = block(SCENARIO_WALL);
    s.canopy.n_profile = 3;
    memcpy(s.canopy.profile_height, (const double[]){0.0, 0.5, 1.0}, 3 * sizeof(double));
    memcpy(s.canopy.profile_density, (const double[]){2.0, 4.0, 1.0}, 3 * sizeof(double));
    orchard_canopy *c = grown(&s);
    const double middle = (double)c->leaf_area_density_1_m[grown_at(c, 0, 10, 0, 5)];
    for (int iz = 3; iz < 18; iz++) {
        const double t = ((iz + 0.5) * 0.2 - 0.6) / 3.0; /* of the voxel's middle: the profile is straight there */
        const double relative = t < 0.5 ? 2.0 + 4.0 * t : 4.0 - 6.0 * (t - 0.5);
        if (iz != 10) /* the kink lies in this one */
            assert_close((double)c->leaf_area_density_1_m[grown_at(c, 0, iz, 0, 5)] / middle, relative / 3.88, 0.02,
                         0.0);
    }
    assert_close(area_m2(c, c->leaf_area_density_1_m, 0, orchard_voxels(c)), 1.8 * 3 * 48.0, 1e-6, 0.0);
    orchard_free(c);
}

static void trees_stand_at_their_own_places(void **state)
{
    (void)state;
    const drupelet_scenario s = block(SCENARIO_GLOBE); /* 2 m wide, 3 m apart */
    orchard_canopy *c = grown(&s);
    double area[4] = {0}, moment[4] = {0};
    for (int64_t v = 0; v < orchard_voxels(c); v++) {
        const double y_m = ((double)(v / c->nx % c->ny) + 0.5) * c->edge_y_m,
                     here = (double)c->leaf_area_density_1_m[v];
        const int tree = (int)(y_m / 3.0);
        if (fabs(y_m - (tree + 0.5) * 3.0) > 1.0 + 0.5 * c->edge_y_m) assert_true(here == 0.0); /* between the crowns */
        area[tree] += here;
        moment[tree] += here * y_m;
    }
    for (int tree = 0; tree < 4; tree++) {
        assert_close(area[tree], area[0], 1e-5, 0.0);
        assert_close(moment[tree] / area[tree], (tree + 0.5) * 3.0, 0.0, 1e-3);
    }
    orchard_free(c);
}

/* Where crowns have grown into each other the leaves are as dense as in one, not twice as dense. */
static void overlapping_crowns_do_not_add_up(void **state)
{
    (void)state;
    drupelet_scenario s = block(SCENARIO_GLOBE);
    s.orchard.tree_spacing_m = 1.2;
    s.canopy.base_m = 0.4; /* an odd number of layers: one around the middle */
    orchard_canopy *c = grown(&s);
    double most = 0.0;
    for (int64_t v = 0; v < orchard_voxels(c); v++)
        most = fmax(most, (double)c->leaf_area_density_1_m[v]);
    for (int iy = 0; iy < c->ny; iy++) /* along the row line at the crowns' middle: filled, and evenly */
        assert_close((double)c->leaf_area_density_1_m[grown_at(c, 0, 10, iy, c->nx / 2)], most, 1e-6, 0.0);
    orchard_free(c);
}

/* 216 m3 of crown in gaps of some 0.4 m: 3375 of them; 4 standard errors. */
static void gaps_empty_their_share_of_the_crown(void **state)
{
    (void)state;
    drupelet_scenario s = block(SCENARIO_WALL);
    s.canopy.gap_fraction = 0.25;
    s.canopy.voxel_m = 0.1;
    orchard_canopy *c = grown(&s);
    double empty = 0.0, crown = 0.0;
    for (int row = 0; row < 3; row++)
        for (int iz = 6; iz < 36; iz++)
            for (int iy = 0; iy < c->ny; iy++)
                for (int ix = 0; ix < c->nx; ix++) {
                    crown += 1.0;
                    empty += c->leaf_area_density_1_m[grown_at(c, row, iz, iy, ix)] == 0.0f;
                }
    assert_close(empty / crown, 0.25, 0.0, 4.0 * sqrt(0.25 * 0.75 / 3375.0));
    orchard_free(c);
}

static void trees_vary_as_much_as_they_should(void **state)
{
    (void)state;
    drupelet_scenario s = block(SCENARIO_GLOBE);
    s.orchard.n_rows = 40;
    s.canopy.tree_variation = 0.2;
    s.canopy.voxel_m = 0.5;
    orchard_canopy *c = grown(&s);
    double sum = 0.0, sum2 = 0.0;
    for (int row = 0; row < 40; row++)
        for (int tree = 0; tree < 4; tree++) {
            double area = 0.0;
            for (int iz = 0; iz < c->nz; iz++)
                for (int iy = tree * c->ny / 4; iy < (tree + 1) * c->ny / 4; iy++)
                    for (int ix = 0; ix < c->nx; ix++)
                        area += (double)c->leaf_area_density_1_m[grown_at(c, row, iz, iy, ix)];
            sum += area;
            sum2 += area * area;
        }
    const double mean = sum / 160.0, deviation = sqrt(sum2 / 160.0 - mean * mean);
    assert_close(deviation / mean, 0.2, 0.2, 0.0); /* 160 trees: 3.5 standard errors of a standard deviation */
    orchard_free(c);
}

static void the_seed_makes_the_trees(void **state)
{
    (void)state;
    drupelet_scenario s = block(SCENARIO_CONE);
    s.canopy.gap_fraction = 0.2;
    s.canopy.tree_variation = 0.2;
    orchard_canopy *a = grown(&s), *same = grown(&s);
    s.run.seed++;
    orchard_canopy *other = grown(&s);
    const int64_t n = orchard_voxels(a), per_row = n / 3;
    const size_t bytes = (size_t)n * sizeof(float), row_bytes = (size_t)per_row * sizeof(float);
    assert_memory_equal(a->leaf_area_density_1_m, same->leaf_area_density_1_m, bytes);
    assert_memory_not_equal(a->leaf_area_density_1_m, other->leaf_area_density_1_m, bytes);
    assert_memory_not_equal(a->leaf_area_density_1_m, a->leaf_area_density_1_m + per_row, row_bytes); /* rows differ */
    orchard_free(other);
    orchard_free(same);
    orchard_free(a);
}

static void wood_is_a_trunk_and_branches(void **state)
{
    (void)state;
    const drupelet_scenario s = block(SCENARIO_WALL);
    orchard_canopy *c = grown(&s);
    for (int iy = 0; iy < c->ny; iy++) {
        const double from_tree_m = fabs(fmod((iy + 0.5) * c->edge_y_m, 3.0) - 1.5);
        for (int ix = 0; ix < c->nx; ix++) { /* below the crown: the trunk alone */
            const int at_trunk = from_tree_m < 0.6 * c->edge_y_m && (ix == 4 || ix == 5);
            assert_int_equal(c->wood_area_density_1_m[grown_at(c, 0, 0, iy, ix)] > 0.0f, at_trunk);
        }
    }
    const float inner = c->wood_area_density_1_m[grown_at(c, 0, 17, 0, 5)],
                outer = c->wood_area_density_1_m[grown_at(c, 0, 17, 0, 9)];
    assert_true(inner > outer && outer > 0.0f);
    orchard_free(c);
}

static void air_feels_the_mean_of_the_rows(void **state)
{
    (void)state;
    drupelet_scenario s = block(SCENARIO_BOWL);
    s.canopy.gap_fraction = 0.2;
    orchard_canopy *c = grown(&s);
    for (int iz = 0; iz < c->nz; iz++)
        for (int ix = 0; ix < c->nx; ix++) {
            double drag = 0.0;
            for (int row = 0; row < 3; row++)
                for (int iy = 0; iy < c->ny; iy++)
                    drag += 0.2 * (double)c->leaf_area_density_1_m[grown_at(c, row, iz, iy, ix)]
                            + ORCHARD_WOOD_DRAG * (double)c->wood_area_density_1_m[grown_at(c, row, iz, iy, ix)];
            assert_close(c->drag_1_m[iz * c->nx + ix], drag / (3.0 * c->ny), 1e-9, 1e-15);
        }
    orchard_free(c);
}

/* A trellis thinner than half a voxel. */
static void thin_crowns_have_their_leaves_and_wood(void **state)
{
    (void)state;
    drupelet_scenario s = block(SCENARIO_WALL);
    s.canopy.width_m = 0.2;
    s.canopy.voxel_m = 0.5;
    orchard_canopy *c = grown(&s);
    assert_int_equal(c->nx, 2);
    assert_close(area_m2(c, c->leaf_area_density_1_m, 0, orchard_voxels(c)), 1.8 * 3 * 48.0, 1e-6, 0.0);
    assert_close(area_m2(c, c->wood_area_density_1_m, 0, orchard_voxels(c)), 0.15 * 3 * 48.0, 1e-6, 0.0);
    orchard_free(c);
}

static void bare_trees_have_wood_alone(void **state)
{
    (void)state;
    drupelet_scenario s = block(SCENARIO_CONE);
    s.canopy.leaf_area_index = 0.0;
    orchard_canopy *c = grown(&s);
    assert_true(area_m2(c, c->leaf_area_density_1_m, 0, orchard_voxels(c)) == 0.0);
    assert_close(area_m2(c, c->wood_area_density_1_m, 0, orchard_voxels(c)), 0.15 * 3 * 48.0, 1e-6, 0.0);
    orchard_free(c);
}

static void crowns_that_cannot_be_grown_are_refused(void **state)
{
    (void)state;
    orchard_canopy *c = NULL;
    drupelet_scenario s = block(SCENARIO_WALL);
    s.canopy.width_m = 0.02; /* slips between the points of a voxel of 0.5 m */
    s.canopy.voxel_m = 0.5;
    assert_int_equal(orchard_create(&s, &c).code, DRUPELET_SCENARIO);
    assert_null(c);
    s = block(SCENARIO_WALL);
    s.canopy.voxel_m = 0.001;
    assert_int_equal(orchard_create(&s, &c).code, DRUPELET_SCENARIO); /* 3e11 voxels */
    assert_null(c);
    orchard_free(NULL);
}

/* Crowns cover half to seven tenths of an orchard. */
static void default_wood_lies_within_measured_trees(void **state)
{
    (void)state;
    verify_table *t = data_file_open("wood_area_of_trees");
    double bare = 0.0, most = 0.0;
    int n_bare = 0, n_most = 0;
    for (int row = 0; row < verify_table_rows(t); row++) {
        if (strcmp(verify_table_text(t, row, "species"), "apple") != 0) continue;
        bare += verify_table_number(t, row, "no_twigs");
        n_bare++;
        if (verify_table_text(t, row, "with_twig_bound")[0] == '\0') continue;
        most += verify_table_number(t, row, "with_twig_bound");
        n_most++;
    }
    verify_table_free(t);
    drupelet_scenario *s = NULL;
    assert_int_equal(drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", NULL, 0, &s).code,
                     DRUPELET_OK);
    assert_between(s->canopy.wood_area_index, 0.5 * bare / n_bare, 0.7 * most / n_most);
    drupelet_scenario_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(leaf_and_wood_area_are_met),
        cmocka_unit_test(voxels_fill_the_period_and_the_width),
        cmocka_unit_test(a_whole_wall_is_uniform),
        cmocka_unit_test(density_is_leaf_area_over_crown_volume),
        cmocka_unit_test(crowns_have_their_shapes),
        cmocka_unit_test(a_profile_shares_the_leaves_out_by_height),
        cmocka_unit_test(trees_stand_at_their_own_places),
        cmocka_unit_test(overlapping_crowns_do_not_add_up),
        cmocka_unit_test(gaps_empty_their_share_of_the_crown),
        cmocka_unit_test(trees_vary_as_much_as_they_should),
        cmocka_unit_test(the_seed_makes_the_trees),
        cmocka_unit_test(wood_is_a_trunk_and_branches),
        cmocka_unit_test(air_feels_the_mean_of_the_rows),
        cmocka_unit_test(thin_crowns_have_their_leaves_and_wood),
        cmocka_unit_test(bare_trees_have_wood_alone),
        cmocka_unit_test(crowns_that_cannot_be_grown_are_refused),
        cmocka_unit_test(default_wood_lies_within_measured_trees),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
