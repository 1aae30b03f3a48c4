/* tests/test_impaction.c - catch of cylinders and leaves, and the projection of leaf area. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "droplet/droplet.h"
#include "run_case.h"

/* The leaf's law takes the diameter, the cylinder's the radius: at the same St they lie within 0.05 of each other for
 * the drag of spray droplets (phi 100); with the factor 2 in the wrong place they would be 0.1 to 0.2 apart. */
static void stokes_number_is_diameter_based(void **state)
{
    (void)state;
    double worst_right = 0.0, worst_wrong = 0.0;
    for (double st = 0.15; st < 10.0; st *= 1.2) {
        const double cylinder = droplet_cylinder_efficiency(2.0 * st, 100.0);
        worst_right = fmax(worst_right, fabs(droplet_impaction_efficiency(st) - cylinder));
        worst_wrong = fmax(worst_wrong, fabs(droplet_impaction_efficiency(2.0 * st) - cylinder));
    }
    assert_true(worst_right < 0.05);
    assert_true(worst_wrong > 0.10);
}

static void efficiencies_rise_from_0_to_1(void **state)
{
    (void)state;
    double leaf = 0.0, line[3] = {0.0};
    assert_close(droplet_impaction_efficiency(0.0), 0.0, 0.0, 0.0);
    assert_close(droplet_cylinder_efficiency(0.125, 100.0), 0.0, 0.0, 0.0); /* no catch up to K = 1/8 */
    for (double k = 0.126; k < 1e4; k *= 1.05) {
        assert_true(droplet_impaction_efficiency(0.5 * k) > leaf);
        leaf = droplet_impaction_efficiency(0.5 * k);
        for (int i = 0; i < 3; i++) { /* the two branches of the closed form meet within 0.01 */
            const double e = droplet_cylinder_efficiency(k, 100.0 * i);
            assert_true(e > line[i] - 0.01);
            line[i] = e;
        }
    }
    assert_between(leaf, 0.99, 1.0);
    for (int i = 0; i < 3; i++)
        assert_between(line[i], 0.98, 1.0);
}

static void spherical_leaf_angles_show_half_of_the_leaf_area(void **state)
{
    (void)state;
    assert_close(droplet_leaf_projection(1.0, 37.0 * acos(-1.0) / 180.0), 0.5, 0.001, 0.0);
}

/* The four classes of wood are those of the measured tree; the two thickest of the file are one. */
static void wood_is_as_thick_as_on_the_measured_tree(void **state)
{
    (void)state;
    const droplet_wood wood = droplet_wood_of(0.0);
    double area_m2[DROPLET_WOODS] = {0.0}, length_m[DROPLET_WOODS] = {0.0}, all_m2 = 0.0, shares = 0.0;
    verify_table *t = data_file_open("wood_by_diameter");
    for (int i = 0, w = 0; i < verify_table_rows(t); i++)
        if (strcmp(verify_table_text(t, i, "species"), "cherry") == 0) {
            area_m2[w] += verify_table_number(t, i, "lateral_area_m2");
            length_m[w] += verify_table_number(t, i, "length_m");
            all_m2 += verify_table_number(t, i, "lateral_area_m2");
            w = w < DROPLET_WOODS - 1 ? w + 1 : w;
        }
    verify_table_free(t);
    for (int w = 0; w < DROPLET_WOODS; w++) {
        assert_close(wood.diameter_m[w], area_m2[w] / (acos(-1.0) * length_m[w]), 0.005, 0.0);
        assert_close(wood.share[w], area_m2[w] / all_m2, 0.0, 0.001);
        shares += wood.share[w];
    }
    assert_close(shares, 1.0, 1e-12, 0.0);
}

/* Of 30 um droplets in 1 m/s several diameters catch more than their mean one; of large ones all are caught either way;
 * and one diameter is one diameter. */
static void thin_wood_catches_small_droplets_best(void **state)
{
    (void)state;
    const droplet_wood several = droplet_wood_of(0.0), one = droplet_wood_of(0.015);
    const double stop_m[2] = {2.8e-3, 3.0}; /* 30 um at 1 m/s, 300 um at 10 m/s */
    double caught[2] = {0.0, 0.0};
    for (int i = 0; i < 2; i++)
        for (int w = 0; w < DROPLET_WOODS; w++)
            caught[i] += several.share[w] * droplet_impaction_efficiency(stop_m[i] / several.diameter_m[w]);
    assert_true(caught[0] > 1.5 * droplet_impaction_efficiency(stop_m[0] / one.diameter_m[0]));
    assert_between(caught[1], 0.97, 1.0);
    assert_close(one.diameter_m[0], 0.015, 0.0, 0.0);
    assert_close(one.share[0], 1.0, 0.0, 0.0);
}

static void catch_follows_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_impaction);
}

/* Leaves at random in random clumps: of a clump of cover t that droplets meet with the share e of it, (1 - exp(-e t))
 * / (e t) are not hidden (T. Nilson, Agric. Meteorol. 8 (1971) 25). The program's fraction is exact where all is
 * caught. */
static void clumps_hide_what_is_caught(void **state)
{
    (void)state;
    for (double clumping = 0.5; clumping < 1.0; clumping += 0.1) {
        const double cover = droplet_clump_cover(clumping);
        assert_close(droplet_clump_met(cover, 1.0), clumping, 1e-12, 0.0);
        assert_close(droplet_clump_met(cover, 0.0), 1.0, 1e-12, 0.0);
        for (double caught = 0.1; caught < 1.0; caught += 0.1)
            assert_close(droplet_clump_met(cover, caught), -expm1(-cover * caught) / (cover * caught), 5e-3, 0.0);
    }
    assert_close(droplet_clump_cover(1.0), 0.0, 0.0, 1e-12);
}

/* Over the friction velocity 3.5e-4 tau+^2, at most 0.14, which is where tau+ is 20; friction after Blasius. */
static void turbulence_throws_droplets_on_leaves(void **state)
{
    (void)state;
    const double nu = 1.5e-5, width_m = 0.045, u = 4.0, friction_m_s = u * sqrt(0.664 / sqrt(u * width_m / nu));
    const double at_20_s = 20.0 * nu / (friction_m_s * friction_m_s);
    assert_close(droplet_turbulent_impaction_m_s(at_20_s, u, width_m, nu), 0.14 * friction_m_s, 1e-9, 0.0);
    assert_close(droplet_turbulent_impaction_m_s(3.0 * at_20_s, u, width_m, nu), 0.14 * friction_m_s, 1e-9, 0.0);
    assert_close(droplet_turbulent_impaction_m_s(0.5 * at_20_s, u, width_m, nu), 0.25 * 0.14 * friction_m_s, 1e-9, 0.0);
    assert_close(droplet_turbulent_impaction_m_s(at_20_s, 0.0, width_m, nu), 0.0, 0.0, 0.0);
}

static double on_leaves(const tally *accounts, int b)
{
    return (double)accounts->fate[b][TALLY_LEAF] / (double)accounts->emitted[b][0];
}

/* Each key catches more on leaves, with the same random numbers. */
static void each_key_brings_more_to_the_leaves(void **state)
{
    (void)state;
    static const char *const pair[][2] = {{"canopy.fine_catch=impaction", "canopy.fine_catch=full"},
                                          {"canopy.hair_share=0 %", "canopy.hair_share=20 %"},
                                          {"canopy.hidden_leaves=from_all", "canopy.hidden_leaves=by_catch"}};
    for (size_t i = 0; i < sizeof pair / sizeof pair[0]; i++) {
        run_case c[2];
        for (int k = 0; k < 2; k++)
            c[k] = case_run("apple-wall-full-leaf.yaml", 4000, 2, (const char *[4]){pair[i][k], "run.wind=profiles"});
        assert_true(case_difference_in_errors(&c[0], &c[1], on_leaves) > 3.0);
        case_end(&c[0]);
        case_end(&c[1]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(catch_follows_published_numbers),
        cmocka_unit_test(wood_is_as_thick_as_on_the_measured_tree),
        cmocka_unit_test(thin_wood_catches_small_droplets_best),
        cmocka_unit_test(stokes_number_is_diameter_based),
        cmocka_unit_test(efficiencies_rise_from_0_to_1),
        cmocka_unit_test(clumps_hide_what_is_caught),
        cmocka_unit_test(turbulence_throws_droplets_on_leaves),
        cmocka_unit_test(each_key_brings_more_to_the_leaves),
        cmocka_unit_test(spherical_leaf_angles_show_half_of_the_leaf_area),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
