/* sim/store/sweep_read.c - reads the result file of a sweep, and writes its table as comma-separated values. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <hdf5.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/status.h"
#include "store/quiet.h"
#include "store/store.h"
#include "store/sweep_file.h"

enum { NAME = 128 };
#define MOST_CASES ((hsize_t)1 << 30)

static drupelet_status damaged(const char *path, const char *name)
{
    return base_error(DRUPELET_SCENARIO, "%s: the sweep is damaged: '%s' cannot be read as expected", path, name);
}

static drupelet_status no_memory(const char *path)
{
    return base_error(DRUPELET_MEMORY, "%s: no memory to read it", path);
}

/* A dataset of one or two dimensions; n is checked where it is not 0. */
static drupelet_status take(hid_t file, const char *path, const char *name, hid_t type, size_t size, hsize_t *n,
                            hsize_t n_each, void **values)
{
    *values = NULL;
    const hid_t set = H5Dopen2(file, name, H5P_DEFAULT), space = set >= 0 ? H5Dget_space(set) : -1;
    hsize_t shape[2] = {1, 1};
    const int rank = space >= 0 ? H5Sget_simple_extent_ndims(space) : -1;
    drupelet_status status = base_ok();
    if (rank < 0 || rank > 2 || (rank > 0 && H5Sget_simple_extent_dims(space, shape, NULL) != rank) || shape[0] == 0
        || shape[0] > MOST_CASES || (*n != 0 && shape[0] != *n) || shape[1] != n_each)
        status = damaged(path, name);
    if (status.code == DRUPELET_OK) {
        *n = shape[0];
        *values = malloc((size_t)(shape[0] * shape[1]) * size);
        if (!*values)
            status = no_memory(path);
        else if (H5Dread(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, *values) < 0)
            status = damaged(path, name);
    }
    if (status.code != DRUPELET_OK) {
        free(*values);
        *values = NULL;
    }
    if (space >= 0)
        H5Sclose(space);
    if (set >= 0)
        H5Dclose(set);
    return status;
}

/* Texts, each in memory of its own. */
static drupelet_status take_texts(hid_t file, const char *path, const char *name, int *n, char ***texts)
{
    *texts = NULL;
    const hid_t set = H5Dopen2(file, name, H5P_DEFAULT), space = set >= 0 ? H5Dget_space(set) : -1;
    const hid_t type = set >= 0 ? H5Dget_type(set) : -1, wanted = H5Tcopy(H5T_C_S1);
    const hssize_t count = space >= 0 ? H5Sget_simple_extent_npoints(space) : -1;
    drupelet_status status = base_ok();
    H5Tset_size(wanted, H5T_VARIABLE);
    H5Tset_cset(wanted, H5T_CSET_UTF8);
    char **read = count > 0 && count < 1 << 24 ? calloc((size_t)count, sizeof *read) : NULL;
    if (count <= 0 || count >= 1 << 24 || H5Tis_variable_str(type) <= 0) {
        status = damaged(path, name);
    } else if (!read || !(*texts = calloc((size_t)count, sizeof **texts))) {
        status = no_memory(path);
    } else if (H5Dread(set, wanted, H5S_ALL, H5S_ALL, H5P_DEFAULT, read) < 0) {
        status = damaged(path, name);
    } else {
        *n = (int)count;
        for (hssize_t i = 0; i < count; i++) {
            (*texts)[i] = strdup(read[i] ? read[i] : "");
            if (!(*texts)[i])
                status = no_memory(path);
        }
        H5Dvlen_reclaim(wanted, space, H5P_DEFAULT, read);
    }
    free(read);
    H5Tclose(wanted);
    if (type >= 0)
        H5Tclose(type);
    if (space >= 0)
        H5Sclose(space);
    if (set >= 0)
        H5Dclose(set);
    return status;
}

static drupelet_status take_text(hid_t file, const char *path, const char *name, char **text)
{
    int n = 0;
    char **all = NULL;
    drupelet_status status = take_texts(file, path, name, &n, &all);
    if (status.code == DRUPELET_OK)
        *text = all[0];
    free(all);
    return status;
}

static drupelet_status take_note(hid_t object, const char *path, const char *name, char **text)
{
    *text = NULL;
    const hid_t note = H5Aopen(object, name, H5P_DEFAULT), type = note >= 0 ? H5Aget_type(note) : -1;
    drupelet_status status = base_ok();
    if (type < 0 || H5Tget_class(type) != H5T_STRING || H5Tis_variable_str(type) != 0)
        status = damaged(path, name);
    else if (!(*text = calloc(H5Tget_size(type) + 1, 1)))
        status = no_memory(path);
    else if (H5Aread(note, type, *text) < 0)
        status = damaged(path, name);
    if (type >= 0)
        H5Tclose(type);
    if (note >= 0)
        H5Aclose(note);
    return status;
}

static drupelet_status open_sweep(const char *path, hid_t *file)
{
    *file = -1;
    if (access(path, R_OK) != 0)
        return base_error(DRUPELET_SCENARIO, "%s: cannot be read: %s", path, strerror(errno));
    *file = H5Fopen(path, H5F_ACC_RDONLY, H5P_DEFAULT);
    char *conventions = NULL;
    int32_t format = 0;
    if (*file < 0 || H5Aexists(*file, "Conventions") <= 0 || H5Aexists(*file, "format_number") <= 0)
        return base_error(DRUPELET_SCENARIO, "%s: is no sweep of drupelet", path);
    drupelet_status status = take_note(*file, path, "Conventions", &conventions);
    if (status.code == DRUPELET_OK && strncmp(conventions, "drupelet-sweep-", 15) != 0)
        status = base_error(DRUPELET_SCENARIO, "%s: is no sweep of drupelet, but %.60s", path, conventions);
    free(conventions);
    const hid_t note = status.code == DRUPELET_OK ? H5Aopen(*file, "format_number", H5P_DEFAULT) : -1;
    if (note >= 0) {
        if (H5Aread(note, H5T_NATIVE_INT32, &format) < 0 || format != STORE_SWEEP_FORMAT)
            status = base_error(DRUPELET_SCENARIO, "%s: is a sweep of format %d, and this program reads format %d",
                                path, format, STORE_SWEEP_FORMAT);
        H5Aclose(note);
    }
    return status;
}

typedef struct { hid_t file; store_sweep_head *head; const char *path; drupelet_status status; } factor_walk;

static herr_t count_factor(hid_t group, const char *name, const H5L_info_t *info, void *user)
{
    (void)info;
    factor_walk *walk = user;
    store_sweep_head *head = walk->head;
    const size_t length = strlen(name);
    if (strcmp(name, "case") == 0 || (length > 7 && strcmp(name + length - 7, "_levels") == 0))
        return 0;
    if (head->n_factors == STORE_SWEEP_FACTORS || length + 20 > NAME) {
        walk->status = damaged(walk->path, "factors");
        return 1;
    }
    store_sweep_factor *f = &head->factor[head->n_factors++];
    char levels[NAME];
    snprintf(levels, sizeof levels, "%s_levels", name);
    f->name = strdup(name);
    f->numeric = H5Lexists(group, levels, H5P_DEFAULT) <= 0;
    if (!f->name)
        walk->status = no_memory(walk->path);
    if (walk->status.code == DRUPELET_OK && !f->numeric)
        walk->status = take_texts(group, walk->path, levels, &f->n_levels, &f->level);
    const hid_t set = H5Dopen2(group, name, H5P_DEFAULT);
    if (set < 0)
        walk->status = damaged(walk->path, name);
    if (walk->status.code == DRUPELET_OK)
        walk->status = take_note(set, walk->path, "units", &f->units);
    if (walk->status.code == DRUPELET_OK && H5Aexists(set, "key") > 0)
        walk->status = take_note(set, walk->path, "key", &f->key);
    else if (walk->status.code == DRUPELET_OK && !(f->key = calloc(1, 1)))
        walk->status = no_memory(walk->path);
    if (walk->status.code == DRUPELET_OK && strcmp(f->units, "1") == 0)
        f->units[0] = '\0';
    if (set >= 0)
        H5Dclose(set);
    return walk->status.code != DRUPELET_OK;
}

static drupelet_status read_head(hid_t file, const char *path, store_sweep *s)
{
    void *number = NULL;
    hsize_t one = 1, n = 0;
    drupelet_status status = take_note(file, path, "program_version", &s->head.version);
    if (status.code == DRUPELET_OK) status = take_note(file, path, "caution", &s->head.caution);
    if (status.code == DRUPELET_OK) status = take_text(file, path, "inputs/name", &s->head.name);
    if (status.code == DRUPELET_OK) status = take_text(file, path, "inputs/design", &s->head.design);
    if (status.code == DRUPELET_OK) status = take_text(file, path, "inputs/plan", &s->head.plan_text);
    if (status.code == DRUPELET_OK) status = take_text(file, path, "inputs/scenario", &s->head.scenario_text);
    if (status.code == DRUPELET_OK)
        status = take(file, path, "inputs/replicates", H5T_NATIVE_INT, sizeof(int), &one, 1, &number);
    if (status.code == DRUPELET_OK && (s->head.n_replicates = *(int *)number) < 1)
        status = damaged(path, "inputs/replicates");
    free(number);
    number = NULL;
    if (status.code == DRUPELET_OK)
        status = take(file, path, "inputs/indices", H5T_NATIVE_INT, sizeof(int), &one, 1, &number);
    if (status.code == DRUPELET_OK)
        s->head.indices = *(int *)number != 0;
    free(number);
    s->head.profiles = H5Lexists(file, "profiles", H5P_DEFAULT) > 0;
    if (status.code == DRUPELET_OK)
        status = take(file, path, "cases/seed", H5T_NATIVE_INT64, sizeof(int64_t), &n, 1, (void **)&s->seed);
    s->head.n_cases = (int64_t)n;
    return status;
}

static drupelet_status read_columns(hid_t file, const char *path, store_sweep *s)
{
    hsize_t n = (hsize_t)s->head.n_cases;
    signed char *state = NULL;
    char name[NAME];
    drupelet_status status =
        take(file, path, "cases/n_droplets", H5T_NATIVE_INT64, sizeof(int64_t), &n, 1, (void **)&s->n_droplets);
    if (status.code == DRUPELET_OK)
        status = take(file, path, "cases/state", H5T_NATIVE_SCHAR, 1, &n, 1, (void **)&state);
    if (status.code == DRUPELET_OK) {
        s->failed = malloc(n * sizeof *s->failed);
        if (!s->failed)
            status = no_memory(path);
        for (hsize_t i = 0; s->failed && i < n; i++)
            s->failed[i] = state[i] != 0;
    }
    free(state);
    for (int f = 0; f < s->head.n_factors && status.code == DRUPELET_OK; f++) {
        snprintf(name, sizeof name, "factors/%s", s->head.factor[f].name);
        status = take(file, path, name, H5T_NATIVE_DOUBLE, sizeof(double), &n, 1, (void **)&s->setting[f]);
        const store_sweep_factor *factor = &s->head.factor[f];
        for (hsize_t i = 0; i < n && status.code == DRUPELET_OK && !factor->numeric; i++)
            if (!(s->setting[f][i] >= 0.0 && s->setting[f][i] < factor->n_levels))
                status = damaged(path, name);
    }
    for (int k = 0; k < STORE_OUTPUTS && status.code == DRUPELET_OK; k++) {
        snprintf(name, sizeof name, "results/%s", store_output_of(k).name);
        status = take(file, path, name, H5T_NATIVE_DOUBLE, sizeof(double), &n, 1, (void **)&s->value[k]);
        snprintf(name, sizeof name, "results/%s_standard_error", store_output_of(k).name);
        if (status.code == DRUPELET_OK)
            status = take(file, path, name, H5T_NATIVE_DOUBLE, sizeof(double), &n, 1, (void **)&s->error[k]);
    }
    if (status.code == DRUPELET_OK)
        status = take(file, path, "results/application_rate", H5T_NATIVE_DOUBLE, sizeof(double), &n, 1,
                      (void **)&s->application_rate_L_ha);
    return status;
}

drupelet_status store_sweep_read(const char *path, store_sweep *s)
{
    hid_t file = -1;
    *s = (store_sweep){0};
    const store_quiet before = store_quiet_begin();
    drupelet_status status = open_sweep(path, &file);
    if (status.code == DRUPELET_OK && !(s->path = strdup(path)))
        status = no_memory(path);
    if (status.code == DRUPELET_OK) status = read_head(file, path, s);
    if (status.code == DRUPELET_OK) {
        factor_walk walk = {file, &s->head, path, base_ok()};
        hsize_t at = 0;
        const hid_t group = H5Gopen2(file, "factors", H5P_DEFAULT);
        if (group < 0 || H5Literate(group, H5_INDEX_CRT_ORDER, H5_ITER_INC, &at, count_factor, &walk) < 0)
            walk.status = damaged(path, "factors");
        if (group >= 0)
            H5Gclose(group);
        status = walk.status;
    }
    if (status.code == DRUPELET_OK) status = read_columns(file, path, s);
    if (file >= 0)
        H5Fclose(file);
    store_quiet_end(before);
    if (status.code != DRUPELET_OK)
        store_sweep_free(s);
    return status;
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
    for (int k = 0; k < STORE_OUTPUTS; k++) {
        free(s->value[k]);
        free(s->error[k]);
    }
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
    hid_t file = -1;
    hsize_t n = (hsize_t)s->head.n_cases;
    char name[NAME];
    *batch = NULL;
    const store_quiet before = store_quiet_begin();
    drupelet_status status = open_sweep(s->path, &file);
    snprintf(name, sizeof name, "batches/%s", store_output_of(i_output).name);
    if (status.code == DRUPELET_OK)
        status = take(file, s->path, name, H5T_NATIVE_FLOAT, sizeof(float), &n, TALLY_BATCHES, (void **)batch);
    if (file >= 0)
        H5Fclose(file);
    store_quiet_end(before);
    return status;
}

bool store_sweep_is_of(const char *path, const char *plan_text, const char *scenario_text)
{
    hid_t file = -1;
    char *plan = NULL, *scenario = NULL;
    const store_quiet before = store_quiet_begin();
    drupelet_status status = open_sweep(path, &file);
    if (status.code == DRUPELET_OK) status = take_text(file, path, "inputs/plan", &plan);
    if (status.code == DRUPELET_OK) status = take_text(file, path, "inputs/scenario", &scenario);
    const bool same =
        status.code == DRUPELET_OK && strcmp(plan, plan_text) == 0 && strcmp(scenario, scenario_text) == 0;
    free(plan);
    free(scenario);
    if (file >= 0)
        H5Fclose(file);
    store_quiet_end(before);
    return same;
}

/* ---- comma-separated values ---- */

/* A text that holds what would end a value goes in quotes. */
static void put_text(FILE *to, const char *text)
{
    if (!strpbrk(text, ",\"\n\r#")) {
        fputs(text, to);
        return;
    }
    fputc('"', to);
    for (; *text; text++) {
        if (*text == '"')
            fputc('"', to);
        fputc(*text, to);
    }
    fputc('"', to);
}

static void put_number(FILE *to, double value)
{
    if (isfinite(value))
        fprintf(to, ",%.9g", value);
    else
        fputc(',', to); /* nothing is known */
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
        put_text(to, column);
    }
    fputs(",application_rate [L/ha]", to);
    for (int k = 0; k < STORE_OUTPUTS; k++) {
        const store_output o = store_output_of(k);
        fprintf(to, ",%s [%s],%s_standard_error [%s]", o.name, o.units, o.name, o.units);
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
            put_text(to, factor->level[(int)s->setting[f][i]]);
        }
    }
    put_number(to, s->application_rate_L_ha[i]);
    for (int k = 0; k < STORE_OUTPUTS; k++) {
        put_number(to, s->value[k][i]);
        put_number(to, s->error[k][i]);
    }
    fputc('\n', to);
}

drupelet_status store_sweep_write_csv(const store_sweep *s, const char *path, bool overwrite)
{
    store_draft draft;
    drupelet_status status = store_draft_begin(path, overwrite, &draft);
    if (status.code != DRUPELET_OK)
        return status;
    FILE *to = fopen(draft.draft, "wb");
    int cause = to ? 0 : errno;
    if (to) {
        fprintf(to, "# %s: results by case, made by drupelet %s\n# %s\n", s->head.name, s->head.version,
                s->head.caution);
        put_names(to, s);
        for (int64_t i = 0; i < s->head.n_cases && !ferror(to); i++)
            put_case(to, s, i);
        if (ferror(to))
            cause = errno ? errno : EIO;
        if (fclose(to) != 0 && cause == 0)
            cause = errno;
    }
    if (cause == 0)
        return store_draft_keep(&draft);
    status = base_error(DRUPELET_FILE, "%s: cannot be written: %s", path, strerror(cause));
    store_draft_drop(&draft);
    return status;
}
