/* sim/base/random.c - counter-based random numbers: Philox 4x32-10 (Salmon, Moraes, Dror, Shaw, SC11 (2011)).
 * Key: seed. Counter: id, index, stream. */
#include "base/random.h"

#include <math.h>

#include <Random123/philox.h>

#include "base/elementary.h"

void base_random_block(uint64_t seed, base_stream stream, uint64_t id, uint32_t index, uint32_t out[4])
{
    const philox4x32_key_t key = {{(uint32_t)seed, (uint32_t)(seed >> 32)}};
    const philox4x32_ctr_t counter = {{(uint32_t)id, (uint32_t)(id >> 32), index, (uint32_t)stream}};
    const philox4x32_ctr_t block = philox4x32(counter, key);
    for (int i = 0; i < 4; i++)
        out[i] = block.v[i];
}

/* G. E. P. Box, M. E. Muller, Ann. Math. Stat. 29 (1958) 610. */
void base_normal_pair(uint32_t a, uint32_t b, double out[2])
{
    const double size = sqrt(-2.0 * base_log(base_uniform(a))), angle = 2.0 * BASE_PI * base_uniform(b);
    double sine, cosine;
    base_sincos(angle, &sine, &cosine);
    out[0] = size * cosine;
    out[1] = size * sine;
}
