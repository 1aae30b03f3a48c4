/* sim/report/uncertain.h - how far the headlines move with what is not known well, and which input moves them: answers
 * from a sweep over such inputs (scenario/uncertain.h). */
#ifndef REPORT_UNCERTAIN_H
#define REPORT_UNCERTAIN_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "scenario/uncertain.h"
#include "store/sweep_file.h"

#define REPORT_CLEAR 3.0 /* standard errors; choice: of a hundred inputs without effect less than one passes it */

enum { REPORT_HEADLINES = 6 };

/** What one input does to a headline: coefficient of a linear law between the ranks, with its standard error. Its
 *  square is the share of the spread of the ranks. */
typedef struct { double coefficient, error; bool clear; } report_driver;

typedef struct {
    result_column output;
    int i_output;
    int64_t n;                    /* cases in which it is known */
    double low, median, high;     /* 10, 50 and 90 % of the cases lie below */
    double sampling;              /* share of the variance that the sampling of droplets makes */
    double explained;             /* share of the variance of ranks that the law explains; NAN: too few cases */
    report_driver driver[STORE_SWEEP_FACTORS];
} report_spread;

/** Works out the headlines of a sweep. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status report_spread_of(const store_sweep *sweep, report_spread spread[REPORT_HEADLINES]);
/** Coefficients of the law ranks of y = sum of coefficient times rank of x, all standardised: least squares, with
 *  standard errors from what is left over. @param x [n_x][n], y [n]  @param explained out: share of the variance; NAN
 *  where y does not vary or there are too few values: no coefficient is clear then
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status report_rank_law(int64_t n, int n_x, const double *const x[], const double *y, report_driver driver[],
                                double *explained);

/** The answers, as text or as JSON. @param as_it_stands [REPORT_HEADLINES] of a run of the scenario itself */
void report_uncertain_print(const store_sweep *sweep, const scenario_inputs *inputs,
                            const report_spread spread[REPORT_HEADLINES], const tally_estimate *as_it_stands, FILE *to,
                            bool json);

#endif
