/* tests/test_carry.c - how far the wind carries a droplet: beside a fine integration in time, by hand, and without a
 * jump. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/wind.h"
#include "check.h"
#include "droplet/carry.h"
#include "droplet/droplet.h"
#include "drupelet/drupelet.h"
#include "report/settings.h"
#include "wind_case.h"

#define HEIGHT_M 3.5
#define TENSION_N_M 0.0728
#define DENSITY_KG_M3 998.0

static droplet_let_go water(double diameter_um, double nonvolatile, scenario_ventilation law)
{
    return (droplet_let_go){1e-6 * diameter_um, DENSITY_KG_M3, TENSION_N_M, nonvolatile, law};
}

static air_wind wind_of(double speed_m_s, double per_obukhov_1_m)
{
    const drupelet_scenario s = wind_case(speed_m_s, per_obukhov_1_m);
    return air_wind_of(&s);
}

/* ---- a fine integration in time ---- */

typedef struct {
    double z_m, x_m, t_s, d2_m2;
    bool dries;
    double dry_x_m, dry_z_m;
} flight;

/* Wind over open ground of 0.03 m roughness: in neutral air the logarithmic law by hand, else the air module's. */
static double speed_at_m_s(double z_m, double wind_2_m_s, double per_obukhov_1_m, const air_wind *wind)
{
    if (per_obukhov_1_m != 0.0) return air_wind_speed_m_s(wind, 0.0, z_m);
    return z_m > 0.03 ? wind_2_m_s * log(z_m / 0.03) / log(2.0 / 0.03) : 0.0;
}

/* Speed of fall and -d(d^2)/dt of a droplet (dry: of its residue). Both functions have tests of their own. */
static void rates(const droplet_let_go *drop, double d2_m2, bool dry, const base_air *air, double *fall_m_s,
                  double *shrink_m2_s)
{
    const double d_m = sqrt(d2_m2);
    *fall_m_s = droplet_settling_speed_m_s(d_m, drop->density_kg_m3, drop->surface_tension_N_m, air);
    const double re = air->density_kg_m3 * *fall_m_s * d_m / air->viscosity_Pa_s;
    *shrink_m2_s = dry ? 0.0 : droplet_evaporation_by(drop->ventilation, d_m, re, air).area_rate_m2_s;
}

/* The midpoint rule in time: steps of a thousandth of the droplet's life at most, and near the ground of a hundredth of
 * the height that is left, so that the logarithm is followed. Halving them changes the distance by less than 2e-4. */
static flight fly_finely(const droplet_let_go *drop, const base_air *air, double wind_2_m_s, double per_obukhov_1_m,
                         const air_wind *wind)
{
    const double first2 = drop->diameter_m * drop->diameter_m;
    const double last_m = fmax(1e-6, drop->diameter_m * cbrt(drop->nonvolatile)), last2 = last_m * last_m;
    flight f = {.z_m = HEIGHT_M, .d2_m2 = first2};
    while (f.z_m > 0.0) {
        double fall, shrink, fall_half, shrink_half;
        rates(drop, f.d2_m2, f.dries, air, &fall, &shrink);
        double dt_s = fmin(fmax(0.01 * f.z_m, 1e-4) / fall, 1e-3 * first2 / fmax(shrink, 1e-30));
        if (shrink > 0.0) dt_s = fmin(dt_s, (f.d2_m2 - last2) / shrink);
        rates(drop, f.d2_m2 - 0.5 * dt_s * shrink, f.dries, air, &fall_half, &shrink_half);
        dt_s = fmin(dt_s, f.z_m / fall_half);
        const double below_m = f.z_m - dt_s * fall_half;
        f.x_m += dt_s * speed_at_m_s(0.5 * (f.z_m + below_m), wind_2_m_s, per_obukhov_1_m, wind);
        f.t_s += dt_s;
        f.z_m = below_m > 1e-9 ? below_m : 0.0;
        f.d2_m2 -= dt_s * shrink_half;
        if (!f.dries && f.z_m > 0.0 && f.d2_m2 - last2 < 1e-6 * first2) {
            f.dries = true;
            f.d2_m2 = last2;
            f.dry_x_m = f.x_m;
            f.dry_z_m = f.z_m;
        }
    }
    return f;
}

static const double diameters_um[] = {20.0,  30.0,  50.0,  62.0,  70.0,  80.0,  100.0,
                                      125.0, 160.0, 200.0, 300.0, 600.0, 1500.0};
enum { SIZES = sizeof diameters_um / sizeof diameters_um[0] };

/* 0.2 %: the 300 steps of d^2. */
static void carry_follows_a_fine_integration(void **state)
{
    (void)state;
    static const struct { double wind_2_m_s, per_obukhov_1_m; } winds[] = {
        {0.5, 0.0}, {3.0, 0.0}, {8.0, 0.0}, {2.0, 0.1}, {3.0, -0.05}};
    const base_air air = base_moist_air(293.15, 0.60, 101325.0);
    int n_dry = 0, n_wet = 0;
    for (int law = SCENARIO_RANZ_MARSHALL; law <= SCENARIO_BEARD_PRUPPACHER; law++)
        for (size_t w = 0; w < sizeof winds / sizeof winds[0]; w++)
            for (int i = 0; i < SIZES; i++) {
                const droplet_let_go drop = water(diameters_um[i], i % 2 ? 0.005 : 0.05, (scenario_ventilation)law);
                const air_wind wind = wind_of(winds[w].wind_2_m_s, winds[w].per_obukhov_1_m);
                const flight fine = fly_finely(&drop, &air, winds[w].wind_2_m_s, winds[w].per_obukhov_1_m, &wind);
                const droplet_carry way = droplet_carried(&drop, HEIGHT_M, &air, &wind);
                assert_int_equal(way.dries, fine.dries);
                assert_close(way.distance_m, fine.x_m, 0.002, 1e-9);
                assert_close(way.time_s, fine.t_s, 0.002, 1e-9);
                n_dry += fine.dries;
                n_wet += !fine.dries;
                if (!fine.dries) continue;
                assert_close(way.dry_distance_m, fine.dry_x_m, 0.002, 1e-9);
                assert_close(HEIGHT_M - way.dry_height_m, HEIGHT_M - fine.dry_z_m, 0.003, 1e-9);
            }
    assert_true(n_dry >= 40 && n_wet >= 40);
}

/* In saturated air nothing dries: 3.5 m at the settling speed v in the log law, X = U1 (ln(h/z0) - 1 + z0/h) h / v, U1
 * = 3 m/s / ln(2 m / z0). With z0 = 0.03 m: U1 = 0.71434 m/s, X = 0.71434 x 3.76789 x 3.5 m2/s / v = 9.4204 m2/s / v.
 */
static void a_droplet_that_keeps_its_water_goes_as_by_hand(void **state)
{
    (void)state;
    const base_air air = base_moist_air(288.15, 1.0, 101325.0);
    const air_wind wind = wind_of(3.0, 0.0);
    for (int i = 0; i < SIZES; i++) {
        const droplet_let_go drop = water(diameters_um[i], 0.005, SCENARIO_RANZ_MARSHALL);
        const droplet_carry way = droplet_carried(&drop, HEIGHT_M, &air, &wind);
        const double fall_m_s = droplet_settling_speed_m_s(drop.diameter_m, DENSITY_KG_M3, TENSION_N_M, &air);
        assert_false(way.dries);
        assert_close(way.distance_m, 9.4204 / fall_m_s, 2e-4, 0.0);
        assert_close(way.time_s, HEIGHT_M / fall_m_s, 1e-6, 0.0);
    }
}

/* Nothing but residue falls at one speed from the start; the same number. */
static void a_residue_goes_as_by_hand(void **state)
{
    (void)state;
    const base_air air = base_moist_air(293.15, 0.40, 101325.0);
    const air_wind wind = wind_of(3.0, 0.0);
    const droplet_let_go drop = water(40.0, 1.0, SCENARIO_RANZ_MARSHALL);
    const droplet_carry way = droplet_carried(&drop, HEIGHT_M, &air, &wind);
    assert_true(way.dries);
    assert_close(way.dry_distance_m, 0.0, 0.0, 0.0);
    assert_close(way.distance_m, 9.4204 / droplet_settling_speed_m_s(40e-6, DENSITY_KG_M3, TENSION_N_M, &air), 2e-4,
                 0.0);
}

static void the_slower_law_of_drying_dries_later(void **state)
{
    (void)state;
    const base_air air = base_moist_air(293.15, 0.60, 101325.0);
    const air_wind wind = wind_of(3.0, 0.0);
    const droplet_let_go quick = water(60.0, 0.005, SCENARIO_RANZ_MARSHALL);
    const droplet_let_go slow = water(60.0, 0.005, SCENARIO_BEARD_PRUPPACHER);
    const droplet_carry sooner = droplet_carried(&quick, HEIGHT_M, &air, &wind);
    const droplet_carry later = droplet_carried(&slow, HEIGHT_M, &air, &wind);
    assert_between(later.dry_time_s / sooner.dry_time_s, 1.06, 1.14); /* docs/scenario-format.md, run.ventilation */
    assert_true(later.dry_distance_m > 1.05 * sooner.dry_distance_m);
}

static void without_wind_it_goes_nowhere_and_still_takes_its_time(void **state)
{
    (void)state;
    const base_air air = base_moist_air(293.15, 0.60, 101325.0);
    const air_wind wind = wind_of(0.0, 0.0);
    const droplet_let_go drop = water(30.0, 0.005, SCENARIO_RANZ_MARSHALL);
    const droplet_carry way = droplet_carried(&drop, HEIGHT_M, &air, &wind);
    assert_close(way.distance_m, 0.0, 0.0, 1e-9);
    assert_true(way.time_s > 600.0);
}

/* ---- no jump ---- */

typedef enum { BY_DIAMETER, BY_HEIGHT } scanned;
/* Largest change of the logarithm of the distance (and of the time) from one point to the next of a scan. */
static double largest_step(scanned by, int n)
{
    const base_air air = base_moist_air(293.15, 0.60, 101325.0);
    const air_wind wind = wind_of(3.0, 0.0);
    double before_m = 0.0, before_s = 0.0, most = 0.0;
    for (int i = 0; i <= n; i++) {
        const double share = (double)i / n;
        const double diameter_um = by == BY_DIAMETER ? 20.0 + 280.0 * share : 90.0;
        const double height_m = by == BY_HEIGHT ? 1.0 + 5.0 * share : HEIGHT_M;
        const droplet_let_go drop = water(diameter_um, 0.05, SCENARIO_RANZ_MARSHALL);
        const droplet_carry way = droplet_carried(&drop, height_m, &air, &wind);
        if (i > 0)
            most = fmax(most, fmax(fabs(log(way.distance_m / before_m)), fabs(log(way.time_s / before_s))));
        before_m = way.distance_m;
        before_s = way.time_s;
    }
    return most;
}

/* Where a curve has a jump, the largest step stays when the scan gets finer; else it falls with the step. Both scans
 * pass from droplets that reach the ground to such as dry above it. */
static void nothing_jumps_with_size_or_height(void **state)
{
    (void)state;
    for (int by = BY_DIAMETER; by <= BY_HEIGHT; by++) {
        const double coarse = largest_step((scanned)by, 1000), fine = largest_step((scanned)by, 4000);
        assert_between(fine / coarse, 0.2, 0.35); /* a quarter of the step */
        assert_true(fine < 0.02);
    }
}

/* ---- the sheet ---- */

static drupelet_scenario *apple_wall(const char *ventilation)
{
    const char *const set[] = {"weather.wind_height=2 m", "weather.wind_speed=3 m/s", "weather.roughness=0.03 m",
                               "canopy.height=3.5 m", "liquid.nonvolatile=5 %", ventilation};
    drupelet_scenario *scenario = NULL;
    const drupelet_status status =
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", set, 6, &scenario);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return scenario;
}

static char *sheet_of(const drupelet_scenario *scenario, bool json)
{
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    assert_non_null(to);
    assert_int_equal(report_settings(scenario, to, json).code, DRUPELET_OK);
    fclose(to);
    return text;
}

/* The number behind a key of a droplet, such as "dv10"; NAN for null. */
static double of_droplet(const char *json, const char *dv, const char *key)
{
    char quoted[40];
    snprintf(quoted, sizeof quoted, "\"%s\": {", dv);
    const char *at = strstr(json, quoted);
    assert_non_null(at);
    snprintf(quoted, sizeof quoted, "\"%s\": ", key);
    at = strstr(at, quoted);
    assert_non_null(at);
    at += strlen(quoted);
    return strncmp(at, "null", 4) == 0 ? NAN : strtod(at, NULL);
}

/* Life, place of drying and distance of the sheet are those of a droplet that dries by the run's law. */
static void the_sheet_dries_by_the_law_of_the_run(void **state)
{
    (void)state;
    static const char *const laws[] = {"run.ventilation=ranz_marshall", "run.ventilation=beard_pruppacher"};
    static const char *const dvs[] = {"dv10", "dv50", "dv90"};
    double life_s[2];
    for (int law = 0; law < 2; law++) {
        drupelet_scenario *scenario = apple_wall(laws[law]);
        const base_air air = base_moist_air(scenario->weather.temperature_K, scenario->weather.relative_humidity,
                                            scenario->weather.pressure_Pa);
        const air_wind wind = air_wind_of(scenario);
        char *json = sheet_of(scenario, true);
        for (int i = 0; i < 3; i++) {
            droplet_let_go drop = {1e-6 * of_droplet(json, dvs[i], "diameter_um"), scenario->liquid.density_kg_m3,
                                   scenario->liquid.surface_tension_N_m, 0.05, (scenario_ventilation)law};
            const flight fine = fly_finely(&drop, &air, 3.0, 0.0, &wind);
            assert_close(of_droplet(json, dvs[i], "carry_m"), fine.x_m, 0.003, 0.0);
            assert_close(of_droplet(json, dvs[i], "down_after_s"), fine.t_s, 0.003, 0.0);
            if (i == 0) {
                assert_true(fine.dries);
                assert_close(of_droplet(json, dvs[i], "dry_after_m"), fine.dry_x_m, 0.003, 0.0);
            }
        }
        life_s[law] = of_droplet(json, "dv10", "lifetime_s");
        free(json);
        drupelet_scenario_free(scenario);
    }
    assert_between(life_s[1] / life_s[0], 1.06, 1.14);
}

/* Lower by a hair or higher by a hair, the canopy gives nearly the same sheet, at every height. */
static void the_sheet_has_no_jump_with_canopy_height(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall("run.ventilation=ranz_marshall");
    static const char *const dvs[] = {"dv10", "dv50", "dv90"};
    double before_m[3] = {0.0};
    int n_dry[3] = {0};
    enum { HEIGHTS = 300 };
    for (int i = 0; i <= HEIGHTS; i++) {
        scenario->canopy.height_m = 0.2 + 2.8 * i / HEIGHTS;
        char *json = sheet_of(scenario, true);
        for (int k = 0; k < 3; k++) {
            const double carry_m = of_droplet(json, dvs[k], "carry_m");
            n_dry[k] += !isnan(of_droplet(json, dvs[k], "dry_after_m"));
            if (i > 0) assert_between(carry_m / before_m[k], 1.0, 1.25); /* for 0.9 cm */
            before_m[k] = carry_m;
        }
        free(json);
    }
    assert_true(n_dry[0] > 10 && n_dry[0] < HEIGHTS - 10); /* the scan passes from one kind to the other */
    drupelet_scenario_free(scenario);
}

/* A residue that stays in the air for kilometres is told as such, not by a number. */
static void what_flies_beyond_the_model_is_told_so(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall("liquid.nonvolatile=0.5 %");
    char *json = sheet_of(scenario, true), *text = sheet_of(scenario, false);
    assert_true(isnan(of_droplet(json, "dv10", "carry_m")));
    assert_true(of_droplet(json, "dv10", "dry_after_m") > 10.0);
    assert_non_null(strstr(text, "over 1000 m  dry after "));
    assert_non_null(strstr(text, "in the mean wind over open ground"));
    free(text);
    free(json);
    drupelet_scenario_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(carry_follows_a_fine_integration),
        cmocka_unit_test(a_droplet_that_keeps_its_water_goes_as_by_hand),
        cmocka_unit_test(a_residue_goes_as_by_hand),
        cmocka_unit_test(the_slower_law_of_drying_dries_later),
        cmocka_unit_test(without_wind_it_goes_nowhere_and_still_takes_its_time),
        cmocka_unit_test(nothing_jumps_with_size_or_height),
        cmocka_unit_test(the_sheet_dries_by_the_law_of_the_run),
        cmocka_unit_test(the_sheet_has_no_jump_with_canopy_height),
        cmocka_unit_test(what_flies_beyond_the_model_is_told_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
