/* tests/small_run.c - runs tests/data/small-run.yaml. */
#define _POSIX_C_SOURCE 200809L
#include "small_run.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

static char kept[] = "/tmp/drupelet-winds-XXXXXX"; /* what a run has solved, for the next of this process */
static pid_t keeper;

static void remove_kept(void)
{
    char command[64];
    if (getpid() != keeper) return; /* a child of it ends */
    snprintf(command, sizeof command, "rm -r %s", kept);
    if (system(command) != 0) fprintf(stderr, "%s cannot be removed\n", kept);
}

static const char *folder_of_winds(void)
{
    if (keeper == 0) {
        if (!mkdtemp(kept)) abort();
        keeper = getpid();
        atexit(remove_kept);
    }
    return kept;
}

run_case *small_run(int downwind)
{
    static const char *const the_other_way[] = {"weather.wind_angle=169 deg"};
    const drupelet_run_options options = {.n_threads = 2, .cache_folder = folder_of_winds()};
    run_case *run = calloc(1, sizeof *run);
    if (!run)
        abort();
    drupelet_status status = drupelet_scenario_read(DRUPELET_TEST_DATA "/small-run.yaml", the_other_way, downwind < 0,
                                                    &run->scenario);
    if (status.code == DRUPELET_OK)
        status = drupelet_run(run->scenario, &options, &run->result);
    if (status.code != DRUPELET_OK) {
        fprintf(stderr, "%s\n", status.message);
        exit(EXIT_FAILURE); /* also from a set-up, where cmocka's fail() has nowhere to go */
    }
    run->outcome = run->result->outcome;
    return run;
}

void small_run_end(run_case *run)
{
    if (run)
        case_end(run);
    free(run);
}

int small_run_set_up(void **state)
{
    *state = small_run(1);
    return 0;
}

int small_run_tear_down(void **state)
{
    small_run_end(*state);
    return 0;
}
