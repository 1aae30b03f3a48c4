/* sim/report/summary_parts.h - the parts of the summary that have a file of their own. */
#ifndef REPORT_SUMMARY_PARTS_H
#define REPORT_SUMMARY_PARTS_H

#include <stdio.h>

#include "result/result.h"
#include "run/warn.h"

/** The summary as one JSON object. */
void report_summary_json(const drupelet_result *result, FILE *to);
/** Cover, droplets and run-off: a few lines below the table by row; nothing of leafless trees. */
void report_leaves_table(FILE *to, const drupelet_result *result);
/** A table of the collectors; nothing where the run has none. */
void report_collectors_table(FILE *to, const drupelet_result *result);
/** The warnings that a result holds, as a list. */
run_warnings report_warnings_of(const drupelet_result *result);

/** Fates that are drift, and that neither the ground curve nor the planes show. */
enum { REPORT_ELSEWHERE = 4 };
extern const tally_fate report_elsewhere[REPORT_ELSEWHERE];

#endif
