/* sim/sweep/sobol.c - points of the Sobol' sequence, scrambled.
 *
 * Each bit is flipped or not by a random number that depends on the bits above it (nested uniform scramble: A. B. Owen,
 * in Monte Carlo and Quasi-Monte Carlo Methods in Scientific Computing (1995) 299), so that every point is uniform and
 * the net property stays. The point of an index is worked out by itself: no state. */
#include "sweep/draw.h"

#include "base/random.h"
#include "base/sobol.h"

enum { BITS = BASE_SOBOL_BITS };

uint32_t sweep_sobol_bits(uint32_t index, int dimension)
{
    uint32_t v[BITS], bits = 0;
    base_sobol_directions(dimension, v);
    for (int i = 0; index > 0; i++, index >>= 1)
        if (index & 1)
            bits ^= v[i];
    return bits;
}

double sweep_sobol(uint32_t index, int dimension, uint64_t seed)
{
    const uint32_t bits = sweep_sobol_bits(index, dimension);
    uint32_t flips = 0;
    for (int k = 0; k < BITS; k++) {
        const uint32_t above = k > 0 ? bits >> (BITS - k) : 0;
        uint32_t random[4];
        base_random_block(seed, BASE_STREAM_DESIGN, (uint64_t)dimension << 32 | above, (uint32_t)k, random);
        flips |= (random[0] & 1) << (BITS - 1 - k);
    }
    return base_uniform(bits ^ flips);
}
