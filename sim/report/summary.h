/* sim/report/summary.h - the table that a run ends with. */
#ifndef REPORT_SUMMARY_H
#define REPORT_SUMMARY_H

#include <stdbool.h>
#include <stdio.h>

#include "result/result.h"
#include "run/warn.h"

/** Writes where 100 L of spray went: fates, leaves by row and third, drift, water, application rate, tips, warnings,
 * the caution. Amounts carry one standard error. @param json false: a table for people; true: one JSON object, units in
 * its keys */
void report_summary(const drupelet_result *result, FILE *to, bool json);

/* ---- its parts, each in a file of its own ---- */

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
extern const int report_elsewhere[REPORT_ELSEWHERE];

#endif
