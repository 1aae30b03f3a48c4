/* tests/test_fan_mean.c - the mean over rounds of a flow that goes on wandering, and how well it is known. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "fan_box.h"

enum { N = 9 };

static void open_box(int n_threads, air_fan_case *c, fan_state *s)
{
    double face_m[N + 1];
    for (int i = 0; i <= N; i++)
        face_m[i] = 0.2 * i + 0.03 * i * i;
    fan_box_case(N, face_m, N, face_m, N, face_m, 0, c);
    assert_int_equal(fan_state_create(c, (fan_options){0}, n_threads, s).code, DRUPELET_OK);
}

static void close_box(air_fan_case *c, fan_state *s)
{
    fan_state_free(s);
    air_fan_case_free(c);
}

/* A flow without divergence that swings: a turning about y, faster or slower. Beyond the box the air stays at rest. */
static void turn(fan_state *s, float rate_1_s)
{
    for (int i = 0; i <= N; i++)
        for (int k = 0; k <= N; k++)
            for (int j = 0; j < N; j++) {
                const ptrdiff_t at = fan_at(s, i, k) + j;
                if (k < N) s->u[at] = rate_1_s * (float)(s->mesh[FAN_Z].centre_m[k] - 1.5);
                if (i < N) s->w[at] = -rate_1_s * (float)(s->mesh[FAN_X].centre_m[i] - 1.5);
            }
}

/* Rounds that swing between 2 and 4 1/s in the first stretch and between 3 and 6 in the second: means of 3 and 4.5, so
 * 3.75 in all, known to half of 1.5 of that. */
static double mean_of_swings(int n_threads, air_fan_case *c, fan_state *s)
{
    fan_mean mean;
    open_box(n_threads, c, s);
    assert_int_equal(fan_mean_create(s, &mean).code, DRUPELET_OK);
    for (int round = 0; round < 20; round++) {
        turn(s, round < 10 ? (round % 2 ? 4.0f : 2.0f) : (round % 2 ? 6.0f : 3.0f));
        fan_mean_add(s, round >= 10, &mean);
    }
    const double unsure = fan_mean_take(s, &mean);
    fan_mean_free(&mean);
    return unsure;
}

static void the_mean_of_swings_is_taken_with_what_it_may_be_off_by(void **state)
{
    (void)state;
    air_fan_case c;
    fan_state s;
    assert_close(mean_of_swings(1, &c, &s), 0.75 / 3.75, 1e-6, 0.0);
    float divergence[N + 2 * FAN_HALO];
    for (int i = 0; i < N; i++)
        for (int k = 0; k < N; k++) {
            fan_find_divergence(&s, i, k, 1.0f, divergence);
            for (int j = 0; j < N; j++) {
                const ptrdiff_t at = fan_at(&s, i, k) + j;
                const double x_m = s.mesh[FAN_X].centre_m[i] - 1.5, z_m = s.mesh[FAN_Z].centre_m[k] - 1.5;
                assert_close((double)s.u[at], 3.75 * z_m, 1e-5, 1e-5);
                assert_close((double)s.w[at], -3.75 * x_m, 1e-5, 1e-5);
                assert_close((double)divergence[j], 0.0, 0.0, 1e-5);
                assert_close((double)s.speed[at], 3.75 * sqrt(x_m * x_m + z_m * z_m), 1e-5, 1e-5);
            }
        }
    close_box(&c, &s);
}

static void any_number_of_threads_gives_the_same_mean(void **state)
{
    (void)state;
    air_fan_case c[2];
    fan_state s[2];
    assert_true(mean_of_swings(1, &c[0], &s[0]) == mean_of_swings(3, &c[1], &s[1]));
    float *const one[] = {s[0].u, s[0].v, s[0].w, s[0].k, s[0].e, s[0].p};
    float *const other[] = {s[1].u, s[1].v, s[1].w, s[1].k, s[1].e, s[1].p};
    for (int n = 0; n < FAN_MEANS; n++)
        assert_memory_equal(one[n], other[n], s[0].n_values * sizeof(float));
    for (int n = 0; n < 2; n++)
        close_box(&c[n], &s[n]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_mean_of_swings_is_taken_with_what_it_may_be_off_by),
        cmocka_unit_test(any_number_of_threads_gives_the_same_mean),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
