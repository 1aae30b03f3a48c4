/* tests/test_sweep_air.c - one key, one air, bit by bit; and what changes the air changes the key.
 *
 * A computed wind follows from its case alone (air/flow.h), so that airs are compared by the case of the wind and by
 * what is made with the assumed profiles: no wind is solved for each of the many settings. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/air.h"
#include "air/block_flow.h"
#include "flow_same.h"
#include "orchard/orchard.h"
#include "run/run.h"
#include "scenario/keys.h"
#include "sweep/plan.h"
#include "sweep/sweep.h"

/* The small scenario, its air coarse, with one more setting, and with or without the air that the spray moves. */
static drupelet_scenario *scenario_of(const char *spray_air, const char *setting)
{
    char path[1024];
    const char *settings[5] = {"run.air_cell=0.5 m", "canopy.voxel=0.5 m", "run.droplets=1000", spray_air, setting};
    drupelet_scenario *scenario;
    snprintf(path, sizeof path, "%s/scenario-small.yaml", DRUPELET_TEST_DATA);
    const drupelet_status status = drupelet_scenario_read(path, settings, setting ? 5 : 4, &scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    return scenario;
}

static void must(drupelet_status status)
{
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
}

static drupelet_scenario *scenario_with(const char *setting)
{
    return scenario_of("run.spray_air=no", setting);
}

static air_field *air_of(const drupelet_scenario *scenario)
{
    static const sweep_job no_winds_kept;
    air_field *field;
    must(sweep_air_make(&no_winds_kept, scenario, 1, &field));
    return field;
}

typedef struct {
    bool computed;
    air_flow_case wind;
    air_field *assumed;
} both_winds;

static both_winds both_winds_of(drupelet_scenario *s)
{
    both_winds w = {.computed = s->run.computed_wind};
    orchard_canopy *canopy;
    must(orchard_create(s, &canopy));
    must(air_block_flow_case(s, canopy, &w.wind));
    orchard_free(canopy);
    s->run.computed_wind = false;
    w.assumed = air_of(s);
    s->run.computed_wind = w.computed;
    return w;
}

static void drop(both_winds *w)
{
    air_flow_case_free(&w->wind);
    air_field_free(w->assumed);
}

static bool same_hash(base_hash a, base_hash b)
{
    return a.part[0] == b.part[0] && a.part[1] == b.part[1];
}

static bool same_key(const drupelet_scenario *a, const drupelet_scenario *b)
{
    return same_hash(air_key(a), air_key(b));
}

static bool same_air(const air_field *a, const air_field *b)
{
    return a->n_floats == b->n_floats && a->n_passes == b->n_passes
           && memcmp(a->node, b->node, (size_t)a->n_floats * sizeof *a->node) == 0
           && memcmp(a->pass, b->pass, (size_t)a->n_passes * sizeof *a->pass) == 0;
}

static bool same_winds(const both_winds *a, const both_winds *b)
{
    return a->computed == b->computed && same_flow_case(&a->wind, &b->wind) && same_air(a->assumed, b->assumed);
}

static void what_the_key_leaves_out_does_not_touch_the_air(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "name=another", "place=elsewhere", "canopy.leaf_width=80 mm", "canopy.leaf_angle_ratio=1",
        "canopy.clumping=0.5",
        "canopy.wet_share=50 %", "canopy.retention=0.1 L/m2", "canopy.wood_diameter=30 mm", "canopy.upper_side=hard",
        "canopy.lower_side=easy", "canopy.leaf=cabbage", "canopy.upper_contact_angle=100 deg",
        "orchard.grass_blade_width=10 mm", "sprayer.tank=500 L", "sprayer.fan.reference_power=20 kW",
        "sprayer.pressure=5 bar", "sprayer.nozzles.0.height=1.5 m", "sprayer.nozzles.0.worn=10 %",
        "tips.red cone.size=02", "tips.red cone.kind=air_induction_hollow_cone", "tips.red cone.cone_angle=60 deg",
        "liquid.nonvolatile=5 %", "liquid.surfactant=spreader", "weather.temperature=30 degC",
        "weather.relative_humidity=20 %", "weather.pressure=900 hPa", "run.droplets=5000", "run.time_limit=60 s",
        "run.step=2", "run.ventilation=beard_pruppacher", "run.droplet_temperature=transient", "run.spray_humidity=yes",
        "run.spray_sink=yes",
        "run.keep_wind=yes",
        "collectors=[{name: a, kind: dish, distance: 5 m}]"};
    drupelet_scenario *base = scenario_with(NULL);
    both_winds air = both_winds_of(base);
    for (size_t i = 0; i < sizeof settings / sizeof settings[0]; i++) {
        drupelet_scenario *other = scenario_with(settings[i]);
        both_winds own = both_winds_of(other);
        if (!same_key(base, other) || !same_winds(&air, &own))
            fail_msg("%s: key %s, air %s", settings[i], same_key(base, other) ? "same" : "differs",
                     same_winds(&air, &own) ? "same" : "differs");
        drop(&own);
        drupelet_scenario_free(other);
    }
    drop(&air);
    drupelet_scenario_free(base);
}

static void what_changes_the_air_changes_the_key(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "weather.wind_speed=3 m/s", "weather.wind_angle=20 deg", "weather.wind_height=3 m", "weather.roughness=0.05 m",
        "weather.obukhov_length=-50 m", "weather.gusts=30 %", "canopy.height=3.5 m", "canopy.base=0.8 m",
        "canopy.width=1.8 m", "canopy.leaf_area_index=2", "canopy.gaps=30 %", "canopy.wood_area_index=0.5",
        "canopy.drag_coefficient=0.3", "canopy.crown=wall", "canopy.voxel=0.4 m", "orchard.rows=3",
        "orchard.row_spacing=4.5 m", "orchard.tree_spacing=2.5 m", "sprayer.travel_speed=7 km/h",
        "sprayer.fan.speed=400 rpm", "sprayer.outlets.0.slot=100 mm", "sprayer.alleys=[1]", "sprayer.direction=same",
        "sprayer.shut=[{alley: 1, row: 1, air: yes}]", "run.air_cell=0.4 m", "run.domain_top=30 m",
        "canopy.leaves_in_wind=rigid", "canopy.leaves_in_jet=rigid", "canopy.turning_speed=4 m/s",
        "canopy.vogel_exponent=-0.67", "canopy.leaf_response=100 ms",
        "run.open_ground=150 m", "run.wind=profiles", "run.seed=2", "sprayer.nozzles.0.side=left"};
    drupelet_scenario *base = scenario_with(NULL);
    both_winds air = both_winds_of(base);
    int touched = 0;
    for (size_t i = 0; i < sizeof settings / sizeof settings[0]; i++) {
        drupelet_scenario *other = scenario_with(settings[i]);
        both_winds own = both_winds_of(other);
        touched += !same_winds(&air, &own);
        if (same_key(base, other))
            fail_msg("%s: the key is the same%s", settings[i], same_winds(&air, &own) ? "" : ", and the air is not");
        drop(&own);
        drupelet_scenario_free(other);
    }
    assert_true(touched >= 30); /* most of them do touch it */
    drop(&air);
    drupelet_scenario_free(base);
}

/* What of the sprays moves the air belongs to it, and nothing else of them. */
static void the_spray_counts_where_it_moves_the_air(void **state)
{
    (void)state;
    static const char *const counts[] = {
        "sprayer.pressure=5 bar", "sprayer.nozzles.0.height=1.5 m", "sprayer.nozzles.0.worn=10 %",
        "sprayer.nozzles.0.angle=11 deg", "tips.red cone.size=02", "tips.red cone.kind=air_induction_hollow_cone",
        "tips.red cone.cone_angle=60 deg", "liquid.surfactant=spreader", "weather.temperature=30 degC"};
    static const char *const do_not[] = {"liquid.nonvolatile=5 %", "canopy.upper_side=hard", "sprayer.tank=500 L",
                                         "run.droplets=5000"};
    drupelet_scenario *base = scenario_of("run.spray_air=yes", NULL), *without = scenario_with(NULL);
    base->run.computed_wind = false; /* the wind is not at stake, and takes long to solve for */
    air_field *air = air_of(base);
    assert_false(same_key(base, without));
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        drupelet_scenario *other = scenario_of("run.spray_air=yes", counts[i]);
        other->run.computed_wind = false;
        air_field *own = air_of(other);
        if (same_key(base, other) || same_air(air, own)) fail_msg("%s makes no difference", counts[i]);
        air_field_free(own);
        drupelet_scenario_free(other);
    }
    for (size_t i = 0; i < sizeof do_not / sizeof do_not[0]; i++) {
        drupelet_scenario *other = scenario_of("run.spray_air=yes", do_not[i]);
        if (!same_key(base, other)) fail_msg("%s makes another key", do_not[i]);
        drupelet_scenario_free(other);
    }
    air_field_free(air);
    drupelet_scenario_free(base);
    drupelet_scenario_free(without);
}

static void what_is_not_known_counts(void **state)
{
    (void)state;
    static const char *const counts[] = {
        "weather.wind_speed", "canopy.profile", "canopy.profile.0", "sprayer.alleys.2", "sprayer.shut.0.alley",
        "sprayer.outlets.0.slot", "canopy", "sprayer", "fog", "fog.density", "weather.fog", "tips.red cone.new_key",
        "sprayer.nozzles.0.new_key", "sprayer.nozzles.new_key", "weather.temperature.new_key", "run.new_key", ""};
    static const char *const does_not[] = {
        "weather.temperature", "name", "liquid.dynamic_surface_tension.1", "tips.red cone.spectrum",
        "tips.red cone.spectrum.table.3", "tips.v2.0 cone.size", "sprayer.nozzles.12.angle", "collectors.0.facing"};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++)
        if (!scenario_of_air(counts[i]))
            fail_msg("'%s' is left out", counts[i]);
    for (size_t i = 0; i < sizeof does_not / sizeof does_not[0]; i++)
        if (scenario_of_air(does_not[i]))
            fail_msg("'%s' counts", does_not[i]);
}

/* Else which of the two makes the air that both fly in would depend on the threads. */
static void numbers_count_to_the_last_bit(void **state)
{
    (void)state;
    drupelet_scenario *a = scenario_with("weather.wind_speed=2.3 m/s"),
                      *b = scenario_with("weather.wind_speed=2.3000000000000003 m/s"),
                      *again = scenario_with("weather.wind_speed=2.30 m/s");
    assert_true(a->weather.wind_speed_m_s != b->weather.wind_speed_m_s);
    assert_string_equal(a->resolved, b->resolved);
    assert_false(same_hash(air_key(a), air_key(b)));
    assert_true(same_hash(air_key(a), air_key(again)));
    drupelet_scenario_free(a);
    drupelet_scenario_free(b);
    drupelet_scenario_free(again);
}

static void a_default_and_the_same_value_given_have_one_key(void **state)
{
    (void)state;
    drupelet_scenario *base = scenario_with(NULL), *given = scenario_with("orchard.grass_height=10 cm"),
                      *other = scenario_with("orchard.grass_height=12 cm"),
                      *plugged = scenario_with("sprayer.nozzles.0.plugged=no");
    assert_true(same_key(base, given));
    assert_false(same_key(base, other));
    assert_true(same_key(base, plugged));
    drupelet_scenario_free(base);
    drupelet_scenario_free(given);
    drupelet_scenario_free(other);
    drupelet_scenario_free(plugged);
}

/* Cases of a shipped plan share an air just where the named factors and the seed are the same. */
static void check_plan(const char *name, const char *const *factors, int n_airs)
{
    char path[1024];
    sweep_plan *plan;
    snprintf(path, sizeof path, "%s/plans/%s", DRUPELET_SCENARIOS, name);
    assert_int_equal(sweep_plan_read(path, &plan).code, DRUPELET_OK);
    base_hash *key = calloc((size_t)plan->n_cases, sizeof *key);
    assert_non_null(key);
    int found = 0;
    for (int64_t c = 0; c < plan->n_cases; c++) {
        drupelet_scenario *scenario;
        assert_int_equal(sweep_plan_scenario(plan, c, &scenario).code, DRUPELET_OK);
        key[c] = air_key(scenario);
        drupelet_scenario_free(scenario);
        bool new_air = true;
        for (int64_t d = 0; d < c; d++) {
            bool same = sweep_plan_seed(plan, c) == sweep_plan_seed(plan, d);
            for (int f = 0; f < plan->n_factors; f++) {
                const int64_t point = c / plan->n_replicates, other = d / plan->n_replicates;
                bool named = false;
                for (int i = 0; factors[i]; i++)
                    named = named || strcmp(plan->factor[f].name, factors[i]) == 0;
                same = same && (!named || strcmp(sweep_plan_setting(plan, point, f).text,
                                                 sweep_plan_setting(plan, other, f).text) == 0);
            }
            if (same_hash(key[c], key[d]) != same)
                fail_msg("%s: cases %lld and %lld", name, (long long)d + 1, (long long)c + 1);
            new_air = new_air && !same;
        }
        found += new_air;
    }
    assert_int_equal(found, n_airs);
    free(key);
    sweep_plan_free(plan);
}

static void cases_of_the_shipped_plans_share_airs(void **state)
{
    (void)state;
    check_plan("growth-stage-fan.yaml", (const char *const[]){"stage", "fan_speed", NULL}, 40);
    /* by what the spray moves, too */
    check_plan("tips-pressure-fan.yaml", (const char *const[]){"tip", "pressure", "fan_speed", NULL}, 60);
    check_plan("weather-windows.yaml",
               (const char *const[]){"wind_speed", "stability", "temperature", "humidity", NULL}, 374);
}

static void a_run_in_ready_air_is_the_same_run(void **state)
{
    (void)state;
    drupelet_scenario *base = scenario_with(NULL), *other = scenario_with("weather.relative_humidity=20 %");
    air_field *air = air_of(base);
    run_outcome *own, *ready;
    assert_int_equal(run_in_air(other, NULL, NULL, &own).code, DRUPELET_OK);
    assert_int_equal(run_in_air(other, NULL, air, &ready).code, DRUPELET_OK);
    assert_int_equal(own->n_steps, ready->n_steps);
    assert_memory_equal(own->accounts->fate, ready->accounts->fate, TALLY_BATCHES * sizeof *own->accounts->fate);
    assert_memory_equal(own->accounts->evaporated, ready->accounts->evaporated,
                        TALLY_BATCHES * sizeof *own->accounts->evaporated);
    run_outcome_free(own);
    run_outcome_free(ready);
    air_field_free(air);
    drupelet_scenario_free(base);
    drupelet_scenario_free(other);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_key_leaves_out_does_not_touch_the_air),
        cmocka_unit_test(what_changes_the_air_changes_the_key),
        cmocka_unit_test(the_spray_counts_where_it_moves_the_air),
        cmocka_unit_test(what_is_not_known_counts),
        cmocka_unit_test(numbers_count_to_the_last_bit),
        cmocka_unit_test(a_default_and_the_same_value_given_have_one_key),
        cmocka_unit_test(cases_of_the_shipped_plans_share_airs),
        cmocka_unit_test(a_run_in_ready_air_is_the_same_run),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
