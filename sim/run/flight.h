/* sim/run/flight.h - flies the droplets of a run, on several threads, and keeps the books. */
#ifndef RUN_FLIGHT_H
#define RUN_FLIGHT_H

#include <stdbool.h>

#include "droplet/encounter.h"
#include "droplet/kernel.h"
#include "run/collect.h"
#include "run/emission.h"
#include "tally/tally.h"
#include "tally/tracks.h"

typedef struct {
    const run_emission *emission;
    const droplet_setting *setting;
    const droplet_targets *targets;
    const orchard_canopy *canopy;
    const scenario_canopy *crown;
    const run_collectors *collectors; /* NULL: none */
    tally_collectors *collected;      /* empty accounts of theirs, filled; NULL: none */
    int n_threads;
    int64_t n_expected;               /* droplets of all rounds of the run, as far as is known: for progress */
    bool (*progress)(double share_done, void *user); /* NULL: none */
    void *user;
} run_flight_plan;

/** Flies every droplet of a round. @param accounts accounts with leaves (runoff.h); what they hold already stays
 *  @param track [n_tracks], filled; none: 0, NULL  @param n_steps out: steps flown
 *  @return DRUPELET_OK, DRUPELET_MEMORY or DRUPELET_STOPPED */
drupelet_status run_fly(const run_flight_plan *plan, tally *accounts, int n_tracks, tally_track *track,
                        int64_t *n_steps);

#endif
