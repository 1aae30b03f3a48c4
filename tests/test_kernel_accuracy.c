/* tests/test_kernel_accuracy.c - where the batch kernel puts the droplets of a real spray: beside the reference, which
 * takes the same steps by itself in double precision, and beside the truth, the reference with steps so fine that finer
 * ones change nothing that matters. The first says what single precision, polynomials and vector code cost, the second
 * what the scheme and its steps do.
 *
 * The spray is that of the default scenario, sizes and directions as emitted, without turbulence and capture. */
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

enum { N = 1000, SIZES = 8, TORN = 2 };
#define ALLOWED_M 1e-3
#define SHIFT_M 2e-6
#define TRUTH_M 5e-5
static const double SIZE_UM[SIZES + 1] = {0, 30, 50, 80, 120, 180, 250, 350, 1e4};

typedef struct {
    reference_droplet start, kernel; /* as emitted; as the kernel ends it */
    double off_m, unsure_m;
} flown;

static double apart_m(const reference_droplet *a, const reference_droplet *b)
{
    return sqrt(pow(a->place_m[0] - b->place_m[0], 2.0) + pow(a->place_m[1] - b->place_m[1], 2.0)
                + pow(a->place_m[2] - b->place_m[2], 2.0));
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
                    f[first + i].kernel = reference_of_lane(&b, i);
                    b.aloft[i] = 0.0f;
                    left--;
                }
        }
    }
}

typedef struct { double median_mm, most_mm, worst_mm; int n; } spread; /* most: nine of ten */

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static spread spread_of(const flown f[N], double from_um, double to_um)
{
    static double off_mm[N];
    int n = 0;
    for (int i = 0; i < N; i++) {
        const double d_um = 1e6 * f[i].start.diameter_m;
        if (d_um >= from_um && d_um < to_um)
            off_mm[n++] = 1e3 * f[i].off_m;
    }
    qsort(off_mm, (size_t)n, sizeof *off_mm, by_size);
    return n > 0 ? (spread){off_mm[n / 2], off_mm[9 * n / 10], off_mm[n - 1], n} : (spread){.n = 0};
}

static spread print_errors(const char *what, double time_s, const flown f[N])
{
    const spread all = spread_of(f, SIZE_UM[0], SIZE_UM[SIZES]);
    print_message("off %s after %g s or on the ground, mm: median %.4f, 90 %% %.4f, worst %.4f\n", what, time_s,
                  all.median_mm, all.most_mm, all.worst_mm);
    for (int k = 0; k < SIZES; k++) {
        const spread s = spread_of(f, SIZE_UM[k], SIZE_UM[k + 1]);
        if (s.n > 0)
            print_message("  from %3.0f um: %3d droplets, median %.4f, 90 %% %.4f, worst %.4f\n", SIZE_UM[k], s.n,
                          s.median_mm, s.most_mm, s.worst_mm);
    }
    return all;
}

/* How far the end of the reference's flight moves when its start is moved by SHIFT_M along each axis; the farthest. */
static double torn_apart_m(const flight_case *c, const flown *f, const reference_droplet *end)
{
    double farthest_m = 0.0;
    for (int way = 0; way < 6; way++) {
        reference_droplet p = f->start;
        p.place_m[way / 2] += way % 2 ? SHIFT_M : -SHIFT_M;
        reference_fly_calm(&c->reference, 1.0, f->kernel.time_s, &p);
        farthest_m = fmax(farthest_m, apart_m(&p, end));
    }
    return farthest_m;
}

/* Within a millimetre. One path in 2,000 passes so close to where a jet is drawn in or splits up that neighbours part
 * ten thousand times as far as they were apart (TORN is the most of them here): there the kernel may be off as far as a
 * shift of the start by 2 um moves the reference, which is about what rounding does to droplets in half the time that
 * they fly. Steps are the same ones; the reference may need one more, of microseconds, to end at the kernel's time. */
static void compare_with_reference(const flight_case *c, double time_s, flown f[N])
{
    int n_torn = 0;
    for (int i = 0; i < N; i++) {
        reference_droplet p = f[i].start;
        reference_fly_calm(&c->reference, 1.0, f[i].kernel.time_s, &p);
        f[i].off_m = apart_m(&p, &f[i].kernel);
        assert_true(p.step == f[i].kernel.step || p.step == f[i].kernel.step + 1);
        assert_close(f[i].kernel.diameter_m, p.diameter_m, 1e-4, 0.0);
        if (f[i].off_m < ALLOWED_M)
            continue;
        const double torn_m = torn_apart_m(c, &f[i], &p);
        print_message("droplet %d, %.1f um: %.2f mm off the reference; its own end moves by %.2f mm where it starts "
                      "%g um beside\n",
                      i, 1e6 * f[i].start.diameter_m, 1e3 * f[i].off_m, 1e3 * torn_m, 1e6 * SHIFT_M);
        assert_true(f[i].off_m < torn_m);
        n_torn++;
    }
    const spread s = print_errors("the reference", time_s, f);
    assert_true(n_torn <= TORN);
    assert_true(s.most_mm < 0.05);
}

static spread compare_with_truth(const flight_case *c, double time_s, flown f[N])
{
    double unsure_m = 0.0;
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < N; i++) {
        reference_droplet p = f[i].start;
        f[i].unsure_m = reference_fly_finely(&c->reference, TRUTH_M, f[i].kernel.time_s, &p);
        f[i].off_m = apart_m(&p, &f[i].kernel);
    }
    for (int i = 0; i < N; i++)
        unsure_m = fmax(unsure_m, f[i].unsure_m);
    print_message("the truth is known to %.4f mm\n", 1e3 * unsure_m);
    assert_true(unsure_m < 4.0 * TRUTH_M); /* some paths are all but unstable */
    return print_errors("the truth", time_s, f);
}

static spread check_after(double time_s)
{
    static flown f[N];
    flight_case c;
    const drupelet_status status =
        flight_case_open(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", NULL, 32000, true, &c);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    memset(f, 0, sizeof f);
    fly_by_kernel(&c, time_s, f);
    compare_with_reference(&c, time_s, f);
    const spread s = compare_with_truth(&c, time_s, f);
    flight_case_close(&c);
    return s;
}

/* Limits on what steps of the usual length cost: about half as large again as measured (4.6 and 7.9 mm; 6.4 and 18.8
 * mm). The worst droplets, which part from their neighbours, say nothing of the scheme. */
static void a_spray_is_where_it_should_be_after_half_a_second(void **state)
{
    (void)state;
    const spread s = check_after(0.5);
    assert_true(s.median_mm < 7.0);
    assert_true(s.most_mm < 12.0);
}

static void a_spray_is_where_it_should_be_on_the_ground_or_after_3_s(void **state)
{
    (void)state;
    const spread s = check_after(3.0);
    assert_true(s.median_mm < 10.0);
    assert_true(s.most_mm < 28.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_spray_is_where_it_should_be_after_half_a_second),
        cmocka_unit_test(a_spray_is_where_it_should_be_on_the_ground_or_after_3_s),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
