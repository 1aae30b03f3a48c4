/* sim/sweep/compute.c - simulates the cases of a sweep, many side by side or one at a time with all threads, and
 * predicts how long a sweep will take. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "base/threads.h"
#include "drupelet/run.h"
#include "result/result.h"
#include "run/run.h"
#include "sweep/sweep.h"

int sweep_threads(int n_threads)
{
    return n_threads > 0 ? n_threads : omp_get_max_threads();
}

/* ---- one case ---- */

static bool go_on(double share_done, void *user)
{
    (void)share_done;
    const sweep_job *job = user;
    return !job->hooks.stop(job->hooks.user);
}

/* Writes the result file of a case. */
static drupelet_status keep_whole(const sweep_job *job, int64_t i_case, const drupelet_result *result)
{
    drupelet_status status;
    char *path = malloc(strlen(job->full_folder) + 48);
    if (!path)
        return base_error(DRUPELET_MEMORY, "no memory for the name of a result file");
    sprintf(path, "%s/case-%07lld.h5", job->full_folder, (long long)i_case + 1);
#pragma omp critical(sweep_hdf5)
    status = drupelet_result_write(result, path, true);
    free(path);
    return status;
}

drupelet_status sweep_compute(sweep_job *job, int64_t i_case, const air_field *air, int n_threads, sweep_record *record)
{
    const double began_s = job->hooks.now_s(job->hooks.user);
    drupelet_scenario *scenario = NULL;
    run_outcome *outcome = NULL;
    drupelet_result *result = NULL;
    memset(record, 0, sizeof *record);
    record->i_case = i_case;
    drupelet_status status = sweep_plan_scenario(job->plan, i_case, &scenario);
    if (status.code == DRUPELET_OK) {
        record->identity = sweep_identity_of(scenario, job->plan->keep);
        const drupelet_run_options options = {.n_threads = n_threads,
                                              .progress = go_on,
                                              .user = job,
                                              .cache_folder = job->winds.folder,
                                              .cache_bytes = job->winds.most_bytes,
                                              .cache_refused = job->winds.refused};
        status = run_in_air(scenario, &options, air, &outcome);
    }
    if (status.code == DRUPELET_OK)
        status = result_of_run(outcome, !job->full_folder, &result);
    if (status.code == DRUPELET_OK) {
        record->n_droplets = result->n_droplets;
        result_measure(result, job->plan->keep != SWEEP_FATES, &record->measures);
        for (int i = 0; i < job->n_collectors; i++)
            result_measure_caught(result, i, job->collector[i].name, &record->measures);
    }
    if (status.code == DRUPELET_OK && job->full_folder) {
        status = keep_whole(job, i_case, result);
        if (status.code == DRUPELET_FILE) { /* the disk's fault, not the case's */
#pragma omp critical(sweep_sink)
            if (job->status.code == DRUPELET_OK)
                job->status = status;
            status = base_error(DRUPELET_STOPPED, "stopped");
        }
    }
    record->code = status.code;
    snprintf(record->reason, sizeof record->reason, "%s", status.message);
    record->seconds = job->hooks.now_s(job->hooks.user) - began_s;
    drupelet_result_free(result);
    drupelet_scenario_free(scenario);
    return status.code == DRUPELET_STOPPED ? status : base_ok();
}

/* ---- airs in use ---- */

typedef struct {
    int32_t group; /* -1: free */
    int users;
    air_field *field; /* NULL: could not be made; the case then says why */
    omp_lock_t making;
} air_slot;

typedef struct {
    sweep_job *job;
    sweep_dispatch *dispatch;
    int n_slots, n_inside; /* n_inside: threads within a case */
    air_slot *slot;
    double case_s;         /* seconds of all cases so far, less the making of airs that several share */
} computation;

drupelet_status sweep_air_make(const sweep_job *job, const drupelet_scenario *scenario, int n_threads,
                               air_field **field)
{
    *field = NULL;
    orchard_canopy *canopy = NULL;
    sprayer_work *work = malloc(sizeof *work);
    drupelet_status status = work ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the sprayer");
    if (status.code == DRUPELET_OK) status = orchard_create(scenario, &canopy);
    if (status.code == DRUPELET_OK) status = sprayer_work_out(scenario, work);
    const air_watch watch = {job->hooks.stop ? go_on : NULL, (void *)job};
    if (status.code == DRUPELET_OK) {
#pragma omp parallel num_threads(n_threads)
#pragma omp master
        status = air_field_create_watched(scenario, canopy, work, &job->winds, watch, field);
    }
    orchard_free(canopy);
    free(work);
    return status;
}

/* A place for the group's air. @param mine out: true where the caller is to make it, the lock held */
static air_slot *slot_for(computation *c, int32_t group, bool *mine)
{
    air_slot *found = NULL;
    *mine = false;
#pragma omp critical(sweep_slots)
    {
        for (int i = 0; i < c->n_slots && !found; i++)
            if (c->slot[i].group == group)
                found = &c->slot[i];
        for (int i = 0; i < c->n_slots && !found; i++)
            if (c->slot[i].users == 0
                && (c->slot[i].group < 0 || sweep_dispatch_left_in(c->dispatch, c->slot[i].group) == 0))
                found = &c->slot[i];
        for (int i = 0; i < c->n_slots && !found; i++)
            if (c->slot[i].users == 0)
                found = &c->slot[i]; /* there is one slot more than threads */
        found->users++;
        if (found->group != group) {
            air_field_free(found->field);
            found->field = NULL;
            found->group = group;
            *mine = true;
            omp_set_lock(&found->making);
        }
    }
    return found;
}

static void leave(computation *c, air_slot *slot)
{
#pragma omp critical(sweep_slots)
    {
        slot->users--;
        if (slot->users == 0 && sweep_dispatch_left_in(c->dispatch, slot->group) == 0) {
            air_field_free(slot->field);
            slot->field = NULL;
            slot->group = -1;
        }
    }
}

/* The air of a case that others share; NULL: the case makes its own. */
static const air_field *air_for(computation *c, int64_t i_case, air_slot **slot, double *air_s)
{
    sweep_job *job = c->job;
    const int32_t group = job->group[i_case];
    bool mine;
    *slot = NULL;
    if (sweep_dispatch_size(c->dispatch, group) == 1)
        return NULL;
    *slot = slot_for(c, group, &mine);
    if (!mine) {
        omp_set_lock(&(*slot)->making); /* until it is made */
        omp_unset_lock(&(*slot)->making);
        return (*slot)->field;
    }
    const double began_s = job->hooks.now_s(job->hooks.user);
    drupelet_scenario *scenario = NULL;
    drupelet_status status = sweep_plan_scenario(job->plan, i_case, &scenario);
    if (status.code == DRUPELET_OK)
        sweep_air_make(job, scenario, c->n_inside, &(*slot)->field);
    drupelet_scenario_free(scenario);
    *air_s = job->hooks.now_s(job->hooks.user) - began_s;
    omp_unset_lock(&(*slot)->making);
    return (*slot)->field;
}

/* Takes a case and finishes it; false when there is none left, or the sweep is to end. */
static bool do_one(computation *c, int worker, sweep_record *record, bool *stopped)
{
    sweep_job *job = c->job;
    int64_t i_case = -1;
    bool end = false;
#pragma omp critical(sweep_sink)
    end = job->status.code != DRUPELET_OK;
    if (!end && !job->hooks.stop(job->hooks.user)) {
#pragma omp critical(sweep_slots)
        i_case = sweep_dispatch_next(c->dispatch, worker);
    }
    if (i_case < 0)
        return false;
    air_slot *slot;
    double air_s = 0.0;
    const air_field *air = air_for(c, i_case, &slot, &air_s);
    const drupelet_status status = sweep_compute(job, i_case, air, c->n_inside, record);
    if (slot)
        leave(c, slot);
    record->air_seconds = air_s;
    record->seconds += air_s;
    if (status.code != DRUPELET_OK) {
        *stopped = true;
        return false;
    }
#pragma omp critical(sweep_sink)
    {
        end = sweep_take(job, record).code != DRUPELET_OK;
        c->case_s += record->seconds - air_s;
    }
    return !end;
}

/* Up to n cases with n_workers at once, n_inside threads in each. @return cases done */
static int64_t work(computation *c, int n_workers, int n_inside, int64_t n, drupelet_status *status)
{
    int64_t given = 0, done = 0;
    bool stopped = false;
    c->n_inside = n_inside;
    const int levels = omp_get_max_active_levels();
    if (n_inside > 1 && n_workers > 1)
        omp_set_max_active_levels(2);
#pragma omp parallel num_threads(n_workers) if (n_workers > 1)
    {
        sweep_record *record = malloc(sizeof *record);
        bool on = record != NULL;
        if (!on) {
#pragma omp critical(sweep_sink)
            if (status->code == DRUPELET_OK)
                *status = base_error(DRUPELET_MEMORY, "no memory for a case");
        }
        while (on) {
            int64_t mine;
#pragma omp atomic capture
            mine = given++;
            on = mine < n && do_one(c, omp_get_thread_num(), record, &stopped);
            if (on) {
#pragma omp atomic
                done++;
            }
        }
        free(record);
    }
    omp_set_max_active_levels(levels);
    if (stopped && status->code == DRUPELET_OK)
        *status = base_error(DRUPELET_STOPPED, "stopped");
    return done;
}

static drupelet_status computation_create(sweep_job *job, int n_threads, computation *c)
{
    *c = (computation){.job = job, .n_slots = n_threads + 1};
    drupelet_status status =
        sweep_dispatch_create(job->n_cases, job->group, job->n_groups, job->wanted, n_threads, &c->dispatch);
    c->slot = calloc((size_t)c->n_slots, sizeof *c->slot);
    if (status.code == DRUPELET_OK && !c->slot)
        status = base_error(DRUPELET_MEMORY, "no memory for the airs of the sweep");
    for (int i = 0; i < c->n_slots && c->slot; i++) {
        c->slot[i].group = -1;
        omp_init_lock(&c->slot[i].making);
    }
    return status;
}

static void computation_end(computation *c)
{
    for (int i = 0; i < c->n_slots && c->slot; i++) {
        air_field_free(c->slot[i].field);
        omp_destroy_lock(&c->slot[i].making);
    }
    free(c->slot);
    sweep_dispatch_free(c->dispatch);
}

/* Runs n cases; seconds between two that are done, the making of shared airs left out: it would fall to the one way
 * or the other by chance. */
static double measured(computation *c, int n_workers, int n_inside, int64_t n, drupelet_status *status)
{
    const double before_s = c->case_s;
    const int64_t done = work(c, n_workers, n_inside, n, status);
    return done > 0 ? (c->case_s - before_s) / (double)done / n_workers : INFINITY;
}

drupelet_status sweep_run_here(sweep_job *job, int n_threads)
{
    enum { TRIAL = 2 /* rounds of each way */, ENOUGH = 8 /* rounds that make a trial worth while */ };
    computation c;
    n_threads = sweep_threads(n_threads);
    drupelet_status status = computation_create(job, n_threads, &c);
    if (status.code == DRUPELET_OK) status = base_threads_check(n_threads);
    job->progress.first_s = job->hooks.now_s(job->hooks.user);
    job->flushed_s = job->progress.first_s;
    if (status.code == DRUPELET_OK) {
        const int64_t n = sweep_dispatch_left(c.dispatch);
        int at_once = n < n_threads ? (int)(n > 0 ? n : 1) : n_threads;
        if (n_threads > 1 && n >= (int64_t)ENOUGH * n_threads) {
            const double alone_s = measured(&c, 1, n_threads, TRIAL, &status);
            const double many_s = status.code == DRUPELET_OK
                                      ? measured(&c, n_threads, 1, (int64_t)TRIAL * n_threads, &status)
                                      : INFINITY;
            if (alone_s < many_s)
                at_once = 1;
        }
        if (status.code == DRUPELET_OK)
            work(&c, at_once, n_threads / at_once, INT64_MAX, &status);
    }
    computation_end(&c);
    if (job->status.code != DRUPELET_OK)
        return job->status;
    if (status.code == DRUPELET_OK && job->hooks.stop(job->hooks.user))
        status = base_error(DRUPELET_STOPPED, "stopped");
    return status;
}

/* ---- how long it will take ---- */

/* Time of a case with a number of droplets, and the relative error of the target that it reached. */
static drupelet_status probe(sweep_job *job, const drupelet_scenario *scenario, const air_field *air,
                             int64_t n_droplets, double *seconds, int64_t *flown)
{
    run_outcome *outcome = NULL;
    const drupelet_run_options options = {.n_threads = 1, .n_droplets = n_droplets, .progress = go_on, .user = job};
    const double began_s = job->hooks.now_s(job->hooks.user);
    const drupelet_status status = run_in_air(scenario, &options, air, &outcome);
    *seconds = job->hooks.now_s(job->hooks.user) - began_s;
    *flown = status.code == DRUPELET_OK ? outcome->n_droplets : 0;
    run_outcome_free(outcome);
    return status;
}

drupelet_status sweep_predict(sweep_job *job, int n_threads, sweep_forecast *forecast)
{
    enum { PROBES = 3 };
    static const int64_t FEW[2] = {2048, 8192}; /* choice: some tenths of a second each */
    double case_s = 0.0, air_s = 0.0, droplets = 0.0;
    int64_t n_wanted = 0;
    int n_probed = 0, n_groups = 0;
    drupelet_status status = base_ok();
    n_threads = sweep_threads(n_threads);
    *forecast = (sweep_forecast){.guessed = job->plan->target_error, .n_cases = 0, .n_threads = n_threads};
    bool *seen = calloc((size_t)job->n_groups, sizeof *seen);
    if (!seen)
        return base_error(DRUPELET_MEMORY, "no memory for the forecast");
    for (int64_t c = 0; c < job->n_cases; c++)
        if (job->wanted[c]) {
            n_wanted++;
            n_groups += !seen[job->group[c]];
            seen[job->group[c]] = true;
        }
    free(seen);
    int64_t ordinal = 0;
    for (int64_t c = 0; c < job->n_cases && status.code == DRUPELET_OK; c++) {
        if (!job->wanted[c] || ordinal++ != n_probed * (n_wanted - 1) / (PROBES - 1))
            continue;
        drupelet_scenario *scenario = NULL;
        air_field *air = NULL;
        double spent_s[2] = {0.0, 0.0}, began_s = job->hooks.now_s(job->hooks.user);
        int64_t flown[2] = {0, 0};
        status = sweep_plan_scenario(job->plan, c, &scenario);
        if (status.code == DRUPELET_OK) status = sweep_air_make(job, scenario, 1, &air);
        air_s += job->hooks.now_s(job->hooks.user) - began_s;
        if (status.code == DRUPELET_OK && job->plan->target_error) { /* it says itself when it is good enough */
            status = probe(job, scenario, air, 0, &spent_s[0], &flown[0]);
            case_s += spent_s[0];
            droplets += (double)flown[0];
        } else {
            for (int k = 0; k < 2 && status.code == DRUPELET_OK; k++)
                status = probe(job, scenario, air, FEW[k], &spent_s[k], &flown[k]);
            if (status.code == DRUPELET_OK) {
                const double n = (double)scenario->run.n_droplets;
                const double each_s = fmax(spent_s[1] - spent_s[0], 0.0) / fmax((double)(flown[1] - flown[0]), 1.0);
                case_s += fmax(spent_s[0] + each_s * (n - (double)flown[0]), 0.0);
                droplets += n;
            }
        }
        if (status.code == DRUPELET_SCENARIO || status.code == DRUPELET_MEMORY || status.code == DRUPELET_BALANCE)
            status = base_ok(); /* a case that fails takes no time to speak of */
        air_field_free(air);
        drupelet_scenario_free(scenario);
        n_probed++;
    }
    forecast->n_cases = n_wanted;
    forecast->n_airs = n_groups;
    if (n_probed > 0) {
        forecast->case_s = case_s / n_probed;
        forecast->air_s = air_s / n_probed;
        forecast->n_droplets = (int64_t)(droplets / n_probed);
        forecast->total_s =
            ((double)n_wanted * forecast->case_s + n_groups * forecast->air_s) / fmin(n_threads, (double)n_wanted);
    }
    return status;
}
