/* sim/run/emission.h - which droplet starts where, and what it stands for: weights that add up exactly. */
#ifndef RUN_EMISSION_H
#define RUN_EMISSION_H

#include <stdbool.h>
#include <stdint.h>

#include "droplet/kernel.h"
#include "run/allotment.h"
#include "run/sequence.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"
#include "tally/tally.h"

/** Droplets of a run that are emitted together; each such round is a sample of the whole spray. */
typedef struct {
    int64_t first, n; /* number of the first one; how many, rounded up to whole batches */
    int64_t weight;    /* in parts of TALLY_PARTS, rounded down to the same for every batch */
} run_round;

/** An open nozzle of a pass, and the share of its spray's flow up to and with it. */
typedef struct { int i_pass, i_nozzle; double share_up_to; } run_source;

typedef struct {
    const drupelet_scenario *scenario;
    const sprayer_work *work;
    uint64_t seed;
    int64_t first;             /* number of the round's first droplet */
    int64_t per_batch;         /* droplets of a batch */
    float excess_K;            /* of every droplet over its steady temperature */
    bool plain;                /* every droplet by itself, all of one weight */
    run_allotment allotment;
    run_sequence *sequence;    /* NULL where plain */
    int n_sources[SCENARIO_NOZZLES]; /* by spray */
    run_source *source[SCENARIO_NOZZLES];
} run_emission;

/** What the books need to know of a droplet that has just started. */
typedef struct {
    int i_batch, i_pass, i_nozzle;
    int64_t weight;
} run_start;

/** @param round at least run_emission_fewest() droplets  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status run_emission_create(const drupelet_scenario *scenario, const sprayer_work *work,
                                    const run_round *round, uint64_t seed, run_emission **emission);
void run_emission_free(run_emission *emission); /* NULL is allowed */
/** Fewest droplets with which every batch has one of each spray. */
int64_t run_emission_fewest(const sprayer_work *work);
/** Puts droplet number i_droplet of the round (0 to TALLY_BATCHES * per_batch - 1) into lane i. */
run_start run_emit(const run_emission *emission, int64_t i_droplet, droplet_batch *batch, int i);

#endif
