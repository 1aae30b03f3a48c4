/* sim/run/ready.h - all that the droplets of a run need before the first one flies, and a run made of it. */
#ifndef RUN_READY_H
#define RUN_READY_H

#include "run/flight.h"
#include "run/run.h"

typedef struct {
    run_outcome *outcome; /* canopy, sprayer, slice and so on; accounts that are empty, tracks that have no points */
    int64_t most;         /* droplets that may fly */
    air_field *own;       /* the air that was made here; NULL: it is the caller's */
    droplet_setting *setting; /* they borrow all of the above, and the air */
    droplet_targets *targets;
} run_ready;

/** Works it out. The caller ends it with run_ready_end(), also after a failure.
 *  @param options may be NULL  @param air as for run_in_air()
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (too few droplets), DRUPELET_MEMORY or DRUPELET_STOPPED */
drupelet_status run_make_ready(const drupelet_scenario *scenario, const drupelet_run_options *options,
                               const air_field *air, run_ready *ready);
/** What flies the droplets: all but the emission and the range is filled in. */
run_flight_plan run_ready_plan(const run_ready *ready, const drupelet_run_options *options);
/** Frees it, and the outcome, unless that was taken out of it. */
void run_ready_end(run_ready *ready);

#endif
