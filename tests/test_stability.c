/* tests/test_stability.c - Monin-Obukhov functions, the sun, stability classes, and the wind that follows from them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "air/stability.h"
#include "air/wind.h"
#include "check.h"
#include "data_file.h"
#include "wind_case.h"

#define DEGREE (acos(-1.0) / 180.0)

/* Source of each column: head of the file. */
static void functions_match_the_published_forms(void **state)
{
    (void)state;
    verify_table *t = data_file_open("stability");
    assert_int_equal(verify_table_rows(t), 12);
    for (int row = 0; row < verify_table_rows(t); row++) {
        const double zeta = verify_table_number(t, row, "zeta");
        assert_close(air_psi_momentum(zeta), verify_table_number(t, row, "psi_m"), 1e-5, 1e-12);
        assert_close(air_sigma_up_over_friction(zeta), verify_table_number(t, row, "sigma_w_over_ustar"), 1e-5, 0.0);
    }
    verify_table_free(t);
}

/* phi_m = 1 - zeta dpsi/dzeta, beside the published phi_m: Dyer's when unstable; when stable that of Beljaars and
 * Holtslag (1991), 1 + zeta (1 + 0.667 exp(-0.35 zeta) (6 - 0.35 zeta)). */
static void psi_is_the_integral_of_the_published_shear(void **state)
{
    (void)state;
    const double h = 1e-5;
    for (double zeta = -2.0; zeta < 10.0; zeta += 0.173) {
        const double slope = (air_psi_momentum(zeta + h) - air_psi_momentum(zeta - h)) / (2.0 * h);
        const double shear = zeta < 0.0 ? pow(1.0 - 16.0 * zeta, -0.25)
                                        : 1.0 + zeta * (1.0 + 0.667 * exp(-0.35 * zeta) * (6.0 - 0.35 * zeta));
        assert_close(1.0 - zeta * slope, shear, 1e-6, 1e-6);
    }
}

/* The sun at noon stands 90 degrees less latitude plus declination high (23.45 at midsummer); at the equinox it rises
 * at 6 h everywhere. Astronomy, common knowledge. */
static void sun_stands_where_it_should(void **state)
{
    (void)state;
    assert_close(asin(air_sine_of_sun(45.0 * DEGREE, 172, 12.0)) / DEGREE, 90.0 - 45.0 + 23.45, 1e-3, 0.0);
    assert_close(asin(air_sine_of_sun(45.0 * DEGREE, 355, 12.0)) / DEGREE, 90.0 - 45.0 - 23.45, 1e-3, 0.0);
    assert_close(asin(air_sine_of_sun(-35.0 * DEGREE, 355, 12.0)) / DEGREE, 90.0 - 35.0 + 23.45, 1e-3, 0.0);
    assert_close(air_sine_of_sun(50.0 * DEGREE, 81, 6.0), 0.0, 0.0, 0.01);
}

static double class_of(double hour, double cloud, double wind_10_m_s)
{
    const scenario_weather w = {.day_given = true, .hour = hour, .cloud = cloud, .day_of_year = 172,
                                .latitude_rad = 45.0 * DEGREE};
    return air_stability_class(&w, wind_10_m_s);
}

/* F. Pasquill, Meteorol. Mag. 90 (1961) 33, table of classes (memory, certain): strong sun A, A-B, B, C, C; clear night
 * F, F, E, D, D; overcast always D. */
static void classes_follow_pasquill(void **state)
{
    (void)state;
    static const double wind_m_s[] = {1.0, 2.5, 4.0, 5.5, 8.0}, strong[] = {0.0, 0.5, 1.0, 2.0, 2.0};
    static const double night[] = {5.0, 5.0, 4.0, 3.0, 3.0}, cloudy_night[] = {4.0, 4.0, 3.0, 3.0, 3.0};
    for (int i = 0; i < 5; i++) {
        assert_true(class_of(12.0, 0.1, wind_m_s[i]) == strong[i]);
        assert_true(class_of(23.0, 0.1, wind_m_s[i]) == night[i]);
        assert_true(class_of(23.0, 0.7, wind_m_s[i]) == cloudy_night[i]);
        assert_true(class_of(12.0, 1.0, wind_m_s[i]) == 3.0 && class_of(0.0, 1.0, wind_m_s[i]) == 3.0);
    }
    assert_true(class_of(9.0, 0.1, 2.5) == 1.0); /* sun 50 degrees high: moderate */
    assert_true(class_of(9.0, 0.7, 2.5) == 2.0); /* and behind broken cloud: slight */
    assert_true(class_of(4.5, 0.1, 2.5) == 5.0); /* just after sunrise: still night */
}

/* Golder (1972) over short grass: class B some -10 m, F some 10 m; neutral exactly. Memory. */
static void obukhov_length_follows_the_class(void **state)
{
    (void)state;
    assert_true(air_per_obukhov_of_class_1_m(3.0, 0.03) == 0.0);
    assert_between(1.0 / air_per_obukhov_of_class_1_m(0.0, 0.03), -9.0, -5.0);
    assert_between(1.0 / air_per_obukhov_of_class_1_m(1.0, 0.03), -16.0, -8.0);
    assert_between(1.0 / air_per_obukhov_of_class_1_m(4.0, 0.03), 20.0, 60.0);
    assert_between(1.0 / air_per_obukhov_of_class_1_m(5.0, 0.03), 8.0, 15.0);
    for (double c = 0.25; c <= 5.0; c += 0.25) /* never less stable from class to class */
        assert_true(air_per_obukhov_of_class_1_m(c, 0.03) > air_per_obukhov_of_class_1_m(c - 0.25, 0.03)
                    || c <= 3.0);
}

static void wind_bends_with_stability(void **state)
{
    (void)state;
    const drupelet_scenario night = wind_case(2.0, 1.0 / 10.0), plain = wind_case(2.0, 0.0),
                            day = wind_case(2.0, -1.0 / 10.0);
    const air_wind stable = air_wind_of(&night), neutral = air_wind_of(&plain), unstable = air_wind_of(&day);
    const air_wind *all[] = {&stable, &neutral, &unstable};
    for (int i = 0; i < 3; i++) { /* the measured wind comes back; the two profiles meet */
        assert_close(air_wind_speed_m_s(all[i], 0.0, 2.0), 2.0, 1e-9, 0.0);
        assert_close(air_wind_speed_m_s(all[i], 1.0, all[i]->blend_height_m - 1e-6),
                     air_wind_speed_m_s(all[i], 0.0, all[i]->blend_height_m), 1e-4, 0.0);
        assert_close(air_wind_at(all[i], 1.0, all[i]->blend_height_m + 1e-6).sigma_m_s,
                     air_wind_at(all[i], 0.0, all[i]->blend_height_m).sigma_m_s, 1e-4, 0.0);
        for (double z = 0.05; z < 20.0; z += 0.05) { /* no jumps */
            assert_true(air_wind_speed_m_s(all[i], 1.0, z) >= 0.0);
            const air_wind_state here = air_wind_at(all[i], 0.7, z);
            assert_close(air_wind_at(all[i], 0.7, z + 0.05).sigma_m_s, here.sigma_m_s, 0.12, 0.0);
            assert_true(here.sigma_level_m_s >= here.sigma_m_s);
        }
    }
    /* log law with psi, worked for L = 10 m: (ln(10 / 0.03) + 5 x 10/10 held by Beljaars and Holtslag) ... */
    assert_close(air_wind_speed_m_s(&stable, 0.0, 10.0),
                 2.0 * (log(10.0 / 0.03) + 4.28393 + air_psi_momentum(0.003))
                     / (log(2.0 / 0.03) + 0.968572 + air_psi_momentum(0.003)),
                 1e-5, 0.0);
    /* an inversion calms the air near the ground; the sun stirs it */
    assert_true(stable.friction_open_m_s < neutral.friction_open_m_s);
    assert_true(unstable.friction_open_m_s > neutral.friction_open_m_s);
    const double mixing[] = {air_wind_at(&stable, 0.0, 3.0).sigma_m_s * air_wind_at(&stable, 0.0, 3.0).sigma_m_s
                                 * air_wind_at(&stable, 0.0, 3.0).time_scale_s,
                             air_wind_at(&neutral, 0.0, 3.0).sigma_m_s * air_wind_at(&neutral, 0.0, 3.0).sigma_m_s
                                 * air_wind_at(&neutral, 0.0, 3.0).time_scale_s,
                             air_wind_at(&unstable, 0.0, 3.0).sigma_m_s * air_wind_at(&unstable, 0.0, 3.0).sigma_m_s
                                 * air_wind_at(&unstable, 0.0, 3.0).time_scale_s};
    assert_true(mixing[0] < 0.6 * mixing[1] && mixing[2] > 1.3 * mixing[1]);
    assert_true(stable.per_obukhov_block_1_m < stable.per_obukhov_open_1_m); /* the block stirs: nearer to neutral */
}

/* What an anemometer's standard deviation says is what the air then has, at its height. */
static void gusts_are_taken_as_measured(void **state)
{
    (void)state;
    drupelet_scenario s = wind_case(2.0, 0.0);
    const air_wind by_law = air_wind_of(&s);
    s.weather.gusts = 0.4;
    const air_wind gusty = air_wind_of(&s);
    assert_close(air_wind_at(&gusty, 0.0, 2.0).sigma_level_m_s, 0.8, 1e-9, 0.0);
    assert_close(air_wind_at(&gusty, 0.0, 2.0).sigma_m_s, air_wind_at(&by_law, 0.0, 2.0).sigma_m_s, 0.0, 0.0);
}

/* Turned from across to along the rows, nothing jumps; along the rows both sides of the block are alike. */
static void wind_along_the_rows_is_the_limit_of_a_turning_wind(void **state)
{
    (void)state;
    drupelet_scenario s = wind_case(2.0, 0.0);
    for (double x_m = -60.0; x_m < 40.0; x_m += 1.7) {
        double last = -1.0;
        for (double angle = 60.0; angle <= 120.0; angle += 0.25) {
            s.weather.wind_angle_rad = angle * DEGREE;
            const air_wind w = air_wind_of(&s);
            const double weight = air_wind_block_weight(&w, x_m);
            assert_between(weight, 0.0, 1.0);
            if (last >= 0.0)
                assert_true(fabs(weight - last) < 0.06);
            last = weight;
        }
    }
    s.weather.wind_angle_rad = 90.0 * DEGREE;
    const air_wind w = air_wind_of(&s);
    const double middle_m = 0.5 * (w.low_edge_m + w.high_edge_m);
    for (double off_m = 0.0; off_m < 40.0; off_m += 1.0)
        assert_close(air_wind_block_weight(&w, middle_m + off_m), air_wind_block_weight(&w, middle_m - off_m), 1e-9,
                     1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(functions_match_the_published_forms),
        cmocka_unit_test(psi_is_the_integral_of_the_published_shear),
        cmocka_unit_test(sun_stands_where_it_should),
        cmocka_unit_test(classes_follow_pasquill),
        cmocka_unit_test(obukhov_length_follows_the_class),
        cmocka_unit_test(wind_bends_with_stability),
        cmocka_unit_test(gusts_are_taken_as_measured),
        cmocka_unit_test(wind_along_the_rows_is_the_limit_of_a_turning_wind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
