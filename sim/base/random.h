/* sim/base/random.h - counter-based random numbers (Philox 4x32-10; J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw,
 * Parallel random numbers: as easy as 1, 2, 3, SC11 (2011)), through the Random123 library. A number depends on its key
 * and counter alone, never on thread, lane or order. */
#ifndef BASE_RANDOM_H
#define BASE_RANDOM_H

#include <stdint.h>

/** What a random number is for; keeps the streams apart. */
typedef enum {
    BASE_STREAM_FLIGHT = 1, /* turbulence, one block a step (droplet kernel) */
    BASE_STREAM_EMISSION,   /* where and how a droplet starts */
    BASE_STREAM_IMPACT,     /* what happens at a leaf */
    BASE_STREAM_STRATA,     /* scramble of the points that droplets start from */
    BASE_STREAM_CANOPY,     /* trees and gaps */
    BASE_STREAM_CHECK,      /* verify and tests */
    BASE_STREAM_SPLASH,     /* secondary droplets, one block a shattering */
    BASE_STREAM_CAPTURE,    /* whether a share of a droplet or all of it meets a target */
    BASE_STREAM_DESIGN = 64, /* which settings a sweep tries */
    BASE_STREAM_RESAMPLE    /* bootstrap of what a sweep tells */
} base_stream;

/** Four 32-bit numbers of the block (seed, stream, id, index). */
void base_random_block(uint64_t seed, base_stream stream, uint64_t id, uint32_t index, uint32_t out[4]);

/** Maps 32 bits to the open interval (0, 1); never 0 or 1. */
static inline double base_uniform(uint32_t bits)
{
    return ((double)bits + 0.5) * (1.0 / 4294967296.0);
}

/** Two independent standard normal numbers (Box-Muller) from two 32-bit numbers. */
void base_normal_pair(uint32_t a, uint32_t b, double out[2]);

#endif
