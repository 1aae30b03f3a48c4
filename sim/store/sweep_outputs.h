/* sim/store/sweep_outputs.h - what a sweep keeps of a case: one list for journal, result file and answers. */
#ifndef STORE_SWEEP_OUTPUTS_H
#define STORE_SWEEP_OUTPUTS_H

#include <stdbool.h>

#include "run/run.h"
#include "tally/drift.h"
#include "tally/tally.h"

/** First those that are known batch by batch, so that differences between cases get their own standard errors. */
enum {
    STORE_OUT_FATE,                                        /* the fates, in their order */
    STORE_OUT_DRIFT = STORE_OUT_FATE + TALLY_FATES,        /* the numbers of tally/drift.h, in their order */
    STORE_OUT_EVAPORATED = STORE_OUT_DRIFT + TALLY_DRIFT_NUMBERS,
    STORE_BATCHED,
    STORE_OUT_RUN_OFF = STORE_BATCHED,
    STORE_OUT_COVER,                                       /* lower, upper side of the leaves */
    STORE_OUT_DEPOSIT = STORE_OUT_COVER + 2,
    STORE_OUTPUTS
};
enum { STORE_STRIPS = 100, STORE_STRIP_M = 1 }; /* of the ground profile, downwind of the block */

typedef struct { const char *name, *units, *long_name; } store_output;
/** Name (of datasets and columns, such as "ground_5_m"), unit and meaning of an output. */
store_output store_output_of(int i);
/** Number of the output of a name, or -1. */
int store_output_named(const char *name);

/** What a sweep keeps of a case. Percent, but for the deposit per leaf area (uL/cm2). */
typedef struct {
    tally_estimate value[STORE_OUTPUTS];
    float batch[STORE_BATCHED][TALLY_BATCHES];
    double application_rate_L_ha; /* NAN where the sprayer stands still */
    tally_estimate strip[STORE_STRIPS]; /* percent of the rate; NAN beyond the domain */
    tally_estimate third[TALLY_THIRDS]; /* leaf deposit by third of the crown's height, bottom first */
} store_measures;

/** @param profiles fill strip and third, too  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status store_measure(const drupelet_result *result, bool profiles, store_measures *measures);

#endif
