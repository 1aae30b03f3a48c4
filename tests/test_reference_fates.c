/* tests/test_reference_fates.c - fates of a run of the kernel beside those of the reference. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "check.h"
#include "reference_run.h"
#include "run_case.h"

#define N_DROPLETS 20000
#define FILE_NAME "apple-wall-full-leaf.yaml"
/* Nothing drips: the reference knows no run-off. */
#define NO_RUN_OFF "canopy.retention=0.5 L/m2"

static void compare(const char *name, tally_estimate kernel, tally_estimate reference, double *worst)
{
    const double error = hypot(kernel.error, reference.error);
    const double off = error > 0.0 ? (kernel.share - reference.share) / error : 0.0;
    print_message("%-16s kernel %.5f +- %.5f, reference %.5f +- %.5f: %+.2f errors apart\n", name, kernel.share,
                  kernel.error, reference.share, reference.error, off);
    assert_close(kernel.share, reference.share, 0.0, 3.5 * error + 1e-12);
    *worst = fmax(*worst, fabs(off));
}

/* Twelve shares of the default scenario. Each may be 3.5 standard errors of the difference off (by chance about once in
 * 200 comparisons of twelve; both sides always draw the same numbers, so it is now or never). The errors of both are
 * taken as independent; they share the emission, so the true error of the difference is rather smaller. */
static void compare_fates(const char *const set[4])
{
    flight_case c;
    static reference_fates fates;
    double worst = 0.0;
    const drupelet_status status =
        flight_case_open(DRUPELET_SCENARIOS "/" FILE_NAME, set, N_DROPLETS, false, &c);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    reference_fly_all(&c, 2, &fates);
    run_case r = case_run(FILE_NAME, N_DROPLETS, 2, set);
    for (int f = 0; f < TALLY_FATES; f++)
        compare(tally_fate_name(f),
                tally_share(r.outcome->accounts, &r.outcome->accounts->fate[0][f], TALLY_FATES),
                reference_share(&fates, f), &worst);
    compare("drift_sum_5_m", tally_drift_sum(r.outcome->accounts, 5.0), reference_share(&fates, REFERENCE_DRIFT_5_M),
            &worst);
    compare("evaporated", tally_evaporated(r.outcome->accounts), reference_share(&fates, REFERENCE_EVAPORATED), &worst);
    print_message("worst %.2f\n", worst);
    assert_true(reference_share(&fates, REFERENCE_DRIFT_5_M).share > 1e-3);
    case_end(&r);
    flight_case_close(&c);
}

static void kernel_and_reference_have_the_same_fates(void **state)
{
    (void)state;
    compare_fates((const char *const[4]){NO_RUN_OFF, NULL});
}

/* On a grid whose nodes are closer in and near the block. */
static void and_so_in_the_computed_wind(void **state)
{
    (void)state;
    compare_fates((const char *const[4]){NO_RUN_OFF, "run.wind=computed", NULL});
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(kernel_and_reference_have_the_same_fates),
                                       cmocka_unit_test(and_so_in_the_computed_wind)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
