/* sim/tally/tally.c - the shares that the accounts of a run give, and the standard errors of those.
 *
 * A share is the sum over all batches divided by all that was emitted; its standard error is the standard deviation of
 * the batches' own ratios over the root of their number (independent replicates: common practice). Left out: the voxels
 * are kept for the whole run only and have no standard error. */
#include "tally/tally.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "tally/leaves.h"

#define IN_WORDS(label) label, label ", percent of the output"
static const struct { const char *label, *meaning; } FATE[TALLY_FATES] = {
    [TALLY_LEAF] = {IN_WORDS("on leaves")},
    [TALLY_WOOD] = {IN_WORDS("on wood")},
    [TALLY_GROUND_ALLEY] = {IN_WORDS("on the ground in the alleys")},
    [TALLY_GROUND_ROW] = {IN_WORDS("on the ground under the rows")},
    [TALLY_GROUND_DOWNWIND] = {IN_WORDS("on the ground downwind of the block")},
    [TALLY_GROUND_UPWIND] = {IN_WORDS("on the ground upwind of the block")},
    [TALLY_AIR_DOWNWIND] = {IN_WORDS("airborne, left downwind")},
    [TALLY_AIR_ABOVE] = {IN_WORDS("airborne, left through the top")},
    [TALLY_AIR_UPWIND] = {IN_WORDS("airborne, left upwind")},
    [TALLY_ALOFT] = {IN_WORDS("still aloft at the time limit")},
};

const char *tally_fate_name(int fate) { return scenario_target_name(SCENARIO_TARGET_FATE + fate); }
const char *tally_fate_label(int fate) { return FATE[fate].label; }
const char *tally_fate_meaning(int fate) { return FATE[fate].meaning; }

/* ---- bins ---- */

int tally_third(double height_m, double base_m, double top_m)
{
    return (int)fmin(fmax(TALLY_THIRDS * (height_m - base_m) / (top_m - base_m), 0.0), TALLY_THIRDS - 1);
}

double tally_size_edge_m(int i)
{
    return TALLY_SIZE_FIRST_M * base_pow(TALLY_SIZE_LAST_M / TALLY_SIZE_FIRST_M, (double)i / TALLY_SIZES);
}

int tally_size_bin(double diameter_m)
{
    if (!(diameter_m > TALLY_SIZE_FIRST_M))
        return 0;
    const double along = base_log(diameter_m / TALLY_SIZE_FIRST_M) / base_log(TALLY_SIZE_LAST_M / TALLY_SIZE_FIRST_M);
    return (int)fmin(floor(TALLY_SIZES * along), TALLY_SIZES - 1);
}

int tally_ground_bin(const tally_shape *shape, double x_m)
{
    const double bin = floor((x_m - shape->domain_low_x_m) / TALLY_GROUND_STEP_M);
    return (int)fmin(fmax(bin, 0.0), shape->n_ground - 1);
}

double tally_ground_edge_x_m(const tally_shape *shape, int i_bin, int side)
{
    return fmin(shape->domain_low_x_m + (i_bin + side) * TALLY_GROUND_STEP_M, shape->domain_high_x_m);
}

double tally_distance_m(const tally_shape *shape, double x_m)
{
    return shape->downwind > 0 ? x_m - shape->edge_high_x_m : shape->edge_low_x_m - x_m;
}

double tally_x_m(const tally_shape *shape, double distance_m)
{
    return shape->downwind > 0 ? shape->edge_high_x_m + distance_m : shape->edge_low_x_m - distance_m;
}

/* ---- shares ---- */

/* Parts up to 2^53 are whole numbers in double too: nothing is lost here. A batch that emitted nothing says nothing. */
tally_estimate tally_ratio(const double value[TALLY_BATCHES], int64_t (*whole)[1])
{
    double sum = 0.0, all = 0.0, mean = 0.0, squares = 0.0;
    int n = 0;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        if (whole[b][0] <= 0)
            continue;
        sum += value[b];
        all += (double)whole[b][0];
        const double ratio = value[b] / (double)whole[b][0], off = ratio - mean; /* Welford's running variance */
        mean += off / ++n;
        squares += off * (ratio - mean);
    }
    if (n == 0)
        return (tally_estimate){0.0, 0.0};
    return (tally_estimate){sum / all, n > 1 ? sqrt(squares / ((double)n - 1.0) / n) : NAN};
}

static tally_estimate estimate_parts(const int64_t *value, int64_t stride, int64_t (*whole)[1])
{
    double parts[TALLY_BATCHES];
    for (int b = 0; b < TALLY_BATCHES; b++)
        parts[b] = (double)value[b * stride];
    return tally_ratio(parts, whole);
}

tally_estimate tally_share(const tally *accounts, const int64_t *value, int64_t stride)
{
    return estimate_parts(value, stride, accounts->emitted);
}

tally_estimate tally_share_of(const tally *accounts, const double parts[TALLY_BATCHES])
{
    return tally_ratio(parts, accounts->emitted);
}

tally_estimate tally_evaporated(const tally *accounts)
{
    return estimate_parts(accounts->evaporated[0], 1, accounts->water_emitted);
}

tally_estimate tally_size_evaporated(const tally *accounts, int i_size)
{
    return estimate_parts(&accounts->size_evaporated[0][i_size], TALLY_SIZES, accounts->water_emitted);
}

tally_estimate tally_water(const tally *accounts, tally_fate fate)
{
    return estimate_parts(&accounts->water[0][fate], TALLY_FATES, accounts->water_emitted);
}

tally_estimate tally_row(const tally *accounts, int i_row, int i_third, int i_side)
{
    double parts[TALLY_BATCHES] = {0.0};
    const int64_t *cell = accounts->row;
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int r = 0; r < accounts->shape.n_rows; r++)
            for (int t = 0; t < TALLY_THIRDS; t++)
                for (int s = 0; s < TALLY_SIDES; s++, cell++)
                    if ((i_row < 0 || r == i_row) && (i_third < 0 || t == i_third) && (i_side < 0 || s == i_side))
                        parts[b] += (double)*cell;
    return tally_ratio(parts, accounts->emitted);
}

tally_estimate tally_size_emitted(const tally *accounts, int i_size)
{
    double parts[TALLY_BATCHES] = {0.0};
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int f = 0; f < TALLY_FATES; f++)
            parts[b] += (double)accounts->size_fate[b][i_size][f];
    return tally_ratio(parts, accounts->emitted);
}

void tally_plane_parts(const tally *accounts, int i_plane, int from_bin, int to_bin, double parts[TALLY_BATCHES])
{
    const int n = accounts->shape.n_flux;
    memset(parts, 0, TALLY_BATCHES * sizeof *parts);
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int i = from_bin; i < to_bin; i++)
            parts[b] += (double)accounts->flux[(b * TALLY_PLANES + i_plane) * n + i];
}

tally_estimate tally_plane(const tally *accounts, int i_plane, int from_bin, int to_bin)
{
    double parts[TALLY_BATCHES];
    tally_plane_parts(accounts, i_plane, from_bin, to_bin, parts);
    return tally_ratio(parts, accounts->emitted);
}

/* Ground between two places, added to what each batch already has. */
static void add_ground(const tally *accounts, double low_x_m, double high_x_m, double parts[TALLY_BATCHES])
{
    const tally_shape *s = &accounts->shape;
    for (int i = 0; i < s->n_ground; i++) {
        const double low = tally_ground_edge_x_m(s, i, 0), high = tally_ground_edge_x_m(s, i, 1);
        const double inside = fmin(high, high_x_m) - fmax(low, low_x_m);
        if (inside <= 0.0)
            continue;
        const double fraction = fmin(inside / (high - low), 1.0);
        for (int b = 0; b < TALLY_BATCHES; b++)
            parts[b] += fraction * (double)accounts->ground[b * s->n_ground + i];
    }
}

tally_estimate tally_ground_between(const tally *accounts, double low_x_m, double high_x_m)
{
    double parts[TALLY_BATCHES] = {0.0};
    add_ground(accounts, low_x_m, high_x_m, parts);
    return tally_ratio(parts, accounts->emitted);
}

bool tally_ground_parts(const tally *accounts, double low_x_m, double high_x_m, double parts[TALLY_BATCHES])
{
    const tally_shape *s = &accounts->shape;
    memset(parts, 0, TALLY_BATCHES * sizeof *parts);
    add_ground(accounts, low_x_m, high_x_m, parts);
    return fmin(high_x_m, s->domain_high_x_m) > fmax(low_x_m, s->domain_low_x_m);
}

bool tally_sum_parts(const tally *accounts, double distance_m, double parts[TALLY_BATCHES])
{
    const tally_shape *s = &accounts->shape;
    const double x_m = tally_x_m(s, distance_m);
    memset(parts, 0, TALLY_BATCHES * sizeof *parts);
    if (!(x_m >= s->domain_low_x_m && x_m <= s->domain_high_x_m))
        return false;
    for (int b = 0; b < TALLY_BATCHES; b++)
        parts[b] = (double)accounts->fate[b][TALLY_AIR_DOWNWIND];
    add_ground(accounts, s->downwind > 0 ? x_m : s->domain_low_x_m, s->downwind > 0 ? s->domain_high_x_m : x_m, parts);
    return true;
}

tally_estimate tally_drift_sum(const tally *accounts, double distance_m)
{
    double parts[TALLY_BATCHES];
    if (!tally_sum_parts(accounts, distance_m, parts))
        return (tally_estimate){NAN, NAN};
    return tally_ratio(parts, accounts->emitted);
}

double tally_rate_over_output(const tally_shape *shape, double strip_m)
{
    return shape->no_rate ? (double)NAN : shape->treated_width_m / strip_m;
}

tally_estimate tally_ground_of_rate(const tally *accounts, double low_x_m, double high_x_m)
{
    const tally_shape *s = &accounts->shape;
    const double width_m = fmin(high_x_m, s->domain_high_x_m) - fmax(low_x_m, s->domain_low_x_m);
    if (!(width_m > 0.0))
        return (tally_estimate){NAN, NAN};
    const tally_estimate e = tally_ground_between(accounts, low_x_m, high_x_m);
    const double over = tally_rate_over_output(s, width_m);
    return (tally_estimate){e.share * over, e.error * over};
}
