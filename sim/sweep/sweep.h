/* sim/sweep/sweep.h - runs the cases of a plan, keeps them in a journal, and makes the result file. The door of the
 * module.
 *
 *     plan -> check (every case is read; equal airs are found) -> journal -> run -> result file
 *
 * Whoever runs the cases (this program's threads, or the ranks of an MPI program) takes them from sweep_dispatch, works
 * them out with sweep_compute() and hands them to sweep_take(). The order in which they come does not matter. */
#ifndef SWEEP_SWEEP_H
#define SWEEP_SWEEP_H

#include "air/air.h"
#include "store/journal.h"
#include "store/sweep_file.h"
#include "sweep/dispatch.h"
#include "sweep/plan.h"
#include "sweep/record.h"

typedef struct {
    int64_t n_cases, n_done, n_failed; /* of the sweep, or of the shard; done: those of former runs among them */
    int64_t n_here;                    /* finished by this run */
    double first_s;                    /* when the first case of this run began */
} sweep_progress;

/** What the program gives to those below it: clock, progress, stop. Called by one thread at a time, but for stop. */
typedef struct {
    double (*now_s)(void *user);
    void (*show)(const sweep_progress *progress, void *user); /* NULL: not shown */
    bool (*stop)(void *user);                                 /* true: come to an end */
    void *user;
} sweep_hooks;

/** Which part of the cases: i of n, from 1; n is 1 for all of them. */
typedef struct { int i, n; } sweep_shard;

typedef struct sweep_job {
    sweep_plan *plan;                    /* borrowed */
    sweep_hooks hooks;
    sweep_shard shard;
    int64_t n_cases;
    int32_t *group, n_groups;            /* cases of one air; of each case */
    sweep_identity *identity, all;       /* of each case; of the whole */
    bool *wanted;                        /* is to be done by this run */
    int64_t *where;                      /* journal * SWEEP_RECORDS + record of a finished case; -1: not finished */
    int n_journals;
    store_journal **journal;             /* the first takes what is finished */
    int64_t lost_bytes;                  /* of torn and damaged records in them */
    int64_t n_shard;                     /* cases of the shard */
    sweep_progress progress;
    double flushed_s;
    int n_collectors;                    /* of the first case; those of the others are known by their names */
    store_sweep_collector collector[SCENARIO_COLLECTORS];
    char *full_folder;                   /* for the cases' own result files; NULL: none kept */
    air_flow_store winds;                /* where computed winds are kept, as the program sets it; at first nowhere */
    drupelet_status status;              /* of the journal: the sweep ends with it */
} sweep_job;
#define SWEEP_RECORDS ((int64_t)1 << 40)

/** Reads every case of the plan, so that no fault is left for later, and finds which have one air.
 *  @param full_folder for keep: full, where the cases' result files go; copied
 *  @return DRUPELET_OK, the first fault of a case, DRUPELET_MEMORY or DRUPELET_STOPPED */
drupelet_status sweep_check(sweep_plan *plan, sweep_shard shard, const sweep_hooks *hooks, const char *full_folder,
                            sweep_job **job);
void sweep_free(sweep_job *job); /* NULL is allowed */
/** A job that can only sweep_compute(): of those who work for somebody else. */
drupelet_status sweep_help(sweep_plan *plan, const sweep_hooks *hooks, const char *full_folder, sweep_job **job);

/** How to meet a journal that is there. */
typedef enum {
    SWEEP_NEW,     /* it must not be there */
    SWEEP_ANEW,    /* it is replaced */
    SWEEP_RESUME,  /* its cases are kept; made where there is none; a changed plan is refused */
    SWEEP_CHANGED  /* the same, but of a changed plan those cases are kept that are in it still */
} sweep_start;
/** @param retry failed cases are done again */
drupelet_status sweep_open_journal(sweep_job *job, const char *path, sweep_start start, bool retry);
/** After a failure or a stop: takes a journal without a case away, which would be in the way of the next start.
 *  @return whether it did */
bool sweep_drop_empty_journal(sweep_job *job);
/** Takes in the journals of n shards; every case must be there. */
drupelet_status sweep_open_shards(sweep_job *job, int n, const char *const path[]);

/** Makes the air of a scenario, for cases with the same key (air/air.h). */
drupelet_status sweep_air_make(const sweep_job *job, const drupelet_scenario *scenario, int n_threads,
                               air_field **field);
/** Works a case out. @param air of the case; NULL: made here  @param record out: filled also where the case failed
 *  @return DRUPELET_OK (also with a case that failed) or DRUPELET_STOPPED */
drupelet_status sweep_compute(sweep_job *job, int64_t i_case, const air_field *air, int n_threads,
                              sweep_record *record);
/** Puts a finished case into the journal. Not by two threads at once. */
drupelet_status sweep_take(sweep_job *job, const sweep_record *record);
/** Reads a finished case back. */
drupelet_status sweep_recall(sweep_job *job, int64_t i_case, sweep_record *record);

/** Runs all cases that are wanted with threads of this program: many at once, or one after another with all threads in
 *  each, whichever the first cases show to be faster. @param n_threads 0: as many as OpenMP offers
 *  @return DRUPELET_OK, DRUPELET_STOPPED, or what the journal said */
drupelet_status sweep_run_here(sweep_job *job, int n_threads);

/** Threads that a number stands for, 0 being as many as OpenMP offers. */
int sweep_threads(int n_threads);

/** Seconds that a sweep would take, from a few cases run short. */
typedef struct {
    double total_s, case_s, air_s; /* with n_threads; one case and one air on one thread */
    int64_t n_droplets;            /* of a case, as guessed where an error is the target; mean */
    bool guessed;
    int64_t n_cases, n_airs;
    int n_threads;
} sweep_forecast;
drupelet_status sweep_predict(sweep_job *job, int n_threads, sweep_forecast *forecast);

/** Makes the result file from the journals, in the order of the cases. @param n_failed out: cases that failed */
drupelet_status sweep_write(sweep_job *job, const char *path, bool overwrite, int64_t *n_failed);

#endif
