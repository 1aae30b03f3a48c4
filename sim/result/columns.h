/* sim/result/columns.h - what a sweep keeps of a case: the quantities that have columns (result/quantity.h), for the
 * journal, the result file and the answers. */
#ifndef RESULT_COLUMNS_H
#define RESULT_COLUMNS_H

#include <stdbool.h>

#include "result/result.h"

enum { RESULT_COLUMNS_MOST = 48, RESULT_CATCHES = 4 };
enum { RESULT_STRIPS = 100, RESULT_STRIP_M = 1 }; /* of the ground profile, downwind of the treated area */

/** Name (of datasets and columns, such as "ground_5_m"), unit and meaning of an output; does it say how much leaves the
 *  block? */
typedef struct { const char *name, *units, *long_name; bool is_drift; } result_column;
result_column result_column_of(int i);
/** Number of the output of a name, or -1. */
int result_column_named(const char *name);
/** How many there are. The first are known batch by batch, so that differences between cases get their own standard
 *  errors. */
int result_columns_all(void);
int result_columns_batched(void);
/** Its value in a result. */
tally_estimate result_column_value(const drupelet_result *result, int i);

/** The number of a run's target i, or -1 for a column that is not known batch by batch. */
int result_column_target(int i);
/** A number that a run can aim at, in percent, from all droplets and from those of each batch alone; not a number where
 *  it is not known. */
void result_take_batches(const tally *accounts, scenario_target target, tally_estimate *value,
                         float batch[TALLY_BATCHES]);
/** What the quantity of a column is, one sentence, whose values may be several columns. */
const char *result_column_heading(int i);

/** What a sweep keeps of every collector: name of the quantity, unit, meaning. @param i 0 to RESULT_CATCHES - 1 */
result_column result_catch_of(int i);

/** What a sweep keeps of a case. Percent, but for the deposit per leaf area (uL/cm2). */
typedef struct {
    tally_estimate value[RESULT_COLUMNS_MOST];
    float batch[RESULT_COLUMNS_MOST][TALLY_BATCHES];
    double application_rate_L_ha; /* NAN where the sprayer stands still */
    tally_estimate strip[RESULT_STRIPS]; /* percent of the rate; NAN beyond the domain */
    tally_estimate third[TALLY_THIRDS]; /* leaf deposit by third of the crown's height, bottom first */
    int64_t n_collectors;
    tally_estimate caught[SCENARIO_COLLECTORS][RESULT_CATCHES]; /* of the sweep's collectors; NAN where there is none */
} result_measures;

/** Takes them from the result of a run, all but the collectors. @param profiles fill strip and third, too */
void result_measure(const drupelet_result *result, bool profiles, result_measures *measures);
/** Takes what collector i of a sweep caught, of the collector of that name. */
void result_measure_caught(const drupelet_result *result, int i, const char *name, result_measures *measures);
/** Those of a case that failed: not a number throughout. */
void result_measure_none(result_measures *measures);

#endif
