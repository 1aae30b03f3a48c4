/* sim/tally/groups.h - fates taken together, and impacts by size: sums and ratios with errors of their own, which do
 * not follow from the errors of their parts. */
#ifndef TALLY_GROUPS_H
#define TALLY_GROUPS_H

#include "tally/tally.h"

/** The ten fates as a grower asks for them. */
typedef enum {
    TALLY_TREES,      /* leaves and wood */
    TALLY_FLOOR,      /* ground inside the block: alleys and under the rows */
    TALLY_BEYOND,     /* ground outside the block, downwind and upwind */
    TALLY_AIRBORNE,   /* left the simulated space in the air */
    TALLY_UNDECIDED,  /* still aloft at the time limit */
    TALLY_GROUPS
} tally_group;
/** Short name for files ("trees", "orchard_floor", ...) and a sentence for people. */
const char *tally_group_name(int group);
const char *tally_group_label(int group);
tally_group tally_group_of(tally_fate fate);
/** Share of the output that met one of the group's fates. */
tally_estimate tally_together(const tally *accounts, tally_group group);

/** Share of the impacts on a target that had an outcome, by amount. NAN where nothing met it.
 *  @param target TALLY_LEAF or TALLY_WOOD  @param i_size bin of the emitted diameter; -1: all */
tally_estimate tally_outcome_share(const tally *accounts, tally_fate target, int i_size, int outcome);

#endif
