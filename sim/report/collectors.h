/* sim/report/collectors.h - the collectors of a run, for people or as JSON. */
#ifndef REPORT_COLLECTORS_H
#define REPORT_COLLECTORS_H

#include <stdio.h>

#include "base/json.h"
#include "result/result.h"

/** A table; nothing where the run has no collectors. */
void report_collectors_table(const drupelet_result *result, FILE *to);
/** Writes the entry "collectors"; an empty list where there are none. */
void report_collectors_json(const drupelet_result *result, base_json *j);

#endif
