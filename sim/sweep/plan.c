/* sim/sweep/plan.c - reads the plan of a sweep and checks its own keys.
 *
 * Values of the scenario's keys are checked later, case by case, as those of any scenario (plan_cases.c). */
#define _POSIX_C_SOURCE 200809L
#include "sweep/plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "scenario/read.h"
#include "scenario/reader.h"
#include "sweep/plan_factors.h"
#include "sweep/draw.h"

enum { MOST_KIB = 16 * 1024 }; /* of a plan: listed cases take room */

const scenario_node *sweep_given(const scenario_node *group, const char *key)
{
    const scenario_node *node = scenario_node_find(group, key);
    return node && !scenario_node_empty(node) ? node : NULL;
}

/* ---- the base scenario ---- */

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the plan");
}

/* A name in the plan counts from the plan's folder. */
static char *beside(const char *file, const char *name)
{
    const char *slash = strrchr(file, '/');
    const size_t folder = slash && name[0] != '/' ? (size_t)(slash - file) + 1 : 0;
    char *path = malloc(folder + strlen(name) + 1);
    if (path) {
        memcpy(path, file, folder);
        memcpy(path + folder, name, strlen(name) + 1);
    }
    return path;
}

static drupelet_status read_base(sweep_plan *p)
{
    const scenario_node *node = sweep_given(p->root, "scenario");
    if (p->base_text && node)
        return scenario_key_error(node, "this key", "nothing: the base scenario is given beside the plan");
    if (p->base_text)
        return base_ok();
    if (!node)
        return scenario_node_error(p->root, "scenario", NULL, "the file of a scenario");
    if (node->kind != SCENARIO_VALUE)
        return scenario_node_error(node, NULL, NULL, "the file of a scenario");
    p->base_file = beside(p->file, node->text);
    if (!p->base_file)
        return no_memory();
    const drupelet_status status =
        scenario_file_text(p->base_file, "a scenario", SCENARIO_MOST_KIB, &p->base_text, &p->n_base_text);
    if (status.code != DRUPELET_SCENARIO)
        return status;
    const char *reason = strstr(status.message, ": cannot be read: ");
    return scenario_node_error(node, NULL, NULL, "the file of a scenario (%s)",
                               reason ? reason + strlen(": cannot be read: ") : status.message);
}

static drupelet_status open_base(sweep_plan *p)
{
    drupelet_status status = read_base(p);
    if (status.code == DRUPELET_OK)
        status = scenario_load(p->base_file, p->base_text, p->n_base_text, NULL, 0, &p->base);
    const scenario_node *set = sweep_given(p->root, "set");
    if (status.code == DRUPELET_OK && set && set->kind != SCENARIO_GROUP)
        status = scenario_node_error(set, NULL, NULL, "a group of key paths and values");
    for (const scenario_node *one = set ? set->first : NULL; one && status.code == DRUPELET_OK; one = one->next)
        status = scenario_node_put(p->base, one->key, one, one);
    return status;
}

/* droplets, target_error and target go to the scenario's keys of those names. */
static drupelet_status set_amount(sweep_plan *p)
{
    static const char *const pass_on[] = {"droplets", "target_error", "target"};
    drupelet_status status = base_ok();
    for (size_t i = 0; i < sizeof pass_on / sizeof pass_on[0] && status.code == DRUPELET_OK; i++) {
        char path[48];
        const scenario_node *node = sweep_given(p->root, pass_on[i]);
        snprintf(path, sizeof path, "run.%s", pass_on[i]);
        if (node && !scenario_key_of(path))
            return scenario_key_error(node, "this key", "droplets: scenarios of this version have no %s", path);
        if (node)
            status = scenario_node_put(p->base, path, node, node);
    }
    const scenario_node *run = scenario_node_find(p->base, "run");
    p->target_error = run && run->kind == SCENARIO_GROUP && sweep_given(run, "target_error");
    return status;
}

/* The seed of the base scenario, where the plan has none. */
static drupelet_status find_seed(sweep_plan *p)
{
    scenario_reader r = {.status = base_ok(), .table = &scenario_all_keys};
    drupelet_scenario *base = calloc(1, sizeof *base);
    scenario_node *run = base ? scenario_take_group(&r, p->base, "run") : NULL;
    if (run)
        scenario_take_keys(&r, run, "seed", "domain_top", base);
    p->seed = base ? base->run.seed : 0;
    free(base);
    return base ? scenario_verdict(&r) : no_memory();
}

/* ---- the design ---- */

static drupelet_status count_points(sweep_plan *p)
{
    const bool drawn = p->design == SWEEP_LATIN_HYPERCUBE || p->design == SWEEP_SOBOL;
    const scenario_node *samples = sweep_given(p->root, "samples"), *indices = sweep_given(p->root, "indices");
    if (drawn && !samples)
        return scenario_node_error(p->root, "samples", NULL, "the number of points to draw");
    if (!drawn && samples)
        return scenario_key_error(samples, "this key", "design: latin_hypercube or sobol beside it");
    if (p->indices && p->design != SWEEP_SOBOL)
        return scenario_key_error(indices, "this key", "design: sobol beside it");
    if (p->indices && p->n_factors > SWEEP_INDEX_FACTORS)
        return scenario_key_error(indices, "more than 30 factors", "fewer");
    double points = 1.0;
    if (p->design == SWEEP_GRID) {
        for (int i = 0; i < p->n_factors; i++)
            points *= p->factor[i].n_levels;
    } else if (p->design == SWEEP_LISTED) {
        points = p->cases->n;
    } else {
        points = (double)p->samples * (p->indices ? p->n_factors + 2 : 1);
    }
    if (points * p->n_replicates > SWEEP_MOST_CASES)
        return scenario_node_error(p->root, NULL, "more than 100 million cases", "fewer");
    p->n_points = (int64_t)points;
    p->n_cases = p->n_points * p->n_replicates;
    return base_ok();
}

/* A scenario given in the place of a plan: it names no scenario, but has a section of one. */
static bool is_scenario(const scenario_node *root)
{
    static const char *const sections[] = {"orchard", "sprayer", "weather"};
    if (root->kind != SCENARIO_GROUP || scenario_node_find(root, "scenario"))
        return false;
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++)
        if (scenario_node_find(root, sections[i]))
            return true;
    return false;
}

static drupelet_status read_keys(scenario_reader *r, sweep_plan *p)
{
    const scenario_node *root = scenario_take_as_group(r, p->root);
    scenario_bare_name(p->file, p->name);
    drupelet_status status = root ? open_base(p) : r->status;
    if (status.code == DRUPELET_OK) status = set_amount(p);
    if (status.code == DRUPELET_OK) status = find_seed(p);
    if (status.code == DRUPELET_OK) scenario_take_keys(r, root, NULL, NULL, p);
    return status.code == DRUPELET_OK ? scenario_verdict(r) : status;
}

/* From the text in the plan. @param p taken over */
static drupelet_status read_plan(sweep_plan *p, sweep_plan **plan)
{
    scenario_reader r = {.status = base_ok(), .table = &sweep_plan_keys};
    drupelet_status status = scenario_node_load(p->file, p->text, p->n_text, SCENARIO_NODE_LONG, &p->root);
    if (status.code == DRUPELET_OK && scenario_node_empty(p->root))
        status = scenario_node_error(p->root, NULL, NULL, "a plan: scenario, design, factors and so on");
    if (status.code == DRUPELET_OK && is_scenario(p->root))
        status = base_error(DRUPELET_SCENARIO, "%s: is a scenario, not a plan: 'drupelet run' simulates it, and a plan "
                                               "names it by the key scenario (docs/sweeps.md)", p->file);
    if (status.code == DRUPELET_OK) status = read_keys(&r, p);
    if (status.code == DRUPELET_OK) status = sweep_read_factors(&r, p);
    if (status.code == DRUPELET_OK) status = count_points(p);
    if (status.code == DRUPELET_OK)
        *plan = p;
    else
        sweep_plan_free(p);
    return status;
}

drupelet_status sweep_plan_read(const char *path, sweep_plan **plan)
{
    *plan = NULL;
    sweep_plan *p = calloc(1, sizeof *p);
    if (!p)
        return no_memory();
    p->file = strdup(path);
    drupelet_status status = p->file ? base_ok() : no_memory();
    if (status.code == DRUPELET_OK) status = scenario_file_text(path, "a plan", MOST_KIB, &p->text, &p->n_text);
    if (status.code == DRUPELET_OK)
        return read_plan(p, plan);
    sweep_plan_free(p);
    return status;
}

drupelet_status sweep_plan_read_text(const char *name, const char *text, const char *base_name, const char *base,
                                     sweep_plan **plan)
{
    *plan = NULL;
    if (strlen(base) > (size_t)SCENARIO_MOST_KIB * 1024)
        return base_error(DRUPELET_SCENARIO, "%.256s: is larger than %d KiB, too large for a scenario", base_name,
                          SCENARIO_MOST_KIB);
    sweep_plan *p = calloc(1, sizeof *p);
    if (!p)
        return no_memory();
    p->file = strdup(name);
    p->text = strdup(text);
    p->n_text = strlen(text);
    p->base_file = strdup(base_name);
    p->base_text = strdup(base);
    p->n_base_text = strlen(base);
    if (p->file && p->text && p->base_file && p->base_text)
        return read_plan(p, plan);
    sweep_plan_free(p);
    return no_memory();
}

void sweep_plan_free(sweep_plan *p)
{
    if (!p)
        return;
    for (int i = 0; i < p->n_factors; i++) {
        for (int k = 0; k < p->factor[i].n_levels; k++)
            scenario_node_free(p->factor[i].level[k].value);
        free(p->factor[i].level);
    }
    scenario_measured_free(p->canopy);
    for (int i = 0; i < p->n_canopy_files; i++)
        free(p->canopy_file[i]);
    free(p->canopy_file);
    free(p->listed);
    scenario_node_free(p->base);
    scenario_node_free(p->root);
    free(p->base_text);
    free(p->base_file);
    free(p->text);
    free(p->file);
    free(p);
}
