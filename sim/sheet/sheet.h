/* sim/sheet/sheet.h - a sheet of paper in the making: headings, values with their units, tables, lines to fill in and
 * pictures. What goes into a sheet is worked out once and shown three ways: as text, as JSON, as a page to print. The
 * door of the module. */
#ifndef SHEET_SHEET_H
#define SHEET_SHEET_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"
#include "sheet/measure.h"

typedef struct sheet sheet;

/** @param title of the sheet  @param of what it is about, such as a scenario's name, and where that is; may be ""
 *  @param s out: the caller ends it with sheet_free(); NULL on failure  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status sheet_create(const char *title, const char *of, const char *place, sheet_system system, sheet **s);
void sheet_free(sheet *s); /* NULL is allowed */
sheet_system sheet_system_of(const sheet *s);
/** DRUPELET_MEMORY once something found no room: what is put in after that is lost. */
drupelet_status sheet_status(const sheet *s);

/* What follows goes to the end of the sheet. Texts are copied. A key names a value in JSON, without its unit; NULL: not
 * there (of a section: it has no values). */
void sheet_section(sheet *s, const char *key, const char *heading);
/** @param note behind the value: how it was found, or a habit of the trade; "" without */
void sheet_value(sheet *s, const char *key, const char *label, sheet_measure measure, double value_si,
                 const char *note);
/** With a standard error. */
void sheet_estimate(sheet *s, const char *key, const char *label, sheet_measure measure, double value_si,
                    double error_si, const char *note);
void sheet_words(sheet *s, const char *key, const char *label, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/** A sentence that stands by itself. */
void sheet_note(sheet *s, const char *format, ...) __attribute__((format(printf, 2, 3)));
/** A place to write by hand. */
void sheet_blank(sheet *s, const char *label);
/** A picture of a page: SVG, taken over (from malloc); NULL counts as memory that was not there. Neither text nor JSON
 *  shows it: what is in it stands in a table, too. */
void sheet_picture(sheet *s, char *svg);

enum { SHEET_COLUMNS = 12 };
/** A column; words: its cells are texts. */
typedef struct {
    const char *key, *heading;
    sheet_measure measure;
    bool words;
} sheet_column;
typedef struct {
    double value_si, error_si; /* error: NAN or 0 without */
    const char *words;
} sheet_cell;

/** A table, and its rows, each of as many cells as the table has columns. */
void sheet_table(sheet *s, const char *key, int n_columns, const sheet_column column[]);
void sheet_row(sheet *s, const sheet_cell cell[]);

/* ---- showing it ---- */

typedef enum { SHEET_A4, SHEET_LETTER } sheet_paper;

void sheet_print_text(const sheet *s, FILE *to);
void sheet_print_json(const sheet *s, FILE *to);
/** Writes a page (HTML) that needs nothing else and runs no script. @return DRUPELET_OK or DRUPELET_FILE */
drupelet_status sheet_write_page(const sheet *s, sheet_paper paper, const char *path, bool overwrite);

#endif
