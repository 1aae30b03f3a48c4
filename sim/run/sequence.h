/* sim/run/sequence.h - scrambled Sobol' points: numbers that fill the unit cube evenly, each of them uniform. */
#ifndef RUN_SEQUENCE_H
#define RUN_SEQUENCE_H

#include <stdint.h>

#include "tally/tally.h"

/** What the coordinates of a droplet's point stand for. */
typedef enum {
    RUN_AT_SOURCE, RUN_AT_TURN, RUN_AT_OFF_AXIS, RUN_AT_PATH, RUN_AT_PHASE, RUN_COORDINATES
} run_coordinate;

/** One scrambled sequence for each batch and coordinate. */
typedef struct {
    uint64_t seed, first; /* key of the scrambling */
    uint32_t column[TALLY_BATCHES][RUN_COORDINATES][32], shift[TALLY_BATCHES][RUN_COORDINATES];
} run_sequence;

/** @param first tells apart sequences of one seed */
void run_sequence_make(uint64_t seed, uint64_t first, run_sequence *sequence);
/** Coordinates of point i (from 0) of a batch, as 32 bits for base_uniform(). Each is uniform on its own and
 *  independent of those of other batches; within a batch any 2^k points that follow one another from a multiple of 2^k
 *  on lie one in each 2^k-th of every coordinate. */
void run_sequence_point(const run_sequence *sequence, int i_batch, uint64_t i, uint32_t bits[RUN_COORDINATES]);

#endif
