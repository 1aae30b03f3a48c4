/* sim/report/sweep_table.h - the results of a sweep by point, with standard errors of differences between points. */
#ifndef REPORT_SWEEP_TABLE_H
#define REPORT_SWEEP_TABLE_H

#include "store/sweep_file.h"

/** One output of a sweep. Replicates of a point are taken together. */
typedef struct {
    const store_sweep *sweep; /* borrowed */
    int i_output;
    result_column output;
    int64_t n_points;
    tally_estimate *mean;     /* [n_points]; NAN where a replicate failed */
    float *batch;             /* [case][TALLY_BATCHES]; NULL for an output without batches */
} report_column;

/** The caller ends it with report_column_free(), also after a failure (it is empty then). */
drupelet_status report_column_create(const store_sweep *sweep, int i_output, report_column *column);
void report_column_free(report_column *column);

/** Sum of the points' means times weights, with its standard error. Batch by batch, so that what points with common
 *  random numbers share drops out of a difference. With replicates the error is that of the batches, or that between
 *  the replicates where it is greater. */
tally_estimate report_contrast(const report_column *column, int64_t n, const int64_t *point, const double *weight);
/** Point a less point b. */
tally_estimate report_difference(const report_column *column, int64_t a, int64_t b);

/** A point's setting of a factor as people read it, such as "7 bar". */
void report_setting(const store_sweep *sweep, int64_t i_point, int i_factor, char text[96]);
double report_setting_number(const store_sweep *sweep, int64_t i_point, int i_factor);

#endif
