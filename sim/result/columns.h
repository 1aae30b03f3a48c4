/* sim/result/columns.h - what a sweep keeps of a case: one list for journal, result file and answers. */
#ifndef RESULT_COLUMNS_H
#define RESULT_COLUMNS_H

#include <stdbool.h>

#include "run/run.h"
#include "tally/drift.h"
#include "tally/tally.h"

/** First those that are known batch by batch, so that differences between cases get their own standard errors. */
enum {
    RESULT_COLUMN_FATE,                                        /* the fates, in their order */
    RESULT_COLUMN_DRIFT = RESULT_COLUMN_FATE + TALLY_FATES,        /* the numbers of tally/drift.h, in their order */
    RESULT_COLUMN_EVAPORATED = RESULT_COLUMN_DRIFT + SCENARIO_DRIFT_NUMBERS,
    RESULT_BATCHED,
    RESULT_COLUMN_RUN_OFF = RESULT_BATCHED,
    RESULT_COLUMN_COVER,                                       /* lower, upper side of the leaves */
    RESULT_COLUMN_DEPOSIT = RESULT_COLUMN_COVER + 2,
    RESULT_COLUMNS
};
enum { RESULT_STRIPS = 100, RESULT_STRIP_M = 1 }; /* of the ground profile, downwind of the treated area */

typedef struct { const char *name, *units, *long_name; } result_column;
/** Name (of datasets and columns, such as "ground_5_m"), unit and meaning of an output. */
result_column result_column_of(int i);
/** Number of the output of a name, or -1. */
int result_column_named(const char *name);

/** What a sweep keeps of a case. Percent, but for the deposit per leaf area (uL/cm2). */
typedef struct {
    tally_estimate value[RESULT_COLUMNS];
    float batch[RESULT_BATCHED][TALLY_BATCHES];
    double application_rate_L_ha; /* NAN where the sprayer stands still */
    tally_estimate strip[RESULT_STRIPS]; /* percent of the rate; NAN beyond the domain */
    tally_estimate third[TALLY_THIRDS]; /* leaf deposit by third of the crown's height, bottom first */
} result_measures;

/** @param profiles fill strip and third, too  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status result_measure(const run_outcome *result, bool profiles, result_measures *measures);

#endif
