/* sim/run/run.h - one simulation from scenario to ledger. The door of the module. */
#ifndef RUN_RUN_H
#define RUN_RUN_H

#include "air/air.h"
#include "droplet/humidity.h"
#include "drupelet/run.h"
#include "orchard/orchard.h"
#include "run/collect.h"
#include "run/rounds.h"
#include "run/fan_box.h"
#include "run/wind_section.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"
#include "tally/tally.h"

/** A coarse slice of the air's speed across the rows through the middle of one pass, as the passing sprayer makes it:
 * the highest speed that a place feels. [nz][nx], m/s. */
typedef struct {
    int nx, nz;
    double x_first_m, dx_m, z_first_m, dz_m; /* centres */
    float *speed_m_s;
} run_air_slice;

/** A run that is done: its accounts and all that they refer to. */
typedef struct run_outcome {
    const drupelet_scenario *scenario; /* borrowed; must outlive the result */
    int n_threads;                     /* that made it, and may write it */
    uint64_t seed;
    int64_t n_droplets;                /* as run: rounded up to whole batches */
    int64_t n_steps;
    run_aim aim;
    sprayer_work sprayer;
    droplet_humidity humidity;         /* estimate, whether the run reckons with it or not */
    orchard_canopy *canopy;
    tally *accounts;
    int n_tracks;
    tally_track *track;
    run_air_slice slice;
    run_wind_section wind;       /* all 0 where run.keep_wind is no */
    int fan_flow_of_pass[SCENARIO_ROWS + 1]; /* from 1: which flow that was solved for serves it; 0: none */
    double fan_unsure;           /* how well that is known which wanders most (air_fan_flow.unsure); 0: none does */
    run_fan_box fan;             /* all 0 where run.keep_fan_air is no */
    run_collectors *collectors;  /* NULL: none */
} run_outcome;

void run_outcome_free(run_outcome *outcome); /* NULL is allowed */

/** Empty accounts of a run, with voxels and leaves. The caller ends them with tally_free(); NULL after a failure.
 *  @param collectors NULL: none */
drupelet_status run_accounts_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                    const sprayer_work *work, const run_collectors *collectors, tally **accounts);

/** Gives the accounts empty leaves, with the leaf area of every cell. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status run_leaves_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                  const sprayer_work *work, tally *accounts);

/** Lets the leaves of each cell drip what they cannot hold. Its active ingredient and water move from all accounts of
 *  the leaves to the ground under the row, whole parts, batch by batch; the share that drips is the cell's own, for the
 *  whole run. Stains and numbers of droplets stay: they tell what arrived. After all droplets have met their fate.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status run_off(const drupelet_scenario *scenario, const orchard_canopy *canopy, tally *accounts);

/** Simulates a scenario. @param options may be NULL
 *  @param air of this scenario, or of one that makes the same air (and so has the same passes); NULL: worked out here.
 *         It stays the caller's and is only read
 *  @param outcome out: the caller ends it with run_outcome_free(); NULL on failure. It borrows the scenario
 *  @return as drupelet_run() */
drupelet_status run_in_air(const drupelet_scenario *scenario, const drupelet_run_options *options, const air_field *air,
                           run_outcome **outcome);

/* ---- what the collectors of a result say, in the units that field trials use (measured.c) ---- */
/** The order of the result file. */
typedef enum {
    RUN_CAUGHT, RUN_PERCENT_OF_RATE, RUN_LIQUID, RUN_PASSED, RUN_NET, RUN_DROPLETS, RUN_COVERAGE, RUN_MEASURES
} run_measure;

/** Values and standard errors in those units; coverage is NAN where the surface is not water-sensitive paper. */
typedef struct { tally_estimate of[RUN_MEASURES]; } run_measured;
/** Of a collector as a whole, and of a piece of it. The result has collectors. */
run_measured run_measured_whole(const run_outcome *result, int i_collector);
run_measured run_measured_piece(const run_outcome *result, int i_collector, int i_piece);

#endif
