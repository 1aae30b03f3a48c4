/* sim/base/csv.h - tables of comma-separated values: cells that know their line and column.
 *
 * Lines that begin with # and empty lines are skipped; the first other line names the columns. Blanks around a value
 * do not count; double quotes around a whole value are taken off, and a comma inside them belongs to the value. Left
 * out: line breaks and quotes inside a value. */
#ifndef BASE_CSV_H
#define BASE_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "drupelet/status.h"

enum { BASE_CSV_CELLS = 32, BASE_CSV_LINE = 4096 }; /* most columns; bytes of a line, with its end */

typedef struct {
    const char *text; /* ends with 0; "" where nothing stands */
    int column;       /* of its first letter, from 1 */
} base_cell;

typedef struct {
    const char *path;
    char *bytes;                /* the whole file; NULL of an embedded text */
    const char *at;             /* what is not read yet */
    char room[BASE_CSV_LINE], names[BASE_CSV_LINE]; /* the line in hand and that of the names, cut into cells */
    int line, next_line;        /* of the cells, and of what comes */
    int n_cells, n_columns;
    base_cell cell[BASE_CSV_CELLS];
    const char *name[BASE_CSV_CELLS]; /* of the columns */
    drupelet_status status;     /* the first fault; after it nothing is read */
} base_csv;

/** Opens a file and reads the line that names the columns. The caller ends it with base_csv_close(), also after a
 *  failure (csv->status). @param known the names that may stand there, "x y z", each once
 *  @param most bytes of a file, at most */
void base_csv_open(const char *path, size_t most, const char *known, base_csv *csv);
/** The same for a text that lives as long as csv, with any names. @param name for messages */
void base_csv_embedded(const char *name, const char *text, base_csv *csv);
void base_csv_close(base_csv *csv);
/** Takes the next line; false at the end and after a fault. A line has as many cells as there are columns. */
bool base_csv_next(base_csv *csv);
/** Number of a column, or -1. */
int base_csv_column(const base_csv *csv, const char *name);
/** Says that a column is missing, if it is. */
void base_csv_need(base_csv *csv, const char *name);
/** The text of a column's cell; "" where there is no such column. */
const char *base_csv_text(const base_csv *csv, int i_column);
/** A decimal number from low to high. @param what for the message, such as "a length in m" */
double base_csv_number(base_csv *csv, int i_column, double low, double high, const char *what);
/** Says what is wrong with a cell: "file:line:column: name: found ..., expected ...". */
void base_csv_refuse(base_csv *csv, int i_column, const char *format, ...) __attribute__((format(printf, 3, 4)));
/** The same for a cell of an earlier line. @param found as it is to be quoted */
void base_csv_refuse_at(base_csv *csv, int line, int column, const char *name, const char *found, const char *format,
                         ...) __attribute__((format(printf, 6, 7)));

/* ---- tables that are written ---- */

/** A text; in quotes where it holds what would end a value. */
void base_csv_put_text(FILE *to, const char *text);
/** A number with nine digits; nothing where it is not known. */
void base_csv_put_number(FILE *to, double value);

#endif
