/* tests/test_evaporation.c - evaporation, temperature, life and fall of droplets. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/moist_air.h"
#include "check.h"
#include "data_file.h"
#include "droplet/droplet.h"

static double density_of(const base_air *air)
{
    return base_water_density_kg_m3(air->temperature_K);
}

/* By up to 0.8 K: its heat comes by conduction alone. */
static void still_droplet_is_colder_than_the_wet_bulb(void **state)
{
    (void)state;
    verify_table *t = data_file_open("wet_bulb");
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double t_K = verify_table_number(t, i, "dry_bulb_C") + BASE_ZERO_CELSIUS_K;
        const double humidity = 0.01 * verify_table_number(t, i, "relative_humidity_percent");
        const base_air air = base_moist_air(t_K, humidity, 101325.0);
        const double drop_K = droplet_evaporation(30e-6, 0.0, &air).temperature_K;
        assert_between(air.wet_bulb_K - drop_K, -0.01, 0.85);
    }
    verify_table_free(t);
}

static void residue_ends_the_drying(void **state)
{
    (void)state;
    const base_air air = base_moist_air(305.35, 0.36, 101325.0);
    const droplet_life whole = droplet_free_fall(100e-6, density_of(&air), 0.0, &air);
    assert_true(droplet_free_fall(100e-6, density_of(&air), 0.125, &air).fall_m < whole.fall_m);
    assert_close(droplet_free_fall(100e-6, density_of(&air), 1.0, &air).lifetime_s, 0.0, 0.0, 0.0);
}

static void nothing_evaporates_in_saturated_air(void **state)
{
    (void)state;
    const base_air air = base_moist_air(288.15, 1.0, 101325.0);
    const droplet_drying drying = droplet_evaporation(100e-6, 3.0, &air);
    assert_close(drying.temperature_K, 288.15, 0.0, 1e-9);
    assert_close(drying.mass_rate_kg_s, 0.0, 0.0, 0.0);
    assert_true(isinf(droplet_free_fall(100e-6, density_of(&air), 0.0, &air).lifetime_s));
}

/* In still air -d(d^2)/dt does not depend on the diameter, and -dm/dt = pi/4 rho d (-d(d^2)/dt). Slip quickens vapour
 * by 1 + 0.3 Re^(1/2) Sc^(1/3) and heat by 1 + 0.3 Re^(1/2) Pr^(1/3) at any diameter; what dries lies between the
 * two. */
static void area_shrinks_steadily(void **state)
{
    (void)state;
    const base_air air = base_moist_air(298.15, 0.5, 101325.0);
    const double still = droplet_evaporation(50e-6, 0.0, &air).area_rate_m2_s;
    for (double d_m = 5e-6; d_m < 1e-3; d_m *= 2.0) {
        const droplet_drying drying = droplet_evaporation(d_m, 0.0, &air);
        assert_close(drying.area_rate_m2_s, still, 1e-9, 0.0);
        assert_close(drying.mass_rate_kg_s,
                     0.25 * acos(-1.0) * base_water_density_kg_m3(drying.temperature_K) * d_m * still, 1e-9, 0.0);
        assert_between(droplet_evaporation(d_m, 100.0, &air).area_rate_m2_s / still, 1.0 + 3.0 * cbrt(0.62),
                       1.0 + 3.0 * cbrt(0.725));
    }
}

static void dry_and_warm_air_dries_faster(void **state)
{
    (void)state;
    double last = 0.0;
    for (double humidity = 1.0; humidity > -0.01; humidity -= 0.1) {
        const base_air air = base_moist_air(293.15, fmax(humidity, 0.0), 101325.0);
        const double rate = droplet_evaporation(80e-6, 1.0, &air).area_rate_m2_s;
        assert_true(rate > last || (humidity > 0.99 && rate == 0.0));
        last = rate;
    }
    const base_air cool = base_moist_air(283.15, 0.5, 101325.0), warm = base_moist_air(308.15, 0.5, 101325.0);
    assert_true(droplet_evaporation(80e-6, 1.0, &warm).area_rate_m2_s
                > 2.0 * droplet_evaporation(80e-6, 1.0, &cool).area_rate_m2_s);
}

static void evaporation_follows_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_evaporation);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(evaporation_follows_published_numbers),
        cmocka_unit_test(residue_ends_the_drying),
        cmocka_unit_test(still_droplet_is_colder_than_the_wet_bulb),
        cmocka_unit_test(nothing_evaporates_in_saturated_air),
        cmocka_unit_test(area_shrinks_steadily),
        cmocka_unit_test(dry_and_warm_air_dries_faster),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
