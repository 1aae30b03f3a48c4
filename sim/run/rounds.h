/* sim/run/rounds.h - flies a run's droplets in rounds until the wanted number is known well enough. */
#ifndef RUN_ROUNDS_H
#define RUN_ROUNDS_H

#include "run/flight.h"
#include "scenario/scenario.h"
#include "tally/tally.h"

/** What a run was to find out, and whether it did. */
typedef struct {
    bool wanted;           /* run.target_error is given; otherwise all of run.droplets fly */
    bool reached;
    double asked, error;   /* relative standard errors: the one wanted, and that of the droplets that flew */
    tally_estimate share;  /* the number itself, as it was when the last droplet had landed, before run-off */
    int n_rounds;
} run_aim;

/** The number that run.target names, as a share of the output (of the water, for evaporated); 0 with an error of 0
 *  where nothing got there. */
tally_estimate run_target_share(const tally *accounts, scenario_target target);

/** Droplets after which a run looks whether it knows enough: the first count, and the one that follows n where the
 *  droplets so far have a relative error (infinity where nothing is known yet). @param most run.droplets
 *  @return whole batches, or most; n itself where n is most already */
int64_t run_first_count(int64_t fewest, int64_t most);
int64_t run_next_count(int64_t fewest, int64_t most, int64_t n, double error, double asked);

/** The rounds of a run as they go: which droplets fly next, and whether it is enough. What follows depends on the
 *  accounts alone, so that the droplets of a round may fly anywhere, in any ranges. */
typedef struct {
    int64_t fewest, all; /* droplets: possible, and the most, in whole batches */
    int64_t flown, up_to;
    run_aim aim;
} run_course;
/** @param most droplets that may fly; no fewer than run_emission_fewest()  @param accounts empty */
run_course run_course_start(const drupelet_scenario *scenario, const sprayer_work *work, int64_t most, tally *accounts);
/** The next round; false: enough has flown. */
bool run_course_next(const run_course *course, run_round *round);
/** After all droplets of the round have landed: how well is the wanted number known? */
void run_course_look(run_course *course, const scenario_run *run, const run_round *round, tally *accounts);
/** Paths to record of a round: of the first one alone. */
int run_course_tracks(const run_course *course, const run_emission *emission);

/** Flies all rounds. @param plan all but the emission and the range of droplets is filled in
 *  @param most droplets that may fly; no fewer than run_emission_fewest()
 *  @param accounts, track, n_steps as for run_fly(); only droplets of the first round are recorded
 *  @param n_tracks, n_droplets out: paths recorded, droplets flown  @param track [TALLY_TRACKS]
 *  @return as run_fly() */
drupelet_status run_rounds(const run_flight_plan *plan, const drupelet_scenario *scenario, const sprayer_work *work,
                           uint64_t seed, int64_t most, tally *accounts, tally_track *track, int *n_tracks,
                           int64_t *n_droplets, int64_t *n_steps, run_aim *aim);

#endif
