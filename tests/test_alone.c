/* tests/test_alone.c - droplets alone in the open wind: fall, way, drying and what a leaf does, beside the functions
 * that the simulation has for each. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "air/wind.h"
#include "base/moist_air.h"
#include "check.h"
#include "droplet/droplet.h"
#include "droplet/outcome.h"
#include "small_run.h"

enum { LAST = RESULT_ALONE_POINTS - 1 };

static run_case *run;

static int make_run(void **state)
{
    (void)state;
    run = small_run(1);
    return 0;
}

static int end_run(void **state)
{
    (void)state;
    small_run_end(run);
    return 0;
}

static base_air air_of(const drupelet_scenario *s)
{
    return base_moist_air(s->weather.temperature_K, s->weather.relative_humidity, s->weather.pressure_Pa);
}

static void paths_begin_at_the_top_and_go_on_to_an_end(void **state)
{
    (void)state;
    const result_alone_droplet *a = &run->result->alone;
    for (int i = 0; i < RESULT_ALONE_SIZES; i++) {
        assert_close(a->height_m[i][0], run->scenario->canopy.height_m, 1e-12, 0.0);
        assert_close(a->diameter_um[i][0], a->size_um[i], 1e-12, 0.0);
        assert_close(a->time_s[i][0] + a->distance_m[i][0], 0.0, 0.0, 0.0);
        for (int k = 1; k <= LAST; k++) {
            assert_true(a->time_s[i][k] >= a->time_s[i][k - 1] && a->height_m[i][k] <= a->height_m[i][k - 1]);
            assert_true(a->distance_m[i][k] >= a->distance_m[i][k - 1]);
            assert_true(a->diameter_um[i][k] <= a->diameter_um[i][k - 1]);
        }
        assert_true(a->height_m[i][LAST] == 0.0 || a->distance_m[i][LAST] >= 200.0 || a->time_s[i][LAST] >= 600.0);
    }
}

/* A drop that hardly dries settles at one speed w: the wind takes it the integral of the wind over height, over w. */
static void a_large_drop_is_carried_the_integral_of_the_wind(void **state)
{
    (void)state;
    const result_alone_droplet *a = &run->result->alone;
    const drupelet_scenario *s = run->scenario;
    const air_wind wind = air_wind_of(s);
    const base_air air = air_of(s);
    const int i = RESULT_ALONE_SIZES - 1;
    const double fall_m_s =
        droplet_settling_speed_m_s(1e-6 * a->size_um[i], sprayer_mean_density_kg_m3(&run->outcome->sprayer),
                                   s->liquid.surface_tension_N_m, &air);
    assert_close(a->fall_m_s[i], fall_m_s, 1e-12, 0.0);
    assert_close(a->time_s[i][LAST], s->canopy.height_m / fall_m_s, 0.01, 0.0); /* it loses 0.3 % of its size */
    assert_close(a->distance_m[i][LAST], air_wind_open_run_m2_s(&wind, 0.0, s->canopy.height_m) / fall_m_s, 0.03, 0.0);
}

/* The path dries in other steps than droplet_free_fall_by(), which counts its own in d^2. */
static void a_small_drop_dries_on_its_path_when_its_life_is_over(void **state)
{
    (void)state;
    const result_alone_droplet *a = &run->result->alone;
    const double stays = run->scenario->liquid.nonvolatile;
    int n_dry = 0;
    for (int i = 0; i < RESULT_ALONE_SIZES; i++) {
        const double dry_um = 1e6 * droplet_dry_diameter_m(1e-6 * a->size_um[i], stays);
        int k = 0;
        while (k < LAST && a->diameter_um[i][k] > 1.0001 * dry_um)
            k++;
        if (a->diameter_um[i][k] > 1.0001 * dry_um)
            continue;
        assert_true(k > 0);
        assert_between(a->dry_after_s[i], a->time_s[i][k - 1], 1.02 * a->time_s[i][k]);
        n_dry++;
    }
    assert_true(n_dry > 3);
}

static void a_leaf_does_what_its_laws_say(void **state)
{
    (void)state;
    const result_alone_droplet *a = &run->result->alone;
    const drupelet_scenario *s = run->scenario;
    const base_air air = air_of(s);
    const droplet_liquid liquid = {s->liquid.density_kg_m3, s->liquid.surface_tension_N_m, s->liquid.viscosity_Pa_s};
    const double density_kg_m3 = sprayer_mean_density_kg_m3(&run->outcome->sprayer);
    int seen[DROPLET_OUTCOMES] = {0};
    for (int i = 0; i < RESULT_ALONE_SIZES; i++)
        for (int v = 0; v < RESULT_ALONE_SPEEDS; v++) {
            const double d_m = 1e-6 * a->size_um[i];
            const droplet_collector leaf = droplet_leaf_collector(&s->canopy);
            const double stokes =
                droplet_stokes_time_s(d_m, density_kg_m3, &air) * a->speed_m_s[v] / s->canopy.leaf_width_m;
            assert_close(a->hits[i][v], fmin(droplet_target_efficiency(&leaf, d_m, stokes), 1.0), 1e-12, 0.0);
            for (int side = 0; side < 2; side++) {
                assert_int_equal(a->outcome[side][i][v],
                                 droplet_leaf_outcome(d_m, a->speed_m_s[v], &s->canopy.leaf_surface[side], &liquid));
                seen[a->outcome[side][i][v]]++;
            }
        }
    assert_true(seen[DROPLET_ADHERES] > 0 && seen[DROPLET_SHATTERS] > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(paths_begin_at_the_top_and_go_on_to_an_end),
        cmocka_unit_test(a_large_drop_is_carried_the_integral_of_the_wind),
        cmocka_unit_test(a_small_drop_dries_on_its_path_when_its_life_is_over),
        cmocka_unit_test(a_leaf_does_what_its_laws_say),
    };
    return cmocka_run_group_tests(tests, make_run, end_run);
}
