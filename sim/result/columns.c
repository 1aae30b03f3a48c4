/* sim/result/columns.c - the columns of a sweep, out of the table of quantities. */
#include "result/columns.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "result/quantity.h"

static const tally_estimate UNKNOWN = {NAN, NAN};

/* A column: a quantity, and which of its values. */
typedef struct { const result_group *group; const result_quantity *quantity; int i; } source;

/* All values lie along axes of fixed lengths. */
static int values_of(const result_group *group, const result_quantity *q)
{
    int n = 1;
    for (int k = 0; result_axis_of(group, q, k); k++)
        n *= result_axis_of(group, q, k)->length;
    return n;
}

/* Column i, or {0} beyond the last. */
static source source_of(int i)
{
    for (int rank = 1, found = 1; found; rank++) {
        found = 0;
        for (int g = 0; g < result_n_groups; g++)
            for (int k = 0; k < result_groups[g]->n; k++) {
                const result_quantity *q = &result_groups[g]->quantity[k];
                if (q->column.rank != rank)
                    continue;
                const int n = values_of(result_groups[g], q);
                if (i < n)
                    return (source){result_groups[g], q, i};
                i -= n;
                found = 1;
            }
    }
    return (source){0};
}

static scenario_target target_of(source from)
{
    return (scenario_target)((int)from.quantity->column.target + from.i);
}

result_column result_column_of(int i)
{
    const source from = source_of(i);
    const result_quantity *q = from.quantity;
    assert(q);
    result_column column = {.units = strcmp(q->unit, "1") == 0 ? "percent" : q->unit};
    if (!q->column.batched) {
        column.name = q->column.name[from.i];
        column.long_name = q->column.meaning[from.i];
        return column;
    }
    const int target = (int)target_of(from);
    column.name = scenario_target_name(target);
    column.is_drift = target < SCENARIO_TARGET_EVAPORATED || target >= SCENARIO_TARGET_FATE + TALLY_GROUND_DOWNWIND;
    column.long_name = target < SCENARIO_TARGET_EVAPORATED
                           ? scenario_drift_numbers[target - SCENARIO_TARGET_DRIFT].meaning
                       : target < SCENARIO_TARGET_FATE ? q->column.meaning[0]
                                                       : tally_fate_meaning(target - SCENARIO_TARGET_FATE);
    return column;
}

int result_column_target(int i)
{
    const source from = source_of(i);
    return from.quantity && from.quantity->column.batched ? (int)target_of(from) : -1;
}

const char *result_column_heading(int i)
{
    return source_of(i).quantity->meaning;
}

static int count_columns(bool batched_alone)
{
    int n = 0;
    for (int g = 0; g < result_n_groups; g++)
        for (int k = 0; k < result_groups[g]->n; k++) {
            const result_quantity *q = &result_groups[g]->quantity[k];
            if (q->column.rank > 0 && (q->column.batched || !batched_alone))
                n += values_of(result_groups[g], q);
        }
    assert(n <= RESULT_COLUMNS_MOST);
    return n;
}

int result_columns_all(void)
{
    return count_columns(false);
}

int result_columns_batched(void)
{
    return count_columns(true);
}

int result_column_named(const char *name)
{
    for (int i = 0; source_of(i).quantity; i++)
        if (strcmp(result_column_of(i).name, name) == 0)
            return i;
    return -1;
}

static tally_estimate value_of(const drupelet_result *r, source from)
{
    const tally_estimate *e = result_value(r, from.group, from.quantity, (size_t)from.i);
    return result_times(strcmp(from.quantity->unit, "1") == 0 ? 100.0 : 1.0, *e);
}

tally_estimate result_column_value(const drupelet_result *result, int i)
{
    return value_of(result, source_of(i));
}

void result_take_batches(const tally *a, scenario_target target, tally_estimate *value, float batch[TALLY_BATCHES])
{
    tally_parts p;
    const bool known = tally_target_parts(a, target, &p);
    const double percent = 100.0 * p.factor;
    *value = known ? tally_parts_share(&p, percent) : UNKNOWN;
    for (int b = 0; b < TALLY_BATCHES; b++)
        batch[b] = known && p.whole[b][0] > 0 ? (float)(percent * p.part[b] / (double)p.whole[b][0]) : NAN;
}

/* Deposit on a strip of ground downwind over the rate. */
static tally_estimate on_strip(const tally *a, double low_m, double high_m)
{
    const tally_shape *s = &a->shape;
    const double from_m = tally_x_m(s, low_m), to_m = tally_x_m(s, high_m);
    if (!(fmin(from_m, to_m) >= s->domain_low_x_m && fmax(from_m, to_m) <= s->domain_high_x_m))
        return UNKNOWN;
    return result_times(100.0, tally_ground_of_rate(a, fmin(from_m, to_m), fmax(from_m, to_m)));
}

void result_measure(const drupelet_result *r, bool profiles, result_measures *m)
{
    const tally *a = r->outcome->accounts;
    source from;
    memset(m, 0, sizeof *m);
    for (int i = 0; (from = source_of(i)).quantity; i++) {
        if (from.quantity->column.batched)
            result_take_batches(a, target_of(from), &m->value[i], m->batch[i]);
        else
            m->value[i] = value_of(r, from);
    }
    m->application_rate_L_ha = r->application_rate_L_ha;
    if (!profiles)
        return;
    for (int i = 0; i < RESULT_STRIPS; i++)
        m->strip[i] = on_strip(a, i * RESULT_STRIP_M, (i + 1) * RESULT_STRIP_M);
    for (int t = 0; t < TALLY_THIRDS; t++)
        m->third[t] = result_times(100.0, r->third_together[t]);
}

/* Of what the collectors caught, that which the page shows. */
static const result_quantity *catch_at(int i)
{
    for (int k = 0; k < result_collectors.n; k++) {
        const result_quantity *q = &result_collectors.quantity[k];
        const bool kept = q->type == RESULT_SHARE && strcmp(q->axes, "collector") == 0 && (q->use & RESULT_IN_PAGE);
        if (kept && i-- == 0)
            return q;
    }
    return NULL;
}

result_column result_catch_of(int i)
{
    assert(catch_at(i) && !catch_at(RESULT_CATCHES));
    return (result_column){.name = catch_at(i)->name, .units = catch_at(i)->unit, .long_name = catch_at(i)->meaning};
}

void result_measure_caught(const drupelet_result *r, int i, const char *name, result_measures *m)
{
    int of = 0;
    while (of < r->n_collectors && strcmp(r->collector[of].name, name) != 0)
        of++;
    for (int k = 0; k < RESULT_CATCHES; k++)
        m->caught[i][k] = of < r->n_collectors
                              ? *(const tally_estimate *)result_value(r, &result_collectors, catch_at(k), (size_t)of)
                              : UNKNOWN;
    if (m->n_collectors <= i)
        m->n_collectors = i + 1;
}

void result_measure_none(result_measures *m)
{
    for (int i = 0; i < RESULT_COLUMNS_MOST; i++) {
        m->value[i] = UNKNOWN;
        for (int b = 0; b < TALLY_BATCHES; b++)
            m->batch[i][b] = NAN;
    }
    for (int i = 0; i < RESULT_STRIPS; i++)
        m->strip[i] = UNKNOWN;
    for (int t = 0; t < TALLY_THIRDS; t++)
        m->third[t] = UNKNOWN;
    m->application_rate_L_ha = NAN;
    for (int i = 0; i < SCENARIO_COLLECTORS; i++)
        for (int k = 0; k < RESULT_CATCHES; k++)
            m->caught[i][k] = UNKNOWN;
}
