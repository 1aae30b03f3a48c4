/* sim/sweep/plan_factors.c - reads what varies: lists, named options, ranges, distributions, and listed cases. */
#define _POSIX_C_SOURCE 200809L
#include "sweep/plan_factors.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/number.h"
#include "base/status.h"

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the plan");
}

/* ---- names and labels ---- */

static void name_of(const char *text, char name[SWEEP_NAME])
{
    size_t n = 0;
    for (const char *c = text; *c && n + 1 < SWEEP_NAME; c++)
        name[n++] = isalnum((unsigned char)*c) && (unsigned char)*c < 0x80 ? *c : '_';
    name[n] = '\0';
}

/* A value as YAML on one line, cut where it gets too long. */
static size_t flow_text(const scenario_node *node, char *text, size_t room)
{
    size_t used = 0;
#define ADD(...) used += used < room ? (size_t)snprintf(text + used, room - used, __VA_ARGS__) : 0
    if (node->kind == SCENARIO_VALUE) {
        ADD("%s", node->text);
        return used;
    }
    ADD(node->kind == SCENARIO_LIST ? "[" : "{");
    for (const scenario_node *child = node->first; child && used < room; child = child->next) {
        if (child->key)
            ADD("%s: ", child->key);
        used += used < room ? flow_text(child, text + used, room - used) : 0;
        if (child->next)
            ADD(", ");
    }
    ADD(node->kind == SCENARIO_LIST ? "]" : "}");
#undef ADD
    return used;
}

static void label_of(const scenario_node *node, char label[SWEEP_LABEL])
{
    if (flow_text(node, label, SWEEP_LABEL) >= SWEEP_LABEL) {
        size_t n = SWEEP_LABEL - 4;
        while (n > 0 && ((unsigned char)label[n] & 0xC0) == 0x80) /* not inside a character */
            n--;
        memcpy(label + n, "...", 4);
    }
    for (char *c = label; *c; c++)
        if ((unsigned char)*c < 0x20 || *c == 0x7F)
            *c = ' ';
}

/* ---- numbers ---- */

/* A number in the unit of the factor's key; NAN where the text is none. */
static double number_of(const scenario_key *key, const scenario_node *node)
{
    double value;
    if (!key || node->kind != SCENARIO_VALUE)
        return NAN;
    if (key->holds == SCENARIO_IS_COUNT) {
        const char *rest = base_number(node->text, &value);
        return rest && *rest == '\0' ? value : NAN;
    }
    if (key->holds != SCENARIO_IS_QUANTITY
        || scenario_units_read(key->kind, node->text, &value, NULL) != SCENARIO_READ)
        return NAN;
    if (key->unit[0] == '\0')
        return value;
    char digits[40]; /* 7 bar is 7, not 7.000000000000001 */
    snprintf(digits, sizeof digits, "%.12g", scenario_units_from_si(key->kind, key->unit, value));
    return strtod(digits, NULL);
}

static drupelet_status take_number(const sweep_factor *f, const char *key, bool needed, double *number)
{
    const scenario_node *node = sweep_given(f->node, key);
    if (node)
        *number = number_of(f->holds, node);
    if (node ? !isnan(*number) : !needed)
        return base_ok();
    char units[120];
    scenario_kind_units(f->holds->kind, units, sizeof units);
    const bool quantity = f->holds->holds == SCENARIO_IS_QUANTITY, unit = quantity && units[0];
    return scenario_node_error(node ? node : f->node, node ? NULL : key, NULL, "%s%s%s%s",
                               quantity ? scenario_kind_name(f->holds->kind) : "a whole number", unit ? " (in " : "",
                               unit ? units : "", unit ? ")" : "");
}

/* A deviation is a difference: 3 K is the same as 3 degC here. */
static drupelet_status take_deviation(const sweep_factor *f, double *deviation)
{
    double zero = 0.0;
    drupelet_status status = take_number(f, "standard_deviation", true, deviation);
    const scenario_node *node = sweep_given(f->node, "standard_deviation");
    if (status.code == DRUPELET_OK && f->holds->kind == SCENARIO_TEMPERATURE) {
        const char *unit = node->text + strspn(node->text, "+-.0123456789eE \t");
        char text[80];
        snprintf(text, sizeof text, "0 %.60s", unit);
        scenario_node *nothing = scenario_node_value(text, node);
        if (!nothing)
            return no_memory();
        zero = number_of(f->holds, nothing);
        scenario_node_free(nothing);
    }
    *deviation -= zero;
    if (status.code == DRUPELET_OK && !(*deviation > 0.0))
        status = scenario_node_error(node, NULL, NULL, "a deviation above 0");
    return status;
}

/* ---- levels ---- */

static sweep_level *add_level(sweep_factor *f, const char *label, const scenario_node *value)
{
    sweep_level *more = realloc(f->level, ((size_t)f->n_levels + 1) * sizeof *more);
    if (!more)
        return NULL;
    f->level = more;
    sweep_level *level = &more[f->n_levels];
    *level = (sweep_level){.number = NAN, .value = scenario_node_copy(value)};
    if (!level->value)
        return NULL;
    if (label)
        snprintf(level->label, sizeof level->label, "%s", label);
    else
        label_of(value, level->label);
    f->n_levels++;
    return level;
}

/* Numbers of the levels, if every one is a number with the key's unit. */
static void find_numbers(sweep_factor *f)
{
    f->numeric = f->holds && (f->holds->holds == SCENARIO_IS_QUANTITY || f->holds->holds == SCENARIO_IS_COUNT);
    for (int i = 0; i < f->n_levels && f->numeric; i++) {
        f->level[i].number = number_of(f->holds, f->level[i].value);
        f->numeric = !isnan(f->level[i].number);
    }
    for (int i = 0; i < f->n_levels && !f->numeric; i++)
        f->level[i].number = NAN;
}

static drupelet_status read_values(sweep_factor *f, const scenario_node *list)
{
    if (list->kind != SCENARIO_LIST || list->n == 0)
        return scenario_node_error(list, NULL, NULL, "a list of values");
    for (const scenario_node *node = list->first; node; node = node->next)
        if (!add_level(f, NULL, node))
            return no_memory();
    find_numbers(f);
    return base_ok();
}

static drupelet_status read_options(sweep_factor *f, const scenario_node *group)
{
    if (group->kind != SCENARIO_GROUP || group->n == 0)
        return scenario_node_error(group, NULL, NULL, "a group of named options");
    for (const scenario_node *node = group->first; node; node = node->next) {
        if (!f->key[0] && node->kind != SCENARIO_GROUP)
            return scenario_node_error(node, NULL, NULL,
                                       "a group of key paths and values, or a key for the whole factor");
        if (strlen(node->key) >= SWEEP_LABEL)
            return scenario_key_error(node, "a long name", "one shorter than %d bytes", SWEEP_LABEL);
        if (!add_level(f, node->key, node))
            return no_memory();
    }
    find_numbers(f);
    return base_ok();
}

static bool can_be_drawn(const sweep_plan *p)
{
    return p->design == SWEEP_LATIN_HYPERCUBE || p->design == SWEEP_SOBOL;
}

static drupelet_status needs_number(const sweep_factor *f, const scenario_node *node)
{
    if (f->holds && (f->holds->holds == SCENARIO_IS_QUANTITY || f->holds->holds == SCENARIO_IS_COUNT))
        return base_ok();
    return scenario_key_error(node, "this key", "values or options: %s holds no number",
                              f->key[0] ? f->key : "a factor without key");
}

static drupelet_status read_range(scenario_reader *r, sweep_plan *p, sweep_factor *f, const scenario_node *from)
{
    double low = NAN, high = NAN;
    sweep_steps steps = {0};
    drupelet_status status = needs_number(f, from);
    if (status.code == DRUPELET_OK) status = take_number(f, "from", true, &low);
    if (status.code == DRUPELET_OK) status = take_number(f, "to", true, &high);
    if (status.code != DRUPELET_OK)
        return status;
    scenario_take_keys(r, f->node, "steps", "distribution", &steps);
    if (!scenario_good(r))
        return r->status;
    if (!(low < high))
        return scenario_node_error(sweep_given(f->node, "to"), NULL, NULL, "more than from, %.6g %s", low,
                                   f->holds->unit);
    if (steps.logarithmic && !(low > 0.0))
        return scenario_node_error(from, NULL, NULL, "more than 0 where the spacing is logarithmic");
    if (steps.n == 0 && !can_be_drawn(p))
        return scenario_node_error(f->node, "steps", NULL, "the number of values from from to to, both among them");
    if (steps.n == 0) {
        f->continuous = f->numeric = true;
        f->distribution = (sweep_distribution){.form = steps.logarithmic ? SWEEP_LOG_UNIFORM : SWEEP_UNIFORM,
                                               .low = low,
                                               .high = high};
        return base_ok();
    }
    for (int i = 0; i < steps.n; i++) {
        const double u = (double)i / (double)(steps.n - 1);
        const double along = steps.logarithmic ? low * base_pow(high / low, u) : low + u * (high - low);
        const double value = i == steps.n - 1 ? high : along;
        char text[64];
        const char *unit = f->holds->holds == SCENARIO_IS_QUANTITY ? f->holds->unit : "";
        snprintf(text, sizeof text, "%.9g%s%s", value, unit[0] ? " " : "", unit);
        scenario_node *node = scenario_node_value(text, from);
        const bool added = node && add_level(f, NULL, node);
        scenario_node_free(node);
        if (!added)
            return no_memory();
    }
    find_numbers(f);
    return base_ok();
}

static drupelet_status read_distribution(scenario_reader *r, sweep_plan *p, sweep_factor *f, const scenario_node *node)
{
    sweep_distribution d = {.low = -INFINITY, .high = INFINITY, .mean = NAN, .mode = NAN};
    drupelet_status status = needs_number(f, node);
    if (status.code == DRUPELET_OK && !can_be_drawn(p))
        status = scenario_key_error(node, "this key", "design: latin_hypercube or sobol beside it");
    if (status.code != DRUPELET_OK)
        return status;
    scenario_take_keys(r, f->node, "distribution", "low", &d);
    if (!scenario_good(r))
        return r->status;
    const bool normal = d.form == SWEEP_NORMAL || d.form == SWEEP_LOG_NORMAL;
    const bool logarithmic = d.form == SWEEP_LOG_UNIFORM || d.form == SWEEP_LOG_NORMAL;
    status = take_number(f, "low", !normal, &d.low);
    if (status.code == DRUPELET_OK) status = take_number(f, "high", !normal, &d.high);
    if (status.code == DRUPELET_OK && d.form == SWEEP_TRIANGULAR) status = take_number(f, "mode", true, &d.mode);
    if (status.code == DRUPELET_OK && normal) status = take_number(f, "mean", true, &d.mean);
    if (status.code == DRUPELET_OK && normal) status = take_deviation(f, &d.deviation);
    if (status.code != DRUPELET_OK)
        return status;
    if (!(d.low < d.high))
        return scenario_node_error(sweep_given(f->node, "high") ? sweep_given(f->node, "high") : f->node, NULL, NULL,
                                   "more than low, %.6g %s", d.low, f->holds->unit);
    if (d.form == SWEEP_TRIANGULAR && !(d.mode >= d.low && d.mode <= d.high))
        return scenario_node_error(sweep_given(f->node, "mode"), NULL, NULL, "low to high");
    if (d.form == SWEEP_LOG_UNIFORM && !(d.low > 0.0))
        return scenario_node_error(sweep_given(f->node, "low"), NULL, NULL, "more than 0");
    if (logarithmic && normal && !(d.mean > 0.0))
        return scenario_node_error(sweep_given(f->node, "mean"), NULL, NULL, "more than 0");
    if (normal && !(d.mean > d.low && d.mean < d.high))
        return scenario_node_error(sweep_given(f->node, "mean"), NULL, NULL, "a mean between low and high");
    f->continuous = f->numeric = true;
    f->distribution = d;
    return base_ok();
}

/* ---- factors ---- */

static drupelet_status set_name(sweep_plan *p, sweep_factor *f, const scenario_node *at, const char *text)
{
    name_of(text, f->name);
    for (const sweep_factor *other = p->factor; other < f; other++)
        if (strcmp(other->name, f->name) == 0)
            return scenario_node_error(at, NULL, NULL, "a name that no other factor has (%s is taken)", f->name);
    return base_ok();
}

static drupelet_status set_key(sweep_factor *f, const scenario_node *at, const char *key)
{
    if (strlen(key) >= sizeof f->key)
        return scenario_node_error(at, NULL, NULL, "the path of a key");
    if (strcmp(key, "run.seed") == 0)
        return scenario_node_error(at, NULL, NULL, "another key: seed and replicates of the plan set the seeds");
    snprintf(f->key, sizeof f->key, "%s", key);
    f->key_node = at;
    f->holds = scenario_key_at(key);
    return base_ok();
}

static drupelet_status read_factor(scenario_reader *r, sweep_plan *p, scenario_node *node)
{
    static const char *const ways[] = {"values", "options", "from", "distribution"};
    sweep_factor *f = &p->factor[p->n_factors++];
    f->node = node;
    drupelet_status status = base_ok();
    if (!scenario_take_as_group(r, node))
        return r->status;
    const scenario_node *key = sweep_given(node, "key"), *name = sweep_given(node, "name"), *way = NULL;
    int i_way = -1;
    for (int i = 0; i < 4; i++) {
        const scenario_node *found = sweep_given(node, ways[i]);
        if (found && way)
            return scenario_key_error(found, "this key", "either %s or %s, not both", ways[i_way], ways[i]);
        if (found) {
            way = found;
            i_way = i;
        }
    }
    if (key && key->kind != SCENARIO_VALUE)
        return scenario_node_error(key, NULL, NULL, "the path of a key, such as weather.wind_speed");
    if (!key && i_way != 1)
        return scenario_node_error(node, "key", NULL, "the path of a key, such as weather.wind_speed");
    if (!key && !name)
        return scenario_node_error(node, "name", NULL, "a name, for the options set keys of their own");
    if (name && (name->kind != SCENARIO_VALUE || strlen(name->text) >= SWEEP_NAME))
        return scenario_node_error(name, NULL, NULL, "a name shorter than %d bytes", SWEEP_NAME);
    if (!way)
        return scenario_node_error(node, "values", NULL, "values, options, from and to, or a distribution");
    if (key) status = set_key(f, key, key->text);
    if (status.code == DRUPELET_OK) status = set_name(p, f, name ? name : key, name ? name->text : key->text);
    if (status.code != DRUPELET_OK)
        return status;
    switch (i_way) {
    case 0: return read_values(f, way);
    case 1: return read_options(f, way);
    case 2: return read_range(r, p, f, way);
    default: return read_distribution(r, p, f, way);
    }
}

/* ---- listed cases ---- */

/* The factor that an entry of a case speaks of, by name or by key; a new one where the first case has a key. */
static drupelet_status factor_of(sweep_plan *p, const scenario_node *entry, bool first, int *i_factor)
{
    for (int i = 0; i < p->n_factors; i++)
        if (strcmp(p->factor[i].name, entry->key) == 0 || strcmp(p->factor[i].key, entry->key) == 0) {
            *i_factor = i;
            return base_ok();
        }
    if (!first)
        return scenario_key_error(entry, "a key that the first case has not", "the same keys in every case");
    if (p->n_factors == SWEEP_FACTORS)
        return scenario_key_error(entry, "one factor more", "at most %d", SWEEP_FACTORS);
    sweep_factor *f = &p->factor[*i_factor = p->n_factors++];
    f->node = entry;
    drupelet_status status = set_key(f, entry, entry->key);
    if (status.code == DRUPELET_OK)
        status = set_name(p, f, entry, entry->key);
    return status;
}

static drupelet_status level_in(sweep_factor *f, bool named, const scenario_node *entry, int *level)
{
    char label[SWEEP_LABEL];
    label_of(entry, label);
    for (*level = 0; *level < f->n_levels; ++*level)
        if (strcmp(f->level[*level].label, label) == 0)
            return base_ok();
    if (named)
        return scenario_node_error(entry, NULL, NULL, "one of the levels of the factor %s", f->name);
    return add_level(f, NULL, entry) ? base_ok() : no_memory();
}

static drupelet_status read_cases(sweep_plan *p)
{
    const scenario_node *list = sweep_given(p->root, "cases");
    const int n_named = p->n_factors; /* those with levels of their own */
    if (!list || list->kind != SCENARIO_LIST || list->n == 0)
        return scenario_node_error(list ? list : p->root, list ? NULL : "cases", NULL,
                                   "a list of cases, each a group of key paths and values");
    p->cases = list;
    p->listed = malloc((size_t)list->n * SWEEP_FACTORS * sizeof *p->listed);
    if (!p->listed)
        return no_memory();
    int i_case = 0;
    for (const scenario_node *one = list->first; one; one = one->next, i_case++) {
        int level[SWEEP_FACTORS];
        for (int i = 0; i < SWEEP_FACTORS; i++)
            level[i] = -1;
        if (one->kind != SCENARIO_GROUP || one->n == 0)
            return scenario_node_error(one, NULL, NULL, "a group of key paths and values");
        for (const scenario_node *entry = one->first; entry; entry = entry->next) {
            int i = 0;
            drupelet_status status = factor_of(p, entry, i_case == 0, &i);
            if (status.code == DRUPELET_OK)
                status = level_in(&p->factor[i], i < n_named, entry, &level[i]);
            if (status.code != DRUPELET_OK)
                return status;
        }
        for (int i = 0; i < p->n_factors; i++) {
            if (level[i] < 0)
                return scenario_node_error(one, p->factor[i].key[0] ? p->factor[i].key : p->factor[i].name, NULL,
                                           "a value in every case");
            p->listed[i_case * p->n_factors + i] = level[i];
        }
    }
    for (int i = n_named; i < p->n_factors; i++)
        find_numbers(&p->factor[i]);
    return base_ok();
}

drupelet_status sweep_read_factors(scenario_reader *r, sweep_plan *p)
{
    const scenario_node *list = sweep_given(p->root, "factors"), *cases = sweep_given(p->root, "cases");
    drupelet_status status = base_ok();
    if (!list && p->design != SWEEP_LISTED)
        return scenario_node_error(p->root, "factors", NULL, "a list of what varies");
    if (list && (list->kind != SCENARIO_LIST || list->n == 0 || list->n > SWEEP_FACTORS))
        return scenario_node_error(list, NULL, NULL, "a list of factors, 1 to %d", SWEEP_FACTORS);
    for (scenario_node *node = list ? list->first : NULL; node && status.code == DRUPELET_OK; node = node->next)
        status = read_factor(r, p, node);
    if (status.code != DRUPELET_OK)
        return status;
    if (p->design == SWEEP_LISTED)
        return read_cases(p);
    return cases ? scenario_key_error(cases, "this key", "design: listed beside it") : base_ok();
}
