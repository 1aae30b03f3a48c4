/* sim/result/columns.c - fates, drift, ground deposit and cover of a result, with their batches. */
#include "result/columns.h"

#include <math.h>
#include <string.h>

#include "base/status.h"
#include "result/groups.h"
#include "tally/leaves.h"

/* Those after the fates and the numbers of drift. */
static const result_column MORE[RESULT_COLUMNS - RESULT_COLUMN_EVAPORATED] = {
    [RESULT_COLUMN_EVAPORATED - RESULT_COLUMN_EVAPORATED] =
        {"evaporated", "percent", "water that evaporated, percent of the water emitted"},
    [RESULT_COLUMN_RUN_OFF - RESULT_COLUMN_EVAPORATED] =
        {"run_off", "percent", "dripped from leaves (part of ground_row), percent of the output"},
    [RESULT_COLUMN_COVER - RESULT_COLUMN_EVAPORATED] =
        {"cover_lower", "percent", "lower sides of leaves under stains, percent of their area"},
    [RESULT_COLUMN_COVER + 1 - RESULT_COLUMN_EVAPORATED] =
        {"cover_upper", "percent", "upper sides of leaves under stains, percent of their area"},
    [RESULT_COLUMN_DEPOSIT - RESULT_COLUMN_EVAPORATED] =
        {"deposit_per_leaf_area", "uL/cm2", "spray as emitted over one-sided leaf area"},
};

result_column result_column_of(int i)
{
    if (i < RESULT_COLUMN_DRIFT) {
        const tally_fate fate = (tally_fate)(i - RESULT_COLUMN_FATE);
        return (result_column){tally_fate_name(fate), "percent", tally_fate_meaning(fate)};
    }
    if (i < RESULT_COLUMN_EVAPORATED) {
        const scenario_drift_number *n = &scenario_drift_numbers[i - RESULT_COLUMN_DRIFT];
        return (result_column){n->name, "percent", n->meaning};
    }
    return MORE[i - RESULT_COLUMN_EVAPORATED];
}

int result_column_named(const char *name)
{
    for (int i = 0; i < RESULT_COLUMNS; i++)
        if (strcmp(result_column_of(i).name, name) == 0)
            return i;
    return -1;
}

static tally_estimate times(double factor, tally_estimate e)
{
    return (tally_estimate){factor * e.share, factor * e.error};
}

/* An output and its batches from parts by batch. */
static void take(const tally *a, const double parts[TALLY_BATCHES], double factor, int i, result_measures *m)
{
    m->value[i] = times(factor, tally_share_of(a, parts));
    for (int b = 0; b < TALLY_BATCHES; b++)
        m->batch[i][b] = a->emitted[b][0] > 0 ? (float)(factor * parts[b] / (double)a->emitted[b][0]) : NAN;
}

static void unknown(int i, result_measures *m)
{
    m->value[i] = (tally_estimate){NAN, NAN};
    for (int b = 0; b < TALLY_BATCHES; b++)
        m->batch[i][b] = NAN;
}

/* Deposit on a strip of ground downwind over the rate. */
static tally_estimate on_strip(const tally *a, double low_m, double high_m)
{
    const tally_shape *s = &a->shape;
    const double from_m = tally_x_m(s, low_m), to_m = tally_x_m(s, high_m);
    if (!(fmin(from_m, to_m) >= s->domain_low_x_m && fmax(from_m, to_m) <= s->domain_high_x_m))
        return (tally_estimate){NAN, NAN};
    return times(100.0, tally_ground_of_rate(a, fmin(from_m, to_m), fmax(from_m, to_m)));
}

drupelet_status result_measure(const run_outcome *r, bool profiles, result_measures *m)
{
    const tally *a = r->accounts;
    double parts[TALLY_BATCHES], factor;
    memset(m, 0, sizeof *m);
    for (int f = 0; f < TALLY_FATES; f++) {
        for (int b = 0; b < TALLY_BATCHES; b++)
            parts[b] = (double)a->fate[b][f];
        take(a, parts, 100.0, RESULT_COLUMN_FATE + f, m);
    }
    m->value[RESULT_COLUMN_EVAPORATED] = times(100.0, tally_evaporated(a));
    for (int b = 0; b < TALLY_BATCHES; b++)
        m->batch[RESULT_COLUMN_EVAPORATED][b] =
            a->water_emitted[b][0] > 0 ? (float)(100.0 * (double)a->evaporated[b][0] / (double)a->water_emitted[b][0])
                                       : NAN;
    for (int i = 0; i < SCENARIO_DRIFT_NUMBERS; i++) {
        if (tally_drift_parts(a, i, parts, &factor))
            take(a, parts, 100.0 * factor, RESULT_COLUMN_DRIFT + i, m);
        else
            unknown(RESULT_COLUMN_DRIFT + i, m);
    }
    m->value[RESULT_COLUMN_RUN_OFF] = times(100.0, tally_run_off(a));
    tally_coverage *coverage;
    const drupelet_status status = tally_coverage_create(a, &coverage);
    if (status.code != DRUPELET_OK)
        return status;
    for (int side = 0; side < 2; side++)
        m->value[RESULT_COLUMN_COVER + side] = times(100.0, tally_cover(coverage, (tally_where){-1, -1, -1, side}));
    m->value[RESULT_COLUMN_DEPOSIT] =
        times(RESULT_UL_CM2_A_METRE, tally_leaf_deposit_m(coverage, (tally_where){-1, -1, -1, -1}));
    tally_coverage_free(coverage);
    m->application_rate_L_ha = r->sprayer.stands ? NAN : 1e7 * r->sprayer.application_rate_m;
    if (!profiles)
        return base_ok();
    for (int i = 0; i < RESULT_STRIPS; i++)
        m->strip[i] = on_strip(a, i * RESULT_STRIP_M, (i + 1) * RESULT_STRIP_M);
    for (int t = 0; t < TALLY_THIRDS; t++)
        m->third[t] = times(100.0, tally_row(a, -1, t, -1));
    return base_ok();
}
