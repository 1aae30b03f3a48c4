/* tests/run_case.c - runs of shipped scenarios, and differences between two of them batch by batch. */
#include "run_case.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

run_case case_run(const char *file, int64_t n_droplets, int n_threads, const char *const set[4])
{
    int n = 0;
    while (n < 4 && set && set[n])
        n++;
    return case_run_with(file, n_droplets, n_threads, set, n);
}

run_case case_run_with(const char *file, int64_t n_droplets, int n_threads, const char *const *set, int n)
{
    char path[1024];
    run_case c = {NULL, NULL, NULL};
    snprintf(path, sizeof path, "%s/%s", DRUPELET_SCENARIOS, file);
    drupelet_status status = drupelet_scenario_read(path, set, n, &c.scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    const drupelet_run_options options = {.n_droplets = n_droplets, .n_threads = n_threads};
    status = drupelet_run(c.scenario, &options, &c.result);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    c.outcome = c.result->outcome;
    return c;
}

void case_end(run_case *c)
{
    drupelet_result_free(c->result);
    drupelet_scenario_free(c->scenario);
    c->result = NULL;
    c->outcome = NULL;
    c->scenario = NULL;
}

double case_difference_in_errors(const run_case *less, const run_case *more, case_share share)
{
    double sum = 0.0, sum2 = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        const double d = share(more->outcome->accounts, b) - share(less->outcome->accounts, b);
        sum += d;
        sum2 += d * d;
    }
    const double mean = sum / TALLY_BATCHES;
    const double error = sqrt(fmax(sum2 / TALLY_BATCHES - mean * mean, 0.0) / (TALLY_BATCHES - 1));
    return error > 0.0 ? mean / error : 0.0;
}
