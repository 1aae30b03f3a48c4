/* sim/result/by_name.c - what a result holds, asked by name: the public side of the table of quantities. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/spelling.h"
#include "base/status.h"
#include "drupelet/quantities.h"
#include "result/quantity.h"

_Static_assert((int)DRUPELET_MOST_AXES == (int)RESULT_MOST_AXES, "as many axes inside and out");

/* A quantity of the table and its group; quantity NULL: none. */
typedef struct {
    const result_group *group;
    const result_quantity *quantity;
} entry;

static entry entry_at(int i)
{
    for (int g = 0; g < result_n_groups && i >= 0; i -= result_groups[g++]->n)
        if (i < result_groups[g]->n) return (entry){result_groups[g], &result_groups[g]->quantity[i]};
    return (entry){NULL, NULL};
}

/* ---- names ---- */

enum { NAME = 96 }; /* bytes of a name with its group */

static void name_of(entry e, char name[NAME])
{
    snprintf(name, NAME, "%s/%s", e.group->name, e.quantity->name);
}

static entry entry_named(const char *name)
{
    char known[NAME];
    for (int i = 0;; i++) {
        const entry e = entry_at(i);
        if (!e.quantity) return e;
        name_of(e, known);
        if (strcmp(known, name) == 0) return e;
    }
}

static const char *group_for_spelling(const void *unused, int i, int *n)
{
    (void)unused;
    *n = i < result_n_groups ? (int)strlen(result_groups[i]->name) : 0;
    return i < result_n_groups ? result_groups[i]->name : NULL;
}

static const char *quantity_for_spelling(const void *group, int i, int *n)
{
    const result_group *g = group;
    *n = i < g->n ? (int)strlen(g->quantity[i].name) : 0;
    return i < g->n ? g->quantity[i].name : NULL;
}

static drupelet_status unknown(const char *name)
{
    const char *slash = strchr(name, '/');
    const size_t n_group = slash ? (size_t)(slash - name) : strlen(name);
    char group[NAME], meant[NAME + 16] = "";
    snprintf(group, sizeof group, "%.*s", (int)(n_group < NAME ? n_group : NAME - 1), name);
    const result_group *g = NULL;
    for (int i = 0; i < result_n_groups; i++)
        if (strcmp(result_groups[i]->name, group) == 0) g = result_groups[i];
    if (g) {
        const int near = slash ? base_meant(slash + 1, quantity_for_spelling, g) : -1;
        if (near >= 0) snprintf(meant, sizeof meant, ": %s/%s", g->name, g->quantity[near].name);
    } else {
        const int near = base_meant(group, group_for_spelling, NULL);
        if (near >= 0) snprintf(meant, sizeof meant, " of the group %s", result_groups[near]->name);
    }
    return base_error(DRUPELET_SCENARIO, "%.96s: found no such quantity, expected one as group/name%s", name, meant);
}

static drupelet_status find(const char *name, entry *e)
{
    *e = entry_named(name);
    return e->quantity ? base_ok() : unknown(name);
}

/* ---- the table ---- */

int drupelet_groups(void)
{
    return result_n_groups;
}

const char *drupelet_group_name(int i)
{
    return i >= 0 && i < result_n_groups ? result_groups[i]->name : NULL;
}

const char *drupelet_group_meaning(int i)
{
    return i >= 0 && i < result_n_groups ? result_groups[i]->meaning : NULL;
}

static drupelet_type type_of(result_type type)
{
    switch (type) {
    case RESULT_SHARE:
    case RESULT_DOUBLE: return DRUPELET_DOUBLE;
    case RESULT_FLOAT: return DRUPELET_FLOAT;
    case RESULT_INT8: return DRUPELET_INT8;
    case RESULT_INT32: return DRUPELET_INT32;
    case RESULT_INT64: return DRUPELET_INT64;
    case RESULT_TEXT: break;
    }
    return DRUPELET_TEXT;
}

static void describe(entry e, drupelet_quantity *to)
{
    const result_quantity *q = e.quantity;
    const bool tells_place = q->note[0] && strcmp(q->note[0], "coordinates") == 0;
    *to = (drupelet_quantity){.group = e.group->name,
                              .name = q->name,
                              .meaning = q->meaning,
                              .unit = q->unit ? q->unit : "",
                              .type = type_of(q->type),
                              .has_error = q->type == RESULT_SHARE,
                              .is_axis = !q->axes,
                              .n_words = q->n_words,
                              .coordinates = tells_place ? q->note[1] : NULL,
                              .direction = q->mark};
    if (!q->axes) to->axis[to->n_axes++] = q->name;
    for (const result_quantity *axis; (axis = result_axis_of(e.group, q, to->n_axes)) != NULL;)
        to->axis[to->n_axes++] = axis->name;
}

bool drupelet_quantity_at(int i, drupelet_quantity *quantity)
{
    const entry e = entry_at(i);
    if (e.quantity) describe(e, quantity);
    return e.quantity != NULL;
}

drupelet_status drupelet_quantity_named(const char *name, drupelet_quantity *quantity)
{
    entry e;
    const drupelet_status status = find(name, &e);
    if (status.code == DRUPELET_OK) describe(e, quantity);
    return status;
}

const char *drupelet_quantity_word(const char *name, int i)
{
    const entry e = entry_named(name);
    return e.quantity && i >= 0 && i < e.quantity->n_words ? e.quantity->word(i) : NULL;
}

/* ---- values ---- */

drupelet_status drupelet_result_shape(const drupelet_result *result, const char *name, size_t shape[DRUPELET_MOST_AXES],
                                      int *n_axes)
{
    entry e;
    const drupelet_status status = find(name, &e);
    *n_axes = status.code == DRUPELET_OK ? result_shape(result, e.group, e.quantity, shape) : 0;
    return status;
}

drupelet_status drupelet_result_numbers(const drupelet_result *result, const char *name, size_t n, double value[],
                                        double error[])
{
    entry e;
    const drupelet_status status = find(name, &e);
    if (status.code != DRUPELET_OK) return status;
    const result_quantity *q = e.quantity;
    if (q->type == RESULT_TEXT)
        return base_error(DRUPELET_SCENARIO, "%s: found a text, expected numbers: ask for its text", name);
    const size_t size = result_size(result, e.group, q);
    if (n != size)
        return base_error(DRUPELET_SCENARIO, "%s: found room for %zu values, expected room for its %zu", name, n, size);
    for (size_t i = 0; i < n; i++) {
        const void *at = result_value(result, e.group, q, i);
        const bool known = at || q->place.none;
        value[i] = known ? result_number(q, at, i) : NAN;
        if (error) error[i] = known && q->type == RESULT_SHARE ? ((const tally_estimate *)at)->error : NAN;
    }
    return status;
}

drupelet_status drupelet_result_text(const drupelet_result *result, const char *name, size_t i, const char **text)
{
    entry e;
    *text = NULL;
    const drupelet_status status = find(name, &e);
    if (status.code != DRUPELET_OK) return status;
    const result_quantity *q = e.quantity;
    if (q->type != RESULT_TEXT)
        return base_error(DRUPELET_SCENARIO, "%s: found numbers, expected a text: ask for its numbers", name);
    const size_t size = result_size(result, e.group, q);
    if (i >= size)
        return base_error(DRUPELET_SCENARIO, "%s: found value %zu, expected one of its %zu, from 0", name, i, size);
    char *const *at = result_value(result, e.group, q, i);
    *text = q->word ? q->word((int)i) : at && *at ? *at : "";
    return status;
}
