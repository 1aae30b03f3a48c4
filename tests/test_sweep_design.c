/* tests/test_sweep_design.c - grids, Latin hypercubes, the Sobol' sequence, distributions, and who gets which case. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/elementary.h"
#include "base/random.h"
#include "check.h"
#include "sweep/dispatch.h"
#include "sweep/draw.h"

/* S. Joe, F. Y. Kuo, Notes on generating Sobol' sequences (2008): the first ten points in three dimensions, which they
 * list in the order of the Gray code (memory). */
static void sobol_points_are_those_of_joe_and_kuo(void **state)
{
    (void)state;
    static const double point[10][3] = {{0, 0, 0},
                                        {0.5, 0.5, 0.5},
                                        {0.75, 0.25, 0.25},
                                        {0.25, 0.75, 0.75},
                                        {0.375, 0.375, 0.625},
                                        {0.875, 0.875, 0.125},
                                        {0.625, 0.125, 0.875},
                                        {0.125, 0.625, 0.375},
                                        {0.1875, 0.3125, 0.9375},
                                        {0.6875, 0.8125, 0.4375}};
    for (uint32_t i = 0; i < 10; i++)
        for (int d = 0; d < 3; d++)
            assert_close((double)sweep_sobol_bits(i ^ i >> 1, d) / 4294967296.0, point[i][d], 0.0, 0.0);
}

/* Every coordinate of the first 2^m points lies in another of 2^m equal stretches, scrambled or not; and the first two
 * dimensions are a (0, m, 2) net: every elementary rectangle holds one point (I. M. Sobol', 1967). */
static void sobol_points_are_a_net(void **state)
{
    (void)state;
    enum { M = 8, N = 1 << M };
    for (int d = 0; d < SWEEP_SOBOL_DIMENSIONS; d++)
        for (int scrambled = 0; scrambled < 2; scrambled++) {
            int hits[N] = {0};
            for (uint32_t i = 0; i < N; i++)
                hits[(int)(N * (scrambled ? sweep_sobol(i, d, 7) : (double)sweep_sobol_bits(i, d) / 4294967296.0))]++;
            for (int k = 0; k < N; k++)
                assert_int_equal(hits[k], 1);
        }
    for (int across = 0; across <= M; across++) {
        int hits[N] = {0};
        for (uint32_t i = 0; i < N; i++) {
            const int x = (int)((1 << across) * sweep_sobol(i, 0, 3)), y = (int)((N >> across) * sweep_sobol(i, 1, 3));
            hits[x * (N >> across) + y]++;
        }
        for (int k = 0; k < N; k++)
            assert_int_equal(hits[k], 1);
    }
}

/* Centred L2 discrepancy (F. J. Hickernell, Math. Comput. 67 (1998) 299, equation 5.2c; memory). */
static double discrepancy(int n, int dimensions, const double *x)
{
    double single = 0.0, twice = 0.0;
    for (int i = 0; i < n; i++) {
        double product = 1.0;
        for (int d = 0; d < dimensions; d++) {
            const double off = fabs(x[i * dimensions + d] - 0.5);
            product *= 1.0 + 0.5 * off - 0.5 * off * off;
        }
        single += product;
        for (int k = 0; k < n; k++) {
            product = 1.0;
            for (int d = 0; d < dimensions; d++) {
                const double a = x[i * dimensions + d], b = x[k * dimensions + d];
                product *= 1.0 + 0.5 * fabs(a - 0.5) + 0.5 * fabs(b - 0.5) - 0.5 * fabs(a - b);
            }
            twice += product;
        }
    }
    return sqrt(pow(13.0 / 12.0, dimensions) - 2.0 * single / n + twice / ((double)n * n));
}

static void sobol_points_fill_space_better_than_chance(void **state)
{
    (void)state;
    enum { N = 256, D = 6 };
    static double sobol[N * D], latin[N * D], chance[N * D];
    for (int i = 0; i < N; i++)
        for (int d = 0; d < D; d++) {
            uint32_t random[4];
            base_random_block(5, BASE_STREAM_CHECK, (uint64_t)(i * D + d), 0, random);
            sobol[i * D + d] = sweep_sobol((uint32_t)i, d, 5);
            latin[i * D + d] = sweep_latin(i, N, d, 5);
            chance[i * D + d] = base_uniform(random[0]);
        }
    assert_true(discrepancy(N, D, sobol) < 0.4 * discrepancy(N, D, chance));
    assert_true(discrepancy(N, D, latin) < discrepancy(N, D, chance));
}

static void a_seed_scrambles_without_bias(void **state)
{
    (void)state;
    enum { SEEDS = 2000 };
    double mean = 0.0, square = 0.0;
    for (uint64_t seed = 0; seed < SEEDS; seed++) { /* of one point, over the scrambles: uniform */
        const double u = sweep_sobol(5, 3, seed);
        assert_true(u > 0.0 && u < 1.0);
        mean += u / SEEDS;
        square += u * u / SEEDS;
    }
    assert_close(mean, 0.5, 0.0, 4.0 * sqrt(1.0 / 12.0 / SEEDS));        /* 4 standard errors */
    assert_close(square, 1.0 / 3.0, 0.0, 4.0 * sqrt(4.0 / 45.0 / SEEDS)); /* variance of u^2: 4/45 */
}

static void every_stratum_of_a_latin_hypercube_holds_one_point(void **state)
{
    (void)state;
    static const int sizes[] = {1, 2, 3, 7, 64, 1000, 4097};
    for (size_t s = 0; s < sizeof sizes / sizeof sizes[0]; s++) {
        const int n = sizes[s];
        for (int d = 0; d < 3; d++) {
            char *hit = calloc((size_t)n, 1);
            assert_non_null(hit);
            for (int i = 0; i < n; i++) {
                const double u = sweep_latin(i, n, d, 11);
                assert_true(u > 0.0 && u < 1.0);
                assert_int_equal(hit[(int)(n * u)]++, 0);
            }
            free(hit);
        }
    }
}

static void two_dimensions_are_in_different_orders(void **state)
{
    (void)state;
    enum { N = 1000 };
    double sum = 0.0;
    for (int i = 0; i < N; i++)
        sum += (sweep_latin(i, N, 0, 1) - 0.5) * (sweep_latin(i, N, 1, 1) - 0.5);
    assert_close(12.0 * sum / N, 0.0, 0.0, 4.0 / sqrt(N)); /* correlation; 4 standard errors */
}

/* Quantiles of the standard normal distribution: M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions
 * (1964), table 26.5 (memory). */
static void normal_quantiles_are_those_of_the_tables(void **state)
{
    (void)state;
    static const double table[][2] = {{0.5, 0.0}, {0.9, 1.2815515655}, {0.95, 1.6448536270}, {0.975, 1.9599639845},
                                      {0.99, 2.3263478740}, {0.999, 3.0902323062}, {1e-4, -3.7190164855}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        assert_close(base_normal_quantile(table[i][0]), table[i][1], 0.0, 2e-10);
    for (double z = -8.0; z <= 5.0; z += 0.25) /* above, 1 - share has no digits left */
        assert_close(base_normal_quantile(base_normal_share(z)), z, 0.0, z < 3.0 ? 1e-11 : 1e-8);
}

static double mean_of(const sweep_distribution *d, double *deviation)
{
    enum { N = 100000 };
    double mean = 0.0, square = 0.0;
    for (int i = 0; i < N; i++) {
        const double x = sweep_quantile(d, (i + 0.5) / N);
        mean += x / N;
        square += x * x / N;
    }
    *deviation = sqrt(square - mean * mean);
    return mean;
}

static void distributions_have_their_means(void **state)
{
    (void)state;
    double s;
    const sweep_distribution uniform = {.form = SWEEP_UNIFORM, .low = 2.0, .high = 5.0};
    assert_close(mean_of(&uniform, &s), 3.5, 1e-6, 0.0);
    assert_close(s, 3.0 / sqrt(12.0), 1e-4, 0.0);
    const sweep_distribution logs = {.form = SWEEP_LOG_UNIFORM, .low = 1.0, .high = 100.0};
    assert_close(mean_of(&logs, &s), 99.0 / log(100.0), 1e-4, 0.0);
    const sweep_distribution triangle = {.form = SWEEP_TRIANGULAR, .low = 1.0, .mode = 2.0, .high = 6.0};
    assert_close(mean_of(&triangle, &s), 3.0, 1e-4, 0.0);
    assert_close(s, sqrt((1.0 + 4.0 + 36.0 - 2.0 - 6.0 - 12.0) / 18.0), 1e-3, 0.0);
    const sweep_distribution normal = {.form = SWEEP_NORMAL, .low = -INFINITY, .high = INFINITY, .mean = 3.0,
                                       .deviation = 0.5};
    assert_close(mean_of(&normal, &s), 3.0, 1e-4, 0.0);
    assert_close(s, 0.5, 1e-3, 0.0);
    const sweep_distribution log_normal = {.form = SWEEP_LOG_NORMAL, .low = -INFINITY, .high = INFINITY, .mean = 3.0,
                                           .deviation = 1.0};
    assert_close(mean_of(&log_normal, &s), 3.0, 1e-3, 0.0);
    assert_close(s, 1.0, 2e-2, 0.0);
    const sweep_distribution cut = {.form = SWEEP_NORMAL, .low = 2.5, .high = 3.2, .mean = 3.0, .deviation = 0.5};
    for (int i = 0; i < 1000; i++)
        assert_between(sweep_quantile(&cut, (i + 0.5) / 1000), 2.5, 3.2);
}

/* Three workers, airs of 1, 5, 2 and 9 cases, some not wanted: each wanted case comes once, and a worker changes its
 * air only when the air's cases are given out. */
static void every_wanted_case_comes_once_and_airs_stay_together(void **state)
{
    (void)state;
    enum { N = 17, WORKERS = 3 };
    static const int32_t group[N] = {3, 1, 3, 0, 1, 3, 2, 3, 1, 3, 1, 3, 2, 3, 1, 3, 3};
    bool wanted[N];
    int64_t given[N] = {0};
    int32_t of[WORKERS] = {-1, -1, -1};
    sweep_dispatch *d;
    for (int c = 0; c < N; c++)
        wanted[c] = c != 4 && c != 16;
    assert_int_equal(sweep_dispatch_create(N, group, 4, wanted, WORKERS, &d).code, DRUPELET_OK);
    assert_int_equal(sweep_dispatch_left(d), N - 2);
    assert_int_equal(sweep_dispatch_size(d, 3), 8);
    int ended = 0;
    for (int turn = 0; ended < WORKERS; turn++) {
        const int w = turn % WORKERS;
        const bool more = of[w] >= 0 && sweep_dispatch_left_in(d, of[w]) > 0;
        const int64_t c = sweep_dispatch_next(d, w);
        if (c < 0) {
            ended++;
            continue;
        }
        assert_true(wanted[c]);
        given[c]++;
        if (more)
            assert_int_equal(group[c], of[w]);
        of[w] = group[c];
    }
    for (int c = 0; c < N; c++)
        assert_int_equal(given[c], wanted[c]);
    assert_int_equal(sweep_dispatch_left(d), 0);
    sweep_dispatch_free(d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sobol_points_are_those_of_joe_and_kuo),
        cmocka_unit_test(sobol_points_are_a_net),
        cmocka_unit_test(sobol_points_fill_space_better_than_chance),
        cmocka_unit_test(a_seed_scrambles_without_bias),
        cmocka_unit_test(every_stratum_of_a_latin_hypercube_holds_one_point),
        cmocka_unit_test(two_dimensions_are_in_different_orders),
        cmocka_unit_test(normal_quantiles_are_those_of_the_tables),
        cmocka_unit_test(distributions_have_their_means),
        cmocka_unit_test(every_wanted_case_comes_once_and_airs_stay_together),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
