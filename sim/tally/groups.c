/* sim/tally/groups.c - fates taken together, and outcomes of impacts by size. */
#include "tally/groups.h"

#include <assert.h>
#include <math.h>

static const struct { const char *name, *label; } GROUP[TALLY_GROUPS] = {
    [TALLY_TREES] = {"trees", "on leaves and wood"},
    [TALLY_FLOOR] = {"orchard_floor", "on the ground inside the block"},
    [TALLY_BEYOND] = {"ground_beyond", "on the ground outside the block"},
    [TALLY_AIRBORNE] = {"airborne", "airborne, left the simulated space"},
    [TALLY_UNDECIDED] = {"aloft", "still aloft at the time limit"},
};

const char *tally_group_name(int group) { return GROUP[group].name; }
const char *tally_group_label(int group) { return GROUP[group].label; }

tally_group tally_group_of(tally_fate fate)
{
    switch (fate) {
    case TALLY_LEAF: case TALLY_WOOD: return TALLY_TREES;
    case TALLY_GROUND_ALLEY: case TALLY_GROUND_ROW: return TALLY_FLOOR;
    case TALLY_GROUND_DOWNWIND: case TALLY_GROUND_UPWIND: return TALLY_BEYOND;
    case TALLY_AIR_DOWNWIND: case TALLY_AIR_ABOVE: case TALLY_AIR_UPWIND: return TALLY_AIRBORNE;
    case TALLY_ALOFT: case TALLY_FATES: break;
    }
    return TALLY_UNDECIDED;
}

tally_estimate tally_together(const tally *accounts, tally_group group)
{
    double parts[TALLY_BATCHES] = {0.0};
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int f = 0; f < TALLY_FATES; f++)
            if (tally_group_of((tally_fate)f) == group)
                parts[b] += (double)accounts->fate[b][f];
    return tally_share_of(accounts, parts);
}

/* A ratio of two sums. Its error is that of the batches' departures from it, over the mean of the sum below (linear
 * error of a ratio estimator: W. G. Cochran, Sampling Techniques, 3rd ed. (1977), section 2.11; memory). */
tally_estimate tally_outcome_share(const tally *accounts, tally_fate target, int i_size, int outcome)
{
    assert(target == TALLY_LEAF || target == TALLY_WOOD);
    double had[TALLY_BATCHES] = {0.0}, met[TALLY_BATCHES] = {0.0}, sum_had = 0.0, sum_met = 0.0, squares = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        for (int s = 0; s < TALLY_SIZES; s++)
            for (int o = 0; o < TALLY_OUTCOMES && (i_size < 0 || s == i_size); o++) {
                met[b] += (double)accounts->size_impacts[b][target][s][o];
                had[b] += o == outcome ? (double)accounts->size_impacts[b][target][s][o] : 0.0;
            }
        sum_had += had[b];
        sum_met += met[b];
    }
    if (!(sum_met > 0.0))
        return (tally_estimate){NAN, NAN};
    const double ratio = sum_had / sum_met, n = TALLY_BATCHES;
    for (int b = 0; b < TALLY_BATCHES; b++)
        squares += (had[b] - ratio * met[b]) * (had[b] - ratio * met[b]);
    return (tally_estimate){ratio, sqrt(squares * n / (n - 1.0)) / sum_met};
}
