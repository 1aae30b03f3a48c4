/* sim/result/quantity.c - shapes, places and memory of the quantities of a result. */
#include "result/quantity.h"

#include <stdlib.h>
#include <string.h>

#include "scenario/keys.h"

const result_group *const result_groups[] = {
    &result_fates, &result_budget_group, &result_alone, &result_tracks, &result_canopy, &result_ground,
    &result_airborne, &result_batches, &result_collectors, &result_air, &result_wind, &result_fan_air, &result_sprayer,
    &result_inputs, &result_warnings,
};
const int result_n_groups = (int)(sizeof result_groups / sizeof result_groups[0]);

static const result_quantity *axis_named(const result_group *group, const char *name, size_t n_name)
{
    for (int i = 0; i < group->n; i++) {
        const result_quantity *q = &group->quantity[i];
        if (!q->axes && strlen(q->name) == n_name && memcmp(q->name, name, n_name) == 0)
            return q;
    }
    return NULL;
}

const result_quantity *result_axis_of(const result_group *group, const result_quantity *quantity, int i_axis)
{
    const char *at = quantity->axes;
    for (int i = 0; at && *at != '\0'; i++) {
        const size_t n = strcspn(at, " ");
        if (i == i_axis)
            return axis_named(group, at, n);
        at += n + (at[n] == ' ');
    }
    return NULL;
}

static size_t length_of(const drupelet_result *result, const result_quantity *axis)
{
    if (axis->length > 0)
        return (size_t)axis->length;
    return (size_t)*(const int *)(const void *)((const char *)result + axis->count);
}

int result_shape(const drupelet_result *result, const result_group *group, const result_quantity *quantity,
                 size_t shape[RESULT_MOST_AXES])
{
    if (!quantity->axes) {
        shape[0] = length_of(result, quantity);
        return 1;
    }
    int rank = 0;
    for (const result_quantity *axis; (axis = result_axis_of(group, quantity, rank)) != NULL; rank++)
        shape[rank] = length_of(result, axis);
    return rank;
}

size_t result_size(const drupelet_result *result, const result_group *group, const result_quantity *quantity)
{
    size_t shape[RESULT_MOST_AXES], n = 1;
    const int rank = result_shape(result, group, quantity, shape);
    for (int i = 0; i < rank; i++)
        n *= shape[i];
    return n;
}

bool result_empty(const drupelet_result *result, const result_group *group, const result_quantity *quantity)
{
    size_t shape[RESULT_MOST_AXES];
    const int rank = result_shape(result, group, quantity, shape);
    for (int i = 0; i < rank; i++) /* not by the product, which what a damaged file claims may bring round to 0 */
        if (shape[i] == 0)
            return true;
    return false;
}

size_t result_value_size(result_type type)
{
    static const size_t size[] = {
        [RESULT_SHARE] = sizeof(tally_estimate), [RESULT_DOUBLE] = sizeof(double), [RESULT_FLOAT] = sizeof(float),
        [RESULT_INT8] = sizeof(int8_t),          [RESULT_INT32] = sizeof(int32_t), [RESULT_INT64] = sizeof(int64_t),
        [RESULT_TEXT] = sizeof(char *)};
    return size[type];
}

/* Where neither the table nor a key of a scenario gives a range these are choices, far outside of what any run makes:
 * they keep sums, loops and pictures finite. A share may be rounded a little above 1. */
void result_range(const result_quantity *q, double *low, double *high)
{
    const scenario_key *key = q->key ? scenario_key_of(q->key) : NULL;
    const bool whole = q->type == RESULT_INT8 || q->type == RESULT_INT32;
    *low = q->low;
    *high = q->high;
    if (key) {
        const double slack = 1e-9 * (key->high - key->low); /* what conversions of units round */
        *low = key->low - slack;
        *high = key->high + slack;
    } else if (q->n_words > 0) {
        *high = q->n_words - 1;
    } else if (q->low == 0.0 && q->high == 0.0) {
        const char *unit = q->unit ? q->unit : "";
        *low = q->type == RESULT_DOUBLE || q->type == RESULT_FLOAT ? -1e5 : 0.0;
        *high = whole ? INT32_MAX : q->type != RESULT_SHARE ? 1e5 : strcmp(unit, "1") == 0 ? 1.0 + 1e-4
                : strcmp(unit, "percent") == 0 ? 100.0 + 1e-2 : 1e9;
    }
}

static void **pointer_of(const drupelet_result *result, result_place place)
{
    return (void **)(void *)((char *)(uintptr_t)(const void *)result + place.at);
}

void *result_value(const drupelet_result *result, const result_group *group, const result_quantity *quantity, size_t i)
{
    const result_place p = quantity->place;
    const size_t size = result_value_size(quantity->type);
    if (p.none)
        return NULL;
    char *base = p.apart ? *pointer_of(result, p) : (char *)pointer_of(result, p);
    if (!base)
        return NULL;
    if (p.stride == 0)
        return base + i * size;
    size_t shape[RESULT_MOST_AXES], inner = 1;
    const int rank = result_shape(result, group, quantity, shape);
    for (int k = 1; k < rank; k++)
        inner *= shape[k];
    return base + i / inner * p.stride + p.field + i % inner * size;
}

double result_number(const result_quantity *q, const void *at, size_t i)
{
    switch (at ? q->type : RESULT_TEXT) {
    case RESULT_SHARE: return ((const tally_estimate *)at)->share;
    case RESULT_DOUBLE: return *(const double *)at;
    case RESULT_FLOAT: return (double)*(const float *)at;
    case RESULT_INT8: return *(const int8_t *)at;
    case RESULT_INT32: return *(const int32_t *)at;
    case RESULT_INT64: return (double)*(const int64_t *)at;
    case RESULT_TEXT: break;
    }
    return q->first + (double)i; /* a numbered axis */
}

bool result_make_room(drupelet_result *result)
{
    for (int g = 0; g < result_n_groups; g++)
        for (int k = 0; k < result_groups[g]->n; k++) {
            const result_quantity *q = &result_groups[g]->quantity[k];
            const result_place p = q->place;
            size_t shape[RESULT_MOST_AXES];
            if (!p.apart || *pointer_of(result, p) || result_empty(result, result_groups[g], q))
                continue;
            result_shape(result, result_groups[g], q, shape);
            const size_t n = p.stride > 0 ? shape[0] : result_size(result, result_groups[g], q);
            void *room = calloc(n, p.stride > 0 ? p.stride : result_value_size(q->type));
            if (!room)
                return false;
            *pointer_of(result, p) = room;
        }
    return true;
}

void result_drop(drupelet_result *result)
{
    for (int g = 0; g < result_n_groups; g++) /* texts first: they lie in arrays that go next */
        for (int k = 0; k < result_groups[g]->n; k++) {
            const result_quantity *q = &result_groups[g]->quantity[k];
            const size_t n = q->type == RESULT_TEXT ? result_size(result, result_groups[g], q) : 0;
            for (size_t i = 0; i < n; i++) {
                char **text = result_value(result, result_groups[g], q, i);
                if (text)
                    free(*text);
            }
        }
    for (int g = 0; g < result_n_groups; g++)
        for (int k = 0; k < result_groups[g]->n; k++) {
            const result_place p = result_groups[g]->quantity[k].place;
            if (p.apart) {
                free(*pointer_of(result, p));
                *pointer_of(result, p) = NULL;
            }
        }
}
