/* sim/scenario/read.c - the sections of a scenario file, key by key, and the checks that take more than one key.
 *
 * Ranges and defaults stand in keys.c; tips, sprayer and collectors have files of their own (read_*.c). What is checked
 * here: that the parts fit one another (a crown between the rows, a number of voxels that can be counted). */
#define _POSIX_C_SOURCE 200809L
#include "scenario/read.h"

#include <errno.h>
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "scenario/node.h"
#include "scenario/reader.h"
#include "scenario/sections.h"

#define PERIOD_M 10.0         /* choice: the trees of about so much row differ, then the pattern repeats */
#define PERIOD_MOST_M 100.0   /* choice */
/* A bough by default: a sixth of the crown's width, as on the tart cherries of tests/data/crown_sky.csv (1 m of 6 m);
 * not below what a shoot with its leaves takes up (choice). */
#define BOUGH_OF_WIDTH (1.0 / 6.0)
#define BOUGH_LEAST_M 0.3
#define BOUGH_MOST_M 1.0
#define OBUKHOV_LEAST_M 3.0   /* choice: nearer to 0 the similarity laws say nothing about the air over an orchard */

#define MOST_FOR_TARGET INT64_C(10000000) /* droplets where run.target_error ends the run; choice: some minutes */

/* ---- orchard and canopy ---- */

static void read_orchard(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    scenario_orchard *o = &s->orchard;
    const double period_m = s->canopy.measured ? s->canopy.measured->length_m : PERIOD_M;
    const scenario_node *group = scenario_take_group(r, root, "orchard");
    scenario_take_keys(r, group, NULL, "trees", s);
    const long usual = scenario_good(r) ? lround(period_m / o->tree_spacing_m) : 1;
    o->n_trees = usual < 1 ? 1 : (int)fmin((double)usual, INT_MAX);
    scenario_take_keys(r, group, "trees", NULL, s);
    if (o->n_trees * o->tree_spacing_m > PERIOD_MOST_M)
        scenario_refuse(r, group, "trees", "trees for at most %g m of row", PERIOD_MOST_M);
}

static void read_profile(scenario_reader *r, const scenario_node *group, scenario_canopy *c)
{
    double most = 0.0;
    c->n_profile = scenario_take_pairs(r, group, "profile", c->profile_height, c->profile_density);
    for (int i = 0; i < c->n_profile; i++)
        most = fmax(most, c->profile_density[i]);
    if (scenario_good(r) && most <= 0.0)
        scenario_refuse_node(r, scenario_node_find(group, "profile"), "no leaves at any height", "a density above 0");
}

/* The crown that the trees are grown in. */
static void read_crown(scenario_reader *r, const scenario_node *group, drupelet_scenario *s)
{
    scenario_canopy *c = &s->canopy;
    scenario_take_keys(r, group, NULL, "gaps", s);
    if (c->base_m >= c->height_m)
        scenario_refuse(r, group, "base", "less than canopy.height, %.6g m", c->height_m);
    if (c->width_m > s->orchard.row_spacing_m)
        scenario_refuse(r, group, "width", "at most orchard.row_spacing, %.6g m", s->orchard.row_spacing_m);
    if (scenario_given(r, group, "profile"))
        read_profile(r, group, c);
    c->bough_size_m = fmin(BOUGH_MOST_M, fmax(BOUGH_LEAST_M, BOUGH_OF_WIDTH * c->width_m));
    scenario_take_keys(r, group, "gaps", "wood_area_index", s);
}

static void read_canopy(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    const scenario_orchard *o = &s->orchard;
    scenario_canopy *c = &s->canopy;
    const scenario_node *group = scenario_take_group(r, root, "canopy");
    const bool measured = scenario_given(r, group, "measured");
    if (measured)
        scenario_take_measured(r, group, o, c);
    else
        read_crown(r, group, s);
    const bool wood_is_known = measured && c->measured && c->measured->wood_area_density_1_m;
    scenario_take_keys(r, group, wood_is_known ? "wood_diameter" : "wood_area_index", "leaf", s);
    scenario_read_leaf(r, root, group, c);
    scenario_take_keys(r, group, "leaf", measured ? "voxel" : NULL, s); /* a file has its own voxels */
    if (measured || !scenario_good(r))
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

/* ---- weather, run ---- */

static void read_stability(scenario_reader *r, const scenario_node *group, drupelet_scenario *s)
{
    scenario_weather *w = &s->weather;
    static const char *const of_day[] = {"cloud", "day_of_year", "latitude"};
    w->day_given = scenario_given(r, group, "hour");
    if (w->day_given) {
        scenario_forbid(r, group, "obukhov_length", "either obukhov_length or hour, not both");
        scenario_take_keys(r, group, "hour", "cloud", s);
        if (!scenario_given(r, group, "cloud"))
            scenario_miss(r, group, "cloud");
        scenario_take_keys(r, group, "cloud", "gusts", s);
        w->hour /= 3600.0;
        return;
    }
    for (size_t i = 0; i < sizeof of_day / sizeof of_day[0]; i++)
        scenario_forbid(r, group, of_day[i], "weather.hour beside it");
    scenario_take_keys(r, group, "obukhov_length", "hour", s);
    if (!scenario_given(r, group, "obukhov_length"))
        return;
    const double length_m = scenario_take(r, group, "obukhov_length");
    if (fabs(length_m) < OBUKHOV_LEAST_M)
        scenario_refuse(r, group, "obukhov_length", "%g m or more, or -%g m or less", OBUKHOV_LEAST_M,
                        OBUKHOV_LEAST_M);
    w->per_obukhov_1_m = 1.0 / length_m;
}

static void read_weather(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    const scenario_node *group = scenario_take_group(r, root, "weather");
    scenario_take_keys(r, group, NULL, "obukhov_length", s);
    s->weather.wind_angle_rad = remainder(s->weather.wind_angle_rad, 2.0 * BASE_PI);
    read_stability(r, group, s);
    scenario_take_keys(r, group, "gusts", NULL, s);
}

static void read_run(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    scenario_run *run = &s->run;
    const scenario_node *group = scenario_take_group(r, root, "run");
    scenario_take_keys(r, group, "target_error", "sampling", s);
    /* where the error ends the run, the number of droplets is only to keep it from going on for ever */
    if (run->target_error > 0.0)
        run->n_droplets = (int64_t)scenario_take_count_or(r, group, "droplets", MOST_FOR_TARGET);
    else
        scenario_take_keys(r, group, NULL, "target_error", s);
    if (scenario_given(r, group, "droplets"))
        scenario_node_place(scenario_node_find(group, "droplets"), run->droplets_at, sizeof run->droplets_at);
    if (scenario_given(r, group, "target") && !scenario_given(r, group, "target_error"))
        scenario_forbid(r, group, "target", "run.target_error beside it");
    scenario_take_keys(r, group, "sampling", "open_ground", s);
    if (run->domain_top_m <= s->canopy.height_m)
        scenario_refuse(r, group, "domain_top", "more than canopy.height, %.6g m", s->canopy.height_m);
    scenario_take_keys(r, group, "open_ground", "time_limit", s);
    run->time_limit_s = scenario_good(r) ? scenario_usual_time_limit_s(s) : 0.0;
    scenario_take_keys(r, group, "time_limit", NULL, s);
}

/* ---- the whole ---- */

void scenario_bare_name(const char *file, char name[SCENARIO_TEXT])
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
    scenario_bare_name(file, s->name);
    scenario_take_keys(r, top, NULL, NULL, s); /* name and place */
    read_orchard(r, root, s);
    read_canopy(r, root, s);
    scenario_read_tips(r, root, s); /* before the sprayer, whose nozzles name them */
    scenario_read_sprayer(r, root, s);
    read_weather(r, root, s); /* before the liquid, which is water at the air's temperature unless given */
    scenario_read_liquid(r, root, s);
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
    scenario_reader r = {.status = base_ok(), .table = &scenario_all_keys, .resolved = resolved};
    read_sections(&r, file, root, s);
    s->of_air = r.of_air;
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

drupelet_status scenario_load(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                              int n_settings, scenario_node **root)
{
    drupelet_status status = scenario_node_load(file, text, n_bytes, SCENARIO_NODE_CHILDREN, root);
    for (int i = 0; i < n_settings && status.code == DRUPELET_OK; i++)
        status = scenario_node_set(*root, settings[i]);
    return status;
}

drupelet_status scenario_read_text(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                                   int n_settings, drupelet_scenario **scenario)
{
    scenario_node *root = NULL;
    *scenario = NULL;
    drupelet_status status = scenario_load(file, text, n_bytes, settings, n_settings, &root);
    if (status.code == DRUPELET_OK)
        status = scenario_read_tree(file, root, text, n_bytes, NULL, scenario);
    scenario_node_free(root);
    return status;
}

static drupelet_status cannot_read(const char *path, const char *reason)
{
    enum { MOST = 240 };
    const size_t n = strlen(path);
    return base_error(DRUPELET_SCENARIO, "%s%s: cannot be read: %s", n > MOST ? "..." : "",
                      n > MOST ? path + (n - MOST) : path, reason);
}

static drupelet_status cannot_open(const char *path, int reason)
{
    return reason == ENOMEM ? no_memory() : cannot_read(path, strerror(reason));
}

drupelet_status scenario_file_text(const char *path, const char *what_for, int most_KiB, char **text, size_t *n_bytes)
{
    const size_t most = (size_t)most_KiB * 1024;
    *text = NULL;
    FILE *file = fopen(path, "rb");
    if (!file)
        return cannot_open(path, errno);
    char *bytes = malloc(most + 1);
    drupelet_status status = bytes ? base_ok() : no_memory();
    errno = 0;
    *n_bytes = bytes ? fread(bytes, 1, most + 1, file) : 0;
    char too_large[96];
    snprintf(too_large, sizeof too_large, "it is larger than %d KiB, too large for %s", most_KiB, what_for);
    if (ferror(file))
        status = cannot_open(path, errno);
    else if (*n_bytes > most)
        status = cannot_read(path, too_large);
    fclose(file);
    if (status.code == DRUPELET_OK) {
        bytes[*n_bytes] = '\0';
        *text = bytes;
    } else {
        free(bytes);
    }
    return status;
}

void drupelet_scenario_free(drupelet_scenario *scenario)
{
    if (!scenario)
        return;
    scenario_measured_free(scenario->canopy.measured);
    free(scenario->resolved);
    free(scenario->settings);
    free(scenario->text);
    free(scenario);
}

const char *drupelet_scenario_name(const drupelet_scenario *scenario)
{
    return scenario->name;
}

const char *drupelet_scenario_text(const drupelet_scenario *scenario)
{
    return scenario->text;
}

const char *drupelet_scenario_resolved(const drupelet_scenario *scenario)
{
    return scenario->resolved;
}
