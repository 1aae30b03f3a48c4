/* sim/store/sweep_by_name.c - the table of a sweep, asked by the names of its columns: the public side of
 * sweep_file.h. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"
#include "drupelet/sweep.h"
#include "store/sweep_file.h"

/* What a collector caught, as a column. */
typedef struct {
    char name[STORE_SWEEP_NAME];
    int i_collector, i_catch;
} caught_column;

struct drupelet_sweep {
    store_sweep table;
    int n_caught; /* columns of what collectors caught */
    caught_column *caught;
};

/* ---- columns that every sweep has ---- */

static double number_of_case(const store_sweep *s, int64_t i)
{
    (void)s;
    return (double)(i + 1);
}

static double point_of(const store_sweep *s, int64_t i)
{
    return (double)(i / s->head.n_replicates + 1);
}

static double replicate_of(const store_sweep *s, int64_t i)
{
    return (double)(i % s->head.n_replicates + 1);
}

static double seed_of(const store_sweep *s, int64_t i)
{
    return (double)s->seed[i];
}

static double state_of(const store_sweep *s, int64_t i)
{
    return s->failed[i];
}

static double droplets_of(const store_sweep *s, int64_t i)
{
    return (double)s->n_droplets[i];
}

static double rate_of(const store_sweep *s, int64_t i)
{
    return s->application_rate_L_ha[i];
}

static const char *const STATE[] = {"done", "failed"};
enum { STATES = 2 };

static const struct {
    drupelet_column column;
    double (*value)(const store_sweep *s, int64_t i);
} FIRST[] = {
    {{"case", "1", "case, from 1", false, false, 0}, number_of_case},
    {{"point", "1", "point of the design, from 1", false, false, 0}, point_of},
    {{"replicate", "1", "replicate of the point, from 1", false, false, 0}, replicate_of},
    {{"seed", "1", "seed of the random numbers", false, false, 0}, seed_of},
    {{"state", "", "what became of the case", false, false, STATES}, state_of},
    {{"droplets", "1", "droplets followed", false, false, 0}, droplets_of},
};
static const drupelet_column RATE = {"application_rate", "L/ha", "volume emitted per treated area", false, false, 0};
enum { FIRSTS = sizeof FIRST / sizeof FIRST[0] };

/* ---- all of them ---- */

bool drupelet_sweep_column(const drupelet_sweep *sweep, int i, drupelet_column *column)
{
    const store_sweep *s = &sweep->table;
    const int n_factors = s->head.n_factors;
    if (i < 0) return false;
    if (i < FIRSTS) {
        *column = FIRST[i].column;
        return true;
    }
    i -= FIRSTS;
    if (i < n_factors) {
        const store_sweep_factor *f = &s->head.factor[i];
        *column = (drupelet_column){.name = f->name,
                                    .unit = f->numeric ? (f->units[0] ? f->units : "1") : "",
                                    .meaning = f->key,
                                    .is_factor = true,
                                    .n_words = f->numeric ? 0 : f->n_levels};
        return true;
    }
    i -= n_factors;
    if (i == 0)
        *column = RATE;
    else if (i <= result_columns_all()) {
        const result_column o = result_column_of(i - 1);
        *column = (drupelet_column){.name = o.name, .unit = o.units, .meaning = o.long_name, .has_error = true};
    }
    i -= result_columns_all() + 1;
    if (i >= 0 && i < sweep->n_caught) {
        const caught_column *c = &sweep->caught[i];
        const result_column o = result_catch_of(c->i_catch);
        *column = (drupelet_column){.name = c->name, .unit = o.units, .meaning = o.long_name, .has_error = true};
    }
    return i < sweep->n_caught;
}

static int find(const drupelet_sweep *sweep, const char *name, drupelet_column *column)
{
    for (int i = 0; drupelet_sweep_column(sweep, i, column); i++)
        if (strcmp(column->name, name) == 0) return i;
    return -1;
}

const char *drupelet_sweep_word(const drupelet_sweep *sweep, const char *name, int i)
{
    drupelet_column column;
    const int at = find(sweep, name, &column);
    if (at < 0 || i < 0 || i >= column.n_words) return NULL;
    return at < FIRSTS ? STATE[i] : sweep->table.head.factor[at - FIRSTS].level[i];
}

drupelet_status drupelet_sweep_numbers(const drupelet_sweep *sweep, const char *name, size_t n, double value[],
                                       double error[])
{
    const store_sweep *s = &sweep->table;
    drupelet_column column;
    const int at = find(sweep, name, &column), output = at - FIRSTS - s->head.n_factors - 1;
    if (at < 0)
        return base_error(DRUPELET_SCENARIO, "%.96s: found no such column, expected one of the sweep %.128s", name,
                          s->head.name);
    if (n != (size_t)s->head.n_cases)
        return base_error(DRUPELET_SCENARIO, "%s: found room for %zu values, expected room for %lld cases", name, n,
                          (long long)s->head.n_cases);
    const int i_caught = output - result_columns_all();
    const caught_column *c = i_caught >= 0 ? &sweep->caught[i_caught] : NULL;
    for (size_t i = 0; i < n; i++) {
        const size_t of = c ? i * (size_t)s->head.n_collectors + (size_t)c->i_collector : 0;
        value[i] = at < FIRSTS                       ? FIRST[at].value(s, (int64_t)i)
                   : at < FIRSTS + s->head.n_factors ? s->setting[at - FIRSTS][i]
                   : output < 0                      ? rate_of(s, (int64_t)i)
                   : c                               ? s->caught[c->i_catch][of]
                                                     : s->value[output][i];
        if (error) error[i] = output < 0 ? NAN : c ? s->caught_error[c->i_catch][of] : s->error[output][i];
    }
    return base_ok();
}

/* ---- the file ---- */

static drupelet_status no_memory(const char *path)
{
    return base_error(DRUPELET_MEMORY, "%.256s: no memory to read it", path);
}

/* Columns of collectors, but for what is known of no case: the cover of what is no water-sensitive paper. */
static drupelet_status list_caught(const char *path, drupelet_sweep *sweep)
{
    const store_sweep *s = &sweep->table;
    sweep->caught = calloc((size_t)(s->head.n_collectors * RESULT_CATCHES + 1), sizeof *sweep->caught);
    if (!sweep->caught) return no_memory(path);
    for (int i = 0; i < s->head.n_collectors; i++)
        for (int k = 0; k < RESULT_CATCHES; k++)
            if (store_sweep_caught_known(s, i, k)) {
                caught_column *c = &sweep->caught[sweep->n_caught++];
                *c = (caught_column){.i_collector = i, .i_catch = k};
                store_sweep_caught_name(s, i, k, c->name);
            }
    return base_ok();
}

drupelet_status drupelet_sweep_read(const char *path, drupelet_sweep **sweep)
{
    void *former_locale;
    *sweep = NULL;
    drupelet_sweep *s = calloc(1, sizeof *s);
    if (!s) return no_memory(path);
    drupelet_status status = base_c_locale_enter(&former_locale);
    if (status.code == DRUPELET_OK) {
#pragma omp critical(store_hdf5)
        status = store_sweep_read(path, &s->table);
    }
    base_c_locale_leave(former_locale);
    if (status.code == DRUPELET_OK) status = list_caught(path, s);
    if (status.code == DRUPELET_OK)
        *sweep = s;
    else
        drupelet_sweep_free(s);
    return status;
}

void drupelet_sweep_free(drupelet_sweep *sweep)
{
    if (!sweep) return;
    free(sweep->caught);
    store_sweep_free(&sweep->table);
    free(sweep);
}

const char *drupelet_sweep_name(const drupelet_sweep *sweep)
{
    return sweep->table.head.name;
}

int64_t drupelet_sweep_cases(const drupelet_sweep *sweep)
{
    return sweep->table.head.n_cases;
}
