/* sim/store/sweep_write.c - writes the result file of a sweep, block by block, so that memory does not grow with the
 * number of cases. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "drupelet/run.h"
#include "store/out.h"
#include "store/store.h"
#include "store/sweep_file.h"

enum { NAME = 96, REASON = sizeof((drupelet_status *)0)->message };

struct store_sweep_writer {
    const store_sweep_head *head;
    store_out out;
    int64_t n, n_failed, room_failed;
    int64_t *failed;  /* cases, from 1 */
    char **reason;
    void *column;     /* of a block: the widest */
};

/* ---- before the cases ---- */

static void put_axis_of_cases(store_out *out, const store_sweep_head *head)
{
    int64_t *ordinal = store_out_memory(out, (size_t)head->n_cases, sizeof *ordinal);
    for (int64_t i = 0; ordinal && i < head->n_cases; i++)
        ordinal[i] = i + 1;
    if (ordinal)
        store_out_axis(out, "case", STORE_INT64, (hsize_t)head->n_cases, ordinal, "1", NULL, "case of the sweep");
    free(ordinal);
}

static void put_factors(store_out *out, const store_sweep_head *head)
{
    store_out_group(out, "factors", "what varies: settings by case");
    put_axis_of_cases(out, head);
    for (int i = 0; i < head->n_factors; i++) {
        const store_sweep_factor *f = &head->factor[i];
        char name[NAME], long_name[256];
        snprintf(long_name, sizeof long_name, "%s", f->key[0] ? f->key : "several keys by level");
        if (!f->numeric) {
            snprintf(name, sizeof name, "%s_levels", f->name);
            store_out_axis(out, name, STORE_TEXT, (hsize_t)f->n_levels, f->level, NULL, NULL, "levels of the factor");
            strcat(long_name, ", number of the level, from 0");
        }
        store_out_put(out, f->name, "case", f->numeric ? STORE_DOUBLE : STORE_INT32, NULL,
                      f->units[0] ? f->units : "1", long_name);
        if (f->key[0])
            store_out_note(out, f->name, "key", f->key);
    }
}

static void put_results(store_out *out, const store_sweep_head *head)
{
    char name[NAME];
    store_out_group(out, "results", "what came of it, by case; not a number where the case failed");
    put_axis_of_cases(out, head);
    for (int i = 0, n = result_columns_all(); i < n; i++) {
        const result_column o = result_column_of(i);
        store_out_put(out, o.name, "case", STORE_DOUBLE, NULL, o.units, o.long_name);
        snprintf(name, sizeof name, "%s_standard_error", o.name);
        store_out_put(out, name, "case", STORE_DOUBLE, NULL, o.units, "standard error of the mean of 32 batches");
    }
    store_out_put(out, "application_rate", "case", STORE_DOUBLE, NULL, "L/ha", "volume emitted per treated area");
    store_out_group(out, "batches", "the same, batch by batch: batch b of two cases with one seed has the same random "
                                    "numbers, so that differences have standard errors of their own");
    put_axis_of_cases(out, head);
    int32_t batch[TALLY_BATCHES];
    for (int b = 0; b < TALLY_BATCHES; b++)
        batch[b] = b;
    store_out_axis(out, "batch", STORE_INT32, TALLY_BATCHES, batch, "1", NULL, "batch of droplets");
    for (int i = 0, n = result_columns_batched(); i < n; i++) {
        const result_column o = result_column_of(i);
        store_out_put(out, o.name, "case batch", STORE_FLOAT, NULL, o.units, o.long_name);
    }
}

static void put_profiles(store_out *out, const store_sweep_head *head)
{
    const char *thirds[TALLY_THIRDS];
    double distance_m[RESULT_STRIPS];
    store_out_group(out, "profiles", "along the ground and up the crown, by case");
    put_axis_of_cases(out, head);
    for (int i = 0; i < RESULT_STRIPS; i++)
        distance_m[i] = RESULT_STRIP_M * (i + 0.5);
    for (int t = 0; t < TALLY_THIRDS; t++)
        thirds[t] = result_third_name(t);
    store_out_axis(out, "distance", STORE_DOUBLE, RESULT_STRIPS, distance_m, "m", NULL,
                   "distance downwind of the block, middle of a strip of 1 m");
    store_out_axis(out, "third", STORE_TEXT, TALLY_THIRDS, thirds, NULL, NULL, "third of the crown's height");
    store_out_put(out, "ground", "case distance", STORE_DOUBLE, NULL, "percent",
                  "deposit on the ground, percent of the application rate");
    store_out_put(out, "ground_standard_error", "case distance", STORE_DOUBLE, NULL, "percent",
                  "standard error of the mean of 32 batches");
    store_out_put(out, "leaf", "case third", STORE_DOUBLE, NULL, "percent", "on leaves, percent of the output");
    store_out_put(out, "leaf_standard_error", "case third", STORE_DOUBLE, NULL, "percent",
                  "standard error of the mean of 32 batches");
}

static void put_collectors(store_out *out, const store_sweep_head *head)
{
    enum { MEANINGS = 160 };
    const char *name[SCENARIO_COLLECTORS];
    int8_t kind[SCENARIO_COLLECTORS];
    double distance_m[SCENARIO_COLLECTORS], height_m[SCENARIO_COLLECTORS], top_m[SCENARIO_COLLECTORS];
    char full[NAME], kinds[MEANINGS] = "";
    for (int i = 0; i < head->n_collectors; i++) {
        const store_sweep_collector *c = &head->collector[i];
        name[i] = c->name;
        kind[i] = c->kind;
        distance_m[i] = c->distance_m;
        height_m[i] = c->height_m;
        top_m[i] = c->top_m;
    }
    for (int k = 0; k < SCENARIO_COLLECTOR_KINDS; k++)
        base_add_word(kinds, sizeof kinds, " ", scenario_collector_kind_name(k));
    const hsize_t rows = out->rows_a_chunk;
    store_out_group(out, "collectors", "what the collectors of each case caught; not a number where a case has no "
                                       "collector of that name");
    put_axis_of_cases(out, head);
    store_out_axis(out, "collector", STORE_TEXT, (hsize_t)head->n_collectors, name, NULL, NULL,
                   "collector, as the scenario of the first case calls it");
    out->rows_a_chunk = 0; /* not by case */
    store_out_put(out, "kind", "collector", STORE_INT8, kind, "1", "kind of collector");
    store_out_flags(out, "kind", SCENARIO_COLLECTOR_KINDS, kinds);
    store_out_put(out, "distance", "collector", STORE_DOUBLE, distance_m, "m",
                  "distance downwind of the block in the first case; negative inside it and upwind");
    store_out_put(out, "height", "collector", STORE_DOUBLE, height_m, "m",
                  "height of its middle, of a line's lower end, in the first case");
    store_out_put(out, "top", "collector", STORE_DOUBLE, top_m, "m",
                  "height of its middle, of a line's upper end, in the first case");
    out->rows_a_chunk = rows;
    for (int k = 0; k < RESULT_CATCHES; k++) {
        const result_column c = result_catch_of(k);
        store_out_put(out, c.name, "case collector", STORE_DOUBLE, NULL, c.units, c.long_name);
        snprintf(full, sizeof full, "%s_standard_error", c.name);
        store_out_put(out, full, "case collector", STORE_DOUBLE, NULL, c.units,
                      "standard error of the mean of 32 batches");
    }
}

static void put_all(store_out *out, const store_sweep_head *head)
{
    const int32_t format = STORE_SWEEP_FORMAT, replicates = head->n_replicates;
    const int8_t indices = head->indices;
    const char *text[5] = {head->name, head->design, head->plan_text, head->scenario_text, NULL};
    store_out_note(out, NULL, "Conventions", "drupelet-sweep-2");
    store_out_note(out, NULL, "title", head->name);
    store_out_note_number(out, "format_number", H5T_NATIVE_INT32, &format);
    store_out_note(out, NULL, "program_version", head->version);
    store_out_note(out, NULL, "caution", head->caution);
    store_out_note(out, NULL, "errors", "NAME_standard_error covers the sampling of droplets, not what the model gets "
                                        "wrong; differences between cases: group batches");
    store_out_group(out, "inputs", "the plan");
    store_out_put(out, "name", "", STORE_TEXT, &text[0], NULL, "name of the sweep");
    store_out_put(out, "design", "", STORE_TEXT, &text[1], NULL, "grid, listed, latin_hypercube or sobol");
    store_out_put(out, "plan", "", STORE_TEXT, &text[2], NULL, "plan as read");
    store_out_put(out, "scenario", "", STORE_TEXT, &text[3], NULL, "base scenario as read");
    store_out_put(out, "replicates", "", STORE_INT32, &replicates, "1", "replicates of each point");
    store_out_put(out, "indices", "", STORE_INT8, &indices, "1",
                  "1: points for sensitivity indices, factors + 2 for each sample: A, A with one factor of B, B");
    out->rows_a_chunk = (hsize_t)(head->n_cases < STORE_SWEEP_BLOCK ? head->n_cases : STORE_SWEEP_BLOCK);
    store_out_group(out, "cases", "the cases");
    put_axis_of_cases(out, head);
    store_out_put(out, "point", "case", STORE_INT64, NULL, "1", "point of the design, from 1");
    store_out_put(out, "replicate", "case", STORE_INT32, NULL, "1", "replicate of the point, from 1");
    store_out_put(out, "seed", "case", STORE_INT64, NULL, "1", "seed of the random numbers");
    store_out_put(out, "state", "case", STORE_INT8, NULL, "1", "what became of the case");
    store_out_flags(out, "state", 2, "done failed");
    store_out_put(out, "n_droplets", "case", STORE_INT64, NULL, "1", "droplets followed");
    put_factors(out, head);
    put_results(out, head);
    if (head->profiles)
        put_profiles(out, head);
    if (head->n_collectors > 0)
        put_collectors(out, head);
}

drupelet_status store_sweep_begin(const store_sweep_head *head, const char *path, bool overwrite,
                                  store_sweep_writer **writer)
{
    *writer = NULL;
    store_sweep_writer *w = calloc(1, sizeof *w);
    if (!w)
        return base_error(DRUPELET_MEMORY, "no memory for the results of the sweep");
    w->head = head;
    _Static_assert((int)SCENARIO_COLLECTORS <= (int)RESULT_STRIPS, "a strip is the widest column");
    w->column = malloc(STORE_SWEEP_BLOCK * RESULT_STRIPS * sizeof(double));
    const drupelet_status status = w->column ? store_out_begin(path, overwrite, &w->out)
                                             : base_error(DRUPELET_MEMORY, "no memory for the results of the sweep");
    if (status.code != DRUPELET_OK) {
        free(w->column);
        free(w);
        return status;
    }
    put_all(&w->out, head);
    *writer = w;
    return base_ok();
}

/* ---- cases ---- */

/* Goes back to a group that is there. */
static void go_to(store_out *out, const char *name)
{
    if (out->status.code != DRUPELET_OK)
        return;
    H5Gclose(out->group);
    out->group = H5Gopen2(out->file, name, H5P_DEFAULT);
    if (out->group < 0)
        out->status = base_error(DRUPELET_FILE, "%s: HDF5 cannot put the result together (at '%s')", out->draft.path,
                                 name);
}

static void add_cases(store_sweep_writer *w, const store_sweep_row *row, int n)
{
    const hsize_t first = (hsize_t)w->n, rows = (hsize_t)n;
    const int r = w->head->n_replicates;
    int64_t *whole = w->column;
    int32_t *count = w->column;
    int8_t *flag = w->column;
    store_out *out = &w->out;
    go_to(out, "cases");
    for (int i = 0; i < n; i++)
        whole[i] = (w->n + i) / r + 1;
    store_out_rows(out, "point", STORE_INT64, first, rows, whole);
    for (int i = 0; i < n; i++)
        count[i] = (int32_t)((w->n + i) % r + 1);
    store_out_rows(out, "replicate", STORE_INT32, first, rows, count);
    for (int i = 0; i < n; i++)
        whole[i] = row[i].seed;
    store_out_rows(out, "seed", STORE_INT64, first, rows, whole);
    for (int i = 0; i < n; i++)
        whole[i] = row[i].n_droplets;
    store_out_rows(out, "n_droplets", STORE_INT64, first, rows, whole);
    for (int i = 0; i < n; i++)
        flag[i] = row[i].reason != NULL;
    store_out_rows(out, "state", STORE_INT8, first, rows, flag);
}

static void add_factors(store_sweep_writer *w, const store_sweep_row *row, int n)
{
    double *number = w->column;
    int32_t *level = w->column;
    go_to(&w->out, "factors");
    for (int f = 0; f < w->head->n_factors; f++) {
        const store_sweep_factor *factor = &w->head->factor[f];
        for (int i = 0; i < n; i++) {
            if (factor->numeric)
                number[i] = row[i].setting[f];
            else
                level[i] = (int32_t)row[i].setting[f];
        }
        store_out_rows(&w->out, factor->name, factor->numeric ? STORE_DOUBLE : STORE_INT32, (hsize_t)w->n, (hsize_t)n,
                       w->column);
    }
}

static void add_results(store_sweep_writer *w, const store_sweep_row *row, int n)
{
    const hsize_t first = (hsize_t)w->n, rows = (hsize_t)n;
    double *number = w->column;
    float *batch = w->column;
    char name[NAME];
    store_out *out = &w->out;
    go_to(out, "results");
    const int n_columns = result_columns_all(), n_batched = result_columns_batched();
    for (int k = 0; k < n_columns; k++) {
        const result_column o = result_column_of(k);
        for (int i = 0; i < n; i++)
            number[i] = row[i].measures.value[k].share;
        store_out_rows(out, o.name, STORE_DOUBLE, first, rows, number);
        for (int i = 0; i < n; i++)
            number[i] = row[i].measures.value[k].error;
        snprintf(name, sizeof name, "%s_standard_error", o.name);
        store_out_rows(out, name, STORE_DOUBLE, first, rows, number);
    }
    for (int i = 0; i < n; i++)
        number[i] = row[i].measures.application_rate_L_ha;
    store_out_rows(out, "application_rate", STORE_DOUBLE, first, rows, number);
    go_to(out, "batches");
    for (int k = 0; k < n_batched; k++) {
        for (int i = 0; i < n; i++)
            memcpy(batch + i * TALLY_BATCHES, row[i].measures.batch[k], sizeof row[i].measures.batch[k]);
        store_out_rows(out, result_column_of(k).name, STORE_FLOAT, first, rows, batch);
    }
}

/* A profile of n_each estimates a case, values and errors. */
static void add_profile(store_sweep_writer *w, const char *name, const store_sweep_row *row, int n, size_t at,
                        int n_each)
{
    double *number = w->column;
    char full[NAME];
    for (int error = 0; error < 2; error++) {
        for (int i = 0; i < n; i++) {
            const tally_estimate *e = (const tally_estimate *)(const void *)((const char *)&row[i].measures + at);
            for (int k = 0; k < n_each; k++)
                number[i * n_each + k] = error ? e[k].error : e[k].share;
        }
        snprintf(full, sizeof full, "%s%s", name, error ? "_standard_error" : "");
        store_out_rows(&w->out, full, STORE_DOUBLE, (hsize_t)w->n, (hsize_t)n, number);
    }
}

static void add_caught(store_sweep_writer *w, const store_sweep_row *row, int n)
{
    double *number = w->column;
    char full[NAME];
    const int n_collectors = w->head->n_collectors;
    go_to(&w->out, "collectors");
    for (int k = 0; k < RESULT_CATCHES; k++)
        for (int error = 0; error < 2; error++) {
            for (int i = 0; i < n; i++)
                for (int c = 0; c < n_collectors; c++) {
                    const bool known = c < row[i].measures.n_collectors;
                    const tally_estimate *e = &row[i].measures.caught[c][k];
                    number[i * n_collectors + c] = !known ? NAN : error ? e->error : e->share;
                }
            snprintf(full, sizeof full, "%s%s", result_catch_of(k).name, error ? "_standard_error" : "");
            store_out_rows(&w->out, full, STORE_DOUBLE, (hsize_t)w->n, (hsize_t)n, number);
        }
}

static bool note_failure(store_sweep_writer *w, int64_t i_case, const char *reason)
{
    if (w->n_failed == w->room_failed) {
        const int64_t room = w->room_failed > 0 ? 2 * w->room_failed : 16;
        int64_t *failed = realloc(w->failed, (size_t)room * sizeof *failed);
        if (failed)
            w->failed = failed;
        char **reasons = failed ? realloc(w->reason, (size_t)room * sizeof *reasons) : NULL;
        if (!reasons)
            return false;
        w->reason = reasons;
        w->room_failed = room;
    }
    w->failed[w->n_failed] = i_case + 1;
    w->reason[w->n_failed] = strndup(reason, REASON);
    return w->reason[w->n_failed++] != NULL;
}

drupelet_status store_sweep_add(store_sweep_writer *w, const store_sweep_row *row, int n)
{
    add_cases(w, row, n);
    add_factors(w, row, n);
    add_results(w, row, n);
    if (w->head->profiles) {
        go_to(&w->out, "profiles");
        add_profile(w, "ground", row, n, offsetof(result_measures, strip), RESULT_STRIPS);
        add_profile(w, "leaf", row, n, offsetof(result_measures, third), TALLY_THIRDS);
    }
    if (w->head->n_collectors > 0)
        add_caught(w, row, n);
    for (int i = 0; i < n; i++)
        if (row[i].reason && !note_failure(w, w->n + i, row[i].reason) && w->out.status.code == DRUPELET_OK)
            w->out.status = base_error(DRUPELET_MEMORY, "no memory for the reasons of failures");
    w->n += n;
    return store_out_state(&w->out);
}

static void put_failures(store_sweep_writer *w)
{
    store_out_group(&w->out, "failures", "cases that failed, and why");
    if (w->n_failed == 0)
        return; /* no dimension may be 0 long */
    w->out.rows_a_chunk = 0;
    store_out_axis(&w->out, "failed_case", STORE_INT64, (hsize_t)w->n_failed, w->failed, "1", NULL, "case that failed");
    store_out_put(&w->out, "reason", "failed_case", STORE_TEXT, w->reason, NULL, "why");
}

drupelet_status store_sweep_end(store_sweep_writer *w, bool keep)
{
    if (keep)
        put_failures(w);
    const drupelet_status status = store_out_end(&w->out, keep);
    for (int64_t i = 0; i < w->n_failed; i++)
        free(w->reason[i]);
    free(w->reason);
    free(w->failed);
    free(w->column);
    free(w);
    return status;
}
