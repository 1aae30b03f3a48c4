/* sim/report/summary.h - the table that a run ends with. */
#ifndef REPORT_SUMMARY_H
#define REPORT_SUMMARY_H

#include <stdbool.h>
#include <stdio.h>

#include "result/result.h"

/** Writes where 100 L of spray went: fates, leaves by row and third, drift, water, application rate, tips, warnings,
 * the caution. Amounts carry one standard error. @param json false: a table for people; true: one JSON object, units in
 * its keys */
void report_summary(const drupelet_result *result, FILE *to, bool json);

#endif
