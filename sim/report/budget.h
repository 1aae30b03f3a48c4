/* sim/report/budget.h - the way of the spray from the nozzle to where it came to rest: by droplet size, by the zone of
 * the crowns where it first met leaf or wood, and by the pass that sprayed it. */
#ifndef REPORT_BUDGET_H
#define REPORT_BUDGET_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"
#include "result/result.h"

/** Prints the budget of a result, and writes it to files, each whole or not at all.
 *  @param csv_path every place of the table with its error, a line each; NULL: not wanted
 *  @param svg_path the picture; NULL: not wanted  @param json print one JSON object instead of tables for people
 *  @return DRUPELET_OK, DRUPELET_MEMORY, DRUPELET_SCENARIO (no result of this program, or one without the budget) or
 *          DRUPELET_FILE (it exists, unless overwrite, or cannot be written) */
drupelet_status report_budget(const char *result_path, const char *csv_path, const char *svg_path, bool overwrite,
                              FILE *to, bool json);

/* ---- its parts, each in a file of its own ---- */

/** Words for a class of droplet sizes, such as "60 to 100". @return text */
const char *report_class_words(const drupelet_result *result, int i_class, char text[32]);
/** The picture. */
void report_budget_picture(FILE *to, const drupelet_result *result);

#endif
