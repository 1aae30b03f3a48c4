/* sim/sweep/plan.c - reads the plan of a sweep and checks its own keys.
 *
 * Values of the scenario's keys are checked later, case by case, as those of any scenario (plan_cases.c). */
#define _POSIX_C_SOURCE 200809L
#include "sweep/plan.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"
#include "scenario/read.h"
#include "scenario/reader.h"
#include "sweep/plan_factors.h"
#include "sweep/sobol.h"

enum { MOST_KIB = 16 * 1024 }; /* of a plan: listed cases take room */

static const char *const DESIGNS[] = {"grid", "listed", "latin_hypercube", "sobol", NULL};
static const char *const KEEPS[] = {"fates", "profiles", "full", NULL};
static const char *const ANSWERS[] = {"no", "yes", "false", "true", NULL};
static const char *const KEYS[] = {"name", "scenario", "set", "design", "samples", "indices", "design_seed", "seed",
                                   "common_random_numbers", "replicates", "droplets", "target_error", "target", "keep",
                                   "factors", "cases", NULL};

/* ---- single values ---- */

static const char *name_at(const void *names, int i, int *n)
{
    const char *name = ((const char *const *)names)[i];
    *n = name ? (int)strlen(name) : 0;
    return name;
}

void sweep_list_names(const char *const names[], char *text, size_t room)
{
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; names[i] && used < room; i++)
        used += (size_t)snprintf(text + used, room - used, "%s%s",
                                 i == 0         ? ""
                                 : names[i + 1] ? ", "
                                                : " or ",
                                 names[i]);
}

drupelet_status sweep_known_keys(const scenario_node *group, const char *const known[])
{
    if (group->kind != SCENARIO_GROUP)
        return scenario_node_error(group, NULL, NULL, "a group of keys");
    for (const scenario_node *node = group->first; node; node = node->next) {
        int i = 0;
        while (known[i] && strcmp(known[i], node->key) != 0)
            i++;
        if (known[i])
            continue;
        char all[400];
        const int near = scenario_nearest(node->key, name_at, known);
        sweep_list_names(known, all, sizeof all);
        return scenario_key_error(node, "an unknown key", "%s%s", near < 0 ? "one of " : "",
                                  near < 0 ? all : known[near]);
    }
    return base_ok();
}

const scenario_node *sweep_given(const scenario_node *group, const char *key)
{
    const scenario_node *node = scenario_node_find(group, key);
    return node && !scenario_node_empty(node) ? node : NULL;
}

drupelet_status sweep_take_word(const scenario_node *group, const char *key, const char *const words[], int *word)
{
    const scenario_node *node = sweep_given(group, key);
    if (!node)
        return base_ok();
    for (int i = 0; words[i]; i++)
        if (node->kind == SCENARIO_VALUE && strcmp(node->text, words[i]) == 0) {
            *word = i;
            return base_ok();
        }
    char all[200];
    sweep_list_names(words, all, sizeof all);
    return scenario_node_error(node, NULL, NULL, "%s", all);
}

drupelet_status sweep_take_count(const scenario_node *group, const char *key, double low, double high, int64_t *count)
{
    const scenario_node *node = sweep_given(group, key);
    double number;
    if (!node)
        return base_ok();
    const char *rest = node->kind == SCENARIO_VALUE ? base_number(node->text, &number) : NULL;
    if (!rest || *rest != '\0' || number != floor(number) || number < low || number > high)
        return scenario_node_error(node, NULL, NULL, "a whole number from %.15g to %.15g", low, high);
    *count = (int64_t)number;
    return base_ok();
}

static drupelet_status take_seed(const scenario_node *group, const char *key, uint64_t *seed, bool *given)
{
    const scenario_node *node = sweep_given(group, key);
    if (!node)
        return base_ok();
    const bool digits = node->kind == SCENARIO_VALUE && node->text[strspn(node->text, "0123456789")] == '\0'
                        && strlen(node->text) < 19;
    if (!digits)
        return scenario_node_error(node, NULL, NULL, "a whole number from 0 to 999999999999999999");
    *seed = strtoull(node->text, NULL, 10);
    *given = true;
    return base_ok();
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

static drupelet_status open_base(sweep_plan *p)
{
    const scenario_node *node = sweep_given(p->root, "scenario");
    if (!node)
        return scenario_node_error(p->root, "scenario", NULL, "the file of a scenario");
    if (node->kind != SCENARIO_VALUE)
        return scenario_node_error(node, NULL, NULL, "the file of a scenario");
    p->base_file = beside(p->file, node->text);
    if (!p->base_file)
        return no_memory();
    drupelet_status status = scenario_file_text(p->base_file, &p->base_text, &p->n_base_text);
    if (status.code == DRUPELET_SCENARIO) {
        const char *reason = strstr(status.message, ": cannot be read: ");
        return scenario_node_error(node, NULL, NULL, "the file of a scenario (%s)",
                                   reason ? reason + strlen(": cannot be read: ") : status.message);
    }
    if (status.code == DRUPELET_OK)
        status = scenario_node_load(p->base_file, p->base_text, p->n_base_text, &p->base);
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
    bool given = false;
    drupelet_status status = take_seed(p->root, "seed", &p->seed, &given);
    if (status.code != DRUPELET_OK || given)
        return status;
    const scenario_node *run = scenario_node_find(p->base, "run");
    p->seed = 1; /* as in the table of keys */
    return run && run->kind == SCENARIO_GROUP ? take_seed(run, "seed", &p->seed, &given) : base_ok();
}

/* ---- the design ---- */

static drupelet_status count_points(sweep_plan *p)
{
    const bool drawn = p->design == SWEEP_LATIN_HYPERCUBE || p->design == SWEEP_SOBOL;
    const scenario_node *samples = sweep_given(p->root, "samples"), *indices = sweep_given(p->root, "indices");
    int answer = 0;
    drupelet_status status = sweep_take_word(p->root, "indices", ANSWERS, &answer);
    if (status.code == DRUPELET_OK)
        status = sweep_take_count(p->root, "samples", 1, SWEEP_MOST_CASES, &p->samples);
    if (status.code != DRUPELET_OK)
        return status;
    p->indices = answer % 2 == 1;
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

static drupelet_status read_keys(sweep_plan *p)
{
    int design = SWEEP_GRID, keep = SWEEP_FATES, common = 1;
    int64_t replicates = 1;
    bool given = false;
    const scenario_node *name = sweep_given(p->root, "name");
    drupelet_status status = sweep_known_keys(p->root, KEYS);
    if (status.code == DRUPELET_OK && name && (name->kind != SCENARIO_VALUE || strlen(name->text) >= sizeof p->name))
        status = scenario_node_error(name, NULL, NULL, "a text on one line, shorter than %d bytes", SCENARIO_TEXT);
    if (status.code == DRUPELET_OK) status = open_base(p);
    if (status.code == DRUPELET_OK) status = set_amount(p);
    if (status.code == DRUPELET_OK) status = find_seed(p);
    if (status.code == DRUPELET_OK) status = sweep_take_word(p->root, "design", DESIGNS, &design);
    if (status.code == DRUPELET_OK) status = sweep_take_word(p->root, "keep", KEEPS, &keep);
    if (status.code == DRUPELET_OK) status = sweep_take_word(p->root, "common_random_numbers", ANSWERS, &common);
    if (status.code == DRUPELET_OK) status = sweep_take_count(p->root, "replicates", 1, 10000, &replicates);
    if (status.code == DRUPELET_OK) status = take_seed(p->root, "design_seed", &p->design_seed, &given);
    if (status.code != DRUPELET_OK)
        return status;
    const char *slash = strrchr(p->file, '/'), *bare = slash ? slash + 1 : p->file, *dot = strrchr(bare, '.');
    snprintf(p->name, sizeof p->name, "%.*s", (int)(dot && dot != bare ? dot - bare : (long)strlen(bare)), bare);
    for (size_t i = 0; name && i <= strlen(name->text); i++)
        p->name[i] = name->text[i] == '\0' || (unsigned char)name->text[i] >= 0x20 ? name->text[i] : ' ';
    p->design = (sweep_design)design;
    p->keep = (sweep_keep)keep;
    p->common = common % 2 == 1;
    p->n_replicates = (int)replicates;
    return base_ok();
}

drupelet_status sweep_plan_read(const char *path, sweep_plan **plan)
{
    *plan = NULL;
    sweep_plan *p = calloc(1, sizeof *p);
    if (!p)
        return no_memory();
    p->design_seed = 1;
    p->file = strdup(path);
    drupelet_status status = p->file ? scenario_long_text(path, "a plan", MOST_KIB, &p->text, &p->n_text) : no_memory();
    if (status.code == DRUPELET_OK) status = scenario_node_load_long(p->file, p->text, p->n_text, &p->root);
    if (status.code == DRUPELET_OK && scenario_node_empty(p->root))
        status = scenario_node_error(p->root, NULL, NULL, "a plan: scenario, design, factors and so on");
    if (status.code == DRUPELET_OK && is_scenario(p->root))
        status = base_error(DRUPELET_SCENARIO, "%s: is a scenario, not a plan: 'drupelet run' simulates it, and a plan "
                                               "names it by the key scenario (docs/sweeps.md)", path);
    if (status.code == DRUPELET_OK) status = read_keys(p);
    if (status.code == DRUPELET_OK) status = sweep_read_factors(p);
    if (status.code == DRUPELET_OK) status = count_points(p);
    if (status.code == DRUPELET_OK)
        *plan = p;
    else
        sweep_plan_free(p);
    return status;
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
