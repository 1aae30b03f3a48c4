/* sim/base/random_lanes.h - the random numbers of base_random_block for many ids at once, as vector code.
 *
 * Philox multiplies 32 by 32 bits and needs all 64 of the product. So numbers at even and at odd places of a
 * register go through the rounds separately, each in 64 bits of which the upper half is not read. Random123's own
 * code makes a compiler pack and unpack in every round, which takes twice the time. */
#ifndef BASE_RANDOM_LANES_H
#define BASE_RANDOM_LANES_H

#include <assert.h>
#include <string.h>

#include <Random123/philox.h>

#include "base/random.h"

/* As many words of 64 bits as the processor takes at once, and the products of their lower halves. */
#if defined(__AVX512F__)
#include <immintrin.h>
typedef uint64_t base_words __attribute__((vector_size(64)));
static inline base_words base_words_product(base_words a, base_words b)
{
    return (base_words)_mm512_mul_epu32((__m512i)a, (__m512i)b);
}
#elif defined(__AVX2__)
#include <immintrin.h>
typedef uint64_t base_words __attribute__((vector_size(32)));
static inline base_words base_words_product(base_words a, base_words b)
{
    return (base_words)_mm256_mul_epu32((__m256i)a, (__m256i)b);
}
#elif defined(__SSE2__)
#include <immintrin.h>
typedef uint64_t base_words __attribute__((vector_size(16)));
static inline base_words base_words_product(base_words a, base_words b)
{
    return (base_words)_mm_mul_epu32((__m128i)a, (__m128i)b);
}
#else
typedef uint64_t base_words __attribute__((vector_size(16)));
static inline base_words base_words_product(base_words a, base_words b)
{
    return (a & 0xffffffffu) * (b & 0xffffffffu);
}
#endif

enum { BASE_LANES_AT_ONCE = 16, BASE_PHILOX_ROUNDS = 10 };

static inline base_words base_words_load(const uint32_t *from)
{
    base_words words;
    memcpy(&words, from, sizeof words);
    return words;
}

/** Blocks (seed, stream, id, index) of n lanes, a multiple of BASE_LANES_AT_ONCE: word[k][i] is what base_random_block
 * puts into out[k] for lane i. */
static inline void base_random_lanes(uint64_t seed, base_stream stream, int n, const uint32_t *id_low,
                                     const uint32_t *id_high, const uint32_t *index, uint32_t *const word[4])
{
    enum { EACH = sizeof(base_words) / sizeof(uint32_t) };
    const base_words nought = {0}, lower = nought + UINT32_MAX;
    const base_words first = nought + PHILOX_M4x32_0, second = nought + PHILOX_M4x32_1;
    assert(n % BASE_LANES_AT_ONCE == 0);
    for (int i = 0; i < n; i += EACH) {
        base_words c[2][4] = {{base_words_load(id_low + i), base_words_load(id_high + i), base_words_load(index + i)}};
        for (int k = 0; k < 3; k++)
            c[1][k] = c[0][k] >> 32;
        c[0][3] = c[1][3] = nought + (uint32_t)stream;
        uint32_t key_0 = (uint32_t)seed, key_1 = (uint32_t)(seed >> 32);
        for (int round = 0; round < BASE_PHILOX_ROUNDS; round++, key_0 += PHILOX_W32_0, key_1 += PHILOX_W32_1)
            for (int odd = 0; odd < 2; odd++) {
                base_words *at = c[odd];
                const base_words low = base_words_product(at[0], first), high = base_words_product(at[2], second);
                at[0] = (high >> 32) ^ at[1] ^ key_0;
                at[1] = high;
                at[2] = (low >> 32) ^ at[3] ^ key_1;
                at[3] = low;
            }
        for (int k = 0; k < 4; k++) {
            const base_words both = (c[0][k] & lower) | (c[1][k] << 32);
            memcpy(word[k] + i, &both, sizeof both);
        }
    }
}

#endif
