/* include/drupelet/run.h - simulates one scenario and says where the spray went. */
#ifndef DRUPELET_RUN_H
#define DRUPELET_RUN_H

#include <stdbool.h>
#include <stdint.h>

#include "drupelet/scenario.h"
#include "drupelet/status.h"

typedef struct drupelet_result drupelet_result;

typedef struct {
    int64_t n_droplets; /**< 0: as the scenario says */
    bool seed_given;    /**< false: the scenario's seed */
    uint64_t seed;
    int n_threads;      /**< 0: as many as OpenMP offers; the result does not depend on it */
    /** Called now and then by one thread with the share done, 0 to 1; return false to stop. NULL: no calls. Where the
     *  fan's air is solved for, the share of that comes first, and then that of the droplets from 0 again. */
    bool (*progress)(double share_done, void *user);
    void *user;
    /** Folder that keeps computed winds for later runs; made where it is missing. The result does not depend on it.
     *  NULL: they are not kept. */
    const char *cache_folder;
    int64_t cache_bytes; /**< of all in it; the winds used longest ago go first. 0: 1 GB */
    bool *cache_refused; /**< out: set to true where the folder did not take a wind; NULL: nobody asks */
} drupelet_run_options;

/** Fates of the active ingredient, as shares of everything emitted. */
typedef enum {
    DRUPELET_FATE_LEAF, DRUPELET_FATE_WOOD, DRUPELET_FATE_GROUND_ALLEY, DRUPELET_FATE_GROUND_ROW,
    DRUPELET_FATE_GROUND_DOWNWIND, DRUPELET_FATE_GROUND_UPWIND, DRUPELET_FATE_AIR_DOWNWIND, DRUPELET_FATE_AIR_ABOVE,
    DRUPELET_FATE_AIR_UPWIND, DRUPELET_FATE_ALOFT, DRUPELET_FATES
} drupelet_fate;

/** A share (0 to 1) and its standard error. */
typedef struct { double share, standard_error; } drupelet_share;

/** Whether a run that was to stop at an error (run.target_error) got there. */
typedef struct {
    bool wanted, reached;  /**< reached is false where run.droplets ran out first */
    double error;          /**< relative standard error of the number named by run.target; infinity where it is 0 */
    int64_t n_droplets;    /**< that flew, in any run */
} drupelet_target;

/** Simulates a scenario.
 *  @param options  may be NULL: all defaults
 *  @param result   out: the caller owns it and ends it with drupelet_result_free(); NULL on failure. It borrows the
 * scenario.
 *  @return DRUPELET_OK, DRUPELET_SCENARIO, DRUPELET_MEMORY, DRUPELET_BALANCE or DRUPELET_STOPPED */
DRUPELET_API drupelet_status drupelet_run(const drupelet_scenario *scenario, const drupelet_run_options *options,
                                          drupelet_result **result);
DRUPELET_API void drupelet_result_free(drupelet_result *result); /**< NULL is allowed. */

/* What is in the result, by name: quantities.h. Threads may ask one result at once. */

/** What a result says of itself. Text is borrowed until drupelet_result_free(). */
typedef struct {
    const char *name;     /**< of the scenario */
    const char *version;  /**< of the program that made it */
    const char *caution;  /**< that goes with every result */
    uint64_t seed;
    int64_t n_droplets;   /**< that flew */
    int64_t n_steps;      /**< of flight, of all of them */
} drupelet_head;
DRUPELET_API drupelet_head drupelet_result_head(const drupelet_result *result);

DRUPELET_API drupelet_target drupelet_result_target(const drupelet_result *result);
DRUPELET_API drupelet_share drupelet_result_fate(const drupelet_result *result, drupelet_fate fate);
/** Water that evaporated, as a share of the water emitted. */
DRUPELET_API drupelet_share drupelet_result_evaporated(const drupelet_result *result);
/** Ground deposit at a distance downwind of the block (mean over 1 m), over the application rate. Not a number where
 * the sprayer stands still: then there is no rate. Of a result that was read from a file it is known at the distances
 * of ground/curve_distance, elsewhere not a number: ground/percent_of_rate has strips of half a metre. */
DRUPELET_API drupelet_share drupelet_result_ground_deposit(const drupelet_result *result, double distance_m);
/** Share of the output that passes a distance downwind of the block in the air (downwind less back, all heights). Known
 * at 5, 10, 20 and 50 m, elsewhere not a number. */
DRUPELET_API drupelet_share drupelet_result_airborne(const drupelet_result *result, double distance_m);
/** The sum of what lies on the ground beyond a distance downwind of the block and what leaves the domain downwind in
 * the air, as a share of the output. What leaves upwind or above, and what is still aloft, is not in it. Of a result
 * that was read from a file it is known at the distances of ground/drift_distance, elsewhere not a number. */
DRUPELET_API drupelet_share drupelet_result_drift_sum(const drupelet_result *result, double distance_m);

/** Writes the result file (HDF5; docs/result-format.md), under a temporary name first. Threads may write and read files
 *  at once: where the HDF5 library was built without thread safety, they wait for one another.
 *  @param overwrite false: an existing file is an error
 *  @return DRUPELET_OK, DRUPELET_FILE or DRUPELET_MEMORY; on failure no file of that name is made or changed */
DRUPELET_API drupelet_status drupelet_result_write(const drupelet_result *result, const char *path, bool overwrite);
/** Reads a result file.
 *  @param result  out: the caller ends it with drupelet_result_free(); NULL on failure
 *  @return DRUPELET_OK, DRUPELET_MEMORY, or DRUPELET_SCENARIO with one line: no such file, no result of this program,
 *          another format number, or damaged (and where) */
DRUPELET_API drupelet_status drupelet_result_read(const char *path, drupelet_result **result);

DRUPELET_API const char *drupelet_version(void); /**< such as "0.1.0" */
DRUPELET_API const char *drupelet_caution(void); /**< the caution that goes with every result */

#endif
