/* tests/test_impaction.c - catch of cylinders and leaves, and the projection of leaf area. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "droplet/droplet.h"

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

static void catch_follows_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_impaction);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(catch_follows_published_numbers),
        cmocka_unit_test(stokes_number_is_diameter_based),
        cmocka_unit_test(efficiencies_rise_from_0_to_1),
        cmocka_unit_test(spherical_leaf_angles_show_half_of_the_leaf_area),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
