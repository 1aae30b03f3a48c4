/* tests/test_sequence.c - the points that droplets start from fill the cube evenly, and are random all the same. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/random.h"
#include "run/sequence.h"

enum { DIGITS = 8, POINTS = 1 << DIGITS };

static run_sequence *make(uint64_t seed, uint64_t first)
{
    run_sequence *s = malloc(sizeof *s);
    assert_non_null(s);
    run_sequence_make(seed, first, s);
    return s;
}

/* Any 2^k points from a multiple of 2^k on lie one in each 2^k-th of every coordinate: a (0, 1)-sequence in base 2. */
static void every_coordinate_is_even(void **state)
{
    (void)state;
    run_sequence *s = make(1, 0);
    for (int b = 0; b < TALLY_BATCHES; b += 7)
        for (int n_digits = 1; n_digits <= DIGITS; n_digits++)
            for (uint64_t from = 0; from < 4; from++) {
                int found[RUN_COORDINATES][POINTS] = {{0}};
                const uint64_t n = (uint64_t)1 << n_digits;
                for (uint64_t i = 0; i < n; i++) {
                    uint32_t bits[RUN_COORDINATES];
                    run_sequence_point(s, b, from * n + i, bits);
                    for (int k = 0; k < RUN_COORDINATES; k++)
                        found[k][bits[k] >> (32 - n_digits)]++;
                }
                for (int k = 0; k < RUN_COORDINATES; k++)
                    for (uint64_t i = 0; i < n; i++)
                        assert_int_equal(found[k][i], 1);
            }
    free(s);
}

/* The first two coordinates make a (0, 2)-sequence: 2^m points lie one in each box of area 2^-m, whatever its sides
 * (Sobol' 1967; his first two polynomials). This fails with any other direction numbers in the second one. */
static void the_first_two_are_even_together(void **state)
{
    (void)state;
    run_sequence *s = make(5, 4096);
    for (int wide = 0; wide <= DIGITS; wide++) {
        int found[POINTS] = {0};
        for (uint64_t i = 0; i < POINTS; i++) {
            uint32_t bits[RUN_COORDINATES];
            run_sequence_point(s, 3, i, bits);
            const uint32_t a = wide > 0 ? bits[0] >> (32 - wide) : 0;
            const uint32_t c = wide < DIGITS ? bits[1] >> (32 - DIGITS + wide) : 0;
            found[a << (DIGITS - wide) | c]++;
        }
        for (int i = 0; i < POINTS; i++)
            assert_int_equal(found[i], 1);
    }
    free(s);
}

/* Any two coordinates: of 4096 points each of 16 by 16 boxes holds 16. */
static void no_two_coordinates_line_up(void **state)
{
    (void)state;
    run_sequence *s = make(2, 0);
    for (int k = 0; k < RUN_COORDINATES; k++)
        for (int l = k + 1; l < RUN_COORDINATES; l++) {
            int found[256] = {0};
            for (uint64_t i = 0; i < 4096; i++) {
                uint32_t bits[RUN_COORDINATES];
                run_sequence_point(s, 31, i, bits);
                found[bits[k] >> 28 << 4 | bits[l] >> 28]++;
            }
            for (int i = 0; i < 256; i++)
                assert_int_equal(found[i], 16);
        }
    free(s);
}

/* One and the same point under many scrambles is uniform, and independent between batches and coordinates: sums of
 * squares over 64 classes (chi squared, 63 degrees of freedom, mean 63, deviation 11) and products. */
static void one_point_is_uniform_over_scrambles(void **state)
{
    (void)state;
    enum { SCRAMBLES = 400, CLASSES = 64 };
    int found[RUN_COORDINATES][CLASSES] = {{0}};
    double batches = 0.0, coordinates = 0.0;
    for (uint64_t seed = 0; seed < SCRAMBLES; seed++) {
        run_sequence *s = make(seed, 32);
        double before[RUN_COORDINATES] = {0.0};
        for (int b = 0; b < TALLY_BATCHES; b++) {
            uint32_t bits[RUN_COORDINATES];
            run_sequence_point(s, b, 5, bits);
            double now[RUN_COORDINATES];
            for (int k = 0; k < RUN_COORDINATES; k++) {
                found[k][bits[k] / (1u << 26)]++;
                now[k] = (base_uniform(bits[k]) - 0.5) * sqrt(12.0);
                batches += b > 0 ? now[k] * before[k] : 0.0;
                coordinates += k > 0 ? now[k] * now[k - 1] : 0.0;
                before[k] = now[k];
            }
        }
        free(s);
    }
    const double each = (double)SCRAMBLES * TALLY_BATCHES / CLASSES;
    for (int k = 0; k < RUN_COORDINATES; k++) {
        double squares = 0.0;
        for (int i = 0; i < CLASSES; i++)
            squares += (found[k][i] - each) * (found[k][i] - each) / each;
        print_message("coordinate %d: chi squared %.0f of 63\n", k, squares);
        assert_true(squares > 63.0 - 5.0 * 11.3 && squares < 63.0 + 5.0 * 11.3);
    }
    assert_true(fabs(batches) < 5.0 * sqrt((double)SCRAMBLES * (TALLY_BATCHES - 1) * RUN_COORDINATES));
    assert_true(fabs(coordinates) < 5.0 * sqrt((double)SCRAMBLES * TALLY_BATCHES * (RUN_COORDINATES - 1)));
}

/* Means over points have the error of even points: for a smooth function far below that of independent ones. */
static void means_are_better_than_by_chance(void **state)
{
    (void)state;
    enum { N = 1024 };
    double squares = 0.0, chance = 0.0;
    run_sequence *s = make(9, 0);
    for (int b = 0; b < TALLY_BATCHES; b++) {
        double sum = 0.0, square = 0.0;
        for (uint64_t i = 0; i < N; i++) {
            uint32_t bits[RUN_COORDINATES];
            run_sequence_point(s, b, i, bits);
            double f = 0.0;
            for (int k = 0; k < RUN_COORDINATES; k++)
                f += exp(base_uniform(bits[k])) - (exp(1.0) - 1.0); /* mean 0 */
            sum += f;
            square += f * f;
        }
        squares += sum * sum / N / N / TALLY_BATCHES;
        chance += square / N / N / TALLY_BATCHES;
    }
    print_message("variance of a mean of %d: %.2g, by chance %.2g\n", N, squares, chance);
    assert_true(squares < 1e-3 * chance);
    free(s);
}

/* Past 2^32 points of a batch there are others, not the first ones again. */
static void the_sequence_does_not_repeat(void **state)
{
    (void)state;
    run_sequence *s = make(1, 0);
    uint32_t a[RUN_COORDINATES], b[RUN_COORDINATES], c[RUN_COORDINATES];
    run_sequence_point(s, 0, 7, a);
    run_sequence_point(s, 0, 7 + ((uint64_t)1 << 32), b);
    run_sequence_point(s, 0, 7 + ((uint64_t)2 << 32), c);
    for (int k = 0; k < RUN_COORDINATES; k++)
        assert_true(a[k] != b[k] && b[k] != c[k]);
    free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_coordinate_is_even),
        cmocka_unit_test(the_first_two_are_even_together),
        cmocka_unit_test(no_two_coordinates_line_up),
        cmocka_unit_test(one_point_is_uniform_over_scrambles),
        cmocka_unit_test(means_are_better_than_by_chance),
        cmocka_unit_test(the_sequence_does_not_repeat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
