/* sim/sweep/api.c - a sweep through the public header: plan, journal, cases side by side, result file.
 *
 * The library asks no clock: the journal is flushed to the disk at the end, and cases are not timed, so they run side
 * by side, each on one thread. Left out: shards, and the result files of cases (keep: full). */
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"
#include "drupelet/sweep.h"
#include "scenario/read.h"
#include "sweep/sweep.h"

typedef struct {
    drupelet_sweep_options options;
    atomic_bool stop;
} caller;

static double no_clock(void *user)
{
    (void)user;
    return 0.0;
}

static void show(const sweep_progress *progress, void *user)
{
    caller *c = user;
    if (c->options.progress && !c->options.progress(progress->n_done, progress->n_cases, c->options.user))
        atomic_store(&c->stop, true);
}

static bool stop(void *user)
{
    caller *c = user;
    return atomic_load(&c->stop);
}

static bool is_there(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (file) fclose(file);
    return file != NULL;
}

static drupelet_status check_output(const sweep_plan *plan, const char *output, bool overwrite)
{
    bool is_input = strcmp(output, plan->file) == 0 || strcmp(output, plan->base_file) == 0;
    for (int i = 0; i < plan->n_canopy_files; i++)
        is_input = is_input || strcmp(output, plan->canopy_file[i]) == 0;
    if (is_input)
        return base_error(DRUPELET_FILE, "%.256s: is read, so it is not written over: name another file", output);
    if (!overwrite && is_there(output)) return base_error(DRUPELET_FILE, "%.256s: exists", output);
    return base_ok();
}

static drupelet_status run_plan(sweep_plan *plan, const char *output, const char *journal, caller *c, int64_t *n_failed)
{
    const sweep_hooks hooks = {.now_s = no_clock, .show = show, .stop = stop, .user = c};
    const sweep_start start = c->options.resume ? SWEEP_RESUME : c->options.overwrite ? SWEEP_ANEW : SWEEP_NEW;
    sweep_job *job = NULL;
    drupelet_status status = base_ok();
    if (plan->keep == SWEEP_FULL)
        return base_error(DRUPELET_SCENARIO,
                          "%.256s: keep: found full, expected fates or profiles: 'drupelet sweep' keeps the result "
                          "files of cases",
                          plan->file);
    status = sweep_check(plan, (sweep_shard){1, 1}, &hooks, NULL, &job);
    if (status.code == DRUPELET_OK) status = check_output(plan, output, c->options.overwrite); /* canopies are known */
    if (status.code == DRUPELET_OK) {
        job->winds.folder = c->options.cache_folder;
        status = sweep_open_journal(job, journal, start, false);
    }
    if (status.code == DRUPELET_OK) status = sweep_run_here(job, c->options.n_threads);
    if (status.code != DRUPELET_OK && job) sweep_drop_empty_journal(job);
    if (status.code == DRUPELET_OK) {
#pragma omp critical(store_hdf5)
        status = sweep_write(job, output, c->options.overwrite, n_failed);
    }
    sweep_free(job);
    if (status.code == DRUPELET_OK && *n_failed == 0) remove(journal);
    return status;
}

/* @param plan taken over; NULL after a failure, which the status tells */
static drupelet_status run(drupelet_status status, sweep_plan *plan, const char *output,
                           const drupelet_sweep_options *options, int64_t *n_failed)
{
    caller c = {.options = options ? *options : (drupelet_sweep_options){0}};
    char *journal = malloc(strlen(output) + sizeof ".journal");
    *n_failed = 0;
    if (status.code == DRUPELET_OK && !journal) status = base_error(DRUPELET_MEMORY, "no memory for the sweep");
    if (status.code == DRUPELET_OK) {
        sprintf(journal, "%s.journal", output);
        status = run_plan(plan, output, journal, &c, n_failed);
    }
    free(journal);
    sweep_plan_free(plan);
    return status;
}

drupelet_status drupelet_sweep_run(const char *plan_path, const char *output_path,
                                   const drupelet_sweep_options *options, int64_t *n_failed)
{
    void *former_locale;
    sweep_plan *plan = NULL;
    drupelet_status status = base_c_locale_enter(&former_locale);
    if (status.code == DRUPELET_OK) status = sweep_plan_read(plan_path, &plan);
    status = run(status, plan, output_path, options, n_failed);
    base_c_locale_leave(former_locale);
    return status;
}

drupelet_status drupelet_sweep_run_text(const char *plan_name, const char *plan_text, const char *scenario_name,
                                        const char *scenario, const char *output_path,
                                        const drupelet_sweep_options *options, int64_t *n_failed)
{
    void *former_locale;
    sweep_plan *plan = NULL;
    drupelet_status status = base_c_locale_enter(&former_locale);
    if (status.code == DRUPELET_OK) status = sweep_plan_read_text(plan_name, plan_text, scenario_name, scenario, &plan);
    status = run(status, plan, output_path, options, n_failed);
    base_c_locale_leave(former_locale);
    return status;
}
