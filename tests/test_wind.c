/* tests/test_wind.c - the wind over open ground, over the block and inside it. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "air/wind.h"
#include "check.h"
#include "data_file.h"
#include "wind_case.h"

/* Log law, U = (u* / 0.40) ln(z / z0): doubling the height adds u* ln 2 / 0.40; the measured speed comes back at its
 * height. */
static void open_ground_follows_the_log_law(void **state)
{
    (void)state;
    const drupelet_scenario s = wind_case(3.0, 0.0);
    const air_wind w = air_wind_of(&s);
    assert_close(air_wind_speed_m_s(&w, 0.0, 2.0), 3.0, 1e-9, 0.0);
    assert_close(w.friction_open_m_s, 0.40 * 3.0 / log(2.0 / 0.03), 1e-9, 0.0);
    assert_close(air_wind_speed_m_s(&w, 0.0, 8.0) - air_wind_speed_m_s(&w, 0.0, 4.0),
                 w.friction_open_m_s * log(2.0) / 0.40, 1e-9, 0.0);
    assert_true(air_wind_speed_m_s(&w, 0.0, 0.0) == 0.0);
}

/* sigma_w / u* = 1.25 above (Panofsky, Dutton 1984), 0.25 + z / h inside a dense canopy (Raupach 1989), TL u* / h = 0.3
 * at its top. */
static void turbulence_follows_raupach(void **state)
{
    (void)state;
    drupelet_scenario s = wind_case(3.0, 0.0);
    s.canopy.leaf_area_index = 8.0; /* so dense that the canopy profile holds in full */
    const air_wind w = air_wind_of(&s);
    assert_close(air_wind_at(&w, 0.0, 2.0).sigma_m_s, 1.25 * w.friction_open_m_s, 1e-9, 0.0);
    assert_close(air_wind_at(&w, 1.0, 3.5).sigma_m_s, 1.25 * w.friction_block_m_s, 1e-9, 0.0);
    assert_close(air_wind_at(&w, 1.0, 1.75).sigma_m_s, 0.75 * w.friction_block_m_s, 1e-3, 0.0);
    assert_close(air_wind_at(&w, 1.0, 3.5).time_scale_s * w.friction_block_m_s / 3.5, 0.3, 1e-6, 0.0);
}

static void wind_changes_smoothly_into_and_out_of_the_block(void **state)
{
    (void)state;
    drupelet_scenario s = wind_case(3.0, 0.0);
    for (int reverse = 0; reverse < 2; reverse++) {
        s.weather.wind_angle_rad = reverse ? acos(-1.0) : 0.0;
        const air_wind w = air_wind_of(&s);
        const double middle_m = 0.5 * (w.low_edge_m + w.high_edge_m), sign = reverse ? -1.0 : 1.0;
        double last = 0.0;
        for (double off_m = -60.0; off_m < 14.0; off_m += 0.5) { /* off the middle, along the wind */
            const double weight = air_wind_block_weight(&w, middle_m + sign * off_m);
            assert_true(weight >= last - 1e-12);
            assert_true(weight - last < 0.2);
            last = weight;
        }
        assert_true(air_wind_block_weight(&w, middle_m - sign * 20.0) == 0.0);
        assert_true(air_wind_block_weight(&w, middle_m + sign * 114.0) < 0.05); /* open ground again 100 m on */
    }
}

static void wind_follows_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_wind);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wind_follows_published_numbers),
        cmocka_unit_test(open_ground_follows_the_log_law),
        cmocka_unit_test(turbulence_follows_raupach),
        cmocka_unit_test(wind_changes_smoothly_into_and_out_of_the_block),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
