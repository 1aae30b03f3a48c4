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

/* tests/data/ranz_marshall_1952.csv, measured: mean error below 3 %, each drop within 7 %. Heat came down the tube that
 * fed the drops, so the measured ones are warmer, by 0.75 K on average and at most 2 K. */
static void evaporation_follows_ranz_and_marshall(void **state)
{
    (void)state;
    verify_table *t = data_file_open("ranz_marshall_1952");
    double sum = 0.0, warmer_K = 0.0;
    int n = 0;
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double measured = 1e-11 * verify_table_number(t, i, "evaporation_rate_1e-5_ml_s");
        if (isnan(measured))
            continue; /* run 19, the drop in still air, has no rate */
        const base_air air = base_moist_air(verify_table_number(t, i, "air_temperature_C") + BASE_ZERO_CELSIUS_K, 0.0,
                                            133.322 * verify_table_number(t, i, "pressure_mmHg"));
        const droplet_drying drying = droplet_evaporation(0.01 * verify_table_number(t, i, "drop_diameter_cm"),
                                                          verify_table_number(t, i, "reynolds_number"), &air);
        const double volume_m3_s = drying.mass_rate_kg_s / base_water_density_kg_m3(drying.temperature_K);
        const double drop_K = verify_table_number(t, i, "drop_temperature_C") + BASE_ZERO_CELSIUS_K;
        assert_close(volume_m3_s, measured, 0.07, 0.0);
        assert_between(drop_K - drying.temperature_K, -0.5, 2.0);
        sum += volume_m3_s / measured - 1.0;
        warmer_K += drop_K - drying.temperature_K;
        n++;
    }
    assert_int_equal(n, 18);
    assert_close(sum / n, 0.0, 0.0, 0.03);
    assert_close(warmer_K / n, 0.75, 0.0, 0.25);
    verify_table_free(t);
}

/* tests/data/wet_bulb.csv: a still droplet is up to 0.8 K colder than the thermodynamic wet bulb. The table takes the
 * vapour pressure of ice below 0 degC, where our droplet is supercooled water: it may differ by 0.1 K there. */
static void still_droplet_is_colder_than_the_wet_bulb(void **state)
{
    (void)state;
    verify_table *t = data_file_open("wet_bulb");
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double t_K = verify_table_number(t, i, "dry_bulb_C") + BASE_ZERO_CELSIUS_K;
        const double humidity = 0.01 * verify_table_number(t, i, "relative_humidity_percent");
        const base_air air = base_moist_air(t_K, humidity, 101325.0);
        const double drop_K = droplet_evaporation(30e-6, 0.0, &air).temperature_K;
        const double table_C = verify_table_number(t, i, "still_drop_temperature_computed_C");
        assert_close(drop_K, table_C + BASE_ZERO_CELSIUS_K, 0.0, table_C > 0.0 ? 0.05 : 0.10);
        assert_between(air.wet_bulb_K - drop_K, -0.01, 0.85);
    }
    verify_table_free(t);
}

/* tests/data/falling_drop.csv, the same equations worked on their own: 2 %. A residue of 1/8 of the volume stops the
 * droplet at half its diameter. */
static void free_fall_follows_the_converged_answer(void **state)
{
    (void)state;
    verify_table *t = data_file_open("falling_drop");
    for (int i = 0; i < verify_table_rows(t); i++) {
        const base_air air = base_moist_air(verify_table_number(t, i, "air_temperature_C") + BASE_ZERO_CELSIUS_K,
                                            0.01 * verify_table_number(t, i, "relative_humidity_percent"), 101325.0);
        const double d_m = 1e-6 * verify_table_number(t, i, "initial_diameter_um");
        const droplet_life whole = droplet_free_fall(d_m, density_of(&air), 0.0, &air);
        const droplet_life half = droplet_free_fall(d_m, density_of(&air), 0.125, &air);
        assert_close(whole.lifetime_s, verify_table_number(t, i, "lifetime_ranz_marshall_s"), 0.02, 0.0);
        assert_close(whole.fall_m, verify_table_number(t, i, "fall_distance_ranz_marshall_m"), 0.02, 0.0);
        assert_close(half.lifetime_s, verify_table_number(t, i, "time_to_half_diameter_ranz_marshall_s"), 0.02, 0.0);
        assert_true(half.fall_m < whole.fall_m);
    }
    verify_table_free(t);
}

/* The same table by the law of Beard and Pruppacher. */
static void free_fall_follows_beard_and_pruppacher(void **state)
{
    (void)state;
    verify_table *t = data_file_open("falling_drop");
    for (int i = 0; i < verify_table_rows(t); i++) {
        const base_air air = base_moist_air(verify_table_number(t, i, "air_temperature_C") + BASE_ZERO_CELSIUS_K,
                                            0.01 * verify_table_number(t, i, "relative_humidity_percent"), 101325.0);
        const droplet_life life =
            droplet_free_fall_by(SCENARIO_BEARD_PRUPPACHER, 1e-6 * verify_table_number(t, i, "initial_diameter_um"),
                                 density_of(&air), 0.0, &air);
        assert_close(life.lifetime_s, verify_table_number(t, i, "lifetime_beard_pruppacher_s"), 0.02, 0.0);
        assert_close(life.fall_m, verify_table_number(t, i, "fall_distance_beard_pruppacher_m"), 0.02, 0.0);
    }
    verify_table_free(t);
}

/* tests/data/ventilation.csv, measured drops: 5 % above X = 3, 10 % below. */
static void ventilation_follows_measured_drops(void **state)
{
    (void)state;
    verify_table *t = data_file_open("ventilation");
    assert_int_equal(verify_table_rows(t), 18);
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double x = verify_table_number(t, i, "sqrt_re_times_cbrt_sc");
        assert_close(droplet_ventilation(SCENARIO_BEARD_PRUPPACHER, x),
                     verify_table_number(t, i, "ventilation_coefficient"), x > 3.0 ? 0.05 : 0.10, 0.0);
    }
    verify_table_free(t);
}

/* tests/data/residue_life.csv, a table of extension sheets from memory: 30 %. */
static void droplets_dry_down_to_their_residue(void **state)
{
    (void)state;
    verify_table *t = data_file_open("residue_life");
    const base_air air = base_moist_air(305.35, 0.36, 101325.0);
    for (int i = 0; i < verify_table_rows(t); i++) {
        const double d_m = 1e-6 * verify_table_number(t, i, "initial_diameter_um");
        assert_close(droplet_free_fall(d_m, density_of(&air), 0.0375, &air).lifetime_s,
                     verify_table_number(t, i, "time_to_evaporate_s"), 0.30, 0.0);
    }
    assert_close(droplet_free_fall(100e-6, density_of(&air), 1.0, &air).lifetime_s, 0.0, 0.0,
                 0.0); /* nothing but residue */
    verify_table_free(t);
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(evaporation_follows_ranz_and_marshall),
        cmocka_unit_test(still_droplet_is_colder_than_the_wet_bulb),
        cmocka_unit_test(free_fall_follows_the_converged_answer),
        cmocka_unit_test(free_fall_follows_beard_and_pruppacher),
        cmocka_unit_test(ventilation_follows_measured_drops),
        cmocka_unit_test(droplets_dry_down_to_their_residue),
        cmocka_unit_test(nothing_evaporates_in_saturated_air),
        cmocka_unit_test(area_shrinks_steadily),
        cmocka_unit_test(dry_and_warm_air_dries_faster),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
