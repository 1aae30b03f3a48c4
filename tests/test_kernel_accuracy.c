/* tests/test_kernel_accuracy.c - where the batch kernel puts the droplets of a real spray, beside the reference with
 * steps so fine that the truth is known to a twentieth of what is allowed. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "flight_case.h"

enum { N = 1000, SIZES = 8 };
#define ALLOWED_M 1e-3
#define TRUTH_M (0.05 * ALLOWED_M)
static const double SIZE_UM[SIZES + 1] = {0, 30, 50, 80, 120, 180, 250, 350, 1e4};

typedef struct {
    reference_droplet start;
    double place_m[3], time_s; /* as the kernel ends it */
    double off_m, unsure_m;
} flown;

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Flies droplets spread over the whole emission until the first step that ends after a time, on the ground or outside
 * the domain. */
static void fly_by_kernel(const flight_case *c, double time_s, flown f[N])
{
    const int64_t all = c->emission->per_batch * TALLY_BATCHES;
    const droplet_flight flight = droplet_flight_pick();
    static droplet_batch b;
    droplet_setting setting = c->setting;
    setting.time_limit_s = (float)time_s;
    for (int first = 0; first < N; first += DROPLET_LANES) {
        const int n = first + DROPLET_LANES < N ? DROPLET_LANES : N - first;
        flight_case_park(&b);
        for (int i = 0; i < n; i++) {
            flight_case_emit(c, (first + i) * all / N, true, &b, i);
            f[first + i].start = reference_of_lane(&b, i);
        }
        for (int left = n; left > 0;) {
            flight(&setting, &b);
            for (int i = 0; i < n; i++)
                if (b.found[i]) {
                    flown *p = &f[first + i];
                    p->place_m[0] = (double)b.x_m[i];
                    p->place_m[1] = (double)b.y_m[i];
                    p->place_m[2] = (double)b.z_m[i];
                    p->time_s = (double)b.time_s[i];
                    b.aloft[i] = 0.0f;
                    left--;
                }
        }
    }
}

/* Prints the errors and gives the worst. */
static double judge(const flown f[N], double time_s)
{
    static double off_mm[N];
    double unsure_m = 0.0;
    int n_over = 0;
    for (int i = 0; i < N; i++) {
        off_mm[i] = 1e3 * f[i].off_m;
        unsure_m = fmax(unsure_m, f[i].unsure_m);
        n_over += f[i].off_m > ALLOWED_M;
    }
    qsort(off_mm, N, sizeof *off_mm, by_size);
    print_message("%g s: median %.3f mm, 90 %% %.3f, 99 %% %.3f, worst %.3f; %d of %d over %g mm; the truth is known "
                  "to %.4f mm\n",
                  time_s, off_mm[N / 2], off_mm[9 * N / 10], off_mm[99 * N / 100], off_mm[N - 1], n_over, N,
                  1e3 * ALLOWED_M, 1e3 * unsure_m);
    const double worst_m = 1e-3 * off_mm[N - 1];
    for (int s = 0; s < SIZES; s++) {
        int n = 0;
        for (int i = 0; i < N; i++) {
            const double d_um = 1e6 * f[i].start.diameter_m;
            if (d_um >= SIZE_UM[s] && d_um < SIZE_UM[s + 1])
                off_mm[n++] = 1e3 * f[i].off_m;
        }
        qsort(off_mm, (size_t)n, sizeof *off_mm, by_size);
        if (n > 0)
            print_message("  from %3.0f um: %3d droplets, median %.3f mm, 90 %% %.3f, worst %.3f\n", SIZE_UM[s], n,
                          off_mm[n / 2], off_mm[9 * n / 10], off_mm[n - 1]);
    }
    assert_true(unsure_m < 4.0 * TRUTH_M); /* some paths are all but unstable */
    return worst_m;
}

static void check_after(double time_s)
{
    static flown f[N];
    flight_case c;
    const drupelet_status status =
        flight_case_open(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", NULL, 32000, true, &c);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    memset(f, 0, sizeof f);
    fly_by_kernel(&c, time_s, f);
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < N; i++) {
        reference_droplet p = f[i].start;
        f[i].unsure_m = reference_fly_finely(&c.reference, TRUTH_M, f[i].time_s, &p);
        double sum = 0.0;
        for (int d = 0; d < 3; d++)
            sum += pow(p.place_m[d] - f[i].place_m[d], 2.0);
        f[i].off_m = sqrt(sum);
    }
    assert_true(judge(f, time_s) < ALLOWED_M);
    flight_case_close(&c);
}

/* The spray of the default scenario, sizes and directions as emitted, without turbulence and capture. */
static void a_spray_ends_within_a_millimetre_after_half_a_second(void **state)
{
    (void)state;
    check_after(0.5);
}

static void a_spray_ends_within_a_millimetre_on_the_ground_or_after_3_s(void **state)
{
    (void)state;
    check_after(3.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_spray_ends_within_a_millimetre_after_half_a_second),
        cmocka_unit_test(a_spray_ends_within_a_millimetre_on_the_ground_or_after_3_s),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
