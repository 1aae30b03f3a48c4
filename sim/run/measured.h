/* sim/run/measured.h - what the collectors of a result say, in the units that field trials use. */
#ifndef RUN_MEASURED_H
#define RUN_MEASURED_H

#include "run/run.h"

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
