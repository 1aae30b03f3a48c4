/* tests/run_case.h - small runs for tests that compare one setting with another. */
#ifndef TESTS_RUN_CASE_H
#define TESTS_RUN_CASE_H

#include "result/result.h"

/** A run and its scenario; end it with case_end(). */
typedef struct {
    drupelet_scenario *scenario;
    drupelet_result *result;
    run_outcome *outcome; /* that the result was made of, with its accounts; it belongs to the result */
} run_case;

/** Runs a shipped scenario (its file name) with up to four overrides, "key.path=value" or NULL. Fails the test if it
 * cannot. */
run_case case_run(const char *file, int64_t n_droplets, int n_threads, const char *const set[4]);
/** The same with n of them. */
run_case case_run_with(const char *file, int64_t n_droplets, int n_threads, const char *const *set, int n);
void case_end(run_case *c);

/** Share of the output in droplets that a batch-wise function of two results says is more in the second: difference
 * over its standard error, from the differences batch by batch (both runs have the same random numbers). */
typedef double (*case_share)(const tally *accounts, int i_batch);
double case_difference_in_errors(const run_case *less, const run_case *more, case_share share);

#endif
