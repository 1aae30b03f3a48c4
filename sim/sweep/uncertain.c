/* sim/sweep/uncertain.c - from the list of what nobody knows well and a scenario to the plan of a sweep.
 *
 * A key that the scenario gives counts as known, but for those that have to be given and are estimates. The plan is
 * text, as people write it, so that the sweep, its checks, its journal and its file are those of any plan. */
#define _POSIX_C_SOURCE 200809L
#include "sweep/uncertain.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "scenario/keys.h"
#include "sprayer/generic.h"

/* What stands at the path of a key, or NULL. @param path without lists and names that hold dots */
static const scenario_node *node_at(const scenario_node *root, const char *path)
{
    const scenario_node *node = root;
    while (node && *path) {
        char part[SCENARIO_PATH];
        const size_t n = strcspn(path, ".");
        snprintf(part, sizeof part, "%.*s", (int)n, path);
        node = node->kind == SCENARIO_GROUP ? scenario_node_find(node, part) : NULL;
        path += n + (path[n] == '.');
    }
    return node && !scenario_node_empty(node) ? node : NULL;
}

static bool is_named(const sweep_uncertain_plan *plan, const char *key)
{
    for (int i = 0; i < plan->inputs.n; i++)
        if (strcmp(plan->inputs.input[i].key, key) == 0)
            return true;
    return false;
}

static void leave(sweep_uncertain_plan *plan, const char *key, const char *reason)
{
    if (plan->inputs.n_certain == SCENARIO_INPUTS)
        return;
    scenario_certain_input *c = &plan->inputs.certain[plan->inputs.n_certain++];
    snprintf(c->key, sizeof c->key, "%s", key);
    c->reason = reason;
}

/* Is the key said to be known, as it stands or by its general path? */
static bool said_known(const sweep_uncertain_question *q, const char *key, const char *general)
{
    for (int i = 0; i < q->n_known; i++)
        if (strcmp(q->known[i], key) == 0 || strcmp(q->known[i], general) == 0)
            return true;
    return false;
}

static void write_value(char text[SCENARIO_INPUT_TEXT], double value, const char *unit)
{
    snprintf(text, SCENARIO_INPUT_TEXT, "%.4g%s%s", value, unit[0] ? " " : "", unit);
}

static drupelet_status add(sweep_uncertain_plan *plan, const scenario_uncertain *u, const char *key, double low,
                           double high)
{
    const scenario_key *holds = scenario_key_of(u->path);
    if (plan->inputs.n == SCENARIO_INPUTS)
        return base_error(DRUPELET_SCENARIO, "more than %d inputs are not known well: leave some alone with --known",
                          SCENARIO_INPUTS);
    scenario_uncertain_input *f = &plan->inputs.input[plan->inputs.n++];
    *f = (scenario_uncertain_input){.logarithmic = u->logarithmic, .source = u->source};
    snprintf(f->key, sizeof f->key, "%s", key);
    write_value(f->low, fmax(low, holds->low), holds->unit);
    write_value(f->high, fmin(high, holds->high), holds->unit);
    return base_ok();
}

/* ---- the rows of the list ---- */

static drupelet_status add_tips(sweep_uncertain_plan *plan, const drupelet_scenario *s,
                                const sweep_uncertain_question *q, const scenario_uncertain *u)
{
    drupelet_status status = base_ok();
    for (int i = 0; i < s->n_tips && status.code == DRUPELET_OK; i++) {
        char key[SCENARIO_PATH];
        const sprayer_generic kind = sprayer_generic_tip(s->tip[i].kind);
        snprintf(key, sizeof key, "tips.%s.%s", s->tip[i].name, u->path + strlen("tips.*."));
        if (is_named(plan, key))
            continue;
        if (s->tip[i].form != SCENARIO_SPECTRUM_GENERIC)
            leave(plan, key, "its spectrum is given");
        else if (s->tip[i].generic_factor != 1.0)
            leave(plan, key, "given by the scenario");
        else if (said_known(q, key, u->path))
            leave(plan, key, "said to be known");
        else
            status = add(plan, u, key, kind.dv50_lowest_m / kind.dv50_m, kind.dv50_highest_m / kind.dv50_m);
    }
    return status;
}

/* The value of a key without dimension, from the scenario as it was read. */
static double value_of(const drupelet_scenario *s, const scenario_key *key)
{
    double value;
    memcpy(&value, (const char *)s + key->place, sizeof value);
    return value;
}

/* Is it told by the file of a measured canopy? */
static bool is_measured(const scenario_canopy *canopy, const char *path)
{
    static const char GROUP[] = "canopy.";
    const size_t n = sizeof GROUP - 1;
    return strncmp(path, GROUP, n) == 0 && scenario_is_measured(canopy, path + n);
}

static drupelet_status add_key(sweep_uncertain_plan *plan, const drupelet_scenario *s, const scenario_node *root,
                               const sweep_uncertain_question *q, const scenario_uncertain *u)
{
    const bool leafless = u->of_leaves && !s->canopy.measured && !(s->canopy.leaf_area_index > 0.0);
    if (is_named(plan, u->path) || leafless)
        return base_ok();
    if (is_measured(&s->canopy, u->path))
        leave(plan, u->path, "the canopy was measured");
    else if (said_known(q, u->path, u->path))
        leave(plan, u->path, "said to be known");
    else if (!u->though_given && node_at(root, u->path))
        leave(plan, u->path, "given by the scenario");
    else {
        const double times = u->bounds == SCENARIO_TIMES ? value_of(s, scenario_key_of(u->path)) : 1.0;
        const double more = u->bounds == SCENARIO_TO_TREETOPS ? s->canopy.height_m : 0.0;
        const double low = times * u->low, high = times * u->high + more;
        if (low < high) return add(plan, u, u->path, low, high);
    }
    return base_ok();
}

/* ---- ranges that come with the question ---- */

static drupelet_status bad_range(const char *text, const char *expected)
{
    return base_error(DRUPELET_SCENARIO, "--range: found '%.100s', expected %s", text, expected);
}

static drupelet_status add_asked(sweep_uncertain_plan *plan, const char *text)
{
    static const char between[] = " to ";
    const char *equals = strchr(text, '='), *to = equals ? strstr(equals, between) : NULL;
    if (!to)
        return bad_range(text, "KEY=LOW to HIGH, such as 'weather.wind_speed=2 m/s to 4 m/s'");
    if (plan->inputs.n == SCENARIO_INPUTS)
        return bad_range(text, "fewer ranges");
    scenario_uncertain_input *f = &plan->inputs.input[plan->inputs.n];
    *f = (scenario_uncertain_input){.source = "as asked"};
    const int n_key = (int)(equals - text), n_low = (int)(to - equals) - 1;
    if (n_key >= SCENARIO_PATH || n_low >= SCENARIO_INPUT_TEXT || strlen(to + 4) >= SCENARIO_INPUT_TEXT
        || strchr(text, '\n'))
        return bad_range(text, "a shorter one, on one line");
    snprintf(f->key, sizeof f->key, "%.*s", n_key, text);
    snprintf(f->low, sizeof f->low, "%.*s", n_low, equals + 1);
    snprintf(f->high, sizeof f->high, "%s", to + strlen(between));
    const scenario_key *key = scenario_key_at(f->key);
    if (!key || (key->holds != SCENARIO_IS_QUANTITY && key->holds != SCENARIO_IS_COUNT))
        return bad_range(text, "a key of a scenario that holds a number");
    if (is_named(plan, f->key))
        return bad_range(text, "one range for each key");
    plan->inputs.n++;
    return base_ok();
}

/* A key of --known has to be one that could vary: another would make believe that it mattered. */
static drupelet_status check_known(const sweep_uncertain_question *q)
{
    for (int i = 0; i < q->n_known; i++) {
        const scenario_key *key = scenario_key_at(q->known[i]);
        bool found = false;
        for (int k = 0; k < scenario_n_uncertain_keys && !found; k++)
            found = strcmp(q->known[i], scenario_uncertain_keys[k].path) == 0
                    || (key && strcmp(key->path, scenario_uncertain_keys[k].path) == 0);
        if (found)
            continue;
        drupelet_status status = base_error(DRUPELET_SCENARIO, "--known: found '%.60s', expected a key that varies "
                                            "unless it is known:", q->known[i]);
        for (int k = 0; k < scenario_n_uncertain_keys; k++) {
            const size_t used = strlen(status.message);
            snprintf(status.message + used, sizeof status.message - used, "%s %s", k > 0 ? "," : "",
                     scenario_uncertain_keys[k].path);
        }
        return status;
    }
    return base_ok();
}

/* ---- the text ---- */

/* A text in quotes of YAML. */
static void put_quoted(FILE *to, const char *text)
{
    fputc('\'', to);
    for (const char *c = text; *c; c++)
        fprintf(to, *c == '\'' ? "''" : "%c", *c);
    fputc('\'', to);
}

static void put_plan(FILE *to, const drupelet_scenario *s, const sweep_uncertain_question *q,
                     const sweep_uncertain_plan *plan)
{
    char name[SCENARIO_TEXT];
    snprintf(name, sizeof name, "%.*s, what is not known well", SCENARIO_TEXT - 32, s->name);
    fputs("name: ", to);
    put_quoted(to, name);
    fprintf(to, "\ndesign: latin_hypercube\nsamples: %lld\n", (long long)q->n_samples);
    if (q->n_droplets > 0)
        fprintf(to, "droplets: %lld\n", (long long)q->n_droplets);
    if (q->seed_given)
        fprintf(to, "seed: %llu\n", (unsigned long long)q->seed);
    if (q->n_settings > 0)
        fputs("set:\n", to);
    for (int i = 0; i < q->n_settings; i++) {
        const char *equals = strchr(q->setting[i], '=');
        char key[SCENARIO_PATH];
        snprintf(key, sizeof key, "%.*s", (int)(equals - q->setting[i]), q->setting[i]);
        bool again = false; /* a later value of a key counts */
        for (int k = i + 1; k < q->n_settings; k++)
            again = again || strncmp(q->setting[k], q->setting[i], (size_t)(equals - q->setting[i]) + 1) == 0;
        if (again)
            continue;
        fputs("  ", to);
        put_quoted(to, key);
        fputs(": ", to);
        for (const char *c = equals + 1; *c; c++) /* a break within a setting means a blank */
            fputc(*c == '\n' || *c == '\r' ? ' ' : *c, to);
        fputc('\n', to);
    }
    fputs("factors:\n", to);
    for (int i = 0; i < plan->inputs.n; i++) {
        const scenario_uncertain_input *f = &plan->inputs.input[i];
        fputs("  - key: ", to);
        put_quoted(to, f->key);
        fprintf(to, "\n    from: %s\n    to: %s\n", f->low, f->high);
        if (f->logarithmic)
            fputs("    spacing: logarithmic\n", to);
    }
}

drupelet_status sweep_uncertain_make(const drupelet_scenario *scenario, const scenario_node *root,
                                     const sweep_uncertain_question *q, sweep_uncertain_plan *plan)
{
    *plan = (sweep_uncertain_plan){0};
    drupelet_status status = check_known(q);
    for (int i = 0; i < q->n_ranges && status.code == DRUPELET_OK; i++)
        status = add_asked(plan, q->range[i]);
    for (int i = 0; i < scenario_n_uncertain_keys && status.code == DRUPELET_OK; i++) {
        const scenario_uncertain *u = &scenario_uncertain_keys[i];
        status = u->bounds == SCENARIO_BY_TIP ? add_tips(plan, scenario, q, u)
                                              : add_key(plan, scenario, root, q, u);
    }
    if (status.code == DRUPELET_OK && plan->inputs.n == 0)
        status = base_error(DRUPELET_SCENARIO,
                            "--uncertain: every input that could vary is known; --range names others");
    if (status.code != DRUPELET_OK)
        return status;
    size_t n = 0;
    FILE *to = open_memstream(&plan->text, &n);
    if (to)
        put_plan(to, scenario, q, plan);
    if (!to || fclose(to) != 0)
        return base_error(DRUPELET_MEMORY, "no memory for the plan");
    return base_ok();
}

void sweep_uncertain_free(sweep_uncertain_plan *plan)
{
    free(plan->text);
    *plan = (sweep_uncertain_plan){0};
}
