/* tests/reference_run.h - fates of a scenario's droplets, flown one by one by the reference. */
#ifndef TESTS_REFERENCE_RUN_H
#define TESTS_REFERENCE_RUN_H

#include "flight_case.h"
#include "tally/tally.h"

/** Active ingredient by batch: by fate, and what lies 5 m and more downwind of the treated area or left the domain
 * there; and the volume that evaporated. Shares of what the batch emitted. */
enum { REFERENCE_DRIFT_5_M = TALLY_FATES, REFERENCE_EVAPORATED, REFERENCE_SHARES };
typedef struct {
    double share[TALLY_BATCHES][REFERENCE_SHARES];
    int64_t n_steps;
} reference_fates;

/** Flies every droplet of the case's emission. What happens at a leaf is droplet_meet's, and how much of a droplet
 * meets it that of run/capture.h, as in a run: both are written for one droplet at a time, apart from the kernel. Of
 * the two parcels that a shattered droplet makes only the first is flown, for all that leaves the leaf: sizes and
 * directions are drawn for each, so either may stand for both. Run-off is left out. */
void reference_fly_all(const flight_case *c, int n_threads, reference_fates *fates);

/** Mean of the batches, and its standard error. */
tally_estimate reference_share(const reference_fates *fates, int i_share);

#endif
