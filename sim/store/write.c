/* sim/store/write.c - a result into a file: the table of quantities (result/quantity.h) says what goes into it. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"
#include "result/quantity.h"
#include "store/out.h"
#include "store/store.h"
#include "store/stored.h"

static void write_root(store_out *out, const drupelet_result *result)
{
    char title[SCENARIO_TEXT + 64];
    const int32_t format = STORE_FORMAT;
    snprintf(title, sizeof title, "Where the spray went: %s", result->name);
    store_out_note(out, NULL, "Conventions", "drupelet-result-2");
    store_out_note(out, NULL, "title", title);
    store_out_note(out, NULL, "source", "drupelet, simulation of air-assisted orchard spraying");
    store_out_note_number(out, "format_number", H5T_NATIVE_INT32, &format);
    store_out_note(out, NULL, "program_version", result->version);
    store_out_note_number(out, "seed", H5T_NATIVE_UINT64, &result->seed);
    store_out_note_number(out, "n_droplets", H5T_NATIVE_INT64, &result->n_droplets);
    store_out_note_number(out, "n_steps", H5T_NATIVE_INT64, &result->n_steps);
    if (result->target_name) {
        const int32_t reached = result->target.reached;
        store_out_note(out, NULL, "target", result->target_name);
        store_out_note_number(out, "target_error_percent", H5T_NATIVE_DOUBLE, &(double){100.0 * result->target_asked});
        store_out_note_number(out, "target_error_found_percent", H5T_NATIVE_DOUBLE,
                              &(double){100.0 * result->target.error});
        store_out_note_number(out, "target_reached", H5T_NATIVE_INT32, &reached);
        store_out_note_number(out, "target_rounds", H5T_NATIVE_INT32, &result->target_rounds);
    }
    store_out_note_number(out, "spray_vapour_g_m3", H5T_NATIVE_DOUBLE, &result->spray_vapour_g_m3);
    store_out_note_number(out, "spray_humidity_percent", H5T_NATIVE_DOUBLE, &result->spray_humidity_percent);
    store_out_note_number(out, "spray_cooling_K", H5T_NATIVE_DOUBLE, &result->spray_cooling_K);
    store_out_note_number(out, "spray_slower_drying_percent", H5T_NATIVE_DOUBLE, &result->spray_slower_drying_percent);
    store_out_note(out, NULL, "caution", result->caution);
    store_out_note(out, NULL, "frame", "x across the rows (row 1 at x = 0, the others at -x), y along the rows, z up");
    store_out_note(out, NULL, "errors",
                   "standard errors of the mean, from 32 independent batches of droplets; they cover the "
                   "sampling of droplets only, not what the model gets wrong");
}

/* Copies n values to where they follow one another; of shares the value, or the standard error. */
static void gather(const drupelet_result *result, const result_group *group, const result_quantity *q, size_t n,
                   bool error, void *to)
{
    const size_t size = q->type == RESULT_SHARE ? sizeof(double) : result_value_size(q->type);
    for (size_t i = 0; i < n; i++) {
        const void *value = result_value(result, group, q, i);
        char *at = (char *)to + i * size;
        if (q->type == RESULT_SHARE) {
            const tally_estimate *e = value;
            memcpy(at, error ? &e->error : &e->share, size);
        } else if (q->type == RESULT_TEXT) {
            const char *text = q->word ? q->word((int)i) : *(char *const *)value;
            memcpy(at, &text, size);
        } else if (!value) {
            const int32_t ordinal = q->first + (int32_t)i;
            memcpy(at, &ordinal, size);
        } else {
            memcpy(at, value, size);
        }
    }
}

static void write_flags(store_out *out, const result_quantity *q)
{
    char meanings[512] = "";
    for (int i = 0; i < q->n_words; i++) {
        const size_t n = strlen(meanings);
        snprintf(meanings + n, sizeof meanings - n, "%s%s", i > 0 ? " " : "", q->word(i));
    }
    store_out_flags(out, q->name, q->n_words, meanings);
}

static void write_quantity(store_out *out, const drupelet_result *result, const result_group *group,
                           const result_quantity *q)
{
    const size_t n = result_size(result, group, q);
    const store_type type = store_type_of(q->type);
    if (n == 0)
        return; /* no dimension may be 0 long */
    const bool packed = q->type != RESULT_SHARE && q->type != RESULT_TEXT && !q->place.none && q->place.stride == 0;
    void *room = packed ? NULL : store_out_memory(out, n, sizeof(double));
    const void *values = packed ? result_value(result, group, q, 0) : room;
    if (!values)
        return;
    if (room)
        gather(result, group, q, n, false, room);
    if (q->axes)
        store_out_put(out, q->name, q->axes, type, values, q->unit, q->meaning);
    else
        store_out_axis(out, q->name, type, n, values, q->unit, q->mark, q->meaning);
    if (q->note[0])
        store_out_note(out, q->name, q->note[0], q->note[1]);
    if (q->n_words > 0)
        write_flags(out, q);
    if (q->type == RESULT_SHARE) {
        char name[96], meaning[512];
        snprintf(name, sizeof name, "%s_standard_error", q->name);
        snprintf(meaning, sizeof meaning, "standard error of: %s", q->meaning);
        gather(result, group, q, n, true, room);
        store_out_put(out, name, q->axes, type, values, q->unit, meaning);
    }
    free(room);
}

static void write_all(store_out *out, const drupelet_result *result)
{
    write_root(out, result);
    for (int g = 0; g < result_n_groups; g++) {
        const result_group *group = result_groups[g];
        store_out_group(out, group->name, group->meaning);
        for (int k = 0; k < group->n; k++)
            write_quantity(out, result, group, &group->quantity[k]);
    }
}

static drupelet_status write_file(const drupelet_result *result, const char *path, bool overwrite)
{
    store_out out;
    const drupelet_status status = store_out_begin(path, overwrite, &out);
    if (status.code != DRUPELET_OK)
        return status;
    write_all(&out, result);
    return store_out_end(&out, true);
}

drupelet_status drupelet_result_write(const drupelet_result *result, const char *path, bool overwrite)
{
    void *former_locale;
    drupelet_status status = base_c_locale_enter(&former_locale);
    if (status.code == DRUPELET_OK) {
#pragma omp critical(store_hdf5)
        status = write_file(result, path, overwrite);
    }
    base_c_locale_leave(former_locale);
    return status;
}
