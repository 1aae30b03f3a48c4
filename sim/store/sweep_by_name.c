/* sim/store/sweep_by_name.c - the table of a sweep, asked by the names of its columns: the public side of
 * sweep_file.h. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"
#include "drupelet/sweep.h"
#include "store/sweep_file.h"

struct drupelet_sweep {
    store_sweep table;
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
    return i <= result_columns_all();
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
    for (size_t i = 0; i < n; i++) {
        value[i] = at < FIRSTS                       ? FIRST[at].value(s, (int64_t)i)
                   : at < FIRSTS + s->head.n_factors ? s->setting[at - FIRSTS][i]
                   : output < 0                      ? rate_of(s, (int64_t)i)
                                                     : s->value[output][i];
        if (error) error[i] = output >= 0 ? s->error[output][i] : NAN;
    }
    return base_ok();
}

/* ---- the file ---- */

static drupelet_status no_memory(const char *path)
{
    return base_error(DRUPELET_MEMORY, "%.256s: no memory to read it", path);
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
    if (status.code == DRUPELET_OK)
        *sweep = s;
    else
        free(s);
    return status;
}

void drupelet_sweep_free(drupelet_sweep *sweep)
{
    if (!sweep) return;
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
