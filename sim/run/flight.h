/* sim/run/flight.h - flies the droplets of a run, on several threads, and keeps the books. */
#ifndef RUN_FLIGHT_H
#define RUN_FLIGHT_H

#include <stdbool.h>

#include "droplet/encounter.h"
#include "droplet/kernel.h"
#include "run/collect.h"
#include "run/emission.h"
#include "tally/tally.h"

typedef struct {
    const run_emission *emission;
    const droplet_setting *setting;
    const droplet_targets *targets;
    const orchard_canopy *canopy;
    const scenario_canopy *crown;
    const run_collectors *collectors; /* NULL: none */
    int64_t from, up_to;              /* droplets of the round that fly: the first, and the one after the last */
    int n_threads;
    int64_t n_expected;               /* droplets of all rounds of the run, as far as is known: for progress */
    bool (*progress)(double share_done, void *user); /* NULL: none */
    void *user;
} run_flight_plan;

/** Flies a range of the droplets of a round. Ranges may fly one after the other or apart, each into accounts of its
 *  own: added together (tally_add) they are those of all droplets, bit by bit.
 *  @param accounts accounts with leaves (run.h); what they hold already stays
 *  @param track [n_tracks] of the round; those of the range are filled; none: 0, NULL  @param n_steps out: steps flown
 *  @return DRUPELET_OK, DRUPELET_MEMORY or DRUPELET_STOPPED */
drupelet_status run_fly(const run_flight_plan *plan, tally *accounts, int n_tracks, tally_track *track,
                        int64_t *n_steps);

#endif
