/* tests/test_crowns.c - how leaves and wood are spread inside a crown: boughs and gaps, leafy shells, wood by height,
 * and light and sky inside beside measured trees. */
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
#include "orchard/wood.h"
#include "verify/checks.h"

static void light_and_sky_are_as_measured(void **state)
{
    (void)state;
    published_numbers_hold(verify_crowns);
}

/* A wall of 3 m by 2 m, leaf area 1.2 m2/m3 on the mean, in rows of many boughs. */
static drupelet_scenario wall(void)
{
    drupelet_scenario s = {.run.seed = 5};
    s.orchard = (scenario_orchard){.n_rows = 6, .row_spacing_m = 4.0, .tree_spacing_m = 3.0, .n_trees = 16};
    s.canopy = (scenario_canopy){.crown = SCENARIO_WALL,
                                 .height_m = 3.6,
                                 .base_m = 0.6,
                                 .width_m = 2.0,
                                 .leaf_area_index = 1.8,
                                 .wood_area_index = 0.15,
                                 .bough_variation = 1.0,
                                 .bough_size_m = 0.4,
                                 .voxel_m = 0.1};
    return s;
}

/* Of the crown's voxels: mean, standard deviation over it, and how the deviations of two places go together. */
typedef struct { double mean, variation, beside, apart; } facts;

static facts facts_of(const orchard_canopy *c, int beside, int apart)
{
    double n = 0.0, sum = 0.0, squares = 0.0, with[2] = {0.0, 0.0};
    const float *d = c->leaf_area_density_1_m;
    for (int pass = 0; pass < 2; pass++)
        for (int row = 0; row < c->n_rows; row++)
            for (int iz = 6; iz < c->nz; iz++)
                for (int iy = 0; iy < c->ny; iy++)
                    for (int ix = 0; ix < c->nx; ix++) {
                        const double here = (double)d[grown_at(c, row, iz, iy, ix)];
                        if (pass == 0) {
                            n += 1.0;
                            sum += here;
                            continue;
                        }
                        const double off = here - sum / n;
                        squares += off * off;
                        with[0] += off * ((double)d[grown_at(c, row, iz, (iy + beside) % c->ny, ix)] - sum / n);
                        with[1] += off * ((double)d[grown_at(c, row, iz, (iy + apart) % c->ny, ix)] - sum / n);
                    }
    return (facts){sum / n, sqrt(squares / n) / (sum / n), with[0] / squares, with[1] / squares};
}

/* 6 rows of 288 m3 and boughs of 0.064 m3: 27,000 of them, so 3 % for a log-normal deviation is some four errors. */
static void boughs_vary_as_much_as_they_should(void **state)
{
    (void)state;
    static const double variation[] = {0.5, 1.0};
    for (int i = 0; i < 2; i++) {
        drupelet_scenario s = wall();
        s.canopy.bough_variation = variation[i];
        orchard_canopy *c = grown(&s);
        const facts f = facts_of(c, 1, 8); /* 0.1 and 0.8 m along the row */
        assert_close(f.mean, 1.2, 1e-5, 0.0);
        assert_close(f.variation, variation[i], 0.04, 0.0);
        assert_true(f.beside > 0.7);
        assert_close(f.apart, 0.0, 0.0, 0.03); /* two boughs away leaves have nothing to do with these */
        orchard_free(c);
    }
}

/* Voxels of another size cut the same boughs: the mean over eight small ones is nearly that of the large one. */
static void voxels_cut_the_same_boughs(void **state)
{
    (void)state;
    drupelet_scenario s = wall();
    orchard_canopy *fine = grown(&s);
    s.canopy.voxel_m = 0.2;
    orchard_canopy *coarse = grown(&s);
    double n = 0.0, a = 0.0, b = 0.0, aa = 0.0, bb = 0.0, ab = 0.0;
    for (int iz = 3; iz < coarse->nz; iz++)
        for (int iy = 0; iy < coarse->ny; iy++)
            for (int ix = 0; ix < coarse->nx; ix++) {
                const double large = (double)coarse->leaf_area_density_1_m[grown_at(coarse, 2, iz, iy, ix)];
                double small = 0.0;
                for (int k = 0; k < 8; k++) {
                    const int64_t v = grown_at(fine, 2, 2 * iz + (k >> 2), 2 * iy + (k >> 1 & 1), 2 * ix + (k & 1));
                    small += (double)fine->leaf_area_density_1_m[v] / 8.0;
                }
                n += 1.0;
                a += large;
                b += small;
                aa += large * large;
                bb += small * small;
                ab += large * small;
            }
    const double together = (ab - a * b / n) / sqrt((aa - a * a / n) * (bb - b * b / n));
    assert_true(together > 0.97);
    orchard_free(coarse);
    orchard_free(fine);
}

/* exp(-depth / shell) on the way from the edge of a globe to its middle. */
static void a_shell_thins_out_inwards(void **state)
{
    (void)state;
    drupelet_scenario s = wall();
    s.canopy.crown = SCENARIO_GLOBE;
    s.canopy.shell_depth_m = 0.5;
    for (double r_m = 0.05; r_m < 1.0; r_m += 0.1)
        assert_close(orchard_crown_density(&s.canopy, 3.0, r_m, 0.0, 2.1), exp(-(1.0 - r_m) / 0.5), 1e-9, 0.0);
    s.canopy.bough_variation = 0.0;
    orchard_canopy *c = grown(&s);
    const double inner = (double)c->leaf_area_density_1_m[grown_at(c, 0, 20, 15, 10)], /* 0.1 m off the middle */
                 outer = (double)c->leaf_area_density_1_m[grown_at(c, 0, 20, 15, 18)]; /* 0.1 m below the surface */
    assert_between(outer / inner, 3.0, 6.0); /* exp(0.8 / 0.5) = 5 */
    orchard_free(c);
}

/* Mean over the measured trees of the area of branches and the length of twigs in each tenth of the height. */
static void wood_is_as_high_as_in_felled_trees(void **state)
{
    (void)state;
    verify_table *t = data_file_open("wood_by_height");
    double tenth[10] = {0.0}, last_m = INFINITY;
    int trees = 0;
    for (int row = 0; row < verify_table_rows(t); row++) {
        const double height_m = verify_table_number(t, row, "height_m"), from_m = verify_table_number(t, row, "from_m"),
                     to_m = fmin(verify_table_number(t, row, "to_m"), height_m);
        trees += from_m < last_m;
        last_m = from_m;
        const double share = 0.5 * (verify_table_number(t, row, "branch_area_share") +
                                    verify_table_number(t, row, "twig_length_share"));
        for (int i = 0; i < 10; i++) {
            const double low_m = fmax(from_m, 0.1 * i * height_m), high_m = fmin(to_m, 0.1 * (i + 1) * height_m);
            tenth[i] += high_m > low_m ? share * (high_m - low_m) / (to_m - from_m) : 0.0;
        }
    }
    verify_table_free(t);
    assert_int_equal(trees, 7);
    for (int i = 0; i < 10; i++) /* as printed there */
        assert_close(orchard_wood_below(0.1 * (i + 1)) - orchard_wood_below(0.1 * i), tenth[i] / trees, 0.0, 0.0011);
    assert_close(orchard_wood_below(1.0), 1.0, 1e-12, 0.0);

    drupelet_scenario s = wall();
    s.canopy.wood_by_height = true;
    s.canopy.leaf_area_index = 0.0;
    orchard_canopy *c = grown(&s);
    double below = 0.0, all = 0.0;
    for (int iz = 0; iz < c->nz; iz++)
        for (int64_t v = grown_at(c, 1, iz, 0, 0); v < grown_at(c, 1, iz + 1, 0, 0); v++) {
            all += (double)c->wood_area_density_1_m[v];
            below += iz < 18 ? (double)c->wood_area_density_1_m[v] : 0.0;
        }
    assert_close(below / all, orchard_wood_below(0.5), 1e-5, 0.0);
    assert_close(all * 0.1 * 0.1 * c->edge_y_m, 0.15 * 4.0 * 48.0, 1e-5, 0.0);
    orchard_free(c);
}

/* Through an even wall from its foot: the way times the density; wood the same. */
static void a_ray_sums_up_what_it_meets(void **state)
{
    (void)state;
    drupelet_scenario s = wall();
    s.canopy.bough_variation = 0.0;
    s.canopy.wood_area_index = 0.0;
    orchard_canopy *c = grown(&s);
    const double up[3] = {0.0, 0.0, 2.0}, across[3] = {1.0, 0.0, 0.0}, along[3] = {0.0, -3.0, 0.0};
    const double inside[3] = {-4.05, 1.0, 1.6}, above[3] = {-4.05, 1.0, 4.0};
    assert_close(orchard_layers_along(c, inside, up, 50.0).leaf, 1.2 * 2.0, 0.02, 0.0);
    assert_close(orchard_layers_along(c, inside, across, 50.0).leaf, 1.2 * (1.05 + 2.0), 0.02, 0.0); /* and row 1 */
    assert_close(orchard_layers_along(c, inside, along, 10.0).leaf, 1.2 * 10.0, 0.02, 0.0); /* over the period's end */
    assert_true(orchard_layers_along(c, above, up, 50.0).leaf == 0.0);
    assert_true(orchard_layers_along(c, inside, across, 50.0).wood == 0.0);
    orchard_free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(light_and_sky_are_as_measured),     cmocka_unit_test(boughs_vary_as_much_as_they_should),
        cmocka_unit_test(voxels_cut_the_same_boughs),        cmocka_unit_test(a_shell_thins_out_inwards),
        cmocka_unit_test(wood_is_as_high_as_in_felled_trees), cmocka_unit_test(a_ray_sums_up_what_it_meets),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
