/* sim/run/emission.h - which droplet starts where: strata of size, pass and nozzle, with weights that add up exactly.
 */
#ifndef RUN_EMISSION_H
#define RUN_EMISSION_H

#include <stdint.h>

#include "droplet/kernel.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"
#include "tally/tally.h"

enum { RUN_STRATA_SIZES = 32, RUN_QUANTILES = 17 };

/** A range of sizes of one spray. */
typedef struct {
    int i_spray;
    int64_t first, n;          /* droplets of a batch that belong to it */
    int64_t parts;             /* of a batch, TALLY_PARTS / TALLY_BATCHES in all */
    double log_diameter[RUN_QUANTILES]; /* at equal steps of volume within the range */
} run_stratum;

/** An open nozzle of a pass, and the share of its spray's flow up to and with it. */
typedef struct { int i_pass, i_nozzle; double share_up_to; } run_source;

typedef struct {
    const drupelet_scenario *scenario;
    const sprayer_work *work;
    uint64_t seed;
    int64_t per_batch;         /* droplets of a batch */
    float excess_K;            /* of every droplet over its steady temperature */
    int n_strata;
    run_stratum *stratum;      /* in order of first */
    int n_sources[SCENARIO_NOZZLES]; /* by spray */
    run_source *source[SCENARIO_NOZZLES];
} run_emission;

/** What the books need to know of a droplet that has just started. */
typedef struct {
    int i_batch, i_pass, i_nozzle;
    int64_t parts;
} run_start;

/** @param n_droplets at least 0; rounded up to whole batches
 *  @return DRUPELET_OK, DRUPELET_MEMORY or DRUPELET_SCENARIO (fewer droplets than strata) */
drupelet_status run_emission_create(const drupelet_scenario *scenario, const sprayer_work *work, int64_t n_droplets,
                                    uint64_t seed, run_emission **emission);
void run_emission_free(run_emission *emission); /* NULL is allowed */
/** Puts droplet id (0 to TALLY_BATCHES * per_batch - 1) into lane i. */
run_start run_emit(const run_emission *emission, int64_t id, droplet_batch *batch, int i);

#endif
