/* tests/test_air_and_water.c - moist air and water against steam tables, psychrometric tables and measured values. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/moist_air.h"
#include "check.h"
#include "data_file.h"

static double kelvin(double celsius)
{
    return celsius + BASE_ZERO_CELSIUS_K;
}

/* Printed examples. ASHRAE Handbook Fundamentals (2017), chapter 1: example 1 is a chart reading, its humidity good to
 * 1 %, which is 0.4 K of wet bulb; 30 degC at 95461 Pa with wet bulb 25 degC holds 0.0192281 kg/kg. R. Stull, J. Appl.
 * Meteorol. Climatol. 50 (2011) 2267: 20 degC, 50 % gives 13.7 degC (memory; his fit is good to 0.65 K, and 0.1 K
 * there). */
static void wet_bulb_meets_printed_examples(void **state)
{
    (void)state;
    assert_close(base_wet_bulb_K(kelvin(40.0), 0.14, 101325.0), kelvin(20.0), 0.0, 0.4);
    assert_close(base_wet_bulb_K(kelvin(20.0), 0.50, 101325.0), kelvin(13.7), 0.0, 0.1);
    const double ratio = 0.0192281, pressure_Pa = 95461.0, vapour_Pa = pressure_Pa * ratio / (0.621945 + ratio);
    const double humidity = vapour_Pa / base_saturation_pressure_Pa(kelvin(30.0));
    assert_close(base_wet_bulb_K(kelvin(30.0), humidity, pressure_Pa), kelvin(25.0), 0.0, 0.01);
}

static void wet_bulb_is_sound_everywhere(void **state)
{
    (void)state;
    for (double t_C = -15.0; t_C < 60.0; t_C += 2.5) {
        double last_K = 0.0;
        for (double humidity = 0.0; humidity < 1.0; humidity += 0.05) {
            const double wet_K = base_wet_bulb_K(kelvin(t_C), humidity, 101325.0);
            assert_true(wet_K > last_K || (t_C < 0.0 && humidity > 0.8)); /* frost: more than an icy wick can take up */
            assert_true(wet_K < kelvin(t_C) + 1e-9);
            last_K = wet_K;
        }
        if (t_C >= 0.0)
            assert_close(base_wet_bulb_K(kelvin(t_C), 1.0, 101325.0), kelvin(t_C), 0.0, 1e-6);
    }
}

/* ASHRAE Handbook Fundamentals (2017), Table 2: dry air at 25 degC holds 0.8443 m3/kg; spreadsheet value at 30 degC,
 * 95461 Pa, 0.02 kg/kg: 0.940855 m3 per kg of dry air. */
static void moist_air_is_lighter_than_dry_air(void **state)
{
    (void)state;
    assert_close(1.0 / base_air_density_kg_m3(kelvin(25.0), 101325.0, 0.0), 0.8443, 1e-3, 0.0);
    const double vapour_Pa = 95461.0 * 0.02 / (0.621945 + 0.02);
    assert_close(1.02 / base_air_density_kg_m3(kelvin(30.0), 95461.0, vapour_Pa), 0.940855, 1e-3, 0.0);
}

/* Official check values of IAPWS. */
static void water_meets_the_check_values(void **state)
{
    (void)state;
    assert_close(1e3 * base_water_surface_tension_N_m(300.0), 71.686, 1e-4, 0.0);
    assert_close(1e3 * base_water_viscosity_Pa_s(298.15), 0.889735, 0.001, 0.0);
}

static void state_of_the_air_is_gathered(void **state)
{
    (void)state;
    const base_air air = base_moist_air(293.15, 0.6, 100000.0);
    assert_close(air.vapour_pressure_Pa, 0.6 * base_saturation_pressure_Pa(293.15), 1e-12, 0.0);
    assert_close(air.density_kg_m3, base_air_density_kg_m3(293.15, 100000.0, air.vapour_pressure_Pa), 1e-12, 0.0);
    assert_close(air.viscosity_Pa_s, base_air_viscosity_Pa_s(293.15), 1e-12, 0.0);
    assert_close(air.wet_bulb_K, base_wet_bulb_K(293.15, 0.6, 100000.0), 1e-12, 0.0);
    assert_close(air.temperature_K, 293.15, 0.0, 0.0);
    assert_close(air.relative_humidity, 0.6, 0.0, 0.0);
    assert_close(air.pressure_Pa, 100000.0, 0.0, 0.0);
    /* C. N. Davies, Proc. Phys. Soc. 57 (1945) 259 quotes 66.5 nm, K. V. Beard (1976) 66.2 nm, at 20 degC and 1 atm */
    assert_between(1e9 * base_moist_air(293.15, 0.0, 101325.0).mean_free_path_m, 65.7, 66.7);
    assert_close(base_moist_air(293.15, 0.0, 50662.5).mean_free_path_m,
                 2.0 * base_moist_air(293.15, 0.0, 101325.0).mean_free_path_m, 1e-9, 0.0);
}

static void air_and_water_follow_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_humid_air);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(air_and_water_follow_published_numbers),
        cmocka_unit_test(wet_bulb_meets_printed_examples),
        cmocka_unit_test(wet_bulb_is_sound_everywhere),
        cmocka_unit_test(moist_air_is_lighter_than_dry_air),
        cmocka_unit_test(water_meets_the_check_values),
        cmocka_unit_test(state_of_the_air_is_gathered),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
