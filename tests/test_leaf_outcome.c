/* tests/test_leaf_outcome.c - adhere, bounce or shatter: the rule, its borders, and what comes out. */
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
#include "droplet/outcome.h"

static const droplet_liquid water = {998.2, 72.74e-3, 1.0016e-3};     /* 20 degC, IAPWS */
static const droplet_liquid surfactant = {998.2, 30e-3, 1.0016e-3}; /* water with a wetter, as the tables take it */

static const droplet_liquid *liquid_of(const verify_table *t, int row)
{
    const char *name = verify_table_text(t, row, "liquid");
    assert_true(strcmp(name, "water") == 0 || strcmp(name, "water+surfactant") == 0);
    return strcmp(name, "water") == 0 ? &water : &surfactant;
}

/* tests/data/leaf_outcome.csv, worked by scripts/leaf-reference: verdict equal, rebound speed within 1e-3. */
static void rule_gives_the_worked_verdicts(void **state)
{
    (void)state;
    static const char *const classes[] = {[SCENARIO_EASY] = "easy",
                                          [SCENARIO_MEDIUM] = "medium",
                                          [SCENARIO_HARD] = "hard",
                                          [SCENARIO_VERY_HARD] = "very_hard"};
    verify_table *t = data_file_open("leaf_outcome");
    int count[3] = {0};
    assert_int_equal(verify_table_rows(t), 640);
    for (int i = 0; i < verify_table_rows(t); i++) {
        int wetting = SCENARIO_EASY;
        while (wetting <= SCENARIO_VERY_HARD && strcmp(classes[wetting], verify_table_text(t, i, "leaf_class")) != 0)
            wetting++;
        assert_true(wetting <= SCENARIO_VERY_HARD);
        const droplet_leaf_class leaf = droplet_leaf_class_of((scenario_wetting)wetting);
        const double d_m = 1e-6 * verify_table_number(t, i, "d_um"),
                     v_m_s = verify_table_number(t, i, "normal_speed_m_s");
        const droplet_outcome outcome = droplet_leaf_outcome(d_m, v_m_s, &leaf, liquid_of(t, i));
        assert_string_equal(droplet_outcomes[outcome].verb, verify_table_text(t, i, "outcome"));
        if (outcome == DROPLET_BOUNCES)
            assert_close(droplet_restitution(d_m, v_m_s, &leaf, liquid_of(t, i)), verify_table_number(t, i, "e_n"), 0.0,
                         1e-3);
        count[outcome]++;
    }
    for (int o = 0; o < 3; o++)
        assert_true(count[o] > 50);
    verify_table_free(t);
}

/* tests/data/critical_speeds.csv: 0.5 %. A blank cell says that there is no bounce at 30 m/s, where that search
 * began. */
static void borders_lie_where_the_worked_ones_do(void **state)
{
    (void)state;
    static const int angle_deg[] = {80, 90, 100, 110, 120, 130, 150};
    verify_table *t = data_file_open("critical_speeds");
    int n = 0;
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double d_m = 1e-6 * verify_table_number(t, i, "d_um");
        droplet_leaf_class leaf = {.receding_angle_rad = acos(-1.0), .shatter_limit = 57.7};
        for (size_t a = 0; a < sizeof angle_deg / sizeof angle_deg[0]; a++) {
            char column[24];
            snprintf(column, sizeof column, "v_bounce_m_s_theta%d", angle_deg[a]);
            leaf.contact_angle_rad = angle_deg[a] * acos(-1.0) / 180.0;
            if (verify_table_text(t, i, column)[0] == '\0') {
                assert_true(!(droplet_rebound_energy(d_m, 30.0, leaf.contact_angle_rad, liquid_of(t, i)) > 0.0));
            } else {
                assert_close(droplet_bounce_speed_m_s(d_m, &leaf, liquid_of(t, i)), verify_table_number(t, i, column),
                             0.005, 0.0);
                n++;
            }
        }
        assert_close(droplet_shatter_speed_m_s(d_m, &leaf, liquid_of(t, i)),
                     verify_table_number(t, i, "v_shatter_m_s_K57.7"), 0.005, 0.0);
    }
    assert_true(n > 140);
    verify_table_free(t);
}

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

/* S. Dong, H. Zhu, X. Yang, Pest Manag. Sci. 71 (2015) 302: water drops of 175 to 481 um at 5 m/s, and 306 um at 3.5 to
 * 7 m/s, neither splashed nor bounced on a leaf that wets easily; they did one or the other on two that do not. */
static void easy_leaves_keep_what_was_seen_to_stay(void **state)
{
    (void)state;
    static const struct { double d_um, v_m_s; } seen[] = {{175, 5.0}, {306, 5.0}, {481, 5.0}, {306, 3.5}, {306, 7.0}};
    const droplet_leaf_class easy = droplet_leaf_class_of(SCENARIO_EASY),
                             hard = droplet_leaf_class_of(SCENARIO_VERY_HARD);
    for (size_t i = 0; i < sizeof seen / sizeof seen[0]; i++) {
        assert_int_equal(droplet_leaf_outcome(1e-6 * seen[i].d_um, seen[i].v_m_s, &easy, &water), DROPLET_ADHERES);
        assert_int_not_equal(droplet_leaf_outcome(1e-6 * seen[i].d_um, seen[i].v_m_s, &hard, &water), DROPLET_ADHERES);
    }
}

/* C. Antonini et al., Langmuir 29 (2013) 16045: rebound only where the receding angle exceeds 100 degrees. */
static void receding_angle_decides_on_bounce(void **state)
{
    (void)state;
    droplet_leaf_class leaf = droplet_leaf_class_of(SCENARIO_HARD);
    assert_int_equal(droplet_leaf_outcome(300e-6, 3.0, &leaf, &water), DROPLET_BOUNCES);
    leaf.receding_angle_rad = 99.0 * acos(-1.0) / 180.0;
    assert_int_equal(droplet_leaf_outcome(300e-6, 3.0, &leaf, &water), DROPLET_ADHERES);
    assert_true(isinf(droplet_bounce_speed_m_s(300e-6, &leaf, &water)));
}

/* tests/data/splash.csv: 1e-3. Fewer than 1.37 drops would be larger than the source's greatest size: held there. */
static void splash_follows_bai(void **state)
{
    (void)state;
    verify_table *t = data_file_open("splash");
    const droplet_leaf_class leaf = {.shatter_limit = 57.7};
    int n_held = 0;
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double d_m = 1e-6 * verify_table_number(t, i, "d_um"), share = verify_table_number(t, i, "mass_share");
        const double published = verify_table_number(t, i, "N_secondary"),
                     largest_m = 1e-6 * verify_table_number(t, i, "d_max_um");
        const droplet_splash splash =
            droplet_shatter(d_m, verify_table_number(t, i, "speed_m_s"), (share - 0.2) / 0.6, &leaf, liquid_of(t, i));
        assert_close(splash.mass_share, share, 1e-12, 0.0);
        if (published < 1.38) {
            assert_close(splash.diameter_m, largest_m, 1e-3, 0.0);
            n_held++;
        } else {
            assert_close(splash.count, published, 1e-3, 0.0);
            assert_close(splash.diameter_m, 1e-6 * verify_table_number(t, i, "d_equal_um"), 1e-3, 0.0);
        }
    }
    assert_true(n_held > 0);
    verify_table_free(t);
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rule_gives_the_worked_verdicts),
        cmocka_unit_test(borders_lie_where_the_worked_ones_do),
        cmocka_unit_test(two_speeds_say_all),
        cmocka_unit_test(easy_leaves_keep_what_was_seen_to_stay),
        cmocka_unit_test(receding_angle_decides_on_bounce),
        cmocka_unit_test(splash_follows_bai),
        cmocka_unit_test(splash_keeps_the_mass),
        cmocka_unit_test(rebound_is_slower_than_impact),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
