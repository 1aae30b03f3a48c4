/* tests/test_reference.c - the reference flight itself: against Runge-Kutta on its equations of motion, its order, and
 * its books. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "check.h"
#include "reference_run.h"

#define SCENARIO DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml"
enum { N = 60 };

static double distance_m(const double a[3], const double b[3])
{
    return sqrt(pow(a[0] - b[0], 2.0) + pow(a[1] - b[1], 2.0) + pow(a[2] - b[2], 2.0));
}

static void open_case(bool calm, int64_t n_droplets, flight_case *c)
{
    const drupelet_status status = flight_case_open(SCENARIO, NULL, n_droplets, calm, c);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
}

/* Droplets spread over the spray, N in all, of at least 15 um. */
static void emit_some(const flight_case *c, reference_droplet droplet[N])
{
    static droplet_batch lane;
    const int64_t all = c->emission->per_batch * TALLY_BATCHES;
    int64_t id = 0;
    flight_case_park(&lane);
    for (int i = 0; i < N; id += all / (2 * N)) {
        assert_true(id < all);
        flight_case_emit(c, id, true, &lane, 0);
        droplet[i] = reference_of_lane(&lane, 0);
        i += droplet[i].diameter_m >= 15e-6;
    }
}

/* Runge-Kutta of fourth order, 50 us a step: a tenth of the relaxation time of the smallest droplet here. */
static void runge_kutta(const reference_setting *s, const reference_droplet *start, double time_s,
                        double y[REFERENCE_STATES])
{
    const int n = (int)lround(time_s / 5e-5);
    const double dt = time_s / n;
    for (int c = 0; c < 3; c++) {
        y[c] = start->place_m[c];
        y[3 + c] = start->velocity_m_s[c];
    }
    y[6] = 1.0;
    for (int i = 0; i < n; i++) {
        static const double ahead[4] = {0.0, 0.5, 0.5, 1.0}, weight[4] = {1.0 / 6, 1.0 / 3, 1.0 / 3, 1.0 / 6};
        double rate[REFERENCE_STATES] = {0}, at[REFERENCE_STATES], sum[REFERENCE_STATES] = {0};
        for (int k = 0; k < 4; k++) {
            for (int j = 0; j < REFERENCE_STATES; j++)
                at[j] = y[j] + ahead[k] * dt * rate[j];
            reference_rates(s, start, (i + ahead[k]) * dt, at, rate);
            for (int j = 0; j < REFERENCE_STATES; j++)
                sum[j] += weight[k] * dt * rate[j];
        }
        for (int j = 0; j < REFERENCE_STATES; j++)
            y[j] += sum[j];
    }
}

/* Within 0.1 mm in place, a tenth of what the kernel is held to, and 0.01 % in diameter. */
static void fine_steps_agree_with_runge_kutta(void **state)
{
    (void)state;
    flight_case c;
    open_case(true, 32000, &c);
    static reference_droplet start[N];
    double worst_m = 0.0, worst_d = 0.0, y[REFERENCE_STATES];
    emit_some(&c, start);
    for (int i = 0; i < N; i++) {
        reference_droplet p = start[i];
        reference_fly_finely(&c.reference, 2e-5, 0.4, &p);
        runge_kutta(&c.reference, &start[i], 0.4, y);
        worst_m = fmax(worst_m, distance_m(p.place_m, y));
        worst_d = fmax(worst_d, fabs(p.diameter_m / (start[i].diameter_m * sqrt(y[6])) - 1.0));
    }
    print_message("worst of %d: %.4f mm, diameter %.5f %%\n", N, 1e3 * worst_m, 100.0 * worst_d);
    assert_true(worst_m < 1e-4);
    assert_true(worst_d < 1e-4);
    flight_case_close(&c);
}

/* Half the step, a quarter of the error: 3.2 to 5 in the median over a third of a second, where no border of a grid is
 * met by many. */
static void the_step_is_of_second_order(void **state)
{
    (void)state;
    flight_case c;
    open_case(true, 32000, &c);
    static reference_droplet start[N];
    emit_some(&c, start);
    double sum[3] = {0.0};
    for (int i = 0; i < N; i++) {
        reference_droplet truth = start[i], p;
        reference_fly_finely(&c.reference, 1e-5, 0.3, &truth);
        for (int k = 0; k < 3; k++) {
            p = start[i];
            reference_fly_calm(&c.reference, ldexp(1.0, -1 - k), 0.3, &p);
            sum[k] += distance_m(p.place_m, truth.place_m);
        }
    }
    print_message("mean error %.3f, %.3f, %.3f mm with 1/2, 1/4, 1/8 of the step\n", 1e3 * sum[0] / N,
                  1e3 * sum[1] / N, 1e3 * sum[2] / N);
    assert_between(sum[0] / sum[1], 3.2, 5.0);
    assert_between(sum[1] / sum[2], 3.2, 5.0);
    flight_case_close(&c);
}

/* Everything emitted has one fate, but for rounding. */
static void fates_add_up(void **state)
{
    (void)state;
    flight_case c;
    open_case(false, 2048, &c);
    static reference_fates fates;
    reference_fly_all(&c, 2, &fates);
    for (int b = 0; b < TALLY_BATCHES; b++) {
        double sum = 0.0;
        for (int f = 0; f < TALLY_FATES; f++)
            sum += fates.share[b][f];
        assert_close(sum, 1.0, 1e-12, 0.0);
        assert_between(fates.share[b][REFERENCE_EVAPORATED], 0.0, 1.0);
    }
    assert_true(fates.n_steps > 2048 * 20);
    flight_case_close(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fine_steps_agree_with_runge_kutta),
        cmocka_unit_test(the_step_is_of_second_order),
        cmocka_unit_test(fates_add_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
