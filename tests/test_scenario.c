/* tests/test_scenario.c - scenario files: what is read, every default, the exact message of every kind of error,
 * overrides, damaged files, and that docs/scenario-format.md says what the table of keys says. */
#define _POSIX_C_SOURCE 200809L
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/moist_air.h"
#include "base/random.h"
#include "check.h"
#include "scenario/keys.h"
#include "scenario/read.h"
#include "scenario/scenario.h"
#include "scenario/units.h"

static const double PI = 3.14159265358979323846;
static const char *const shipped[] = {"apple-wall-full-leaf", "apple-wall-dormant", "apple-wall-air-induction",
                                      "apple-wall-evening-inversion", "tall-globe-orchard", "vineyard",
                                      "measured-canopy", "drift-trial"};
enum { SHIPPED = sizeof shipped / sizeof shipped[0] };

static char *small_text, *rich_text;

static char *text_of_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    char *text = calloc(1, 1 << 18);
    if (!file || !text || fread(text, 1, (1 << 18) - 1, file) == 0) {
        print_error("%s cannot be read\n", path);
        exit(EXIT_FAILURE);
    }
    fclose(file);
    return text;
}

static int load_all(void **state)
{
    (void)state;
    small_text = text_of_file(DRUPELET_TEST_DATA "/scenario-small.yaml");
    rich_text = text_of_file(DRUPELET_TEST_DATA "/scenario-rich.yaml");
    return 0;
}

static int free_all(void **state)
{
    (void)state;
    free(small_text);
    free(rich_text);
    return 0;
}

static drupelet_scenario *must_read(const char *path, const char *const *settings, int n_settings)
{
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = drupelet_scenario_read(path, settings, n_settings, &scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s: %s", path, status.message);
    assert_string_equal(status.message, "");
    return scenario;
}

/* Text with one piece of it replaced; the caller frees it. */
static char *edited(const char *text, const char *old, const char *new)
{
    const char *at = strstr(text, old);
    if (!at)
        fail_msg("the test file lacks '%s'", old);
    char *out = malloc(strlen(text) + strlen(new) + 1);
    assert_non_null(out);
    const size_t n = (size_t)(at - text);
    memcpy(out, text, n);
    strcpy(out + n, new);
    strcat(out, at + strlen(old));
    return out;
}

static drupelet_status read_text(const char *text, const char *const *settings, int n_settings,
                                 drupelet_scenario **scenario)
{
    return scenario_read_text("block.yaml", text, strlen(text), settings, n_settings, scenario);
}

static void assert_message(const char *text, const char *setting, const char *message)
{
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = read_text(text, &setting, setting ? 1 : 0, &scenario);
    drupelet_scenario_free(scenario);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_string_equal(status.message, message);
    assert_null(scenario);
}

/* ---- what is read ---- */

static void every_shipped_scenario_loads(void **state)
{
    (void)state;
    for (int i = 0; i < SHIPPED; i++) {
        char path[512];
        snprintf(path, sizeof path, "%s/%s.yaml", DRUPELET_SCENARIOS, shipped[i]);
        drupelet_scenario *s = must_read(path, NULL, 0);
        char *text = text_of_file(path);
        assert_string_equal(s->text, text);
        assert_non_null(strstr(s->place, "(invented)"));
        /* drift tests spray 20 m of orchard or more */
        assert_true(s->orchard.n_rows * s->orchard.row_spacing_m >= 20.0);
        assert_true(s->orchard.n_rows >= 7);
        double share = 0.0;
        for (int o = 0; o < s->sprayer.n_outlets; o++)
            share += s->sprayer.outlet[o].share;
        assert_close(share, 1.0, 1e-12, 0.0);
        free(text);
        drupelet_scenario_free(s);
    }
}

static const char *next_line(const char *text)
{
    const char *end = strchr(text, '\n');
    return end ? end + 1 : text + strlen(text);
}

/* Lines of the list of used values that differ, but for those that begin with one of the names. */
static int differences(const char *a, const char *b, const char *const *but)
{
    int n = 0;
    for (; *a || *b; a = next_line(a), b = next_line(b)) {
        const size_t n_a = strcspn(a, "\n"), n_b = strcspn(b, "\n");
        bool known = false;
        for (int i = 0; but[i]; i++)
            known = known || strncmp(a, but[i], strlen(but[i])) == 0;
        n += !known && (n_a != n_b || strncmp(a, b, n_a) != 0);
    }
    return n;
}

static void the_wall_differs_only_where_its_variants_say_so(void **state)
{
    (void)state;
    drupelet_scenario *wall = must_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", NULL, 0);
    drupelet_scenario *bare = must_read(DRUPELET_SCENARIOS "/apple-wall-dormant.yaml", NULL, 0);
    drupelet_scenario *coarse = must_read(DRUPELET_SCENARIOS "/apple-wall-air-induction.yaml", NULL, 0);
    static const char *const leaves[] = {"name", "canopy.", "sprayer.fan.speed", NULL}; /* the fan runs in low gear */
    assert_int_equal(differences(wall->resolved, bare->resolved, leaves), 0);
    assert_close(bare->canopy.leaf_area_index, 0.0, 0.0, 0.0);
    assert_between(bare->canopy.wood_area_index, 0.2, 0.3);
    assert_close(bare->canopy.height_m, wall->canopy.height_m, 0.0, 0.0);
    assert_close(bare->canopy.width_m, wall->canopy.width_m, 0.0, 0.0);
    assert_close(bare->canopy.base_m, wall->canopy.base_m, 0.0, 0.0);
    /* tips, and the nozzles' names of them */
    char *renamed = strdup(coarse->resolved);
    assert_non_null(renamed);
    for (char *at; (at = strstr(renamed, ".tip: coarse cone")) != NULL;) {
        memcpy(at + 6, "fine cone", 9);
        memmove(at + 15, at + 17, strlen(at + 17) + 1);
    }
    static const char *const tips[] = {"name", "tips.", NULL};
    assert_int_equal(differences(wall->resolved, renamed, tips), 0);
    assert_int_equal(coarse->tip[0].kind, SCENARIO_AIR_INDUCTION_HOLLOW_CONE);
    assert_string_equal(coarse->tip[0].size, wall->tip[0].size);
    free(renamed);
    drupelet_scenario_free(coarse);
    drupelet_scenario_free(bare);
    drupelet_scenario_free(wall);
}

static void every_key_is_read_and_converted(void **state)
{
    (void)state;
    drupelet_scenario *s = must_read(DRUPELET_TEST_DATA "/scenario-rich.yaml", NULL, 0);
    assert_string_equal(s->name, "Rich & \"odd\" \xC2\xB5");
    assert_string_equal(s->place, "Nowhere");
    assert_string_equal(s->text, rich_text);

    const scenario_orchard *o = &s->orchard;
    assert_int_equal(o->n_rows, 3);
    assert_int_equal(o->n_trees, 5);
    assert_close(o->row_spacing_m, 12 * 0.3048, 1e-12, 0);
    assert_close(o->tree_spacing_m, 60 * 0.0254, 1e-12, 0);
    assert_close(o->grass_height_m, 0.08, 1e-12, 0);
    assert_close(o->grass_leaf_area_index, 2, 0, 0);
    assert_close(o->grass_blade_width_m, 0.004, 1e-12, 0);

    const scenario_canopy *c = &s->canopy;
    assert_int_equal(c->crown, SCENARIO_BOWL);
    assert_close(c->height_m, 3.3, 1e-12, 0);
    assert_close(c->base_m, 0.7, 0, 0);
    assert_close(c->width_m, 2.4, 0, 0);
    assert_close(c->leaf_area_index, 1.25, 0, 0);
    assert_int_equal(c->n_profile, 3);
    static const double height[] = {0, 0.5, 1}, density[] = {1, 2.5, 0.25};
    for (int i = 0; i < 3; i++) {
        assert_close(c->profile_height[i], height[i], 1e-12, 0);
        assert_close(c->profile_density[i], density[i], 0, 0);
    }
    assert_close(c->gap_fraction, 0.2, 0, 0);
    assert_close(c->tree_variation, 0.05, 1e-12, 0);
    assert_close(c->wood_area_index, 0.2, 0, 0);
    assert_close(c->wood_diameter_m, 0.02, 1e-12, 0);
    assert_close(c->clumping, 0.7, 0, 0);
    assert_close(c->drag_coefficient, 0.25, 0, 0);
    assert_close(c->leaf_width_m, 0.03, 1e-12, 0);
    assert_close(c->leaf_angle_ratio, 1, 0, 0);
    assert_int_equal(c->upper_side, SCENARIO_EASY);
    assert_int_equal(c->lower_side, SCENARIO_VERY_HARD);
    assert_close(c->retention_m, 0.12e-3, 1e-12, 0);
    assert_close(c->voxel_m, 0.3, 1e-12, 0);

    assert_int_equal(s->n_tips, 2);
    const scenario_tip *plain = &s->tip[0], *airy = &s->tip[1];
    assert_string_equal(plain->name, "plain 1.5 mm");
    assert_int_equal(plain->kind, SCENARIO_HOLLOW_CONE_DISC_CORE);
    assert_string_equal(plain->size, "");
    assert_close(plain->flow_m3_s, 0.5 * 3.785412e-3 / 60, 3e-7, 0);
    assert_close(plain->flow_pressure_Pa, 150 * 6894.757, 3e-7, 0);
    assert_close(plain->cone_angle_rad, 1.2, 0, 0);
    assert_close(plain->air_share, 0, 0, 0);
    assert_int_equal(plain->form, SCENARIO_SPECTRUM_UPPER_LIMIT);
    assert_close(plain->dv10_m, 80e-6, 1e-12, 0);
    assert_close(plain->dv50_m, 150e-6, 1e-12, 0);
    assert_close(plain->dv90_m, 240e-6, 1e-12, 0);
    assert_close(plain->spectrum_pressure_Pa, 1e6, 1e-12, 0);
    assert_int_equal(plain->n_limits, 2);
    assert_int_equal(plain->limit[0].up_to, SCENARIO_VERY_FINE);
    assert_int_equal(plain->limit[1].up_to, SCENARIO_MEDIUM_SIZE);
    assert_close(plain->limit[0].dv10_m, 50e-6, 1e-12, 0);
    assert_close(plain->limit[1].dv50_m, 250e-6, 1e-12, 0);
    assert_close(plain->limit[1].dv90_m, 450e-6, 1e-12, 0);
    assert_string_equal(airy->name, "airy fan");
    assert_int_equal(airy->kind, SCENARIO_AIR_INDUCTION_FLAT_FAN);
    assert_string_equal(airy->size, "025");
    assert_close(airy->cone_angle_rad, 110 * PI / 180, 1e-12, 0);
    assert_close(airy->air_share, 0.2, 1e-12, 0);
    assert_int_equal(airy->form, SCENARIO_SPECTRUM_TABLE);
    assert_int_equal(airy->n_table, 4);
    static const double diameter_um[] = {50, 200, 400, 900}, share[] = {0, 0.3, 0.8, 1};
    for (int i = 0; i < 4; i++) {
        assert_close(airy->table_diameter_m[i], 1e-6 * diameter_um[i], 1e-12, 0);
        assert_close(airy->table_share_below[i], share[i], 1e-12, 0);
    }
    assert_close(airy->spectrum_pressure_Pa, 0, 0, 0);
    assert_int_equal(airy->n_limits, 0);

    const scenario_sprayer *p = &s->sprayer;
    assert_close(p->travel_speed_m_s, 3 * 0.44704, 1e-12, 0);
    static const bool driven[] = {false, true, false, true};
    for (int i = 0; i < 4; i++)
        assert_int_equal(p->alley_driven[i], driven[i]);
    assert_false(p->alternate);
    assert_false(p->shut_outside);
    assert_close(p->tank_m3, 500 * 3.785412e-3, 3e-7, 0);
    assert_close(p->fan_reference_rpm, 2000, 1e-12, 0);
    assert_close(p->fan_reference_flow_m3_s, 4.719474, 3e-7, 0);
    assert_close(p->fan_reference_power_W, 30 * 745.6999, 3e-7, 0);
    assert_close(p->fan_rpm, 1500, 1e-12, 0);
    assert_int_equal(p->n_outlets, 2);
    const scenario_outlet *slot = &p->outlet[0], *arc = &p->outlet[1];
    assert_int_equal(slot->side, SCENARIO_LEFT);
    assert_int_equal(slot->kind, SCENARIO_SLOT);
    assert_close(slot->offset_m, 0.4, 0, 0);
    assert_close(slot->bottom_m, 0.5, 0, 0);
    assert_close(slot->top_m, 2.5, 0, 0);
    assert_close(slot->slot_m, 0.05, 1e-12, 0);
    assert_close(slot->tilt_rad, PI / 18, 1e-12, 0);
    assert_close(slot->share, 0.6, 1e-12, 0);
    assert_int_equal(arc->side, SCENARIO_RIGHT);
    assert_int_equal(arc->kind, SCENARIO_ARC);
    assert_close(arc->centre_height_m, 1, 0, 0);
    assert_close(arc->radius_m, 0.5, 0, 0);
    assert_close(arc->from_rad, -PI / 18, 1e-12, 0);
    assert_close(arc->to_rad, 8 * PI / 18, 1e-12, 0);
    assert_close(arc->share, 0.4, 1e-12, 0);
    assert_int_equal(p->n_nozzles, 4); /* one on the left, one on both sides, one on the right */
    assert_true(p->nozzle[3].plugged && p->nozzle[3].side == SCENARIO_RIGHT);
    static const scenario_side side[] = {SCENARIO_LEFT, SCENARIO_LEFT, SCENARIO_RIGHT};
    for (int i = 0; i < 3; i++) {
        const scenario_nozzle *n = &p->nozzle[i];
        assert_int_equal(n->side, side[i]);
        assert_int_equal(n->i_tip, i > 0);
        assert_close(n->offset_m, i > 0 ? 0.5 : 0.4, 0, 0);
        assert_close(n->height_m, i > 0 ? 1.4 : 1.0, 0, 0);
        assert_close(n->angle_rad, i > 0 ? PI / 4 : 0, 1e-12, 0);
        assert_close(n->behind_m, i > 0 ? 0 : -0.05, 1e-12, 0);
        assert_close(n->pressure_Pa, i > 0 ? 5e5 : 100 * 6894.757, 3e-7, 0);
        assert_close(n->worn, i > 0 ? 0 : 0.12, 1e-12, 0);
        assert_false(n->plugged);
    }

    assert_close(s->liquid.nonvolatile, 0.02, 1e-12, 0);
    assert_close(s->liquid.density_kg_m3, 1020, 1e-12, 0);
    assert_close(s->liquid.surface_tension_N_m, 0.035, 1e-12, 0);
    assert_close(s->liquid.viscosity_Pa_s, 0.0018, 1e-12, 0);
    assert_close(s->weather.temperature_K, 298.15, 1e-12, 0);
    assert_close(s->weather.relative_humidity, 0.45, 0, 0);
    assert_close(s->weather.pressure_Pa, 95000, 1e-12, 0);
    assert_close(s->weather.wind_speed_m_s, 400 * 0.3048 / 60, 1e-12, 0);
    assert_close(s->weather.wind_height_m, 3.048, 1e-12, 0);
    assert_close(s->weather.wind_angle_rad, -PI / 2, 1e-12, 0); /* 270 deg, wrapped */
    assert_close(s->weather.roughness_m, 0.01, 1e-12, 0);
    assert_true(s->weather.day_given && s->weather.day_of_year == 40);
    assert_close(s->weather.hour, 6.5, 1e-12, 0);
    assert_close(s->weather.latitude_rad, -35 * PI / 180, 1e-12, 0);
    assert_close(s->weather.cloud, 0.25, 1e-12, 0);
    assert_close(s->weather.gusts, 0.3, 1e-12, 0);
    assert_int_equal(s->run.n_droplets, 50000);
    assert_true(s->run.seed == UINT64_MAX);
    assert_close(s->run.time_limit_s, 120, 0, 0);
    assert_close(s->run.domain_top_m, 15, 0, 0);
    assert_close(s->run.open_ground_m, 150, 1e-12, 0);
    assert_close(s->run.air_cell_m, 0.25, 1e-12, 0);
    assert_close(s->run.step_scale, 0.5, 0, 0);
    drupelet_scenario_free(s);
}

static void what_is_left_out_has_its_default(void **state)
{
    (void)state;
    drupelet_scenario *s = must_read(DRUPELET_TEST_DATA "/scenario-small.yaml", NULL, 0);
    assert_string_equal(s->name, "scenario-small");
    assert_string_equal(s->place, "");
    assert_int_equal(s->orchard.n_trees, 5); /* 10 m of row */
    assert_close(s->orchard.grass_height_m, 0.10, 1e-12, 0);
    assert_close(s->orchard.grass_leaf_area_index, 1.5, 0, 0);
    assert_close(s->orchard.grass_blade_width_m, 0.005, 1e-12, 0);
    const scenario_canopy *c = &s->canopy;
    assert_int_equal(c->n_profile, 0);
    assert_close(c->gap_fraction, 0.1, 1e-12, 0);
    assert_close(c->tree_variation, 0.15, 1e-12, 0);
    assert_close(c->wood_area_index, 0.15, 0, 0);
    assert_close(c->wood_diameter_m, 0.0, 0, 0); /* several */
    assert_close(c->clumping, 0.9, 0, 0);
    assert_close(c->bough_variation, 1.0, 1e-12, 0);
    assert_close(c->bough_size_m, 0.3, 1e-12, 0); /* not below it: the crown is 1.5 m wide */
    assert_true(c->shell_depth_m == 0.0 && c->wood_by_height);
    assert_close(c->drag_coefficient, 0.2, 0, 0);
    assert_close(c->leaf_width_m, 0.045, 1e-12, 0);
    assert_close(c->leaf_angle_ratio, 1.5, 0, 0);
    assert_int_equal(c->upper_side, SCENARIO_MEDIUM);
    assert_int_equal(c->lower_side, SCENARIO_HARD);
    assert_close(c->retention_m, 0.15e-3, 1e-12, 0);
    assert_close(c->voxel_m, 0.2, 0, 0);
    assert_int_equal(s->tip[0].form, SCENARIO_SPECTRUM_GENERIC);
    assert_string_equal(s->tip[0].size, "04");
    assert_close(s->tip[0].cone_angle_rad, 80 * PI / 180, 1e-12, 0);
    assert_close(s->tip[0].air_share, 0, 0, 0);
    assert_close(s->tip[0].flow_pressure_Pa, 300e3, 1e-12, 0);
    const scenario_sprayer *p = &s->sprayer;
    for (int i = 0; i <= 2; i++)
        assert_true(p->alley_driven[i]);
    assert_false(p->alley_driven[3]);
    assert_true(p->alternate);
    assert_true(p->shut_outside);
    assert_close(p->tank_m3, 1.0, 1e-12, 0);
    assert_close(p->fan_rpm, 500, 0, 0);
    assert_int_equal(p->n_outlets, 2);
    assert_int_equal(p->outlet[0].side, SCENARIO_LEFT);
    assert_int_equal(p->outlet[1].side, SCENARIO_RIGHT);
    assert_close(p->outlet[0].share, 0.5, 1e-12, 0);
    assert_int_equal(p->n_nozzles, 2);
    assert_close(p->nozzle[1].pressure_Pa, 8e5, 0, 0);
    assert_close(p->nozzle[1].behind_m, 0, 0, 0);
    assert_close(p->nozzle[1].worn, 0, 0, 0);
    assert_false(p->nozzle[1].plugged);
    /* a liquid that is not described is water at the air's temperature */
    assert_close(s->liquid.nonvolatile, 0.005, 1e-12, 0);
    assert_close(s->liquid.density_kg_m3, base_water_density_kg_m3(288.15), 1e-12, 0);
    assert_close(s->liquid.surface_tension_N_m, base_water_surface_tension_N_m(288.15), 1e-12, 0);
    assert_close(s->liquid.viscosity_Pa_s, base_water_viscosity_Pa_s(288.15), 1e-12, 0);
    assert_close(s->weather.pressure_Pa, 101325, 1e-12, 0);
    assert_close(s->weather.wind_height_m, 2, 0, 0);
    assert_close(s->weather.wind_angle_rad, 0, 0, 0);
    assert_close(s->weather.roughness_m, 0.03, 0, 0);
    assert_true(!s->weather.day_given && s->weather.per_obukhov_1_m == 0.0 && s->weather.gusts == 0.0);
    assert_int_equal(s->run.n_droplets, 200000);
    assert_int_equal(s->run.seed, 1);
    assert_close(s->run.time_limit_s, 330, 0, 0); /* 6 x (2 x 4 m + 100 m) over 2 m/s, in whole tens */
    assert_close(s->run.domain_top_m, 20, 0, 0);
    assert_close(s->run.open_ground_m, 100, 0, 0);
    assert_close(s->run.air_cell_m, 0.2, 0, 0);
    assert_close(s->run.step_scale, 1.0, 0, 0);
    drupelet_scenario_free(s);
}

/* ISO 10625 by way of tests/data/nozzle_sizes.csv: US gallons a minute at 40 psi. */
static void a_size_stands_for_its_flow(void **state)
{
    (void)state;
    static const struct { const char *size; double gallons_min; } sizes[] = {
        {"01", 0.1}, {"015", 0.15}, {"02", 0.2}, {"025", 0.25}, {"03", 0.3}, {"04", 0.4}, {"05", 0.5}, {"06", 0.6},
        {"08", 0.8}};
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        char setting[64];
        snprintf(setting, sizeof setting, "tips.red cone.size=%s", sizes[i].size);
        const char *settings[] = {setting};
        drupelet_scenario *s = must_read(DRUPELET_TEST_DATA "/scenario-small.yaml", settings, 1);
        const double at_40_psi = s->tip[0].flow_m3_s * sqrt(40 * 6894.757 / s->tip[0].flow_pressure_Pa);
        assert_close(at_40_psi, sizes[i].gallons_min * 3.785412e-3 / 60, 1e-6, 0);
        drupelet_scenario_free(s);
    }
}

static void the_list_of_used_values_marks_defaults(void **state)
{
    (void)state;
    drupelet_scenario *s = must_read(DRUPELET_TEST_DATA "/scenario-small.yaml", NULL, 0);
    static const char *const lines[] = {
        "name: scenario-small (default)\nplace: none (default)\norchard.rows: 2\norchard.row_spacing: 4 m\n",
        "\norchard.trees: 5 (default)\n", "\ncanopy.gaps: 10 % (default)\n", "\ncanopy.profile: uniform (default)\n",
        "\ntips.red cone.size: 04\n", "\ntips.red cone.flow_pressure: 3 bar (from the size)\n",
        "\nsprayer.alleys: all (default)\n", "\nsprayer.fan.speed: 500 rpm (default)\n",
        "\nsprayer.outlets.0.share: 100 % (default)\n", "\nsprayer.nozzles.0.angle: 20 deg\n",
        "\nsprayer.nozzles.0.pressure: 8 bar (default)\n", "\nweather.pressure: 1013.25 hPa (default)\n",
        "\nweather.temperature: 15 degC\n", "\nrun.air_cell: 0.2 m (default)\n"};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++)
        if (!strstr(s->resolved, lines[i]))
            fail_msg("'%s' is not in\n%s", lines[i], s->resolved);
    /* every key of the table that this scenario can have is in the list */
    for (int k = 0; k < scenario_n_keys; k++) {
        const char *path = scenario_keys[k].path;
        static const char *const others[] = {"collectors.", "tips.*.spectrum.", "sprayer.outlets.*.offset",
                                             "sprayer.outlets.*.bottom", "sprayer.outlets.*.top",
                                             "sprayer.outlets.*.tilt", "sprayer.outlets.*.diameter",
                                             "sprayer.outlets.*.height", "sprayer.outlets.*.back", "sprayer.shut.*.",
                                             "weather.hour", "weather.cloud", "weather.day_of_year",
                                             "weather.latitude"};
        bool other = scenario_keys[k].holds == SCENARIO_IS_LIST && strcmp(path, "sprayer.alleys") != 0
                     && strcmp(path, "canopy.profile") != 0;
        for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
            other = other || strncmp(path, others[i], strlen(others[i])) == 0;
        const char last = path[strlen(path) - 1]; /* columns of lists are noted row by row */
        if (other || (last >= '0' && last <= '9' && path[strlen(path) - 2] == '.'))
            continue;
        char line[160] = "\n";
        const char *star = strchr(path, '*');
        snprintf(line, sizeof line, "%s%.*s%s%s: ", k > 0 ? "\n" : "", star ? (int)(star - path) : (int)strlen(path),
                 path,
                 !star            ? ""
                 : path[0] == 't' ? "red cone"
                                  : "0",
                 star ? star + 1 : "");
        if (!strstr(s->resolved, line))
            fail_msg("'%s' is not in\n%s", line, s->resolved);
    }
    drupelet_scenario_free(s);
}

/* ---- errors in the file ---- */

typedef struct { const char *old, *new, *message; } edit;

static void check_edits(const edit *edits, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        char *text = edited(small_text, edits[i].old, edits[i].new);
        assert_message(text, NULL, edits[i].message);
        free(text);
    }
}

static void a_bad_value_is_told_with_line_and_column(void **state)
{
    (void)state;
    static const edit edits[] = {
        {"pressure: 8 bar", "pressure: 3 m/s",
         "block.yaml:24:13: sprayer.pressure: found 3 m/s, expected a pressure from 0.5 bar to 60 bar "
         "(in bar, kPa, MPa, hPa or psi)"},
        {"pressure: 8 bar", "pressure: 8",
         "block.yaml:24:13: sprayer.pressure: found 8 without a unit, expected a pressure from 0.5 bar to 60 bar"},
        {"pressure: 8 bar", "pressure: 8 Bar",
         "block.yaml:24:13: sprayer.pressure: found 8 Bar, expected a pressure from 0.5 bar to 60 bar (write bar)"},
        {"pressure: 8 bar", "pressure: 80 bar",
         "block.yaml:24:13: sprayer.pressure: found 80 bar, expected a pressure from 0.5 bar to 60 bar"},
        {"pressure: 8 bar", "pressure: 8-10 bar",
         "block.yaml:24:13: sprayer.pressure: found 8-10 bar, expected one value, not a range: a pressure from 0.5 bar "
         "to 60 bar"},
        {"pressure: 8 bar", "pressure: 8,5 bar",
         "block.yaml:24:13: sprayer.pressure: found 8,5 bar, expected a decimal point, not a comma: "
         "a pressure from 0.5 bar to 60 bar"},
        {"pressure: 8 bar", "pressure: high",
         "block.yaml:24:13: sprayer.pressure: found high, expected a pressure from 0.5 bar to 60 bar"},
        {"pressure: 8 bar", "pressure: [8 bar]",
         "block.yaml:24:13: sprayer.pressure: found a list, expected a pressure from 0.5 bar to 60 bar"},
        {"pressure: 8 bar",
         "pressure: ", "block.yaml:24:12: sprayer.pressure: found nothing, expected a pressure from 0.5 bar to 60 bar"},
        {"pressure: 8 bar", "pressure: \"\"",
         "block.yaml:24:13: sprayer.pressure: found an empty text, expected a pressure from 0.5 bar to 60 bar"},
        {"travel_speed: 5 km/h", "travel_speed: 16 km/h",
         "block.yaml:17:17: sprayer.travel_speed: found 16 km/h, expected a speed from 0 km/h to 15 km/h"},
        {"travel_speed: 5 km/h", "travel_speed: 0.4 km/h",
         "block.yaml:17:17: sprayer.travel_speed: found 0.4 km/h, expected 0 (the sprayer stands still), or at least "
         "0.5 km/h"},
        {"rows: 2", "rows: 2.5", "block.yaml:3:9: orchard.rows: found 2.5, expected a whole number from 1 to 64"},
        {"rows: 2", "rows: 65", "block.yaml:3:9: orchard.rows: found 65, expected a whole number from 1 to 64"},
        {"rows: 2", "rows: two", "block.yaml:3:9: orchard.rows: found two, expected a whole number from 1 to 64"},
        {"rows: 2", "rows: 2 m",
         "block.yaml:3:9: orchard.rows: found 2 m, expected a whole number from 1 to 64, without a unit"},
        {"leaf_area_index: 1.5", "leaf_area_index: 15",
         "block.yaml:11:20: canopy.leaf_area_index: found 15, expected a number from 0 to 10"},
        {"leaf_area_index: 1.5", "leaf_area_index: 1.5 m",
         "block.yaml:11:20: canopy.leaf_area_index: found 1.5 m, expected a number from 0 to 10, without a unit"},
        {"relative_humidity: 70 %", "relative_humidity: 70",
         "block.yaml:29:22: weather.relative_humidity: found 70 without its %, expected a share from 1 % to 100 %: "
         "70 %"},
        {"relative_humidity: 70 %", "relative_humidity: 0.7",
         "block.yaml:29:22: weather.relative_humidity: found 0.7 without its %, expected a share from 1 % to 100 %: "
         "70 %"},
        {"relative_humidity: 70 %", "relative_humidity: 700",
         "block.yaml:29:22: weather.relative_humidity: found 700 without its %, expected a share from 1 % to 100 %"},
        {"relative_humidity: 70 %", "relative_humidity: 0.5 %",
         "block.yaml:29:22: weather.relative_humidity: found 0.5 %, expected a share from 1 % to 100 %"},
        {"temperature: 15 degC", "temperature: 0",
         "block.yaml:28:16: weather.temperature: found 0 without a unit, expected a temperature from 0 degC to 50 "
         "degC"},
        {"temperature: 15 degC", "temperature: 15 C",
         "block.yaml:28:16: weather.temperature: found 15 C, expected a temperature from 0 degC to 50 degC (in degC, "
         "degF or K)"},
        {"wind_speed: 2 m/s", "wind_speed: 16 m/s",
         "block.yaml:30:15: weather.wind_speed: found 16 m/s, expected a speed from 0 m/s to 15 m/s"},
        {"crown: cone", "crown: tree", "block.yaml:7:10: canopy.crown: found tree, expected wall, cone, globe or bowl"},
        {"crown: cone", "crown: {}",
         "block.yaml:7:10: canopy.crown: found a group of keys, expected wall, cone, globe or bowl"},
        {"size: 04", "size: 07",
         "block.yaml:15:11: tips.red cone.size: found 07, expected 005, 0067, 0075, 01, 015, 02, 025, 03, 04, "
         "05, 06, 08, 10, 15 or 20"},
        {"orchard:\n", "name: \"two\\nlines\"\norchard:\n",
         "block.yaml:2:7: name: found two lines, expected a text on one line, shorter than 128 bytes"},
        {"pressure: 8 bar",
         "pressure: \xC2\xB5\xC2\xB5 a value that is so long that it would push all else out of the line it stands in",
         "block.yaml:24:13: sprayer.pressure: found \xC2\xB5\xC2\xB5 a value that is so long that it would push all "
         "else out of the ..., "
         "expected a pressure from 0.5 bar to 60 bar"},
    };
    check_edits(edits, sizeof edits / sizeof edits[0]);
}

static void keys_that_are_unknown_missing_or_repeated_are_told(void **state)
{
    (void)state;
    static const edit edits[] = {
        {"row_spacing: 4 m", "row_spacin: 4 m",
         "block.yaml:4:3: orchard.row_spacin: found an unknown key, expected row_spacing"},
        {"row_spacing: 4 m", "rwo_spacing: 4 m",
         "block.yaml:4:3: orchard.rwo_spacing: found an unknown key, expected row_spacing"},
        {"orchard:", "orchrad:", "block.yaml:2:1: orchrad: found an unknown key, expected orchard"},
        {"orchard:\n", "trees: 3\norchard:\n",
         "block.yaml:2:1: trees: found an unknown key, "
         "expected one of name, place, orchard, canopy, tips, sprayer, weather, liquid, run, collectors"},
        {"angle: 20 deg", "angel: 20 deg",
         "block.yaml:26:53: sprayer.nozzles.0.angel: found an unknown key, expected angle"},
        {"    size: 04", "    sice: 04", "block.yaml:15:5: tips.red cone.sice: found an unknown key, expected size"},
        {"speed: 500 rpm", "sped: 500 rpm",
         "block.yaml:19:5: sprayer.fan.reference_sped: found an unknown key, expected reference_speed"},
        {"  rows: 2\n", "", "block.yaml:3:3: orchard.rows: found nothing, expected a whole number from 1 to 64"},
        {"  height: 3 m\n", "", "block.yaml:7:3: canopy.height: found nothing, expected a length from 0.5 m to 12 m"},
        {"  crown: cone\n", "", "block.yaml:7:3: canopy.crown: found nothing, expected wall, cone, globe or bowl"},
        {", height: 1.2 m", "",
         "block.yaml:26:7: sprayer.nozzles.0.height: found nothing, expected a length from 0.1 m to 6 m"},
        {"tip: red cone, ", "",
         "block.yaml:26:7: sprayer.nozzles.0.tip: found nothing, expected a text on one line, shorter than 128 bytes"},
        {"  pressure: 8 bar\n", "",
         "block.yaml:17:3: sprayer.pressure: found nothing, expected a pressure from 0.5 bar to 60 bar"},
        {"    size: 04\n", "",
         "block.yaml:14:5: tips.red cone.size: found nothing, expected 005, 0067, 0075, 01, 015, 02, 025, 03, "
         "04, 05, 06, 08, 10, 15 or 20"},
        {"weather:\n", "weather:\n  temperature: 3 degC\n",
         "block.yaml:29:3: weather.temperature: found the key again (first on line 28), expected it once"},
        {"orchard:\n", "orchard:\n  rows: 3\n",
         "block.yaml:4:3: orchard.rows: found the key again (first on line 3), expected it once"},
        {"tips:\n", "orchard: {}\ntips:\n",
         "block.yaml:12:1: orchard: found the key again (first on line 2), expected it once"},
        {"  red cone:\n    kind: hollow_cone\n    size: 04\n", "",
         "block.yaml:12:6: tips: found 0 tips, expected 1 to 16, each with its name as key"},
        {"  red cone:\n    kind: hollow_cone\n    size: 04\n", "  red cone:\n",
         "block.yaml:13:12: tips.red cone: found nothing, expected the keys of a tip: kind, size and so on"},
        {"tip: red cone", "tip: red con",
         "block.yaml:26:13: sprayer.nozzles.0.tip: found red con, expected red cone, which stands under tips"},
        {"tip: red cone", "tip: blue",
         "block.yaml:26:13: sprayer.nozzles.0.tip: found blue, expected a name that stands under tips"},
        {"orchard:\n", "run: [1]\norchard:\n", "block.yaml:2:6: run: found a list, expected a group of keys"},
        {"    - {tip:", "    - [tip]\n    - {tip:",
         "block.yaml:26:7: sprayer.nozzles.0: found a list, expected a group of keys"},
        {"  nozzles:\n    -", "  nozzles:\n   ",
         "block.yaml:26:5: sprayer.nozzles: found a group of keys, expected a list of nozzles, 1 to 64 entries"},
    };
    check_edits(edits, sizeof edits / sizeof edits[0]);
    assert_message(
        "", NULL,
        "block.yaml:1:1: found nothing, expected sections: orchard, canopy, tips, sprayer, weather and so on");
    assert_message(
        "# only a remark\n", NULL,
        "block.yaml:1:1: found nothing, expected sections: orchard, canopy, tips, sprayer, weather and so on");
    assert_message("- 1\n", NULL, "block.yaml:1:1: found a list, expected a group of keys");
    assert_message("{}\n", NULL,
                   "block.yaml:1:1: orchard.rows: found nothing, expected a whole number from 1 to 64; missing, too: "
                   "orchard.row_spacing, tree_spacing; canopy.crown, height, base, width, leaf_area_index; tips; "
                   "sprayer.travel_speed; sprayer.fan.reference_speed, reference_flow, reference_power; "
                   "sprayer.outlets, nozzles; weather.temperature, relative_humidity, wind_speed");
}

/* One message for all keys that are missing, those of lists and of kinds among them. What is read besides them does not
 * count: a missing spacing is no reason to find a crown too wide for it. */
static void all_missing_keys_are_told_at_once(void **state)
{
    (void)state;
    char *text = edited(small_text, "  row_spacing: 4 m\n", ""), *less = edited(text, "  wind_speed", "  # wind_speed");
    assert_message(less, NULL,
                   "block.yaml:3:3: orchard.row_spacing: found nothing, expected a length from 1 m to 15 m; missing, "
                   "too: weather.wind_speed");
    assert_message(less, "weather.wind_speed=2 m/s",
                   "block.yaml:3:3: orchard.row_spacing: found nothing, expected a length from 1 m to 15 m");
    free(less);
    free(text);
    assert_message(small_text, "tips={a: {kind: flat_fan}, b: {kind: hollow_cone_disc_core}, c: {size: 01}}",
                   "--set tips={a: {kind: flat_fan}, b: {kind: hollow_cone_disc_core}, c: {size: 01}}: tips.a.size: "
                   "found nothing, expected 005, 0067, 0075, 01, 015, 02, 025, 03, 04, 05, 06, 08, 10, 15 or 20; "
                   "missing, too: tips.a.cone_angle; tips.b.flow, flow_pressure; tips.c.kind");
    assert_message(small_text, "sprayer.outlets=[{side: left}, {kind: spout, offset: 9 m}]", /* 9 m is not told yet */
                   "--set sprayer.outlets=[{side: left}, {kind: spout, offset: 9 m}]: sprayer.outlets.0.kind: found "
                   "nothing, expected arc, slot or spout; missing, too: sprayer.outlets.1.diameter");
    assert_message(small_text, "sprayer.nozzles=[{tip: red cone}, {angle: 0, height: 1 m}]",
                   "--set sprayer.nozzles=[{tip: red cone}, {angle: 0, height: 1 m}]: sprayer.nozzles.0.offset: found "
                   "nothing, expected a length from 0 m to 3 m; missing, too: sprayer.nozzles.0.height, angle; "
                   "sprayer.nozzles.1.tip, offset");
    assert_message(small_text, "collectors=[{kind: line}, {name: a, kind: card, x: 1 m}, {name: b}]",
                   "--set collectors=[{kind: line}, {name: a, kind: card, x: 1 m}, {name: b}]: collectors.0.name: "
                   "found nothing, expected a text on one line, shorter than 128 bytes; missing, too: "
                   "collectors.0.distance, to; collectors.1.height; collectors.2.kind");
}

/* What finds no room in a message is counted. */
static void missing_keys_without_number_are_counted(void **state)
{
    (void)state;
    char setting[2048] = "collectors=[{kind: dish, x: 0}";
    for (int i = 1; i < 60; i++)
        strcat(setting, ", {kind: dish, x: 0}");
    strcat(setting, "]");
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = read_text(small_text, (const char *[]){setting}, 1, &scenario);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_null(scenario);
    int told = 0, more = 0;
    for (const char *at = status.message; (at = strstr(at, "collectors.")) != NULL; at++)
        told++;
    const char *rest = strstr(status.message, "; and ");
    assert_non_null(rest);
    assert_int_equal(sscanf(rest, "; and %d more", &more), 1);
    assert_int_equal(told + more, 60);
}

static void parts_that_do_not_fit_one_another_are_told(void **state)
{
    (void)state;
    static const edit edits[] = {
        {"base: 0.6 m", "base: 3 m", "block.yaml:9:9: canopy.base: found 3 m, expected less than canopy.height, 3 m"},
        {"width: 1.5 m", "width: 4.1 m",
         "block.yaml:10:10: canopy.width: found 4.1 m, expected at most orchard.row_spacing, 4 m"},
        {"width: 1.5 m", "width: 0.1 m",
         "block.yaml:7:3: canopy.voxel: found the default, expected at most canopy.width, 0.1 m"},
        {"base: 0.6 m", "base: 2.9 m",
         "block.yaml:7:3: canopy.voxel: found the default, expected at most the depth of the crown, 0.1 m"},
        {"tree_spacing: 2 m", "tree_spacing: 2 m\n  trees: 51",
         "block.yaml:6:10: orchard.trees: found 51, expected trees for at most 100 m of row"},
        {"radius: 0.5 m", "radius: 1.5 m, from: -90 deg",
         "block.yaml:23:69: sprayer.outlets.0.from: found the key again (first on line 23), expected it once"},
        {"from: 0 deg", "from: 59.5 deg",
         "block.yaml:23:74: sprayer.outlets.0.to: found 60 deg, expected at least 1 deg more than from, 59.5 deg"},
        {"centre_height: 1 m, radius: 0.5 m, from: 0 deg", "centre_height: 0.4 m, radius: 0.5 m, from: -60 deg",
         "block.yaml:23:62: sprayer.outlets.0.from: found -60 deg, expected an arc that ends above the ground"},
        {"kind: arc, centre_height: 1 m", "kind: arc, bottom: 1 m",
         "block.yaml:23:19: sprayer.outlets.0.bottom: found this key, expected slot, centre_height, radius, from and "
         "to for an arc"},
        {"kind: arc, centre_height: 1 m", "kind: slot, offset: 0.3 m",
         "block.yaml:23:35: sprayer.outlets.0.radius: found this key, expected slot, offset, bottom, top and tilt for "
         "a slot"},
        {"{kind: arc, centre_height: 1 m, radius: 0.5 m, from: 0 deg, to: 60 deg,",
         "{kind: slot, offset: 0.3 m, bottom: 1 m, top: 90 cm,",
         "block.yaml:23:53: sprayer.outlets.0.top: found 90 cm, expected more than bottom, 1 m"},
        {"{kind: arc, centre_height: 1 m, radius: 0.5 m, from: 0 deg, to: 60 deg,",
         "{kind: slot, offset: 2 m, bottom: 1 m, top: 2 m,",
         "block.yaml:23:28: sprayer.outlets.0.offset: found 2 m, expected less than half of orchard.row_spacing, 2 m"},
        {"slot: 150 mm", "slot: 150 mm, share: 90 %",
         "block.yaml:23:5: sprayer.outlets: found shares that add up to 90 %, expected 100 %"},
        {"    - {kind: arc",
         "    - {kind: slot, offset: 0.3 m, bottom: 1 m, top: 2 m, slot: 50 mm, share: 50 %}\n    - {kind: arc",
         "block.yaml:24:7: sprayer.outlets.1.share: found nothing, expected a share from 0 % to 100 %"},
        {"reference_flow: 5 m3/s", "reference_flow: 16 m3/s",
         "block.yaml:23:5: sprayer.outlets: found air that leaves at 102 m/s, expected at most 100 m/s: more slot or "
         "less air"},
        {"offset: 0.5 m, height", "offset: 2 m, height",
         "block.yaml:26:31: sprayer.nozzles.0.offset: found 2 m, expected less than half of orchard.row_spacing, 2 m"},
        {"kind: hollow_cone\n", "kind: hollow_cone_disc_core\n",
         "block.yaml:15:11: tips.red cone.size: found 04, expected flow and flow_pressure (the colour code leaves "
         "disc-and-core sets out)"},
        {"size: 04", "size: 04\n    flow: 1 L/min",
         "block.yaml:16:5: tips.red cone.flow: found this key, expected either size or flow, not both"},
        {"size: 04", "flow: 1 L/min",
         "block.yaml:14:5: tips.red cone.flow_pressure: found nothing, expected a pressure from 0.5 bar to 60 bar"},
        {"kind: hollow_cone\n", "kind: flat_fan\n",
         "block.yaml:14:5: tips.red cone.cone_angle: found nothing, expected an angle from 10 deg to 160 deg"},
        {"offset: 0.5 m, height: 1.2 m, angle: 20 deg", "offset: 0.5 m, height: 1.2 m, angle: 20 deg, plugged: yes",
         "block.yaml:26:5: sprayer.nozzles: found nozzles that are all plugged, expected one at least that sprays"},
        {"angle: 20 deg", "angle: 20 deg, worn: 101 %",
         "block.yaml:26:74: sprayer.nozzles.0.worn: found 101 %, expected a share from -90 % to 100 %"},
        {"angle: 20 deg", "angle: 20 deg, plugged: half",
         "block.yaml:26:77: sprayer.nozzles.0.plugged: found half, expected yes, no, true or false"},
        {"size: 04", "size: 04\n    classes: [[fine, 60 um, 120 um, 200 um]]",
         "block.yaml:16:5: tips.red cone.classes: found this key, expected a spectrum of the tip, measured on the "
         "instrument that measured the borders"},
        {"pressure: 8 bar", "pressure: 8 bar\n  alleys: [0, 3]",
         "block.yaml:25:15: sprayer.alleys.1: found 3, expected a whole number from 0 to 2"},
        {"pressure: 8 bar", "pressure: 8 bar\n  alleys: [1, 1]",
         "block.yaml:25:15: sprayer.alleys.1: found 1, expected each alley once"},
        {"pressure: 8 bar", "pressure: 8 bar\n  alleys: []",
         "block.yaml:25:11: sprayer.alleys: found a list of 0, expected a list of numbers of alleys, 1 to 65 entries"},
        {"pressure: 8 bar", "pressure: 8 bar\n  alleys: odd",
         "block.yaml:25:11: sprayer.alleys: found odd, expected all, or a list of numbers from 0 to 2, such as [0, 2]"},
    };
    check_edits(edits, sizeof edits / sizeof edits[0]);
    char *tall = edited(small_text, "height: 3 m", "height: 9 m");
    assert_message(tall, "run.domain_top=9 m",
                   "--set run.domain_top=9 m: run.domain_top: found 9 m, expected more than canopy.height, 9 m");
    free(tall);
    static const struct { const char *setting, *message;
    } settings[] = {
        {"canopy.profile=[[0, 1], [0, 2]]", "canopy.profile.1.0: found 0, expected more than the height before it"},
        {"canopy.profile=[[0, 0], [1, 0]]",
         "canopy.profile: found no leaves at any height, expected a density above 0"},
        {"canopy.profile=[0, 1]", "canopy.profile.0: found 0, expected a pair [height, density]"},
        {"canopy.profile=[[0, 1], [1, 2, 3]]", "canopy.profile.1: found a list, expected a pair [height, density]"},
        {"canopy.profile=[[0, 1], [2, 2]]",
         "canopy.profile.1.0: found 2, expected a fraction from 0 to 1"},
        {"canopy.profile=[[0, 1]]",
         "canopy.profile: found a list of 1, expected a list of [height, density] pairs, 2 to 16 entries"},
        {"tips.red cone.spectrum.pressure=3 bar",
         "tips.red cone.spectrum.form: found nothing, expected log_normal, rosin_rammler or upper_limit"},
        {"tips.red cone.spectrum={form: log_normal, dv10: 90 um, dv50: 80 um, dv90: 200 um}",
         "tips.red cone.spectrum.dv50: found 80 um, expected more than dv10, 90 um"},
        {"tips.red cone.spectrum={form: log_normal, dv10: 90 um, dv50: 150 um, dv90: 0.15 mm}",
         "tips.red cone.spectrum.dv90: found 0.15 mm, expected more than dv50, 150 um"},
        {"tips.red cone.spectrum={form: upper_limit, dv10: 50 um, dv50: 100 um, dv90: 200 um}",
         "tips.red cone.spectrum.form: found upper_limit, expected log_normal: the upper limit wants dv50 squared "
         "above dv10 times dv90"},
        {"tips.red cone.spectrum={form: log_normal, table: [[1 um, 0], [2 um, 0.5], [3 um, 1]]}",
         "tips.red cone.spectrum.form: found this key, expected either table or form with dv10, dv50, dv90"},
        {"tips.red cone.spectrum.table=[[9 um, 1 %], [20 um, 50 %], [30 um, 100 %]]",
         "tips.red cone.spectrum.table.0.1: found 1 %, expected 0 % in the first line: the largest diameter that no "
         "droplet is below"},
        {"tips.red cone.spectrum.table=[[9 um, 0], [9 um, 50 %], [30 um, 100 %]]",
         "tips.red cone.spectrum.table.1.0: found 9 um, expected more than the diameter before it"},
        {"tips.red cone.spectrum.table=[[9 um, 0], [20 um, 0], [30 um, 100 %]]",
         "tips.red cone.spectrum.table.1.1: found 0, expected more than the share before it"},
        {"tips.red cone.spectrum.table=[[9 um, 0], [20 um, 50 %], [30 um, 99 %]]",
         "tips.red cone.spectrum.table.2.1: found 99 %, expected 100 % in the last line"},
        {"run.seed=-1", "run.seed: found -1, expected a whole number from 0 to 18446744073709551615"},
        {"run.seed=18446744073709551616",
         "run.seed: found 18446744073709551616, expected a whole number from 0 to 18446744073709551615"},
        {"run.seed=1e3", "run.seed: found 1e3, expected a whole number from 0 to 18446744073709551615"},
        {"run.droplets=200 000",
         "run.droplets: found 200 000, expected a number without blanks: a whole number from 1000 to 1000000000000"},
        {"canopy.gaps=91 %", "canopy.gaps: found 91 %, expected a share from 0 % to 90 %"},
        {"weather.obukhov_length=1 m", "weather.obukhov_length: found 1 m, expected 3 m or more, or -3 m or less"},
        {"weather.cloud=0", "weather.cloud: found this key, expected weather.hour beside it"},
        {"weather.hour=25 h", "weather.hour: found 25 h, expected a time from 0 h to 24 h"},
    };
    for (size_t i = 0; i < sizeof settings / sizeof settings[0]; i++) {
        char message[480];
        snprintf(message, sizeof message, "--set %s: %s", settings[i].setting, settings[i].message);
        assert_message(small_text, settings[i].setting, message);
    }
    static const char *const fine[] = {"orchard.rows=64",   "orchard.tree_spacing=0.5 m", "orchard.trees=64",
                                       "canopy.voxel=5 cm", "canopy.width=4 m",           "canopy.height=12 m"};
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = read_text(small_text, fine, 6, &scenario);
    assert_null(scenario);
    assert_string_equal(status.message,
                        "--set canopy.voxel=5 cm: canopy.voxel: found 5 cm, "
                        "expected an edge that makes at most 200 million voxels (this one: 786 million)");
}

#define MEASURED "size: 04\n    spectrum: {form: log_normal, dv10: 60 um, dv50: 0.1 mm, dv90: 200 um}\n    classes: "

/* Line 17 of the file, from column 14. */
static void borders_of_classes_that_do_not_fit_are_told(void **state)
{
    (void)state;
    static const edit edits[] = {
        {"size: 04", MEASURED "[[tiny, 60 um, 120 um, 200 um]]",
         "block.yaml:17:16: tips.red cone.classes.0.0: found tiny, expected extremely_fine, very_fine, fine, medium, "
         "coarse, very_coarse or extremely_coarse: the class below the border"},
        {"size: 04", MEASURED "[[ultra_coarse, 60 um, 120 um, 200 um]]",
         "block.yaml:17:16: tips.red cone.classes.0.0: found ultra_coarse, expected extremely_fine, very_fine, fine, "
         "medium, coarse, very_coarse or extremely_coarse: the class below the border"},
        {"size: 04", MEASURED "[[fine, 60 um, 120 um]]",
         "block.yaml:17:15: tips.red cone.classes.0: found a list, expected a row [class, dv10, dv50, dv90]"},
        {"size: 04", MEASURED "[[[fine], 60 um, 120 um, 200 um]]",
         "block.yaml:17:16: tips.red cone.classes.0.0: found a list, expected extremely_fine, very_fine, fine, medium, "
         "coarse, very_coarse or extremely_coarse: the class below the border"},
        {"size: 04", MEASURED "[[fine, 60 um, 60 um, 200 um]]",
         "block.yaml:17:29: tips.red cone.classes.0.2: found 60 um, expected more than the diameter before it"},
        {"size: 04", MEASURED "[[fine, 60 bar, 120 um, 200 um]]",
         "block.yaml:17:22: tips.red cone.classes.0.1: found 60 bar, expected a length from 5 um to 6000 um (in m, cm, "
         "mm, um, km, ft or in)"},
        {"size: 04", MEASURED "[[fine, 60 um, 120 um, 200 um], [very_fine, 80 um, 150 um, 250 um]]",
         "block.yaml:17:47: tips.red cone.classes.1.0: found very_fine, expected a coarser class than the row before, "
         "fine"},
        {"size: 04", MEASURED "[[fine, 60 um, 120 um, 200 um], [medium, 50 um, 150 um, 250 um]]",
         "block.yaml:17:55: tips.red cone.classes.1.1: found 50 um, expected more than in the row before, 60 um"},
        {"size: 04", MEASURED "[]",
         "block.yaml:17:14: tips.red cone.classes: found a list of 0, expected a list of [class, dv10, dv50, dv90] "
         "rows, 1 to 7 entries"},
    };
    check_edits(edits, sizeof edits / sizeof edits[0]);
}

static void too_many_nozzles_or_outlets_are_told(void **state)
{
    (void)state;
    char list[4096] = "sprayer.nozzles=[";
    for (int i = 0; i < 33; i++) /* on both sides */
        strcat(list, "{tip: red cone, offset: 1 m, height: 1 m, angle: 0}, ");
    strcat(list, "]");
    drupelet_scenario *scenario = NULL;
    const char *setting = list;
    drupelet_status status = read_text(small_text, &setting, 1, &scenario);
    assert_null(scenario);
    assert_non_null(
        strstr(status.message, "sprayer.nozzles: found too many nozzles, expected at most 64, both sides together"));
    strcpy(list, "sprayer.outlets=[");
    for (int i = 0; i < 17; i++)
        strcat(list, "{kind: slot, offset: 1 m, bottom: 1 m, top: 2 m, slot: 5 cm}, ");
    strcat(list, "]");
    status = read_text(small_text, &setting, 1, &scenario);
    assert_null(scenario);
    assert_non_null(
        strstr(status.message, "sprayer.outlets: found too many air outlets, expected at most 32, both sides "
                               "together"));
}

static void yaml_that_is_broken_or_clever_is_told(void **state)
{
    (void)state;
    static const edit edits[] = {
        {"  rows: 2\n", "\trows: 2\n",
         "block.yaml:3:1: found text that is no YAML (found character that cannot start any token), "
         "expected blanks before the key, not a tab"},
        {"rows: 2", "rows: [2",
         "block.yaml:4:14: found text that is no YAML (did not find expected ',' or ']', for what begins on line 3), "
         "expected lines of the form key: value"},
        {"rows: 2", "rows 2",
         "block.yaml:4:14: found text that is no YAML (mapping values are not allowed in this context), "
         "expected lines of the form key: value"},
        {"rows: 2", "rows: \xFF",
         "block.yaml:3:9: found a byte that is no text (invalid leading UTF-8 octet), expected UTF-8 text"},
        {"rows: 2", "rows: \x01",
         "block.yaml:3:9: found a byte that is no text (control characters are not allowed), expected UTF-8 text"},
        {"rows: 2", "rows: \"2\\0\"", "block.yaml:3:9: orchard.rows: found a zero byte, expected text"},
        {"rows: 2", "rows: &many 2",
         "block.yaml:3:9: orchard.rows: found an anchor (&), expected every value written out"},
        {"orchard:\n", "orchard: &all\n",
         "block.yaml:2:10: orchard: found an anchor (&), expected every value written out"},
        {"rows: 2", "rows: *many", "block.yaml:3:9: orchard.rows: found a reference (*), expected the value itself"},
        {"orchard:\n", "orchard: &x {b: *x}\nrest:\n",
         "block.yaml:2:10: orchard: found an anchor (&), expected every value written out"},
        {"rows: 2", "rows: !!int 2", "block.yaml:3:9: orchard.rows: found a tag (!), expected the value alone"},
        {"rows: 2", "? [rows]\n  : 2", "block.yaml:3:5: orchard: found a list or a group as a key, expected a name"},
        {"rows: 2", "\"\": 2", "block.yaml:3:3: orchard: found an empty key, expected a name"},
        {"rows: 2", "rows: [[[[[[[[[[[[1]]]]]]]]]]]]",
         "block.yaml:3:19: orchard.rows.0.0.0.0.0.0.0.0.0: found more than 12 levels, one inside the other, expected "
         "fewer"},
        {"weather:", "---\nweather:",
         "block.yaml:27:1: found a second document (---), expected one scenario in a file"},
        {"weather:", "...\nweather:",
         "block.yaml:28:1: found text that is no YAML (did not find expected <document start>), expected lines of the "
         "form key: value"},
    };
    check_edits(edits, sizeof edits / sizeof edits[0]);
    char many[4096] = "canopy.profile=[";
    for (int i = 0; i < 300; i++)
        strcat(many, "1, ");
    strcat(many, "]");
    drupelet_scenario *scenario = NULL;
    const char *setting = many;
    const drupelet_status status = read_text(small_text, &setting, 1, &scenario);
    assert_null(scenario);
    assert_non_null(strstr(status.message, "canopy.profile: found more than 256 entries, expected fewer"));
}

static void yaml_is_text_and_nothing_else(void **state)
{
    (void)state;
    /* 0123 is no octal, yes no truth, << no merge; CRLF and a byte order mark do no harm; JSON is YAML */
    char *text = edited(small_text, "rows: 2", "rows: 002");
    drupelet_scenario *s = NULL;
    assert_int_equal(read_text(text, NULL, 0, &s).code, DRUPELET_OK);
    assert_int_equal(s->orchard.n_rows, 2);
    drupelet_scenario_free(s);
    free(text);
    text = edited(small_text, "rows: 2", "<<: 2");
    char message[240] = "block.yaml:3:3: orchard.<<: found an unknown key, expected one of ";
    const char *name;
    for (int i = 0, n; (name = scenario_key_in(&scenario_all_keys, "orchard", i, &n)) != NULL; i++)
        snprintf(message + strlen(message), sizeof message - strlen(message), "%s%.*s", i > 0 ? ", " : "", n, name);
    assert_message(text, NULL, message);
    free(text);
    char *windows = calloc(1, 2 * strlen(small_text) + 8);
    assert_non_null(windows);
    strcpy(windows, "\xEF\xBB\xBF");
    char *end = windows + strlen(windows);
    for (const char *c = small_text; *c; c++) {
        if (*c == '\n')
            *end++ = '\r';
        *end++ = *c;
    }
    assert_int_equal(read_text(windows, NULL, 0, &s).code, DRUPELET_OK);
    assert_int_equal(s->orchard.n_rows, 2);
    drupelet_scenario_free(s);
    free(windows);
    assert_message("{\"orchard\": {\"rows\": 2, \"row_spacing\": \"4 s\"}}", NULL,
                   "block.yaml:1:40: orchard.row_spacing: found 4 s, expected a length from 1 m to 15 m "
                   "(in m, cm, mm, um, km, ft or in)");
}

/* ---- overrides ---- */

static void a_setting_changes_adds_or_replaces_a_value(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "orchard.rows=3", "orchard.rows=4",                   /* the last one holds */
        "liquid.surface_tension=30 mN/m",                     /* a section that the file does not have */
        "sprayer.nozzles.0.angle=-10 deg", "sprayer.alleys=[0, 4]", "tips.red cone.size=\"02\"",
        "tips.blue cone.kind=flat_fan", "tips.blue cone.size=03", "tips.blue cone.cone_angle=110 deg",
        "tips.blue cone.spectrum={form: rosin_rammler, dv10: 100 um, dv50: 200 um, dv90: 400 um}",
        "weather.wind_angle=-190 deg", "name=a = b", "place=", "sprayer.outlets.0.slot=100 mm"};
    drupelet_scenario *s =
        must_read(DRUPELET_TEST_DATA "/scenario-small.yaml", settings, sizeof settings / sizeof settings[0]);
    assert_int_equal(s->orchard.n_rows, 4);
    assert_close(s->liquid.surface_tension_N_m, 0.03, 1e-12, 0);
    assert_close(s->sprayer.nozzle[0].angle_rad, -PI / 18, 1e-12, 0);
    static const bool driven[] = {true, false, false, false, true};
    for (int i = 0; i < 5; i++)
        assert_int_equal(s->sprayer.alley_driven[i], driven[i]);
    assert_string_equal(s->tip[0].size, "02");
    assert_int_equal(s->n_tips, 2);
    assert_string_equal(s->tip[1].name, "blue cone");
    assert_int_equal(s->tip[1].form, SCENARIO_SPECTRUM_ROSIN_RAMMLER);
    assert_close(s->weather.wind_angle_rad, 170 * PI / 180, 1e-12, 0);
    assert_string_equal(s->name, "a = b");
    assert_string_equal(s->place, "");
    assert_close(s->sprayer.outlet[1].slot_m, 0.1, 1e-12, 0);
    assert_string_equal(s->text, small_text); /* the file as read */
    assert_non_null(strstr(s->resolved, "\norchard.rows: 4\n"));
    drupelet_scenario_free(s);
    /* a name may hold a dot */
    static const char *const dotted[] = {"tips.plain 1.5 mm.cone_angle=70 deg"};
    s = must_read(DRUPELET_TEST_DATA "/scenario-rich.yaml", dotted, 1);
    assert_close(s->tip[0].cone_angle_rad, 70 * PI / 180, 1e-12, 0);
    drupelet_scenario_free(s);
}

static void a_bad_setting_is_told(void **state)
{
    (void)state;
    static const struct { const char *setting, *message;
    } table[] = {
        {"weather.wind_sped=2 m/s",
         "--set weather.wind_sped=2 m/s: weather.wind_sped: found an unknown key, expected wind_speed"},
        {"weather.wind_speed=2 bar", "--set weather.wind_speed=2 bar: weather.wind_speed: found 2 bar, "
                                     "expected a speed from 0 m/s to 15 m/s (in m/s, km/h, mph, ft/min or knot)"},
        {"wether.wind_speed=2 m/s", "--set wether.wind_speed=2 m/s: wether: found an unknown key, expected weather"},
        {"sprayer.nozzles.1.angle=2 deg",
         "--set sprayer.nozzles.1.angle=2 deg: sprayer.nozzles.1.angle: found no such entry of the list, "
         "expected a number from 0 to 0"},
        {"sprayer.nozzles.x.angle=2 deg",
         "--set sprayer.nozzles.x.angle=2 deg: sprayer.nozzles.x.angle: found no such entry of the list, "
         "expected a number from 0 to 0"},
        {"orchard.rows.more=2", "--set orchard.rows.more=2: orchard.rows.more: found a path through a single value, "
                                "expected a key below a group or a list"},
        {"orchard.rows", "--set orchard.rows: found no key and value, expected key.path=value"},
        {"=2", "--set =2: found no key and value, expected key.path=value"},
        {"orchard..rows=2",
         "--set orchard..rows=2: orchard..rows: found an empty name in the path, expected key.path=value"},
        {".=2", "--set .=2: .: found an empty name in the path, expected key.path=value"},
        {"orchard.rows=", "--set orchard.rows=: orchard.rows: found nothing, expected a whole number from 1 to 64"},
        {"orchard.rows=[2",
         "--set orchard.rows=[2: orchard.rows: found text that is no YAML (did not find expected ',' or ']'), "
         "expected lines of the form key: value"},
        {"orchard.rows=&a 2",
         "--set orchard.rows=&a 2: orchard.rows: found an anchor (&), expected every value written out"},
        {"orchard=2", "--set orchard=2: orchard: found 2, expected a group of keys"},
        {"tips.new.kind=hollow_cone", "--set tips.new.kind=hollow_cone: tips.new.size: found nothing, "
                                      "expected 005, 0067, 0075, 01, 015, 02, 025, 03, 04, 05, 06, 08, 10, 15 or 20"},
        {"orchard={rows: 2, row_spacing: 4 m, rows: 3}",
         "--set orchard={rows: 2, row_spacing: 4 m, rows: 3}: orchard.rows: found the key again (first on line 1), "
         "expected it once"},
        {"a.b.c.d.e.f.g.h.i.j.k.l.m.n.o=1",
         "--set a.b.c.d.e.f.g.h.i.j.k.l.m.n.o=1: a.b.c.d.e.f.g.h.i.j.k.l.m.n.o: found more than 12 levels, "
         "expected a key of a scenario"},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        assert_message(small_text, table[i].setting, table[i].message);
}

/* ---- files ---- */

static void assert_unreadable(const char *path, const char *part)
{
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = drupelet_scenario_read(path, NULL, 0, &scenario);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_null(scenario);
    if (!strstr(status.message, part))
        fail_msg("'%s' is not in '%s'", part, status.message);
}

static void a_file_that_cannot_be_read_is_told(void **state)
{
    (void)state;
    assert_unreadable("missing.yaml", "missing.yaml: cannot be read: No such file or directory");
    assert_unreadable(DRUPELET_TEST_DATA, "cannot be read: Is a directory");
    char path[600];
    memset(path, 'x', sizeof path - 1);
    path[sizeof path - 1] = '\0';
    assert_unreadable(path, "xxx: cannot be read: File name too long");
    char large[] = "/tmp/drupelet-scenario-XXXXXX";
    const int descriptor = mkstemp(large);
    assert_true(descriptor >= 0);
    FILE *file = fdopen(descriptor, "w");
    assert_non_null(file);
    for (int i = 0; i < 270000; i++)
        fputc('#', file);
    assert_int_equal(fclose(file), 0);
    assert_unreadable(large, "cannot be read: it is larger than 256 KiB");
    assert_int_equal(remove(large), 0);
    drupelet_scenario_free(NULL);
}

/* ---- damaged files ---- */

/* Whatever comes in: a scenario or one line that says why not, and no trouble for the sanitizers. */
static void survive(const char *text, size_t n_bytes, const char *setting)
{
    drupelet_scenario *s = NULL;
    const drupelet_status status =
        scenario_read_text("block.yaml", text, n_bytes, &setting, setting ? 1 : 0, &s);
    if (status.code == DRUPELET_OK) {
        assert_non_null(s);
        assert_true(s->canopy.base_m < s->canopy.height_m && s->sprayer.n_nozzles > 0 && s->n_tips > 0
                    && s->orchard.n_rows > 0);
    } else {
        assert_int_equal(status.code, DRUPELET_SCENARIO);
        assert_null(s);
        assert_null(strchr(status.message, '\n'));
        assert_true(strncmp(status.message, "block.yaml:", 11) == 0 || strncmp(status.message, "--set ", 6) == 0);
        assert_non_null(strstr(status.message, "found "));
        assert_non_null(strstr(status.message, ", expected "));
    }
    drupelet_scenario_free(s);
}

static void a_file_cut_off_anywhere_is_survived(void **state)
{
    (void)state;
    for (size_t n = 0; n <= strlen(rich_text); n++) {
        char *part = malloc(n + 1); /* exactly as long, so that the sanitizer sees a read beyond */
        assert_non_null(part);
        memcpy(part, rich_text, n);
        survive(part, n, NULL);
        free(part);
    }
}

static void a_garbled_file_is_survived(void **state)
{
    (void)state;
    static const char *const pieces[] = {
        "\n",    " ", "\t", ":",     ": ", "- ", "[", "]",     "{",     "}",  ",",    "&a",   "*a",
        "!x",    "|", ">",  "\"",    "'",  "#",  "%", "---\n", "...\n", "? ", "\xC2", "\xFF", "\xEF\xBB\xBF",
        "1e308", "-", "~",  "<<: *a"};
    enum { PIECES = sizeof pieces / sizeof pieces[0], FILES = 1500 };
    const size_t n_rich = strlen(rich_text);
    for (uint64_t i = 0; i < FILES; i++) {
        uint32_t r[4];
        base_random_block(7, BASE_STREAM_CHECK, i, 0, r);
        char *text = calloc(1, n_rich + 128);
        assert_non_null(text);
        memcpy(text, rich_text, n_rich);
        size_t n = n_rich;
        for (uint32_t change = 0; change <= r[0] % 4; change++) {
            base_random_block(7, BASE_STREAM_CHECK, i, change + 1, r);
            const size_t at = r[0] % n, removed = r[2] % 3 == 0 ? r[3] % (n - at < 40 ? n - at : 40) : 0;
            const char *piece = pieces[r[1] % PIECES];
            const size_t added = r[2] % 7 == 1 ? 1 : strlen(piece);
            memmove(text + at + added, text + at + removed, n - at - removed);
            memcpy(text + at, piece, added);
            if (r[2] % 7 == 1)
                text[at] = (char)(r[3] & 0xFF); /* any byte, zero included */
            n = n + added - removed;
        }
        survive(text, n, NULL);
        free(text);
    }
}

/* Whatever two lines are missing, the file is read or refused with one line that begins with its name. */
static void missing_lines_are_survived(void **state)
{
    (void)state;
    enum { LINES = 400, APART = 7 };
    const char *line[LINES + 1] = {rich_text};
    int n = 1;
    for (const char *c = rich_text; (c = strchr(c, '\n')) != NULL && n < LINES; c++)
        line[n++] = c + 1;
    char *text = malloc(strlen(rich_text) + 1);
    assert_non_null(text);
    for (int i = 0; i + 1 < n; i++)
        for (int j = i + 1; j < n - 1 && j <= i + APART * APART; j += j < i + 4 ? 1 : APART) {
            drupelet_scenario *scenario = NULL;
            snprintf(text, strlen(rich_text) + 1, "%.*s%.*s%s", (int)(line[i] - rich_text), rich_text,
                     (int)(line[j] - line[i + 1]), line[i + 1], line[j + 1]);
            const drupelet_status status = read_text(text, NULL, 0, &scenario);
            assert_true(status.code == DRUPELET_OK ? scenario != NULL : scenario == NULL);
            if (status.code != DRUPELET_OK) {
                assert_int_equal(status.code, DRUPELET_SCENARIO);
                assert_true(strncmp(status.message, "block.yaml:", strlen("block.yaml:")) == 0);
                assert_null(strchr(status.message, '\n'));
            }
            drupelet_scenario_free(scenario);
        }
    free(text);
}

static void garbled_settings_are_survived(void **state)
{
    (void)state;
    static const char letters[] = "orchad.swplty019-=[]{},:&*! \"'\t\n#|>%~";
    static const char *const starts[] = {
        "orchard.rows=", "canopy.profile=", "tips.", "sprayer.nozzles.0.", "sprayer.nozzles=", "", "."};
    for (uint64_t i = 0; i < 1500; i++) {
        uint32_t r[4];
        base_random_block(8, BASE_STREAM_CHECK, i, 0, r);
        char setting[64];
        size_t n = (size_t)snprintf(setting, sizeof setting, "%s", starts[r[0] % 7]);
        const size_t end = n + r[1] % 24;
        for (uint32_t k = 1; n < end; n++, k++) {
            base_random_block(8, BASE_STREAM_CHECK, i, k, r);
            setting[n] = letters[r[0] % (sizeof letters - 1)];
        }
        setting[n] = '\0';
        survive(small_text, strlen(small_text), setting);
    }
}

static void deep_or_wide_text_is_refused_at_once(void **state)
{
    (void)state;
    enum { N = 100000 };
    char *text = malloc(N + 1);
    assert_non_null(text);
    static const char *const fill[] = {"[", "{", "- ", "a: ", "? ", "&a ", "!", "\n", "#", "\"", "a\n", "[a,", "{a: "};
    for (size_t f = 0; f < sizeof fill / sizeof fill[0]; f++) {
        for (size_t i = 0; i < N; i++)
            text[i] = fill[f][i % strlen(fill[f])];
        text[N] = '\0';
        survive(text, N, NULL);
    }
    free(text);
}

/* ---- shares ---- */

/* 0.5 could be meant as 0.5 % or as 50 %: whatever the key, it is refused, and the message names what it may mean. Only
 * 0, which is the same either way, goes without its %. */
static void a_share_without_its_percent_is_refused(void **state)
{
    (void)state;
    int n_shares = 0;
    for (int i = 0; i < scenario_n_keys; i++) {
        const scenario_key *key = &scenario_keys[i];
        char path[SCENARIO_PATH] = "", setting[SCENARIO_PATH + 8], start[3 * SCENARIO_PATH];
        const char *star = strchr(key->path, '*');
        if (key->holds != SCENARIO_IS_QUANTITY || key->kind != SCENARIO_SHARE || (star && strchr(star + 1, '*')))
            continue; /* the column of a list is looked at below */
        snprintf(path, sizeof path, "%.*s%s%s", (int)(star ? star - key->path : (long)strlen(key->path)), key->path,
                 !star ? "" : strncmp(key->path, "tips", 4) == 0 ? "red cone" : "0", star ? star + 1 : "");
        snprintf(setting, sizeof setting, "%s=0.5", path);
        snprintf(start, sizeof start,
                 "--set %s: %s: found 0.5 without its %%, expected a share from %g %% to %g %%: %s", setting, path,
                 key->low, key->high, key->low > 0.5 ? "50 %" : "0.5 % or 50 %");
        if (key->high < 50.0) strcpy(strrchr(start, ':'), ": 0.5 %");
        const char *const settings[] = {setting, "weather.hour=12 h"}; /* which weather.cloud asks for */
        drupelet_scenario *scenario = NULL;
        const int n_settings = strcmp(path, "weather.cloud") == 0 ? 2 : 1;
        const drupelet_status status = read_text(small_text, settings, n_settings, &scenario);
        assert_int_equal(status.code, DRUPELET_SCENARIO);
        assert_string_equal(status.message, start);
        n_shares++;
    }
    assert_int_equal(n_shares, 14);
    assert_message(small_text, "tips.red cone.spectrum.table=[[9 um, 0], [20 um, 0.5], [30 um, 100 %]]",
                   "--set tips.red cone.spectrum.table=[[9 um, 0], [20 um, 0.5], [30 um, 100 %]]: tips.red "
                   "cone.spectrum.table.1.1: found 0.5 without its %, expected a share from 0 % to 100 %: 0.5 % or "
                   "50 %");
    drupelet_scenario *scenario = NULL;
    const char *const whole[] = {"liquid.nonvolatile=0", "canopy.gaps=0", "canopy.profile=[[0, 1], [0.5, 2], [1, 1]]"};
    assert_int_equal(read_text(small_text, whole, 3, &scenario).code, DRUPELET_OK);
    assert_close(scenario->canopy.profile_height[1], 0.5, 0, 0);
    drupelet_scenario_free(scenario);
}

/* ---- the paper ---- */

static void the_paper_has_every_key_and_every_unit(void **state)
{
    (void)state;
    char *paper = text_of_file(DRUPELET_SOURCE "/docs/scenario-format.md");
    for (int i = 0; i < scenario_n_keys; i++) { /* test_doc_tables compares the rows word by word */
        char row[96];
        snprintf(row, sizeof row, "\n| `%s` |", scenario_keys[i].path);
        if (!strstr(paper, row))
            fail_msg("docs/scenario-format.md has no table with %s", scenario_keys[i].path);
    }
    int rows = 0;
    for (const char *at = paper; (at = strstr(at, "\n| `")) != NULL; at++)
        rows++;
    assert_int_equal(rows, scenario_n_keys);
    for (int kind = 0; kind < SCENARIO_KINDS; kind++) { /* and every spelling is named */
        const char *spelling;
        for (int i = 0; (spelling = scenario_kind_spelling((scenario_quantity_kind)kind, i)) != NULL; i++) {
            if (kind == SCENARIO_APPLICATION_RATE || strncmp(spelling, "\xCE\xBC", 2) == 0)
                continue; /* no key has a rate; the two signs for micro look alike */
            const char *name = scenario_kind_name((scenario_quantity_kind)kind);
            const char *row = strstr(paper, kind == SCENARIO_LIQUID_FLOW ? "| flow of liquid |"
                                            : kind == SCENARIO_AIR_FLOW  ? "| flow of air |"
                                            : kind == SCENARIO_ROTATION  ? "| speed of rotation |"
                                            : kind == SCENARIO_RATIO     ? "| ratio |"
                                                                         : "| kind |");
            char start[64];
            if (row && strncmp(row, "| kind", 6) == 0) {
                snprintf(start, sizeof start, "\n| %s |", strchr(name, ' ') + 1);
                row = strstr(paper, start);
                row = row ? row + 1 : NULL;
            }
            assert_non_null(row);
            const char *at = strstr(row, spelling), *end = strchr(row, '\n');
            if (!at || at > end)
                fail_msg("docs/scenario-format.md lacks the spelling '%s' of %s", spelling, name);
        }
    }
    free(paper);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_shipped_scenario_loads),
        cmocka_unit_test(the_wall_differs_only_where_its_variants_say_so),
        cmocka_unit_test(every_key_is_read_and_converted),
        cmocka_unit_test(what_is_left_out_has_its_default),
        cmocka_unit_test(a_size_stands_for_its_flow),
        cmocka_unit_test(the_list_of_used_values_marks_defaults),
        cmocka_unit_test(a_bad_value_is_told_with_line_and_column),
        cmocka_unit_test(keys_that_are_unknown_missing_or_repeated_are_told),
        cmocka_unit_test(all_missing_keys_are_told_at_once),
        cmocka_unit_test(missing_keys_without_number_are_counted),
        cmocka_unit_test(parts_that_do_not_fit_one_another_are_told),
        cmocka_unit_test(borders_of_classes_that_do_not_fit_are_told),
        cmocka_unit_test(too_many_nozzles_or_outlets_are_told),
        cmocka_unit_test(yaml_that_is_broken_or_clever_is_told),
        cmocka_unit_test(yaml_is_text_and_nothing_else),
        cmocka_unit_test(a_setting_changes_adds_or_replaces_a_value),
        cmocka_unit_test(a_bad_setting_is_told),
        cmocka_unit_test(a_file_that_cannot_be_read_is_told),
        cmocka_unit_test(a_file_cut_off_anywhere_is_survived),
        cmocka_unit_test(a_garbled_file_is_survived),
        cmocka_unit_test(missing_lines_are_survived),
        cmocka_unit_test(garbled_settings_are_survived),
        cmocka_unit_test(deep_or_wide_text_is_refused_at_once),
        cmocka_unit_test(a_share_without_its_percent_is_refused),
        cmocka_unit_test(the_paper_has_every_key_and_every_unit),
    };
    return cmocka_run_group_tests(tests, load_all, free_all);
}
