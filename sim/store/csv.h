/* sim/store/csv.h - tables of comma-separated values that users give: cells that know their line and column.
 *
 * Lines that begin with # and empty lines are passed over; the first other line names the columns. Blanks around a
 * value do not count, double quotes around a whole value are taken off (a comma inside them still ends the value). */
#ifndef STORE_CSV_H
#define STORE_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "drupelet/status.h"

enum { STORE_CSV_CELLS = 32 }; /* most columns */

typedef struct {
    const char *text; /* ends with 0; "" where nothing stands */
    int column;       /* of its first letter, from 1 */
} store_cell;

typedef struct {
    const char *path;
    char *bytes, *at;           /* the whole file; what is not read yet */
    int line, next_line;        /* of the cells, and of what comes */
    int n_cells, n_columns;
    store_cell cell[STORE_CSV_CELLS];
    const char *name[STORE_CSV_CELLS]; /* of the columns */
    drupelet_status status;     /* the first fault; after it nothing is read */
} store_csv;

/** Opens a file and reads the line that names the columns. The caller ends it with store_csv_close(), also after a
 *  failure (csv->status). @param known the names that may stand there, "x y z", each once
 *  @param most bytes of a file, at most */
void store_csv_open(const char *path, size_t most, const char *known, store_csv *csv);
void store_csv_close(store_csv *csv);
/** Takes the next line; false at the end and after a fault. A line has as many cells as there are columns. */
bool store_csv_next(store_csv *csv);
/** Number of a column, or -1. */
int store_csv_column(const store_csv *csv, const char *name);
/** Says that a column is missing, if it is. */
void store_csv_need(store_csv *csv, const char *name);
/** The text of a column's cell; "" where there is no such column. */
const char *store_csv_text(const store_csv *csv, int i_column);
/** A decimal number from low to high. @param what for the message, such as "a length in m" */
double store_csv_number(store_csv *csv, int i_column, double low, double high, const char *what);
/** Says what is wrong with a cell: "file:line:column: name: found ..., expected ...". */
void store_csv_refuse(store_csv *csv, int i_column, const char *format, ...) __attribute__((format(printf, 3, 4)));
/** The same for a cell of an earlier line. @param found as it is to be quoted */
void store_csv_refuse_at(store_csv *csv, int line, int column, const char *name, const char *found, const char *format,
                         ...) __attribute__((format(printf, 6, 7)));

#endif
