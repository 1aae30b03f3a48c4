/* tests/test_random.c - Philox known answers, uniform and normal numbers, independence of streams. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/random_lanes.h"
#include "check.h"

enum { N_BLOCKS = 100000 };

/* Known answers of the authors of Philox 4x32-10 (Salmon et al., SC11 (2011), files with the code: memory). The third
 * pins the order of the words: counter 243f6a88 85a308d3 13198a2e 03707344, key a4093822 299f31d0. */
static void blocks_are_philox(void **state)
{
    (void)state;
    static const struct { uint64_t seed, id; uint32_t index, stream, words[4];
    } known[] = {{0, 0, 0, 0, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
                 {UINT64_MAX, UINT64_MAX, UINT32_MAX, UINT32_MAX, {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
                 {0x299f31d0a4093822,
                  0x85a308d3243f6a88,
                  0x13198a2e,
                  0x03707344,
                  {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}}};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        uint32_t words[4];
        base_random_block(known[i].seed, (base_stream)known[i].stream, known[i].id, known[i].index, words);
        for (int w = 0; w < 4; w++)
            assert_int_equal(words[w], known[i].words[w]);
    }
}

/* Lanes take turns at even and odd places: each must have what its id and index alone give. */
static void lanes_get_the_same_blocks(void **state)
{
    (void)state;
    enum { N = 4 * BASE_LANES_AT_ONCE };
    const uint64_t seed = 0x9e3779b97f4a7c15;
    uint32_t id_low[N], id_high[N], index[N], word[4][N], expected[4];
    for (uint32_t i = 0; i < N; i++) {
        id_low[i] = 0xfffffff0u + i; /* ids on both sides of 2^32 */
        id_high[i] = i % 3;
        index[i] = 2654435769u * i;
    }
    base_random_lanes(seed, BASE_STREAM_FLIGHT, N, id_low, id_high, index,
                      (uint32_t *const[4]){word[0], word[1], word[2], word[3]});
    for (uint32_t i = 0; i < N; i++) {
        base_random_block(seed, BASE_STREAM_FLIGHT, (uint64_t)id_high[i] << 32 | id_low[i], index[i], expected);
        for (int k = 0; k < 4; k++)
            assert_int_equal(word[k][i], expected[k]);
    }
}

static void uniform_numbers_never_reach_0_or_1(void **state)
{
    (void)state;
    assert_true(base_uniform(0) > 0.0);
    assert_true(base_uniform(UINT32_MAX) < 1.0);
    assert_true(log(base_uniform(0)) > -23.0);
    assert_close(base_uniform(0x80000000u), 0.5, 1e-9, 0.0);
}

/* 400,000 numbers in 256 bins: chi-square has mean 255 and standard deviation 22.6; five of them each way. */
static void uniform_numbers_are_uniform(void **state)
{
    (void)state;
    static int bin[256];
    double sum = 0.0, square = 0.0, chi2 = 0.0;
    for (uint64_t id = 0; id < N_BLOCKS; id++) {
        uint32_t words[4];
        base_random_block(20, BASE_STREAM_CHECK, id, 3, words);
        for (int w = 0; w < 4; w++) {
            const double u = base_uniform(words[w]);
            bin[(int)(256.0 * u)]++;
            sum += u;
            square += u * u;
        }
    }
    const double n = 4.0 * N_BLOCKS;
    for (int i = 0; i < 256; i++)
        chi2 += pow(bin[i] - n / 256.0, 2.0) / (n / 256.0);
    assert_between(chi2, 255.0 - 5.0 * 22.6, 255.0 + 5.0 * 22.6);
    assert_close(sum / n, 0.5, 0.0, 5.0 * sqrt(1.0 / 12.0 / n));
    assert_close(square / n, 1.0 / 3.0, 0.0, 5.0 * sqrt(4.0 / 45.0 / n));
}

/* Moments of 200,000 numbers, five standard errors; shares beyond 1, 2 and 3. */
static void normal_numbers_are_normal(void **state)
{
    (void)state;
    const double n = 2.0 * N_BLOCKS, beyond[3] = {0.3173105, 0.0455003, 0.0026998};
    double sum = 0.0, square = 0.0, fourth = 0.0, product = 0.0;
    int count[3] = {0};
    for (uint64_t id = 0; id < N_BLOCKS; id++) {
        uint32_t words[4];
        double pair[2];
        base_random_block(7, BASE_STREAM_CHECK, id, 0, words);
        base_normal_pair(words[0], words[1], pair);
        product += pair[0] * pair[1];
        for (int k = 0; k < 2; k++) {
            sum += pair[k];
            square += pair[k] * pair[k];
            fourth += pow(pair[k], 4.0);
            for (int s = 0; s < 3; s++)
                count[s] += fabs(pair[k]) > s + 1.0;
        }
    }
    assert_close(sum / n, 0.0, 0.0, 5.0 / sqrt(n));
    assert_close(square / n, 1.0, 0.0, 5.0 * sqrt(2.0 / n));
    assert_close(fourth / n, 3.0, 0.0, 5.0 * sqrt(96.0 / n));
    assert_close(product / N_BLOCKS, 0.0, 0.0, 5.0 / sqrt(N_BLOCKS));
    for (int s = 0; s < 3; s++)
        assert_close(count[s] / n, beyond[s], 0.0, 5.0 * sqrt(beyond[s] / n));
}

/* Numbers of different streams, ids, indices and seeds do not follow each other: correlation of 100,000 pairs. */
static void streams_are_apart(void **state)
{
    (void)state;
    double sum[4] = {0.0};
    for (uint64_t id = 0; id < N_BLOCKS; id++) {
        uint32_t own[4], other[4][4];
        base_random_block(11, BASE_STREAM_EMISSION, id, 5, own);
        base_random_block(11, BASE_STREAM_IMPACT, id, 5, other[0]);
        base_random_block(11, BASE_STREAM_EMISSION, id + 1, 5, other[1]);
        base_random_block(11, BASE_STREAM_EMISSION, id, 6, other[2]);
        base_random_block(12, BASE_STREAM_EMISSION, id, 5, other[3]);
        for (int k = 0; k < 4; k++)
            sum[k] += (base_uniform(own[0]) - 0.5) * (base_uniform(other[k][0]) - 0.5);
    }
    for (int k = 0; k < 4; k++)
        assert_close(12.0 * sum[k] / N_BLOCKS, 0.0, 0.0, 5.0 / sqrt(N_BLOCKS));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blocks_are_philox),
        cmocka_unit_test(lanes_get_the_same_blocks),
        cmocka_unit_test(uniform_numbers_never_reach_0_or_1),
        cmocka_unit_test(uniform_numbers_are_uniform),
        cmocka_unit_test(normal_numbers_are_normal),
        cmocka_unit_test(streams_are_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
