/* sim/report/warn.h - the list of warnings, for people and as JSON. */
#ifndef REPORT_WARN_H
#define REPORT_WARN_H

#include <stdio.h>

#include "base/json.h"
#include "run/warn.h"

/** Writes the section, or nothing where there is nothing to warn of. */
void report_warnings_print(FILE *to, const run_warnings *warnings);
/** Writes the entry "warnings", a list of objects: name, value, bound, unit, sentence. */
void report_warnings_json(base_json *j, const run_warnings *warnings);

#endif
