/* sim/store/read.c - reads a result file back: the table of quantities (result/quantity.h) says what to look for, and
 * what its numbers can be. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"
#include "result/quantity.h"
#include "store/apart.h"
#include "store/in.h"
#include "store/store.h"
#include "store/stored.h"

static void path_of(const result_group *group, const result_quantity *q, const char *ending, char path[STORE_IN_NAME])
{
    snprintf(path, STORE_IN_NAME, "%s/%s%s", group->name, q->name, ending);
}

/* What the run was to find out. */
static void read_target(store_in *in, drupelet_result *r)
{
    int64_t reached, rounds;
    double asked, found;
    r->target_name = store_in_note(in, NULL, "target");
    store_in_note_real(in, "target_error_percent", &asked);
    store_in_note_real(in, "target_error_found_percent", &found);
    store_in_note_whole(in, "target_reached", &reached);
    store_in_note_whole(in, "target_rounds", &rounds);
    r->target = (drupelet_target){true, reached == 1, 0.01 * found, r->n_droplets};
    r->target_asked = 0.01 * asked;
    r->target_rounds = (int32_t)rounds;
}

static void read_root(store_in *in, drupelet_result *r)
{
    int64_t format;
    store_in_note_whole(in, "format_number", &format);
    if (store_in_fine(in) && format != STORE_FORMAT)
        in->status = base_error(DRUPELET_SCENARIO, "%s: is a result of format %lld, and this program reads format %d",
                                in->path, (long long)format, STORE_FORMAT);
    store_in_note_unsigned(in, "seed", &r->seed);
    store_in_note_whole(in, "n_droplets", &r->n_droplets);
    if (store_in_fine(in) && r->n_droplets < 1)
        store_in_refuse(in, "n_droplets", "1 or more", "%lld", (long long)r->n_droplets);
    store_in_note_whole(in, "n_steps", &r->n_steps);
    r->version = store_in_note(in, NULL, "program_version");
    r->caution = store_in_note(in, NULL, "caution");
    store_in_note_real(in, "spray_vapour_g_m3", &r->spray_vapour_g_m3);
    store_in_note_real(in, "spray_humidity_percent", &r->spray_humidity_percent);
    store_in_note_real(in, "spray_cooling_K", &r->spray_cooling_K);
    store_in_note_real(in, "spray_slower_drying_percent", &r->spray_slower_drying_percent);
    if (store_in_fine(in) && store_in_has_note(in, NULL, "target"))
        read_target(in, r);
}

static hsize_t count_words(store_in *in, const char *path, int most)
{
    hsize_t n = 0;
    char **text = store_in_texts(in, path, 1, &n, (hsize_t)most);
    for (hsize_t i = 0; text && i < n; i++)
        free(text[i]);
    free(text);
    return n;
}

/* Lengths of the axes, as the file has them. */
static void read_lengths(store_in *in, drupelet_result *r, const result_group *group)
{
    char path[STORE_IN_NAME];
    for (int k = 0; k < group->n && store_in_fine(in); k++) {
        const result_quantity *q = &group->quantity[k];
        hsize_t shape[STORE_IN_RANK];
        int rank;
        if (q->axes || q->length > 0)
            continue;
        path_of(group, q, "", path);
        if ((q->use & RESULT_MAY_LACK) && !store_in_has(in, path))
            continue;
        if (q->type == RESULT_TEXT) {
            shape[0] = count_words(in, path, q->most);
        } else {
            store_in_shape(in, path, &rank, shape);
            if (store_in_fine(in) && rank != 1)
                store_in_refuse(in, path, "one dimension", "%d", rank);
        }
        *(int *)(void *)((char *)r + q->count) = store_in_size(in, path, shape[0], q->most);
    }
}

/* Puts n values that follow one another to their places, part bytes from where each begins. */
static void scatter(drupelet_result *r, const result_group *group, const result_quantity *q, size_t n, size_t part,
                    size_t size, const void *from)
{
    for (size_t i = 0; i < n; i++)
        memcpy((char *)result_value(r, group, q, i) + part, (const char *)from + i * size, size);
}

/* What the file lacks is not known. */
static void set_unknown(drupelet_result *r, const result_group *group, const result_quantity *q, size_t n)
{
    const tally_estimate none = {NAN, NAN};
    for (size_t i = 0; i < n && (q->type == RESULT_SHARE || q->type == RESULT_DOUBLE); i++)
        memcpy(result_value(r, group, q, i), &none, result_value_size(q->type));
}

static void check(store_in *in, const char *path, const result_quantity *q, size_t n, bool error, const void *values)
{
    double low, high;
    result_range(q, &low, &high);
    const store_range range = {error ? 0.0 : low, high, (q->use & RESULT_MAY_BE_NONE) != 0};
    switch (q->type) {
    case RESULT_SHARE: store_in_check(in, path, n, values, range); break;
    case RESULT_DOUBLE:
        if (q->axes && !(q->use & RESULT_ORDERED))
            store_in_check(in, path, n, values, range);
        else
            store_in_check_axis(in, path, n, values, range);
        break;
    case RESULT_FLOAT: store_in_check_floats(in, path, n, values, range); break;
    case RESULT_INT8: case RESULT_INT32:
        store_in_check_counts(in, path, n, values, (int32_t)low, (int32_t)high);
        break;
    case RESULT_INT64: case RESULT_TEXT: break;
    }
}

/* Numbers of one dataset to their places. @param part of the value that they are, in bytes from its beginning */
static void read_numbers(store_in *in, drupelet_result *r, const result_group *group, const result_quantity *q,
                         const char *ending, size_t part)
{
    const size_t n = result_size(r, group, q);
    const store_type type = q->type == RESULT_INT8 ? STORE_INT32 : store_type_of(q->type);
    size_t shape[RESULT_MOST_AXES];
    hsize_t expected[STORE_IN_RANK];
    char path[STORE_IN_NAME];
    const int rank = result_shape(r, group, q, shape);
    for (int i = 0; i < rank; i++)
        expected[i] = shape[i];
    path_of(group, q, ending, path);
    const bool packed = q->place.stride == 0 && q->type != RESULT_SHARE && q->type != RESULT_INT8;
    void *room = packed ? NULL : store_in_memory(in, n, sizeof(double));
    void *values = packed ? result_value(r, group, q, 0) : room;
    if (values && store_in_fine(in)) {
        store_in_get(in, path, type, rank, expected, values);
        check(in, path, q, n, part > 0, values);
        if (q->type == RESULT_INT8)
            for (size_t i = 0; i < n; i++)
                *(int8_t *)result_value(r, group, q, i) = (int8_t)((const int32_t *)values)[i];
        else if (!packed)
            scatter(r, group, q, n, part, q->type == RESULT_SHARE ? sizeof(double) : result_value_size(q->type),
                    values);
    }
    free(room);
}

static void read_words(store_in *in, drupelet_result *r, const result_group *group, const result_quantity *q)
{
    char path[STORE_IN_NAME];
    const size_t expected = result_size(r, group, q);
    hsize_t n = expected;
    path_of(group, q, "", path);
    char **text = store_in_texts(in, path, q->axes && q->axes[0] == '\0' ? 0 : 1, &n, expected);
    for (size_t i = 0; text && i < expected; i++) {
        char **place = result_value(r, group, q, i);
        if (place)
            *place = text[i];
        else if (store_in_fine(in) && strcmp(text[i], q->word((int)i)) != 0)
            store_in_refuse(in, path, q->word((int)i), "'%.40s'", text[i]);
        if (!place)
            free(text[i]);
    }
    free(text);
}

/* @param absent the file lacks the whole group: one of an earlier release does where the group came later */
static void read_quantity(store_in *in, drupelet_result *r, const result_group *group, const result_quantity *q,
                          bool absent)
{
    char path[STORE_IN_NAME];
    path_of(group, q, "", path);
    if (!store_in_fine(in) || result_empty(r, group, q))
        return;
    const bool lacks = (q->use & RESULT_MAY_LACK) && !store_in_has(in, path);
    if (q->place.none && (absent || lacks)) {
        return; /* words that the program has itself */
    } else if (q->type == RESULT_TEXT && lacks && q->axes && !q->axes[0]) {
        *(char **)result_value(r, group, q, 0) = result_copy("");
    } else if (q->type == RESULT_TEXT) {
        read_words(in, r, group, q);
    } else if (q->place.none) {
        return; /* the points of the axis are numbered: its length is all that it says */
    } else if (lacks) {
        set_unknown(r, group, q, result_size(r, group, q));
    } else {
        read_numbers(in, r, group, q, "", 0);
        if (q->type == RESULT_SHARE)
            read_numbers(in, r, group, q, "_standard_error", offsetof(tally_estimate, error));
    }
}

static void read_group(store_in *in, drupelet_result *r, const result_group *group)
{
    const bool absent = store_in_fine(in) && !store_in_has(in, group->name);
    for (int k = 0; k < group->n; k++)
        read_quantity(in, r, group, &group->quantity[k], absent);
    const char *found, *amiss = store_in_fine(in) && group->settle ? group->settle(r, &found) : NULL;
    if (amiss) {
        char path[STORE_IN_NAME];
        snprintf(path, sizeof path, "%s/%s", group->name, amiss);
        store_in_refuse(in, path, "what fits the rest of the group", "%s", found);
    }
}

/* Fields claim as many numbers as their axes have points together: can the file hold them? */
static void check_claims(store_in *in, const drupelet_result *r, const result_group *group)
{
    char path[STORE_IN_NAME];
    for (int k = 0; k < group->n && store_in_fine(in); k++) {
        const result_quantity *q = &group->quantity[k];
        hsize_t found[STORE_IN_RANK];
        size_t shape[RESULT_MOST_AXES];
        int rank;
        path_of(group, q, "", path);
        if (!q->place.apart || result_shape(r, group, q, shape) < 2 || result_empty(r, group, q)
            || ((q->use & RESULT_MAY_LACK) && !store_in_has(in, path)))
            continue;
        store_in_shape(in, path, &rank, found);
        bool same = rank == result_shape(r, group, q, shape);
        for (int i = 0; i < rank && same; i++)
            same = found[i] == shape[i];
        if (store_in_fine(in) && !same)
            store_in_refuse(in, path, "the lengths of its axes", "other lengths");
    }
}

static drupelet_status read_here(const char *path, drupelet_result **result)
{
    store_in in;
    *result = NULL;
    drupelet_result *r = result_create();
    if (!r)
        return base_error(DRUPELET_MEMORY, "%s: no memory to read it", path);
    store_in_open(path, STORE_IN_RESULT, &in);
    read_root(&in, r);
    for (int g = 0; g < result_n_groups; g++)
        read_lengths(&in, r, result_groups[g]);
    for (int g = 0; g < result_n_groups; g++)
        check_claims(&in, r, result_groups[g]);
    if (store_in_fine(&in) && !result_make_room(r))
        in.status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", path);
    for (int g = 0; g < result_n_groups; g++)
        read_group(&in, r, result_groups[g]);
    store_in_close(&in);
    if (store_in_fine(&in))
        *result = r;
    else
        drupelet_result_free(r);
    return in.status;
}

static drupelet_status look(const char *path)
{
    drupelet_result *result;
    return read_here(path, &result);
}

drupelet_status store_read(const char *path, drupelet_result **result)
{
    const drupelet_status status = store_try(path, look);
    *result = NULL;
    return status.code == DRUPELET_OK ? read_here(path, result) : status;
}

drupelet_status drupelet_result_read(const char *path, drupelet_result **result)
{
    void *former_locale;
    drupelet_status status = base_c_locale_enter(&former_locale);
    *result = NULL;
    if (status.code == DRUPELET_OK) {
#pragma omp critical(store_hdf5)
        status = store_read(path, result);
    }
    base_c_locale_leave(former_locale);
    return status;
}
