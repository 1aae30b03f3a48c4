/* sim/run/sequence.c - Sobol' points, scrambled by a random linear matrix and a random digital shift.
 *
 * Scrambling: J. Matousek, J. Complexity 14 (1998) 527: lower triangular matrix of random bits with ones on the
 * diagonal, then a shift, so that every point is uniform on its own: means over points have no bias, whatever the
 * sequence. Left out: points beyond 2^32 of a batch are shifts of the first ones. */
#include "run/sequence.h"

#include "base/random.h"
#include "base/sobol.h"

enum { DIGITS = BASE_SOBOL_BITS, BLOCKS = DIGITS / 4 + 1 };

/* Digit d of a number depends on digits 1 to d of what it was. */
static uint32_t mix(const uint32_t row[DIGITS], uint32_t number)
{
    uint32_t mixed = 0;
    for (int d = 0; d < DIGITS; d++) {
        const uint32_t digit = (uint32_t)1 << (DIGITS - 1 - d), above = ~(digit | (digit - 1));
        uint32_t sum = number & ((row[d] & above) | digit);
        for (int half = 16; half > 0; half /= 2)
            sum ^= sum >> half;
        mixed |= (sum & 1u) * digit;
    }
    return mixed;
}

void run_sequence_make(uint64_t seed, uint64_t first, run_sequence *sequence)
{
    sequence->seed = seed;
    sequence->first = first;
    for (int k = 0; k < RUN_COORDINATES; k++) {
        uint32_t v[DIGITS], bits[4 * BLOCKS];
        base_sobol_directions(k, v);
        for (int b = 0; b < TALLY_BATCHES; b++) {
            for (int block = 0; block < BLOCKS; block++)
                base_random_block(seed, BASE_STREAM_STRATA, first,
                                  (uint32_t)((b * RUN_COORDINATES + k) * BLOCKS + block), bits + 4 * block);
            for (int j = 0; j < DIGITS; j++)
                sequence->column[b][k][j] = mix(bits, v[j]);
            sequence->shift[b][k] = bits[DIGITS];
        }
    }
}

void run_sequence_point(const run_sequence *sequence, int i_batch, uint64_t i, uint32_t bits[RUN_COORDINATES])
{
    const uint32_t beyond = (uint32_t)(i >> DIGITS);
    uint32_t more[8] = {0};
    for (uint32_t block = 0; beyond > 0 && block < 2; block++) /* counters past those of the matrices */
        base_random_block(sequence->seed, BASE_STREAM_STRATA, sequence->first,
                          (uint32_t)0x80000000u + (beyond * TALLY_BATCHES + (uint32_t)i_batch) * 2 + block,
                          more + 4 * block);
    for (int k = 0; k < RUN_COORDINATES; k++)
        bits[k] = sequence->shift[i_batch][k] ^ more[k];
    for (uint32_t left = (uint32_t)i, j = 0; left > 0; left >>= 1, j++)
        for (int k = 0; k < RUN_COORDINATES; k++)
            bits[k] ^= (left & 1u) * sequence->column[i_batch][k][j];
}
