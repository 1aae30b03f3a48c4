/* include/drupelet/sweep.h - many cases by a plan (docs/sweeps.md), and the table of their results.
 *
 *     drupelet_sweep *table = NULL;
 *     int64_t n_failed;
 *     drupelet_status status = drupelet_sweep_run("plan.yaml", "plan.h5", NULL, &n_failed);
 *     if (status.code == DRUPELET_OK) status = drupelet_sweep_read("plan.h5", &table);
 *
 * A table does not change: threads may ask one at once. */
#ifndef DRUPELET_SWEEP_H
#define DRUPELET_SWEEP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "drupelet/status.h"
#include "drupelet/tree.h"

typedef struct {
    bool overwrite;     /**< replace a result and a journal that exist */
    bool resume;        /**< keep the finished cases of the journal of an earlier call, where there is one */
    int n_threads;      /**< 0: as many as OpenMP offers; the result does not depend on it */
    /** Called after a case, by one thread at a time, with the cases done; return false to stop. NULL: no calls. */
    bool (*progress)(int64_t n_done, int64_t n_cases, void *user);
    void *user;
    const char *cache_folder; /**< as of drupelet_run_options */
} drupelet_sweep_options;

/** Reads a plan, checks every case, runs them side by side, and writes the result file. Finished cases are kept in the
 *  journal beside it, output_path with .journal behind; it is deleted once the result is written and no case failed.
 *  @param output_path  result file
 *  @param options      may be NULL: all defaults
 *  @param n_failed     out: cases that failed; the table says why
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (as of drupelet_scenario_read(), of the plan or a case; or a journal that is
 *          there), DRUPELET_FILE, DRUPELET_MEMORY or DRUPELET_STOPPED (what is finished is in the journal) */
DRUPELET_API drupelet_status drupelet_sweep_run(const char *plan_path, const char *output_path,
                                                const drupelet_sweep_options *options, int64_t *n_failed);
/** The same with plan and base scenario from text in memory.
 *  @param plan, scenario  UTF-8, ended by a zero byte; the plan names no scenario
 *  @param plan_name, scenario_name  stand for the files in messages */
DRUPELET_API drupelet_status drupelet_sweep_run_text(const char *plan_name, const char *plan, const char *scenario_name,
                                                     const char *scenario, const char *output_path,
                                                     const drupelet_sweep_options *options, int64_t *n_failed);

/** The table of a sweep: a row for each case, a column for each factor and each result. */
typedef struct drupelet_sweep drupelet_sweep;

/** Reads the result file of a sweep.
 *  @param sweep  out: the caller ends it with drupelet_sweep_free(); NULL on failure
 *  @return DRUPELET_OK, DRUPELET_MEMORY or DRUPELET_SCENARIO (no such file, no sweep, another format, damaged) */
DRUPELET_API drupelet_status drupelet_sweep_read(const char *path, drupelet_sweep **sweep);
DRUPELET_API void drupelet_sweep_free(drupelet_sweep *sweep); /**< NULL is allowed. */

/* All text from here on is borrowed until drupelet_sweep_free(). */

DRUPELET_API const char *drupelet_sweep_name(const drupelet_sweep *sweep);
DRUPELET_API int64_t drupelet_sweep_cases(const drupelet_sweep *sweep);

typedef struct {
    const char *name;
    const char *unit;    /**< "1" for a plain ratio or count, "" for words */
    const char *meaning; /**< one sentence; of a factor the key that it sets, or "" */
    bool is_factor;      /**< set by the plan; else a result, or what tells of the case */
    bool has_error;      /**< every value has a standard error */
    int n_words;         /**< the values are numbers of words, from 0 (drupelet_sweep_word()); 0: plain numbers */
} drupelet_column;

/** Column i, from 0: case, point, replicate, seed, state and droplets, then factors, then results, then
 *  what collectors caught ("dish 5 m: caught").
 *  @return false beyond the last */
DRUPELET_API bool drupelet_sweep_column(const drupelet_sweep *sweep, int i, drupelet_column *column);
/** Word i of a column that has some; NULL beyond the last. */
DRUPELET_API const char *drupelet_sweep_word(const drupelet_sweep *sweep, const char *name, int i);
/** A column's values, case by case.
 *  @param n      must be the number of cases
 *  @param value  out: [n]; not a number where the case failed or the result does not know
 *  @param error  out: [n] standard errors, not a number where the column has none; NULL: not wanted
 *  @return DRUPELET_OK or DRUPELET_SCENARIO (wrong name or n) */
DRUPELET_API drupelet_status drupelet_sweep_numbers(const drupelet_sweep *sweep, const char *name, size_t n,
                                                    double value[], double error[]);

#endif
