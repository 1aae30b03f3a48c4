/* sim/store/sweep_file.h - the result file of a sweep: HDF5 that opens as netCDF-4 (docs/sweeps.md). */
#ifndef STORE_SWEEP_FILE_H
#define STORE_SWEEP_FILE_H

#include <stdbool.h>
#include <stdint.h>

#include "result/columns.h"

enum { STORE_SWEEP_FORMAT = 1, STORE_SWEEP_FACTORS = 24, STORE_SWEEP_BLOCK = 512 };

/** A factor. Where it is numeric every case has a number with the unit, else the number of a level. Where there are no
 *  levels it was drawn from a distribution. */
typedef struct {
    char *name, *key, *units; /* key and units may be "" */
    bool numeric;
    int n_levels;
    char **level;
} store_sweep_factor;

/** A collector, as the first case has it. */
typedef struct {
    char name[SCENARIO_TEXT];
    int8_t kind; /* of scenario_collector_kind */
    double distance_m, height_m, top_m;
} store_sweep_collector;

/** What holds for all cases. */
typedef struct {
    char *name, *version, *caution, *plan_text, *scenario_text, *design;
    bool indices, profiles;
    int n_replicates, n_factors;
    store_sweep_factor factor[STORE_SWEEP_FACTORS];
    int64_t n_cases; /* case c is replicate c % n_replicates of point c / n_replicates */
    int n_collectors;
    const store_sweep_collector *collector; /* borrowed where it is written, the sweep's own where it was read */
} store_sweep_head;

/** A case to write. */
typedef struct {
    int64_t seed, n_droplets;
    double setting[STORE_SWEEP_FACTORS]; /* the number, or the level's number from 0 */
    const char *reason;                  /* of a failure; NULL: done */
    result_measures measures;
} store_sweep_row;

typedef struct store_sweep_writer store_sweep_writer;
/** Starts the file under another name. @param writer out: ended with store_sweep_end(); NULL on failure */
drupelet_status store_sweep_begin(const store_sweep_head *head, const char *path, bool overwrite,
                                  store_sweep_writer **writer);
/** Adds the next cases: STORE_SWEEP_BLOCK of them, fewer only at the end. @return the first failure so far */
drupelet_status store_sweep_add(store_sweep_writer *writer, const store_sweep_row *row, int n);
/** Ends the file. @param keep gives it its name when all went well; else nothing is left  @return the first failure */
drupelet_status store_sweep_end(store_sweep_writer *writer, bool keep);

/** A sweep as read: columns by case. */
typedef struct {
    char *path;
    store_sweep_head head;
    bool *failed;                          /* [n_cases] */
    int64_t *seed, *n_droplets;            /* [n_cases] */
    double *setting[STORE_SWEEP_FACTORS];  /* [n_cases] */
    double *value[RESULT_COLUMNS_MOST], *error[RESULT_COLUMNS_MOST], *application_rate_L_ha; /* [n_cases] */
    store_sweep_collector *collector;      /* as head.collector */
    double *caught[RESULT_CATCHES], *caught_error[RESULT_CATCHES]; /* [n_cases][n_collectors] */
} store_sweep;

enum { STORE_SWEEP_NAME = SCENARIO_TEXT + 64 }; /* bytes of a column's name, with its end */
/** Name of the column of what a collector caught, such as "dish 5 m: caught". */
void store_sweep_caught_name(const store_sweep *sweep, int i_collector, int i_catch, char name[STORE_SWEEP_NAME]);
/** Is it known of some case? */
bool store_sweep_caught_known(const store_sweep *sweep, int i_collector, int i_catch);

/** Does the file's head say that it is a sweep? It may be damaged, or of another format. */
bool store_sweep_is(const char *path);
/** Reads the file of a sweep. The caller ends it with store_sweep_free(), also after a failure (it is empty then).
 *  @return DRUPELET_OK, DRUPELET_MEMORY or DRUPELET_SCENARIO (no such file, no sweep, another format, damaged) */
drupelet_status store_sweep_read(const char *path, store_sweep *sweep);
void store_sweep_free(store_sweep *sweep);
/** The batches of one of the first result_columns_batched() outputs: [n_cases][TALLY_BATCHES].
 *  @param batch out: the caller frees it */
drupelet_status store_sweep_batches(const store_sweep *sweep, int i_output, float **batch);
/** Is there a sweep of this program at the path, and is it of this plan and scenario (text by text)? */
bool store_sweep_is_of(const char *path, const char *plan_text, const char *scenario_text);

/** Writes all cases as comma-separated values, one a line, with units in the names of the columns.
 *  @return DRUPELET_OK, DRUPELET_FILE or DRUPELET_MEMORY */
drupelet_status store_sweep_write_csv(const store_sweep *sweep, const char *path, bool overwrite);

#endif
