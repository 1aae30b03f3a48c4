/* sim/verify/table.h - the published numbers of tests/data, embedded in the library: comma-separated values below
 * comment lines that name the source, and one line of column names. Tests read them here, too, so that no number is
 * written twice. */
#ifndef VERIFY_TABLE_H
#define VERIFY_TABLE_H

#include "drupelet/status.h"

typedef struct verify_table verify_table;

/** An embedded file, such as "wet_bulb" for tests/data/wet_bulb.csv. The build makes their list, which ends with a row
 * without a name. */
typedef struct { const char *name, *text; } verify_file;
extern const verify_file verify_files[];

/** Parses an embedded file; as verify_table_create(). */
drupelet_status verify_table_open(const char *name, verify_table **table);

/** Parses a text.
 * @param name   for messages
 * @param text   may be NULL: an error. Not needed afterwards.
 * @param table  out: the caller owns it and ends it with verify_table_free(); NULL on failure
 * @return DRUPELET_OK, DRUPELET_MEMORY, or DRUPELET_FILE (no line of names, or a row with more or fewer cells than
 * that) */
drupelet_status verify_table_create(const char *name, const char *text, verify_table **table);
void verify_table_free(verify_table *table); /* NULL is allowed. */

int verify_table_rows(const verify_table *table);
/** A cell as it stands, without quotes; "" where it is empty or there is no such column. Borrowed until the table's
 * end. */
const char *verify_table_text(const verify_table *table, int row, const char *column);
/** A cell as a number; NAN where it is none. */
double verify_table_number(const verify_table *table, int row, const char *column);

#endif
