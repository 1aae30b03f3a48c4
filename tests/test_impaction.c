/* tests/test_impaction.c - catch of cylinders and leaves, and the projection of leaf area. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "droplet/droplet.h"

/* tests/data/langmuir_blodgett_1946.csv: 0.03 for phi to 1e4, the range of the closed form; classic tables differ by
 * 0.05. */
static void cylinder_follows_langmuir_and_blodgett(void **state)
{
    (void)state;
    verify_table *t = data_file_open("langmuir_blodgett_1946");
    int n = 0;
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double phi = verify_table_number(t, i, "phi"), k = verify_table_number(t, i, "K_radius_based");
        if (phi > 1e4)
            continue;
        assert_close(droplet_cylinder_efficiency(k, phi), verify_table_number(t, i, "Em"), 0.0, 0.03);
        n++;
    }
    assert_true(n > 80);
    verify_table_free(t);
}

/* tests/data/leaf_impaction.csv: arithmetic, four digits. */
static void both_laws_meet_worked_values(void **state)
{
    (void)state;
    verify_table *t = data_file_open("leaf_impaction");
    int n_leaf = 0, n_cylinder = 0;
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double published = verify_table_number(t, i, "efficiency");
        if (strcmp(verify_table_text(t, i, "target"), "leaf") == 0) {
            assert_close(droplet_impaction_efficiency(verify_table_number(t, i, "St_diameter_based")), published, 0.0,
                         1e-4);
            n_leaf++;
        } else {
            assert_close(droplet_cylinder_efficiency(verify_table_number(t, i, "K_radius_based"),
                                                     verify_table_number(t, i, "phi")),
                         published, 0.0, 1e-4);
            n_cylinder++;
        }
    }
    assert_int_equal(n_leaf, 9);
    assert_int_equal(n_cylinder, 27);
    verify_table_free(t);
}

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

/* tests/data/leaf_projection.csv. For spherical leaf angles any direction sees half of the leaf area. */
static void projection_follows_campbell(void **state)
{
    (void)state;
    verify_table *t = data_file_open("leaf_projection");
    const double degree = acos(-1.0) / 180.0;
    for (int i = 0; i < verify_table_rows(t); i++)
        for (int theta_deg = 0; theta_deg <= 90; theta_deg += 15) {
            char column[16];
            snprintf(column, sizeof column, "G_%d", theta_deg);
            assert_close(droplet_leaf_projection(verify_table_number(t, i, "chi"), theta_deg * degree),
                         verify_table_number(t, i, column), 0.0, 1e-4);
        }
    assert_close(droplet_leaf_projection(1.0, 37.0 * degree), 0.5, 0.001, 0.0);
    verify_table_free(t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cylinder_follows_langmuir_and_blodgett),
        cmocka_unit_test(both_laws_meet_worked_values),
        cmocka_unit_test(stokes_number_is_diameter_based),
        cmocka_unit_test(efficiencies_rise_from_0_to_1),
        cmocka_unit_test(projection_follows_campbell),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
