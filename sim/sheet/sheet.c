/* sim/sheet/sheet.c - puts a sheet together. */
#define _POSIX_C_SOURCE 200809L
#include "sheet/sheet.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "report/text.h"
#include "sheet/content.h"

enum { TEXT = 1200 }; /* bytes of a text that is put together here */

/* A copy; NULL of NULL. */
static char *copy(sheet *s, const char *text)
{
    char *made = text ? strdup(text) : NULL;
    s->no_memory = s->no_memory || (text && !made);
    return made;
}

drupelet_status sheet_create(const char *title, const char *of, const char *place, sheet_system system, sheet **out)
{
    sheet *s = *out = calloc(1, sizeof *s);
    if (!s) return base_error(DRUPELET_MEMORY, "no memory for a sheet");
    s->system = system;
    s->title = copy(s, title);
    s->of = copy(s, of);
    s->place = copy(s, place);
    const drupelet_status status = sheet_status(s);
    if (status.code != DRUPELET_OK) {
        sheet_free(s);
        *out = NULL;
    }
    return status;
}

void sheet_free(sheet *s)
{
    for (int i = 0; s && i < s->n; i++) {
        sheet_entry *e = &s->entry[i];
        for (int c = 0; c < e->n_columns; c++) {
            if (e->column) {
                free(e->column[c].key);
                free(e->column[c].heading);
            }
            if (e->cell) free(e->cell[c].words);
        }
        free(e->column);
        free(e->cell);
        free(e->key);
        free(e->label);
        free(e->words);
    }
    if (s) {
        free(s->entry);
        free(s->title);
        free(s->of);
        free(s->place);
    }
    free(s);
}

sheet_system sheet_system_of(const sheet *s)
{
    return s->system;
}

drupelet_status sheet_status(const sheet *s)
{
    return s->no_memory ? base_error(DRUPELET_MEMORY, "no memory for a sheet") : base_ok();
}

/* A new entry; NULL without memory. */
static sheet_entry *add(sheet *s, sheet_kind kind, const char *key, const char *label, const char *words)
{
    if (s->n == s->room) {
        const int room = s->room > 0 ? 2 * s->room : 64;
        sheet_entry *more = realloc(s->entry, (size_t)room * sizeof *more);
        if (!more) {
            s->no_memory = true;
            return NULL;
        }
        s->entry = more;
        s->room = room;
    }
    sheet_entry *e = &s->entry[s->n++];
    *e = (sheet_entry){.kind = kind, .key = copy(s, key), .label = copy(s, label), .words = copy(s, words)};
    return e;
}

void sheet_section(sheet *s, const char *key, const char *heading)
{
    add(s, SHEET_IS_SECTION, key, heading, NULL);
}

void sheet_estimate(sheet *s, const char *key, const char *label, sheet_measure measure, double value_si,
                    double error_si, const char *note)
{
    sheet_entry *e = add(s, SHEET_IS_VALUE, key, label, note);
    if (!e) return;
    e->measure = measure;
    e->value_si = value_si;
    e->error_si = error_si;
}

void sheet_value(sheet *s, const char *key, const char *label, sheet_measure measure, double value_si, const char *note)
{
    sheet_estimate(s, key, label, measure, value_si, (double)NAN, note);
}

void sheet_words(sheet *s, const char *key, const char *label, const char *format, ...)
{
    char text[TEXT];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    add(s, SHEET_IS_WORDS, key, label, text);
}

void sheet_note(sheet *s, const char *format, ...)
{
    char text[TEXT];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    add(s, SHEET_IS_NOTE, NULL, NULL, text);
}

void sheet_blank(sheet *s, const char *label)
{
    add(s, SHEET_IS_BLANK, NULL, label, NULL);
}

void sheet_picture(sheet *s, char *svg)
{
    sheet_entry *e = svg ? add(s, SHEET_IS_PICTURE, NULL, NULL, NULL) : NULL;
    s->no_memory = s->no_memory || !e;
    if (e)
        e->words = svg;
    else
        free(svg);
}

void sheet_table(sheet *s, const char *key, int n_columns, const sheet_column column[])
{
    sheet_entry *e = add(s, SHEET_IS_TABLE, key, NULL, NULL);
    if (!e) return;
    e->column = calloc((size_t)n_columns, sizeof *e->column);
    s->no_memory = s->no_memory || !e->column;
    if (!e->column) return;
    e->n_columns = n_columns;
    for (int c = 0; c < n_columns; c++) {
        e->column[c].key = copy(s, column[c].key);
        e->column[c].heading = copy(s, column[c].heading);
        e->column[c].measure = column[c].measure;
        e->column[c].words = column[c].words;
    }
}

/* The table to which the last row belongs. */
static const sheet_entry *table_in_hand(const sheet *s)
{
    int i = s->n - 1;
    while (i >= 0 && s->entry[i].kind == SHEET_IS_ROW)
        i--;
    return i >= 0 && s->entry[i].kind == SHEET_IS_TABLE ? &s->entry[i] : NULL;
}

void sheet_row(sheet *s, const sheet_cell cell[])
{
    const sheet_entry *table = table_in_hand(s);
    const int n = table ? table->n_columns : 0; /* 0: the table found no memory */
    if (n == 0) return;
    sheet_entry *e = add(s, SHEET_IS_ROW, NULL, NULL, NULL);
    if (!e) return;
    e->cell = calloc((size_t)n, sizeof *e->cell);
    s->no_memory = s->no_memory || !e->cell;
    if (!e->cell) return;
    e->n_columns = n;
    for (int c = 0; c < n; c++) {
        e->cell[c].value_si = cell[c].value_si;
        e->cell[c].error_si = cell[c].error_si;
        e->cell[c].words = copy(s, cell[c].words);
    }
}

void sheet_shown(const sheet *s, sheet_measure measure, double value_si, double error_si, char *text, size_t room)
{
    if (!(error_si > 0.0)) {
        sheet_number(measure, s->system, value_si, text, room);
        return;
    }
    /* a difference of the scale, so that a temperature's error would not begin at 0 degF */
    report_amount(
        text, room, sheet_in_unit(measure, s->system, value_si),
        fabs(sheet_in_unit(measure, s->system, value_si + error_si) - sheet_in_unit(measure, s->system, value_si)),
        " +/- ");
}

void sheet_key_with_unit(const sheet *s, const char *key, sheet_measure measure, char *text, size_t room)
{
    const char *unit = sheet_unit_of_key(measure, s->system);
    snprintf(text, room, "%s%s%s", key, unit[0] != '\0' ? "_" : "", unit);
}
