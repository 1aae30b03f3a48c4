/* sim/report/leaves.h - cover, droplets and run-off of the leaves, for people and as JSON. */
#ifndef REPORT_LEAVES_H
#define REPORT_LEAVES_H

#include <stdio.h>

#include "base/json.h"
#include "result/result.h"

/** A few lines below the table by row; nothing of leafless trees. */
void report_leaves_table(const drupelet_result *result, FILE *to);
/** Writes the entry "leaves". */
void report_leaves_json(const drupelet_result *result, base_json *j);

#endif
