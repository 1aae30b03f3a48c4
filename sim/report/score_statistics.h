/* sim/report/score_statistics.h - how well simulated values agree with measured ones.
 *
 * Definitions after J. C. Chang, S. R. Hanna, Air quality model performance evaluation, Meteorol. Atmos. Phys. 87
 * (2004) 167-196 (memory), with o measured and p simulated, means over n pairs:
 *     FAC2 = share of pairs with 1/2 <= p / o <= 2
 *     FB   = 2 (mean o - mean p) / (mean o + mean p)
 *     NMSE = mean (o - p)^2 / (mean o mean p)
 *     MG   = exp(mean ln o - mean ln p)
 *     VG   = exp(mean (ln o - ln p)^2)
 * For ratios and logarithms a value below the pair's detection floor counts as the floor. A pair with both values at or
 * below the floor says nothing and is left out of all five. */
#ifndef REPORT_SCORE_STATISTICS_H
#define REPORT_SCORE_STATISTICS_H

#define SCORE_FACTOR 2.0 /* pairs that differ by less agree: FAC2 */

typedef struct {
    double measured, simulated, error; /* error: standard error of the simulated value */
    double floor;                      /* 0: none */
} score_values;

/** A statistic and its standard error; not a number where it has no meaning. */
typedef struct { double value, error; } score_number;

typedef struct {
    int n;       /* pairs that count */
    int n_below; /* pairs left out: both at or below the floor */
    int n_log;   /* of n: pairs in MG and VG; the others have a 0 and no floor */
    score_number fac2, fb, nmse, mg, vg;
} score_statistics;

/** Standard errors come from those of the simulated values, taken as independent of each other, to first order:
 *  error^2 = sum (df/dp error_p)^2; a value below the floor has no part in those of MG and VG. For FAC2, which has no
 *  derivative: sum P (1 - P) / n^2, P the chance of a normal p of that error to be within the factor. */
score_statistics report_score_statistics(int n, const score_values *pair);

/** Is the simulated value within a factor of two of the measured one (both counted as the floor where below it)? */
int report_score_within(const score_values *pair);
/** Is one of the values above the floor? */
int report_score_counts(const score_values *pair);
/** Simulated over measured, after the floor; infinite where only the measured value is 0. */
double report_score_ratio(const score_values *pair);

#endif
