/* sim/scenario/read.c - the sections of a scenario file, key by key, and the checks that take more than one key.
 *
 * Ranges and defaults stand in keys.c; tips, sprayer and collectors have files of their own (read_*.c). What is checked
 * here: that the parts fit one another (a crown between the rows, a number of voxels that can be counted). */
#define _POSIX_C_SOURCE 200809L
#include "scenario/read.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/moist_air.h"
#include "base/status.h"
#include "scenario/leaf.h"
#include "scenario/measured.h"
#include "scenario/mix.h"
#include "scenario/node.h"
#include "scenario/read_collectors.h"
#include "scenario/read_sprayer.h"
#include "scenario/read_tips.h"
#include "scenario/reader.h"
#include "scenario/time_limit.h"

#define PERIOD_M 10.0         /* choice: the trees of about so much row differ, then the pattern repeats */
#define PERIOD_MOST_M 100.0   /* choice */
#define OBUKHOV_LEAST_M 3.0   /* choice: nearer to 0 the similarity laws say nothing about the air over an orchard */

enum { MOST_KIB = 256 }; /* of a scenario file */
#define MOST_FOR_TARGET INT64_C(10000000) /* droplets where run.target_error ends the run; choice: some minutes */

/* ---- orchard and canopy ---- */

static void read_orchard(scenario_reader *r, scenario_node *root, const scenario_measured_canopy *measured,
                         scenario_orchard *o)
{
    const double period_m = measured ? measured->length_m : PERIOD_M;
    const scenario_node *group = scenario_take_group(r, root, "orchard");
    o->n_rows = (int)scenario_take_count(r, group, "rows");
    o->row_spacing_m = scenario_take(r, group, "row_spacing");
    o->tree_spacing_m = scenario_take(r, group, "tree_spacing");
    const long usual = scenario_good(r) ? lround(period_m / o->tree_spacing_m) : 1;
    o->n_trees = (int)scenario_take_count_or(r, group, "trees", usual < 1 ? 1 : usual);
    if (o->n_trees * o->tree_spacing_m > PERIOD_MOST_M)
        scenario_refuse(r, group, "trees", "trees for at most %g m of row", PERIOD_MOST_M);
    o->grass_height_m = scenario_take(r, group, "grass_height");
    o->grass_leaf_area_index = scenario_take(r, group, "grass_leaf_area_index");
    o->grass_blade_width_m = scenario_take(r, group, "grass_blade_width");
}

static void read_profile(scenario_reader *r, const scenario_node *group, scenario_canopy *c)
{
    static const scenario_key height = {.unit = "", .kind = SCENARIO_FRACTION, .low = 0, .high = 1};
    static const scenario_key density = {.unit = "", .kind = SCENARIO_RATIO, .low = 0, .high = 1000};
    if (!scenario_given(r, group, "profile")) {
        scenario_note(r, group, "profile", "default", "uniform");
        return;
    }
    const scenario_node *list = scenario_take_list(r, group, "profile");
    double most = 0.0;
    for (const scenario_node *node = list ? list->first : NULL; node && scenario_good(r); node = node->next) {
        const scenario_node *pair[2];
        if (!scenario_take_pair(r, node, "a pair [height, density]", pair))
            return;
        const int i = c->n_profile++;
        c->profile_height[i] = scenario_take_number(r, pair[0], &height);
        c->profile_density[i] = scenario_take_number(r, pair[1], &density);
        most = fmax(most, c->profile_density[i]);
        r->exact = base_hash_on(r->exact, &c->profile_height[i], sizeof c->profile_height[i]);
        r->exact = base_hash_on(r->exact, &c->profile_density[i], sizeof c->profile_density[i]);
        if (i > 0 && c->profile_height[i] <= c->profile_height[i - 1])
            scenario_refuse_node(r, pair[0], NULL, "more than the height before it");
        scenario_note(r, node, NULL, "", "[%.12g, %.12g]", c->profile_height[i], c->profile_density[i]);
    }
    if (scenario_good(r) && most <= 0.0)
        scenario_refuse_node(r, list, "no leaves at any height", "a density above 0");
}

/* The crown that the trees are grown in. */
static void read_crown(scenario_reader *r, const scenario_node *group, const scenario_orchard *o, scenario_canopy *c)
{
    c->crown = (scenario_crown)scenario_take_word(r, group, "crown");
    c->height_m = scenario_take(r, group, "height");
    c->base_m = scenario_take(r, group, "base");
    c->width_m = scenario_take(r, group, "width");
    c->leaf_area_index = scenario_take(r, group, "leaf_area_index");
    if (c->base_m >= c->height_m)
        scenario_refuse(r, group, "base", "less than canopy.height, %.6g m", c->height_m);
    if (c->width_m > o->row_spacing_m)
        scenario_refuse(r, group, "width", "at most orchard.row_spacing, %.6g m", o->row_spacing_m);
    read_profile(r, group, c);
    c->gap_fraction = scenario_take(r, group, "gaps");
    c->tree_variation = scenario_take(r, group, "tree_variation");
}

static void read_canopy(scenario_reader *r, scenario_node *root, const scenario_orchard *o, scenario_canopy *c)
{
    const scenario_node *group = scenario_take_group(r, root, "canopy");
    const bool measured = scenario_given(r, group, "measured");
    if (measured) {
        scenario_take_measured(r, group, o, c);
    } else {
        scenario_note(r, group, "measured", "default", "none");
        read_crown(r, group, o, c);
    }
    if (!measured || !c->measured || !c->measured->wood_area_density_1_m)
        c->wood_area_index = scenario_take(r, group, "wood_area_index");
    c->wood_diameter_m = scenario_take(r, group, "wood_diameter");
    c->clumping = scenario_take(r, group, "clumping");
    c->drag_coefficient = scenario_take(r, group, "drag_coefficient");
    c->leaf_width_m = scenario_take(r, group, "leaf_width");
    c->leaf_angle_ratio = scenario_take(r, group, "leaf_angle_ratio");
    scenario_read_leaf(r, root, group, c);
    c->retention_m = scenario_take(r, group, "retention");
    if (measured)
        return; /* the file has its own voxels */
    c->voxel_m = scenario_take(r, group, "voxel");
    if (!scenario_good(r))
        return;
    if (c->voxel_m > c->width_m)
        scenario_refuse(r, group, "voxel", "at most canopy.width, %.6g m", c->width_m);
    if (c->voxel_m > c->height_m - c->base_m)
        scenario_refuse(r, group, "voxel", "at most the depth of the crown, %.6g m", c->height_m - c->base_m);
    const double voxels = o->n_rows * ceil(o->n_trees * o->tree_spacing_m / c->voxel_m) * ceil(c->width_m / c->voxel_m)
                          * ceil(c->height_m / c->voxel_m);
    if (voxels > SCENARIO_VOXELS_MOST)
        scenario_refuse(r, group, "voxel", "an edge that makes at most %g million voxels (this one: %.0f million)",
                        1e-6 * SCENARIO_VOXELS_MOST, 1e-6 * voxels);
}

/* ---- weather, liquid, run ---- */

static void read_stability(scenario_reader *r, const scenario_node *group, scenario_weather *w)
{
    static const char *const of_day[] = {"cloud", "day_of_year", "latitude"};
    w->day_given = scenario_given(r, group, "hour");
    if (w->day_given) {
        scenario_forbid(r, group, "obukhov_length", "either obukhov_length or hour, not both");
        w->hour = scenario_take_or(r, group, "hour", 0.0, "") / 3600.0;
        if (!scenario_given(r, group, "cloud"))
            scenario_miss(r, group, "cloud");
        w->cloud = scenario_take_or(r, group, "cloud", 0.0, "");
        w->day_of_year = (int)scenario_take_count(r, group, "day_of_year");
        w->latitude_rad = scenario_take(r, group, "latitude");
        return;
    }
    for (size_t i = 0; i < sizeof of_day / sizeof of_day[0]; i++)
        scenario_forbid(r, group, of_day[i], "weather.hour beside it");
    if (!scenario_given(r, group, "obukhov_length")) {
        scenario_note(r, group, "obukhov_length", "default", "neutral");
        return;
    }
    const double length_m = scenario_take_or(r, group, "obukhov_length", 0.0, "");
    if (fabs(length_m) < OBUKHOV_LEAST_M)
        scenario_refuse(r, group, "obukhov_length", "%g m or more, or -%g m or less", OBUKHOV_LEAST_M,
                        OBUKHOV_LEAST_M);
    w->per_obukhov_1_m = 1.0 / length_m;
}

static void read_weather(scenario_reader *r, scenario_node *root, scenario_weather *w)
{
    const scenario_node *group = scenario_take_group(r, root, "weather");
    w->temperature_K = scenario_take(r, group, "temperature");
    w->relative_humidity = scenario_take(r, group, "relative_humidity");
    w->pressure_Pa = scenario_take(r, group, "pressure");
    w->wind_speed_m_s = scenario_take(r, group, "wind_speed");
    w->wind_height_m = scenario_take(r, group, "wind_height");
    w->wind_angle_rad = remainder(scenario_take(r, group, "wind_angle"), 2.0 * BASE_PI);
    w->roughness_m = scenario_take(r, group, "roughness");
    read_stability(r, group, w);
    if (scenario_given(r, group, "gusts"))
        w->gusts = scenario_take_or(r, group, "gusts", 0.0, "");
    else
        scenario_note(r, group, "gusts", "default", "as turbulence of the surface layer has it");
}

static void read_liquid(scenario_reader *r, scenario_node *root, double temperature_K, scenario_liquid *l)
{
    const scenario_node *group = scenario_take_group(r, root, "liquid");
    if (!scenario_good(r))
        return;
    scenario_read_solids(r, group, l);
    l->density_kg_m3 = scenario_take_or(r, group, "density", base_water_density_kg_m3(temperature_K), "default");
    scenario_read_tension(r, group, base_water_surface_tension_N_m(temperature_K), l);
    l->viscosity_Pa_s =
        scenario_take_or(r, group, "viscosity",
                         base_water_viscosity_Pa_s(temperature_K) * scenario_suspension_factor(l->solids), "default");
    l->temperature_K = scenario_take_or(r, group, "temperature", temperature_K, "default");
}

static void read_run(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    scenario_run *run = &s->run;
    const scenario_node *group = scenario_take_group(r, root, "run");
    if (scenario_given(r, group, "target_error"))
        run->target_error = scenario_take(r, group, "target_error");
    else
        scenario_note(r, group, "target_error", "default", "none");
    run->target = (scenario_target)scenario_take_word(r, group, "target");
    /* where the error ends the run, the number of droplets is only to keep it from going on for ever */
    run->n_droplets = run->target_error > 0.0 ? scenario_take_count_or(r, group, "droplets", MOST_FOR_TARGET)
                                              : scenario_take_count(r, group, "droplets");
    if (scenario_given(r, group, "droplets"))
        scenario_node_place(scenario_node_find(group, "droplets"), run->droplets_at, sizeof run->droplets_at);
    if (scenario_given(r, group, "target") && !scenario_given(r, group, "target_error"))
        scenario_forbid(r, group, "target", "run.target_error beside it");
    run->plain_sampling = scenario_take_word(r, group, "sampling");
    run->seed = scenario_take_seed(r, group, "seed");
    run->domain_top_m = scenario_take(r, group, "domain_top");
    if (run->domain_top_m <= s->canopy.height_m)
        scenario_refuse(r, group, "domain_top", "more than canopy.height, %.6g m", s->canopy.height_m);
    run->open_ground_m = scenario_take(r, group, "open_ground");
    run->time_limit_s = scenario_take_or(r, group, "time_limit", scenario_usual_time_limit_s(s), "default");
    run->air_cell_m = scenario_take(r, group, "air_cell");
    run->step_scale = scenario_take(r, group, "step");
    run->ventilation = (scenario_ventilation)scenario_take_word(r, group, "ventilation");
    run->transient_temperature = scenario_take_word(r, group, "droplet_temperature");
    run->spray_humidity = scenario_take_word(r, group, "spray_humidity");
}

/* ---- the whole ---- */

/* The file's name without folder and ending. */
static void bare_name(const char *file, char name[SCENARIO_TEXT])
{
    const char *slash = strrchr(file, '/'), *start = slash ? slash + 1 : file, *dot = strrchr(start, '.');
    size_t n = dot && dot != start ? (size_t)(dot - start) : strlen(start);
    if (n >= SCENARIO_TEXT)
        n = SCENARIO_TEXT - 1;
    for (size_t i = 0; i < n; i++)
        name[i] = (unsigned char)start[i] < 0x20 || start[i] == 0x7F ? ' ' : start[i];
    name[n] = '\0';
}

/* A plan given in the place of a scenario: it names its scenario and what varies. */
static bool is_plan(const scenario_node *root)
{
    return root->kind == SCENARIO_GROUP && scenario_node_find(root, "scenario")
           && (scenario_node_find(root, "factors") || scenario_node_find(root, "cases"));
}

static void read_sections(scenario_reader *r, const char *file, scenario_node *root, drupelet_scenario *s)
{
    if (is_plan(root))
        r->status = base_error(DRUPELET_SCENARIO, "%s: is a plan of a sweep, not a scenario: 'drupelet sweep' runs it",
                               file);
    else if (scenario_node_empty(root))
        scenario_refuse_node(r, root, NULL, "sections: orchard, canopy, tips, sprayer, weather and so on");
    const scenario_node *top = scenario_take_as_group(r, root);
    char name[SCENARIO_TEXT];
    bare_name(file, name);
    scenario_take_text(r, top, "name", name, s->name, sizeof s->name);
    scenario_take_text(r, top, "place", "", s->place, sizeof s->place);
    read_orchard(r, root, s->canopy.measured, &s->orchard);
    read_canopy(r, root, &s->orchard, &s->canopy);
    scenario_read_tips(r, root, s); /* before the sprayer, whose nozzles name them */
    scenario_read_sprayer(r, root, s);
    read_weather(r, root, &s->weather); /* before the liquid, which is water at the air's temperature unless given */
    read_liquid(r, root, s->weather.temperature_K, &s->liquid);
    read_run(r, root, s);
    scenario_read_collectors(r, root, s); /* last: they are placed in all of the above */
}

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the scenario");
}

static drupelet_status fill(const char *file, scenario_node *root, drupelet_scenario *s)
{
    size_t n_resolved = 0;
    FILE *resolved = open_memstream(&s->resolved, &n_resolved);
    if (!resolved)
        return no_memory();
    scenario_reader r = {.status = base_ok(), .resolved = resolved};
    read_sections(&r, file, root, s);
    s->exact_air = r.exact;
    const bool written = !ferror(resolved);
    if ((fclose(resolved) != 0 || !written) && r.status.code == DRUPELET_OK)
        r.status = no_memory();
    return scenario_verdict(&r);
}

drupelet_status scenario_read_tree(const char *file, scenario_node *root, const char *text, size_t n_bytes,
                                   scenario_measured_canopy *measured, drupelet_scenario **result)
{
    *result = NULL;
    drupelet_scenario *s = calloc(1, sizeof *s);
    if (!s) {
        scenario_measured_free(measured);
        return no_memory();
    }
    s->canopy.measured = measured;
    drupelet_status status = fill(file, root, s);
    if (status.code == DRUPELET_OK) {
        s->text = strndup(text, n_bytes);
        if (!s->text)
            status = no_memory();
    }
    if (status.code == DRUPELET_OK)
        *result = s;
    else
        drupelet_scenario_free(s);
    return status;
}

drupelet_status scenario_read_with(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                                   int n_settings, scenario_measured_canopy *measured, drupelet_scenario **result)
{
    *result = NULL;
    scenario_node *root = NULL;
    drupelet_status status = scenario_node_load(file, text, n_bytes, &root);
    for (int i = 0; i < n_settings && status.code == DRUPELET_OK; i++)
        status = scenario_node_set(root, settings[i]);
    if (status.code == DRUPELET_OK)
        status = scenario_read_tree(file, root, text, n_bytes, measured, result);
    else
        scenario_measured_free(measured);
    scenario_node_free(root);
    return status;
}

drupelet_status scenario_read_text(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                                   int n_settings, drupelet_scenario **scenario)
{
    return scenario_read_with(file, text, n_bytes, settings, n_settings, NULL, scenario);
}

static drupelet_status cannot_read(const char *path, const char *reason)
{
    enum { MOST = 240 };
    const size_t n = strlen(path);
    return base_error(DRUPELET_SCENARIO, "%s%s: cannot be read: %s", n > MOST ? "..." : "",
                      n > MOST ? path + (n - MOST) : path, reason);
}

drupelet_status scenario_long_text(const char *path, const char *what_for, int most_KiB, char **text, size_t *n_bytes)
{
    const size_t most = (size_t)most_KiB * 1024;
    *text = NULL;
    FILE *file = fopen(path, "rb");
    if (!file)
        return cannot_read(path, strerror(errno));
    char *bytes = malloc(most + 1);
    drupelet_status status = bytes ? base_ok() : no_memory();
    errno = 0;
    *n_bytes = bytes ? fread(bytes, 1, most + 1, file) : 0;
    char too_large[96];
    snprintf(too_large, sizeof too_large, "it is larger than %d KiB, too large for %s", most_KiB, what_for);
    if (ferror(file))
        status = cannot_read(path, strerror(errno));
    else if (*n_bytes > most)
        status = cannot_read(path, too_large);
    fclose(file);
    if (status.code == DRUPELET_OK)
        *text = bytes;
    else
        free(bytes);
    return status;
}

drupelet_status scenario_file_text(const char *path, char **text, size_t *n_bytes)
{
    return scenario_long_text(path, "a scenario", MOST_KIB, text, n_bytes);
}

void drupelet_scenario_free(drupelet_scenario *scenario)
{
    if (!scenario)
        return;
    scenario_measured_free(scenario->canopy.measured);
    free(scenario->resolved);
    free(scenario->text);
    free(scenario);
}
