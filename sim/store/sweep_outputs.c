/* sim/store/sweep_outputs.c - fates, drift, ground deposit and cover of a result, with their batches. */
#include "store/sweep_outputs.h"

#include <math.h>
#include <string.h>

#include "base/status.h"
#include "tally/leaves.h"

#define UL_CM2_A_METRE 1e5 /* a layer of 1 m is 1e9 uL over 1e4 cm2 */

static const store_output OUTPUT[STORE_OUTPUTS] = {
    {"leaf", "percent", "on leaves, percent of the output"},
    {"wood", "percent", "on wood, percent of the output"},
    {"ground_alley", "percent", "on the ground in the alleys, percent of the output"},
    {"ground_row", "percent", "on the ground under the rows, percent of the output"},
    {"ground_downwind", "percent", "on the ground downwind of the block, percent of the output"},
    {"ground_upwind", "percent", "on the ground upwind of the block, percent of the output"},
    {"air_downwind", "percent", "airborne, left downwind, percent of the output"},
    {"air_above", "percent", "airborne, left through the top, percent of the output"},
    {"air_upwind", "percent", "airborne, left upwind, percent of the output"},
    {"aloft", "percent", "still aloft at the time limit, percent of the output"},
    {"evaporated", "percent", "water that evaporated, percent of the water emitted"},
    {"drift_5_m", "percent", "on the ground beyond 5 m or airborne out downwind, percent of the output"},
    {"drift_10_m", "percent", "on the ground beyond 10 m or airborne out downwind, percent of the output"},
    {"drift_20_m", "percent", "on the ground beyond 20 m or airborne out downwind, percent of the output"},
    {"drift_50_m", "percent", "on the ground beyond 50 m or airborne out downwind, percent of the output"},
    {"ground_5_m", "percent", "deposit on the ground 5 m downwind (mean over 1 m), percent of the application rate"},
    {"ground_10_m", "percent", "deposit on the ground 10 m downwind (mean over 1 m), percent of the application rate"},
    {"ground_20_m", "percent", "deposit on the ground 20 m downwind (mean over 1 m), percent of the application rate"},
    {"ground_50_m", "percent", "deposit on the ground 50 m downwind (mean over 1 m), percent of the application rate"},
    {"run_off", "percent", "dripped from leaves (part of ground_row), percent of the output"},
    {"cover_lower", "percent", "lower sides of leaves under stains, percent of their area"},
    {"cover_upper", "percent", "upper sides of leaves under stains, percent of their area"},
    {"deposit_per_leaf_area", "uL/cm2", "spray as emitted over one-sided leaf area"},
};

store_output store_output_of(int i)
{
    return OUTPUT[i];
}

int store_output_named(const char *name)
{
    for (int i = 0; i < STORE_OUTPUTS; i++)
        if (strcmp(OUTPUT[i].name, name) == 0)
            return i;
    return -1;
}

static tally_estimate times(double factor, tally_estimate e)
{
    return (tally_estimate){factor * e.share, factor * e.error};
}

/* An output and its batches from parts by batch. */
static void take(const tally *a, const double parts[TALLY_BATCHES], double factor, int i, store_measures *m)
{
    m->value[i] = times(factor, tally_share_of(a, parts));
    for (int b = 0; b < TALLY_BATCHES; b++)
        m->batch[i][b] = a->emitted[b][0] > 0 ? (float)(factor * parts[b] / (double)a->emitted[b][0]) : NAN;
}

static void unknown(int i, store_measures *m)
{
    m->value[i] = (tally_estimate){NAN, NAN};
    for (int b = 0; b < TALLY_BATCHES; b++)
        m->batch[i][b] = NAN;
}

/* Deposit on the ground from low_m to high_m downwind over the rate; false where nobody can say. */
static bool on_strip(const drupelet_result *r, double low_m, double high_m, double parts[TALLY_BATCHES], double *factor)
{
    const tally_shape *s = &r->accounts->shape;
    const double a = tally_x_m(s, low_m), b = tally_x_m(s, high_m);
    *factor = 100.0 * (s->edge_high_x_m - s->edge_low_x_m) / (high_m - low_m);
    return !r->sprayer.stands && fmin(a, b) >= s->domain_low_x_m && fmax(a, b) <= s->domain_high_x_m
           && tally_ground_parts(r->accounts, fmin(a, b), fmax(a, b), parts);
}

drupelet_status store_measure(const drupelet_result *r, bool profiles, store_measures *m)
{
    const tally *a = r->accounts;
    double parts[TALLY_BATCHES], factor;
    memset(m, 0, sizeof *m);
    for (int f = 0; f < TALLY_FATES; f++) {
        for (int b = 0; b < TALLY_BATCHES; b++)
            parts[b] = (double)a->fate[b][f];
        take(a, parts, 100.0, STORE_OUT_FATE + f, m);
    }
    m->value[STORE_OUT_EVAPORATED] = times(100.0, tally_evaporated(a));
    for (int b = 0; b < TALLY_BATCHES; b++)
        m->batch[STORE_OUT_EVAPORATED][b] =
            a->water_emitted[b][0] > 0 ? (float)(100.0 * (double)a->evaporated[b][0] / (double)a->water_emitted[b][0])
                                       : NAN;
    for (int i = 0; i < TALLY_DISTANCES; i++) {
        const double distance_m = tally_drift_distance_m(i);
        if (tally_drift_parts(a, distance_m, parts))
            take(a, parts, 100.0, STORE_OUT_DRIFT + i, m);
        else
            unknown(STORE_OUT_DRIFT + i, m);
        if (on_strip(r, distance_m - 0.5, distance_m + 0.5, parts, &factor))
            take(a, parts, factor, STORE_OUT_GROUND + i, m);
        else
            unknown(STORE_OUT_GROUND + i, m);
    }
    m->value[STORE_OUT_RUN_OFF] = times(100.0, tally_run_off(a));
    tally_coverage *coverage;
    const drupelet_status status = tally_coverage_create(a, &coverage);
    if (status.code != DRUPELET_OK)
        return status;
    for (int side = 0; side < 2; side++)
        m->value[STORE_OUT_COVER + side] = times(100.0, tally_cover(coverage, (tally_where){-1, -1, -1, side}));
    m->value[STORE_OUT_DEPOSIT] = times(UL_CM2_A_METRE, tally_leaf_deposit_m(coverage, (tally_where){-1, -1, -1, -1}));
    tally_coverage_free(coverage);
    m->application_rate_L_ha = r->sprayer.stands ? NAN : 1e7 * r->sprayer.application_rate_m;
    if (!profiles)
        return base_ok();
    for (int i = 0; i < STORE_STRIPS; i++)
        m->strip[i] = on_strip(r, i * STORE_STRIP_M, (i + 1) * STORE_STRIP_M, parts, &factor)
                          ? times(factor, tally_share_of(a, parts))
                          : (tally_estimate){NAN, NAN};
    for (int t = 0; t < TALLY_THIRDS; t++)
        m->third[t] = times(100.0, tally_row(a, -1, t, -1));
    return base_ok();
}
