/* tests/test_mix.c - leaves by name, surfactants, solids, and what the liquid does to a generic tip. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/moist_air.h"
#include "check.h"
#include "scenario/keys.h"
#include "scenario/leaf.h"
#include "scenario/mix.h"
#include "scenario/scenario.h"
#include "sprayer/liquid_effect.h"
#include "sprayer/spray.h"

enum { SETTINGS = 4 };
static const double DEGREE = 0.017453292519943295;

/* The small scenario: nothing about sides or liquid, 15 degC. @param set up to SETTINGS, the rest NULL */
static drupelet_status read_with(const char *const set[SETTINGS], drupelet_scenario **scenario)
{
    int n = 0;
    while (n < SETTINGS && set[n])
        n++;
    return drupelet_scenario_read(DRUPELET_TEST_DATA "/scenario-small.yaml", set, n, scenario);
}

static drupelet_scenario *with(const char *const set[SETTINGS])
{
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = read_with(set, &scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    return scenario;
}

static void assert_refused(const char *const set[SETTINGS], const char *part)
{
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = read_with(set, &scenario);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_null(scenario);
    if (!strstr(status.message, part))
        fail_msg("'%s' lacks '%s'", status.message, part);
}

static void assert_side(const scenario_leaf_surface *s, double contact_deg, double receding_deg, double limit)
{
    assert_close(s->contact_angle_rad / DEGREE, contact_deg, 1e-9, 0.0);
    assert_close(s->receding_angle_rad / DEGREE, receding_deg, 1e-9, 0.0);
    assert_close(s->shatter_limit, limit, 1e-9, 0.0);
}

/* ---- leaves ---- */

static void leaves_by_name_have_angles_and_a_source(void **state)
{
    (void)state;
    const scenario_key *key = scenario_key_of("canopy.leaf");
    assert_string_equal(scenario_key_word(key, 0, NULL), "none");
    for (int i = 0; i < SCENARIO_LEAF_PRESETS; i++) {
        assert_string_equal(scenario_key_word(key, i + 1, NULL), scenario_leaf_presets[i].name);
        for (int age = 0; age < 2; age++)
            for (int side = 0; side < 2; side++) {
                const double low = scenario_leaf_presets[i].angle[age][side].low_deg,
                             high = scenario_leaf_presets[i].angle[age][side].high_deg;
                assert_true(low >= 40.0 && low < high && high <= 165.0);
            }
        assert_true(strlen(scenario_leaf_presets[i].source) > 10);
    }
    assert_null(scenario_key_word(key, SCENARIO_LEAF_PRESETS + 1, NULL));
}

static void numbers_between_classes_lie_on_straight_lines(void **state)
{
    (void)state;
    for (int wetting = SCENARIO_EASY; wetting <= SCENARIO_VERY_HARD; wetting++) {
        const scenario_leaf_surface of_class = scenario_leaf_of_class((scenario_wetting)wetting);
        const scenario_leaf_surface of_angle = scenario_leaf_of_angle(of_class.contact_angle_rad);
        assert_side(&of_angle, of_class.contact_angle_rad / DEGREE, of_class.receding_angle_rad / DEGREE,
                    of_class.shatter_limit);
        assert_int_equal(scenario_leaf_nearest_class(of_class.contact_angle_rad), wetting);
    }
    double before = 0.0;
    for (double angle_deg = 20.0; angle_deg <= 170.0; angle_deg += 1.0) {
        const scenario_leaf_surface s = scenario_leaf_of_angle(angle_deg * DEGREE);
        assert_close(s.contact_angle_rad / DEGREE, angle_deg, 1e-12, 0.0);
        assert_between(s.receding_angle_rad / DEGREE, before, angle_deg);
        assert_between(s.shatter_limit, 57.7, 120.0);
        before = s.receding_angle_rad / DEGREE;
    }
    const scenario_leaf_surface middle = scenario_leaf_of_angle(115.0 * DEGREE);
    assert_side(&middle, 115.0, 90.0, 0.5 * (80.0 + 57.7));
}

static void nothing_named_is_the_class(void **state)
{
    (void)state;
    drupelet_scenario *s = with((const char *[SETTINGS]){NULL});
    assert_side(&s->canopy.leaf_surface[1], 100.0, 70.0, 80.0);
    assert_side(&s->canopy.leaf_surface[0], 130.0, 110.0, 57.7);
    assert_close(s->canopy.wet_share, 0.0, 0.0, 0.0);
    drupelet_scenario_free(s);
}

/* Pear: early leaves wet like PTFE, later ones like PMMA (Pest Manag. Sci. 74 (2018) 1804). */
static void a_named_leaf_sets_both_sides(void **state)
{
    (void)state;
    drupelet_scenario *young = with((const char *[SETTINGS]){"canopy.leaf=pear", "canopy.leaf_age=young"}),
                      *old = with((const char *[SETTINGS]){"canopy.leaf=pear"}),
                      *mixed = with((const char *[SETTINGS]){"canopy.leaf=pear", "canopy.lower_side=very_hard"});
    for (int side = 0; side < 2; side++) {
        assert_close(young->canopy.leaf_surface[side].contact_angle_rad / DEGREE, 114.0, 1e-9, 0.0);
        assert_side(&old->canopy.leaf_surface[side], 75.0, 40.0, 120.0);
    }
    assert_int_equal(old->canopy.upper_side, SCENARIO_EASY);
    assert_side(&mixed->canopy.leaf_surface[0], 150.0, 140.0, 57.7); /* a side that is given stands */
    assert_side(&mixed->canopy.leaf_surface[1], 75.0, 40.0, 120.0);
    assert_non_null(strstr(old->resolved, "\ncanopy.upper_side: easy (nearest to the leaf)\n"));
    assert_non_null(strstr(old->resolved, "\ncanopy.upper_contact_angle: 75 deg (of the leaf)\n"));
    drupelet_scenario_free(young);
    drupelet_scenario_free(old);
    drupelet_scenario_free(mixed);
}

static void numbers_stand_over_names(void **state)
{
    (void)state;
    drupelet_scenario *s = with((const char *[SETTINGS]){
        "canopy.upper_contact_angle=115 deg", "canopy.lower_receding_angle=95 deg", "canopy.lower_shatter_limit=70",
        "canopy.wet_share=25 %"});
    assert_side(&s->canopy.leaf_surface[1], 115.0, 90.0, 0.5 * (80.0 + 57.7)); /* the other two follow */
    assert_side(&s->canopy.leaf_surface[0], 130.0, 95.0, 70.0);
    assert_close(s->canopy.wet_share, 0.25, 1e-12, 0.0);
    drupelet_scenario_free(s);
    assert_refused((const char *[SETTINGS]){"canopy.upper_receding_angle=120 deg"}, "at most the contact angle, 100");
    assert_refused((const char *[SETTINGS]){"canopy.wet_share=120 %"}, "canopy.wet_share: found 120 %");
    assert_refused((const char *[SETTINGS]){"canopy.leaf=pera"}, "canopy.leaf: found pera");
}

static void a_surfactant_makes_leaves_easier(void **state)
{
    (void)state;
    drupelet_scenario *wetter = with((const char *[SETTINGS]){"liquid.surfactant=wetter"}),
                      *spreader = with((const char *[SETTINGS]){"liquid.surfactant=spreader"}),
                      *given = with((const char *[SETTINGS]){"liquid.surfactant=spreader",
                                                             "canopy.lower_contact_angle=130 deg"});
    assert_side(&wetter->canopy.leaf_surface[1], 75.0, 40.0, 120.0);
    assert_side(&wetter->canopy.leaf_surface[0], 100.0, 70.0, 80.0);
    assert_side(&spreader->canopy.leaf_surface[1], 75.0, 40.0, 120.0); /* the easiest there is */
    assert_side(&spreader->canopy.leaf_surface[0], 75.0, 40.0, 120.0);
    assert_side(&given->canopy.leaf_surface[0], 130.0, 110.0, 57.7);
    const double water_N_m = base_water_surface_tension_N_m(288.15);
    assert_true(spreader->liquid.surface_tension_N_m < wetter->liquid.surface_tension_N_m);
    assert_true(wetter->liquid.surface_tension_N_m < water_N_m);
    assert_close(wetter->liquid.atomization_tension_N_m, 47.5e-3, 1e-9, 0.0);   /* 35 to 60 at 20 ms (memory) */
    assert_close(spreader->liquid.atomization_tension_N_m, 37.5e-3, 1e-9, 0.0); /* 25 to 50 (memory) */
    drupelet_scenario_free(wetter);
    drupelet_scenario_free(spreader);
    drupelet_scenario_free(given);
}

/* ---- liquid ---- */

static void tension_is_read_off_its_curve(void **state)
{
    (void)state;
    static const double age_s[] = {1e-3, 1e-2, 1.0}, tension_N_m[] = {0.070, 0.050, 0.030};
    assert_close(scenario_tension_at(3, age_s, tension_N_m, 1e-4), 0.070, 0.0, 0.0);
    assert_close(scenario_tension_at(3, age_s, tension_N_m, 1e-2), 0.050, 1e-12, 0.0);
    assert_close(scenario_tension_at(3, age_s, tension_N_m, 0.1), 0.040, 1e-12, 0.0);
    assert_close(scenario_tension_at(3, age_s, tension_N_m, 9.0), 0.030, 0.0, 0.0);
    drupelet_scenario *s =
        with((const char *[SETTINGS]){"liquid.dynamic_surface_tension=[[2 ms, 60 mN/m], [20 ms, 40 mN/m]]"});
    assert_close(s->liquid.surface_tension_N_m, 0.060, 1e-9, 0.0);
    assert_close(s->liquid.atomization_tension_N_m, 0.040, 1e-9, 0.0);
    drupelet_scenario_free(s);
    assert_refused((const char *[SETTINGS]){"liquid.dynamic_surface_tension=[[2 ms, 60 mN/m], [1 ms, 40 mN/m]]"},
                   "liquid.dynamic_surface_tension.1.0: found 1 ms, expected more than the age before it");
    assert_refused((const char *[SETTINGS]){"liquid.dynamic_surface_tension=[[2 ms, 60 mN/m]]"}, "2 to 16");
    assert_refused((const char *[SETTINGS]){"liquid.dynamic_surface_tension=[[2 ms, 60 mN/m], [20 ms, 40 mN/m]]",
                                            "liquid.surface_tension=40 mN/m"},
                   "not both");
}

/* Einstein (1906): 1 + 2.5 phi when thin; Krieger and Dougherty (1959) at 30 %: (1 - 0.3/0.64)^-1.6 = 2.751. */
static void solids_thicken_and_stay(void **state)
{
    (void)state;
    assert_close(scenario_suspension_factor(0.0), 1.0, 0.0, 0.0);
    assert_close((scenario_suspension_factor(1e-4) - 1.0) / 1e-4, 2.5, 1e-3, 0.0);
    assert_close(scenario_suspension_factor(0.3), 2.751, 1e-3, 0.0);
    drupelet_scenario *s = with((const char *[SETTINGS]){"liquid.solids=5 %"}),
                      *little = with((const char *[SETTINGS]){"liquid.solids=0.1 %"});
    assert_close(s->liquid.nonvolatile, 0.05, 1e-12, 0.0);
    assert_close(little->liquid.nonvolatile, 0.005, 1e-12, 0.0);
    assert_close(s->liquid.viscosity_Pa_s / base_water_viscosity_Pa_s(288.15), scenario_suspension_factor(0.05), 1e-9,
                 0.0);
    drupelet_scenario_free(s);
    drupelet_scenario_free(little);
    assert_refused((const char *[SETTINGS]){"liquid.solids=5 %", "liquid.nonvolatile=2 %"},
                   "at least liquid.solids, 5");
}

static double dv50_um(const char *const set[SETTINGS])
{
    drupelet_scenario *s = with(set);
    sprayer_spray spray;
    assert_int_equal(sprayer_spray_of(s, 0, 8e5, 0.0, &spray).code, DRUPELET_OK);
    drupelet_scenario_free(s);
    return 1e6 * spray.dv50_m;
}

/* Exponents inside the published ones: tension 0.25 to 0.6, viscosity 0.16 to 0.25 (see liquid_effect.c). */
static void generic_spectra_follow_the_liquid(void **state)
{
    (void)state;
    const double water = dv50_um((const char *[SETTINGS]){NULL});
    for (int t_C = 5; t_C <= 35; t_C += 10) { /* water never changes them */
        char setting[48];
        snprintf(setting, sizeof setting, "weather.temperature=%d degC", t_C);
        assert_close(dv50_um((const char *[SETTINGS]){setting}), water, 1e-9, 0.0);
    }
    const double tension = base_water_surface_tension_N_m(288.15), viscosity = base_water_viscosity_Pa_s(288.15);
    const double soft = dv50_um((const char *[SETTINGS]){"liquid.surface_tension=35 mN/m"});
    assert_between(log(soft / water) / log(35e-3 / tension), 0.2499, 0.6);
    const double thick = dv50_um((const char *[SETTINGS]){"liquid.viscosity=5 mPa s"});
    assert_between(log(thick / water) / log(5e-3 / viscosity), 0.16, 0.25);
    assert_true(dv50_um((const char *[SETTINGS]){"liquid.surfactant=wetter"}) < water);
    static const char spectrum[] = "tips.red cone.spectrum={form: log_normal, dv10: 80 um, dv50: 150 um, dv90: 280 um}";
    assert_close(dv50_um((const char *[SETTINGS]){spectrum, "liquid.viscosity=5 mPa s"}),
                 dv50_um((const char *[SETTINGS]){spectrum}), 1e-12, 0.0); /* a measured spectrum stands */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(leaves_by_name_have_angles_and_a_source),
        cmocka_unit_test(numbers_between_classes_lie_on_straight_lines),
        cmocka_unit_test(nothing_named_is_the_class),
        cmocka_unit_test(a_named_leaf_sets_both_sides),
        cmocka_unit_test(numbers_stand_over_names),
        cmocka_unit_test(a_surfactant_makes_leaves_easier),
        cmocka_unit_test(tension_is_read_off_its_curve),
        cmocka_unit_test(solids_thicken_and_stay),
        cmocka_unit_test(generic_spectra_follow_the_liquid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
