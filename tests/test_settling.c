/* tests/test_settling.c - drag, slip and terminal speed; published numbers: sim/verify/tolerances.csv. */
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

static double deformation(double diameter_m, double surface_tension_N_m, const base_air *air)
{
    return droplet_deformation_factor(diameter_m, base_water_density_kg_m3(air->temperature_K), surface_tension_N_m,
                                      air);
}

/* 1 for spray, rising without a jump for drips, also of liquids with low surface tension, and sooner for those. */
static void deformation_sets_in_smoothly(void **state)
{
    (void)state;
    const base_air air = base_moist_air(293.15, 0.6, 101325.0);
    for (double tension_N_m = 0.02; tension_N_m < 0.08; tension_N_m += 0.01) {
        double last = 1.0;
        for (double d_m = 10e-6; d_m < 8e-3; d_m *= 1.001) {
            const double factor = deformation(d_m, tension_N_m, &air);
            assert_true(factor >= last - 1e-12);
            assert_true(factor - last < 0.01);
            last = factor;
        }
        assert_true(last > 1.5);
    }
    for (double d_m = 10e-6; d_m < 0.6e-3; d_m *= 1.1)
        assert_close(deformation(d_m, 0.02, &air), 1.0, 0.0, 0.0);
    assert_true(deformation(2e-3, 0.03, &air) > deformation(2e-3, 0.07, &air) + 0.05);
}

/* dv/dt = 0: weight less buoyancy equals drag. */
static void terminal_speed_balances_weight_and_drag(void **state)
{
    (void)state;
    const base_air air = base_moist_air(298.15, 0.4, 98000.0);
    for (double d_m = 2e-6; d_m < 6e-3; d_m *= 1.3) {
        const double density_kg_m3 = 1050.0, tension_N_m = 0.05;
        const double speed_m_s = droplet_settling_speed_m_s(d_m, density_kg_m3, tension_N_m, &air);
        const double drag = speed_m_s / droplet_stokes_time_s(d_m, density_kg_m3, &air)
                            * base_sphere_drag_factor(air.density_kg_m3 * speed_m_s * d_m / air.viscosity_Pa_s)
                            * droplet_deformation_factor(d_m, density_kg_m3, tension_N_m, &air);
        assert_close(drag, BASE_GRAVITY_M_S2 * (1.0 - air.density_kg_m3 / density_kg_m3), 1e-9, 0.0);
    }
}

/* tau = rho d^2 Cc / (18 mu): 100 um of water at 20 degC: 998.2e-8 / (18 * 1.8134e-5) = 0.03058 s, slip 1.00166. */
static void stokes_time_is_right(void **state)
{
    (void)state;
    const base_air air = base_moist_air(293.15, 0.0, 101325.0);
    assert_close(base_sphere_drag_factor(0.0), 1.0, 0.0, 0.0);
    assert_close(droplet_stokes_time_s(100e-6, 998.2, &air), 0.03058 * 1.00166, 1e-3, 0.0);
}

static void drag_and_fall_follow_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_settling);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(drag_and_fall_follow_published_numbers),
        cmocka_unit_test(deformation_sets_in_smoothly),
        cmocka_unit_test(terminal_speed_balances_weight_and_drag),
        cmocka_unit_test(stokes_time_is_right),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
