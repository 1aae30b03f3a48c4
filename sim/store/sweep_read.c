/* sim/store/sweep_read.c - reads the result file of a sweep, and writes its table as comma-separated values. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/status.h"
#include "store/apart.h"
#include "store/in.h"
#include "store/store.h"
#include "store/sweep_file.h"

/* Choices, beyond what a plan can ask for. */
enum { MOST_LEVELS = 1 << 20, MOST_CASES = 1 << 30, MOST_NAMES = 2 * STORE_SWEEP_FACTORS + 1 };
enum { NAME = STORE_IN_NAME - 16 }; /* bytes of a factor's name, so that its group and its ending fit in, too */

/* What numbers can be; not a number where a case failed. */
static const store_range SETTING = {-1e15, 1e15, false}, OUTPUT = {-1e15, 1e15, true}, ERROR = {0.0, 1e15, true},
                         PLACE = {-1e5, 1e5, false};

static void open_sweep(const char *path, store_in *in)
{
    int64_t format;
    store_in_open(path, STORE_IN_SWEEP, in);
    store_in_note_whole(in, "format_number", &format);
    if (store_in_fine(in) && format != STORE_SWEEP_FORMAT)
        in->status = base_error(DRUPELET_SCENARIO, "%s: is a sweep of format %lld, and this program reads format %d",
                                path, (long long)format, STORE_SWEEP_FORMAT);
}

/* ---- factors ---- */

static bool is_levels(const char *name)
{
    static const char ending[] = "_levels";
    const size_t n = strlen(name), end = sizeof ending - 1;
    return n > end && strcmp(name + n - end, ending) == 0;
}

static void read_factor(store_in *in, const char *name, store_sweep_factor *f)
{
    char full[STORE_IN_NAME], levels[STORE_IN_NAME];
    hsize_t n = 0;
    if (strlen(name) >= NAME) {
        store_in_refuse(in, "factors", "shorter names", "%.20s...", name);
        return;
    }
    snprintf(full, sizeof full, "factors/%s", name);
    snprintf(levels, sizeof levels, "factors/%s_levels", name);
    f->name = store_in_memory(in, NAME, 1);
    if (f->name)
        strcpy(f->name, name);
    f->numeric = !store_in_has(in, levels);
    if (!f->numeric)
        f->level = store_in_texts(in, levels, 1, &n, MOST_LEVELS);
    f->n_levels = f->level ? (int)n : 0;
    f->units = store_in_note(in, full, "units");
    f->key = store_in_has_note(in, full, "key") ? store_in_note(in, full, "key") : store_in_memory(in, 1, 1);
    if (f->units && strcmp(f->units, "1") == 0)
        f->units[0] = '\0';
}

static void read_factors(store_in *in, store_sweep_head *head)
{
    char(*name)[STORE_IN_NAME] = store_in_memory(in, MOST_NAMES, sizeof *name);
    const int n = name ? store_in_names(in, "factors", MOST_NAMES, name) : 0;
    for (int i = 0; i < n && store_in_fine(in); i++) {
        if (strcmp(name[i], "case") == 0 || is_levels(name[i]))
            continue;
        if (head->n_factors == STORE_SWEEP_FACTORS)
            store_in_refuse(in, "factors", "at most 24 factors", "one more");
        else
            read_factor(in, name[i], &head->factor[head->n_factors++]);
    }
    if (head->n_factors == 0)
        store_in_refuse(in, "factors", "at least one", "no factor");
    free(name);
}

/* ---- the head and the columns ---- */

static int whole_number(store_in *in, const char *name, int32_t low, int32_t high)
{
    int32_t value = 0;
    store_in_get(in, name, STORE_INT32, 0, NULL, &value);
    store_in_check_counts(in, name, 1, &value, low, high);
    return value;
}

static void read_head(store_in *in, store_sweep *s)
{
    hsize_t n = 0;
    s->head.version = store_in_note(in, NULL, "program_version");
    s->head.caution = store_in_note(in, NULL, "caution");
    s->head.name = store_in_text(in, "inputs/name");
    s->head.design = store_in_text(in, "inputs/design");
    s->head.plan_text = store_in_text(in, "inputs/plan");
    s->head.scenario_text = store_in_text(in, "inputs/scenario");
    s->head.n_replicates = whole_number(in, "inputs/replicates", 1, MOST_CASES);
    s->head.indices = whole_number(in, "inputs/indices", 0, 1) != 0;
    s->head.profiles = store_in_has(in, "profiles");
    s->seed = store_in_take(in, "cases/seed", STORE_INT64, 1, &n);
    s->head.n_cases = store_in_size(in, "cases/seed", n, MOST_CASES);
    if (store_in_fine(in) && s->head.n_cases % s->head.n_replicates != 0)
        store_in_refuse(in, "cases/seed", "a multiple of inputs/replicates", "%lld cases", (long long)s->head.n_cases);
    read_factors(in, &s->head);
}

static double *column(store_in *in, const store_sweep *s, const char *name, store_range range)
{
    hsize_t n = (hsize_t)s->head.n_cases;
    double *value = store_in_take(in, name, STORE_DOUBLE, 1, &n);
    if (value)
        store_in_check(in, name, (size_t)n, value, range);
    return value;
}

static void read_settings(store_in *in, store_sweep *s)
{
    char name[STORE_IN_NAME];
    for (int f = 0; f < s->head.n_factors && store_in_fine(in); f++) {
        const store_sweep_factor *factor = &s->head.factor[f];
        const store_range range = factor->numeric ? SETTING : (store_range){0.0, factor->n_levels - 1.0, false};
        snprintf(name, sizeof name, "factors/%s", factor->name);
        s->setting[f] = column(in, s, name, range);
    }
}

static void read_states(store_in *in, store_sweep *s)
{
    hsize_t n = (hsize_t)s->head.n_cases;
    s->n_droplets = store_in_take(in, "cases/n_droplets", STORE_INT64, 1, &n);
    for (hsize_t i = 0; i < n && store_in_fine(in); i++)
        if (s->n_droplets[i] < 0)
            store_in_refuse(in, "cases/n_droplets", "0 or more", "%lld", (long long)s->n_droplets[i]);
    int8_t *state = store_in_take(in, "cases/state", STORE_INT8, 1, &n);
    s->failed = store_in_memory(in, (size_t)n, sizeof *s->failed);
    for (hsize_t i = 0; i < n && s->failed; i++)
        s->failed[i] = state[i] != 0;
    free(state);
}

static void read_columns(store_in *in, store_sweep *s)
{
    char name[STORE_IN_NAME];
    read_states(in, s);
    read_settings(in, s);
    for (int k = 0, n = result_columns_all(); k < n && store_in_fine(in); k++) {
        snprintf(name, sizeof name, "results/%s", result_column_of(k).name);
        s->value[k] = column(in, s, name, OUTPUT);
        snprintf(name, sizeof name, "results/%s_standard_error", result_column_of(k).name);
        s->error[k] = column(in, s, name, ERROR);
    }
    s->application_rate_L_ha = column(in, s, "results/application_rate", OUTPUT);
}

/* What the collectors caught; files of before have no such group. */
static void read_collectors(store_in *in, store_sweep *s)
{
    hsize_t n = 0;
    if (!store_in_fine(in) || !store_in_has(in, "collectors/collector"))
        return;
    char **name = store_in_texts(in, "collectors/collector", 1, &n, SCENARIO_COLLECTORS);
    s->collector = store_in_memory(in, (size_t)n, sizeof *s->collector);
    int32_t *kind = store_in_take(in, "collectors/kind", STORE_INT32, 1, &n);
    static const char *const at[3] = {"collectors/distance", "collectors/height", "collectors/top"};
    double *place_m[3];
    for (int k = 0; k < 3; k++) {
        place_m[k] = store_in_take(in, at[k], STORE_DOUBLE, 1, &n);
        if (place_m[k])
            store_in_check(in, at[k], (size_t)n, place_m[k], PLACE);
    }
    if (kind)
        store_in_check_counts(in, "collectors/kind", (size_t)n, kind, 0, SCENARIO_COLLECTOR_KINDS - 1);
    for (hsize_t i = 0; i < n && store_in_fine(in); i++) {
        store_sweep_collector *c = &s->collector[i];
        if (strlen(name[i]) >= sizeof c->name) {
            store_in_refuse(in, "collectors/collector", "shorter names", "%.20s...", name[i]);
            break;
        }
        *c = (store_sweep_collector){.kind = (int8_t)kind[i], .distance_m = place_m[0][i], .height_m = place_m[1][i],
                                     .top_m = place_m[2][i]};
        strcpy(c->name, name[i]);
    }
    for (hsize_t i = 0; name && i < n; i++)
        free(name[i]);
    free(name);
    free(kind);
    for (int k = 0; k < 3; k++)
        free(place_m[k]);
    s->head.n_collectors = store_in_fine(in) ? (int)n : 0;
    s->head.collector = s->collector;
    for (int k = 0; k < RESULT_CATCHES && store_in_fine(in); k++) {
        hsize_t shape[2] = {(hsize_t)s->head.n_cases, n};
        char full[STORE_IN_NAME];
        for (int error = 0; error < 2; error++) {
            double **column = error ? &s->caught_error[k] : &s->caught[k];
            snprintf(full, sizeof full, "collectors/%s%s", result_catch_of(k).name, error ? "_standard_error" : "");
            *column = store_in_take(in, full, STORE_DOUBLE, 2, shape);
            if (*column)
                store_in_check(in, full, (size_t)(shape[0] * shape[1]), *column, error ? ERROR : OUTPUT);
        }
    }
}

void store_sweep_caught_name(const store_sweep *s, int i_collector, int i_catch, char name[STORE_SWEEP_NAME])
{
    snprintf(name, STORE_SWEEP_NAME, "%s: %s", s->head.collector[i_collector].name, result_catch_of(i_catch).name);
}

bool store_sweep_caught_known(const store_sweep *s, int i_collector, int i_catch)
{
    for (int64_t i = 0; i < s->head.n_cases; i++)
        if (isfinite(s->caught[i_catch][i * s->head.n_collectors + i_collector]))
            return true;
    return false;
}

bool store_sweep_is(const char *path)
{
    return store_in_is(path, STORE_IN_SWEEP);
}

static drupelet_status read_here(const char *path, store_sweep *s)
{
    store_in in;
    *s = (store_sweep){0};
    open_sweep(path, &in);
    s->path = store_in_memory(&in, strlen(path) + 1, 1);
    if (s->path)
        strcpy(s->path, path);
    read_head(&in, s);
    read_columns(&in, s);
    read_collectors(&in, s);
    store_in_close(&in);
    if (!store_in_fine(&in))
        store_sweep_free(s);
    return in.status;
}

static drupelet_status look(const char *path)
{
    store_sweep s;
    return read_here(path, &s);
}

drupelet_status store_sweep_read(const char *path, store_sweep *s)
{
    const drupelet_status status = store_try(path, look);
    *s = (store_sweep){0};
    return status.code == DRUPELET_OK ? read_here(path, s) : status;
}

void store_sweep_free(store_sweep *s)
{
    for (int f = 0; f < s->head.n_factors; f++) {
        store_sweep_factor *factor = &s->head.factor[f];
        for (int k = 0; k < factor->n_levels && factor->level; k++)
            free(factor->level[k]);
        free(factor->level);
        free(factor->name);
        free(factor->key);
        free(factor->units);
        free(s->setting[f]);
    }
    for (int k = 0; k < RESULT_COLUMNS_MOST; k++) {
        free(s->value[k]);
        free(s->error[k]);
    }
    for (int k = 0; k < RESULT_CATCHES; k++) {
        free(s->caught[k]);
        free(s->caught_error[k]);
    }
    free(s->collector);
    free(s->application_rate_L_ha);
    free(s->seed);
    free(s->n_droplets);
    free(s->failed);
    free(s->head.name);
    free(s->head.version);
    free(s->head.caution);
    free(s->head.plan_text);
    free(s->head.scenario_text);
    free(s->head.design);
    free(s->path);
    *s = (store_sweep){0};
}

drupelet_status store_sweep_batches(const store_sweep *s, int i_output, float **batch)
{
    store_in in;
    hsize_t shape[2] = {(hsize_t)s->head.n_cases, TALLY_BATCHES};
    char name[STORE_IN_NAME];
    open_sweep(s->path, &in);
    snprintf(name, sizeof name, "batches/%s", result_column_of(i_output).name);
    *batch = store_in_take(&in, name, STORE_FLOAT, 2, shape);
    if (*batch)
        store_in_check_floats(&in, name, (size_t)(shape[0] * shape[1]), *batch, OUTPUT);
    store_in_close(&in);
    if (!store_in_fine(&in)) {
        free(*batch);
        *batch = NULL;
    }
    return in.status;
}

bool store_sweep_is_of(const char *path, const char *plan_text, const char *scenario_text)
{
    store_in in;
    if (store_try(path, look).code != DRUPELET_OK)
        return false;
    open_sweep(path, &in);
    char *plan = store_in_text(&in, "inputs/plan"), *scenario = store_in_text(&in, "inputs/scenario");
    const bool same = plan && scenario && strcmp(plan, plan_text) == 0 && strcmp(scenario, scenario_text) == 0;
    store_in_close(&in);
    free(plan);
    free(scenario);
    return same;
}

/* ---- comma-separated values ---- */

static void put_number(FILE *to, double value)
{
    fputc(',', to);
    base_csv_put_number(to, value);
}

static void put_names(FILE *to, const store_sweep *s)
{
    fputs("case,point,replicate,seed,state,droplets", to);
    for (int f = 0; f < s->head.n_factors; f++) {
        char column[NAME];
        const store_sweep_factor *factor = &s->head.factor[f];
        snprintf(column, sizeof column, "%s%s%s%s", factor->name, factor->units[0] ? " [" : "", factor->units,
                 factor->units[0] ? "]" : "");
        fputc(',', to);
        base_csv_put_text(to, column);
    }
    fputs(",application_rate [L/ha]", to);
    for (int k = 0, n = result_columns_all(); k < n; k++) {
        const result_column o = result_column_of(k);
        fprintf(to, ",%s [%s],%s_standard_error [%s]", o.name, o.units, o.name, o.units);
    }
    for (int c = 0; c < s->head.n_collectors; c++)
        for (int k = 0; k < RESULT_CATCHES; k++) {
            const char *unit = result_catch_of(k).units;
            char column[STORE_SWEEP_NAME], full[2 * STORE_SWEEP_NAME];
            if (!store_sweep_caught_known(s, c, k))
                continue;
            store_sweep_caught_name(s, c, k, column);
            for (int error = 0; error < 2; error++) {
                snprintf(full, sizeof full, "%s%s [%s]", column, error ? "_standard_error" : "", unit);
                fputc(',', to);
                base_csv_put_text(to, full);
            }
        }
    fputc('\n', to);
}

static void put_case(FILE *to, const store_sweep *s, int64_t i)
{
    fprintf(to, "%lld,%lld,%lld,%lld,%s,%lld", (long long)i + 1, (long long)(i / s->head.n_replicates + 1),
            (long long)(i % s->head.n_replicates + 1), (long long)s->seed[i], s->failed[i] ? "failed" : "done",
            (long long)s->n_droplets[i]);
    for (int f = 0; f < s->head.n_factors; f++) {
        const store_sweep_factor *factor = &s->head.factor[f];
        if (factor->numeric) {
            put_number(to, s->setting[f][i]);
        } else {
            fputc(',', to);
            base_csv_put_text(to, factor->level[(int)s->setting[f][i]]);
        }
    }
    put_number(to, s->application_rate_L_ha[i]);
    for (int k = 0; k < RESULT_COLUMNS_MOST && s->value[k]; k++) {
        put_number(to, s->value[k][i]);
        put_number(to, s->error[k][i]);
    }
    for (int c = 0; c < s->head.n_collectors; c++)
        for (int k = 0; k < RESULT_CATCHES; k++)
            if (store_sweep_caught_known(s, c, k)) {
                put_number(to, s->caught[k][i * s->head.n_collectors + c]);
                put_number(to, s->caught_error[k][i * s->head.n_collectors + c]);
            }
    fputc('\n', to);
}

drupelet_status store_sweep_write_csv(const store_sweep *s, const char *path, bool overwrite)
{
    store_draft draft;
    FILE *to;
    const drupelet_status status = store_text_begin(path, overwrite, &draft, &to);
    if (!to)
        return status;
    fprintf(to, "# %s: results by case, made by drupelet %s\n# %s\n", s->head.name, s->head.version, s->head.caution);
    put_names(to, s);
    for (int64_t i = 0; i < s->head.n_cases && !ferror(to); i++)
        put_case(to, s, i);
    return store_text_end(&draft, to, status);
}
