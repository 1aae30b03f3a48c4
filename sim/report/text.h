/* sim/report/text.h - texts of users inside SVG, amounts with their errors, warnings. */
#ifndef REPORT_TEXT_H
#define REPORT_TEXT_H

#include <stddef.h>
#include <stdio.h>

#include "base/json.h"
#include "run/warn.h"
#include "tally/tally.h"

enum { REPORT_JSON_DIGITS = 9 }; /* of a result: more than a float holds */

/** Writes text for XML, between tags or in a double-quoted attribute. Characters that XML has no way to say become '?'.
 */
void report_xml_text(FILE *to, const char *text);
/** Writes an estimate as an object: amount, standard_error. */
void report_json_estimate(base_json *j, const char *key, tally_estimate e);
/** Writes value and error with as many decimals as two digits of the error need (1 to 6), such as "12.34 +/- 0.12";
 * what the simulation does not know (no number) becomes "unknown". */
void report_amount(char *text, size_t size, double value, double error, const char *between);
/** Writes a text and a line end; goes on in a new line, indented, before a word would pass the column.
 *  The first line is taken to begin at the indent. */
void report_wrapped(FILE *to, const char *text, int indent, int last_column);

/** Writes the section of warnings, or nothing where there is nothing to warn of. */
void report_warnings_print(FILE *to, const run_warnings *warnings);
/** Writes the entry "warnings", a list of objects: name, value, bound, unit, sentence. */
void report_warnings_json(base_json *j, const run_warnings *warnings);

#endif
