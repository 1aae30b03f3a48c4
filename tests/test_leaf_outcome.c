/* tests/test_leaf_outcome.c - adhere, bounce or shatter: the rule, its borders, and what comes out. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "droplet/outcome.h"

static const droplet_liquid water = {998.2, 72.74e-3, 1.0016e-3}; /* 20 degC, IAPWS */
/* The kernel replaces the rule by two speeds for each diameter: the rule must be no more than that, at every speed. */
static void two_speeds_say_all(void **state)
{
    (void)state;
    for (int wetting = SCENARIO_EASY; wetting <= SCENARIO_VERY_HARD; wetting++)
        for (double tension_N_m = 0.02; tension_N_m < 0.08; tension_N_m += 0.01) {
            const droplet_leaf_class leaf = droplet_leaf_class_of((scenario_wetting)wetting);
            const droplet_liquid liquid = {1000.0, tension_N_m, 1.2e-3};
            for (double d_m = 10e-6; d_m < 6e-3; d_m *= 1.1) {
                const double bounce = droplet_bounce_speed_m_s(d_m, &leaf, &liquid);
                const double shatter = droplet_shatter_speed_m_s(d_m, &leaf, &liquid);
                assert_true(wetting >= SCENARIO_HARD ? bounce < shatter : isinf(bounce));
                for (double v_m_s = 0.011; v_m_s < 39.0; v_m_s *= 1.07) {
                    const droplet_outcome told = v_m_s > shatter  ? DROPLET_SHATTERS
                                                 : v_m_s > bounce ? DROPLET_BOUNCES
                                                                  : DROPLET_ADHERES;
                    assert_int_equal(droplet_leaf_outcome(d_m, v_m_s, &leaf, &liquid), told);
                }
            }
        }
}

/* C. Antonini et al., Langmuir 29 (2013) 16045: rebound only where the receding angle exceeds 100 degrees. */
static void receding_angle_decides_on_bounce(void **state)
{
    (void)state;
    droplet_leaf_class leaf = droplet_leaf_class_of(SCENARIO_HARD);
    assert_true(isfinite(droplet_bounce_speed_m_s(300e-6, &leaf, &water)));
    leaf.receding_angle_rad = 99.0 * acos(-1.0) / 180.0;
    assert_true(isinf(droplet_bounce_speed_m_s(300e-6, &leaf, &water)));
}

static void splash_keeps_the_mass(void **state)
{
    (void)state;
    for (int wetting = SCENARIO_EASY; wetting <= SCENARIO_VERY_HARD; wetting++) {
        const droplet_leaf_class leaf = droplet_leaf_class_of((scenario_wetting)wetting);
        for (double d_m = 50e-6; d_m < 3e-3; d_m *= 1.5)
            for (double u = 0.05; u < 1.0; u += 0.3)
                for (double over = 1.001; over < 5.0; over *= 1.3) {
                    const double v_m_s = over * droplet_shatter_speed_m_s(d_m, &leaf, &water);
                    const droplet_splash splash = droplet_shatter(d_m, v_m_s, u, &leaf, &water);
                    assert_close(splash.count * pow(splash.diameter_m / d_m, 3.0), splash.mass_share, 1e-12, 0.0);
                    assert_between(splash.mass_share, 0.2, 0.8);
                    assert_true(splash.count >= 1.0 && splash.diameter_m < d_m);
                }
    }
}

static void rebound_is_slower_than_impact(void **state)
{
    (void)state;
    const droplet_leaf_class leaf = droplet_leaf_class_of(SCENARIO_VERY_HARD);
    for (double d_m = 30e-6; d_m < 2e-3; d_m *= 1.4) {
        const double first = droplet_bounce_speed_m_s(d_m, &leaf, &water),
                     last = droplet_shatter_speed_m_s(d_m, &leaf, &water);
        assert_close(droplet_restitution(d_m, 0.5 * first, &leaf, &water), 0.0, 0.0, 0.0);
        for (double v_m_s = 1.01 * first; v_m_s < last; v_m_s *= 1.1)
            assert_between(droplet_restitution(d_m, v_m_s, &leaf, &water), 0.01, 0.9);
    }
}

static void outcomes_follow_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_outcome);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(outcomes_follow_published_numbers),
        cmocka_unit_test(two_speeds_say_all),
        cmocka_unit_test(receding_angle_decides_on_bounce),
        cmocka_unit_test(splash_keeps_the_mass),
        cmocka_unit_test(rebound_is_slower_than_impact),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
