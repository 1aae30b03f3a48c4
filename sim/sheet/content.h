/* sim/sheet/content.h - what a sheet holds, for those who show it. */
#ifndef SHEET_CONTENT_H
#define SHEET_CONTENT_H

#include "sheet/sheet.h"

typedef enum {
    SHEET_IS_SECTION,
    SHEET_IS_VALUE,
    SHEET_IS_WORDS,
    SHEET_IS_NOTE,
    SHEET_IS_BLANK,
    SHEET_IS_PICTURE,
    SHEET_IS_TABLE,
    SHEET_IS_ROW
} sheet_kind;

/** One entry; texts that it does not have are NULL. */
typedef struct {
    sheet_kind kind;
    char *key, *label, *words; /* words: note of a value, text, or picture */
    sheet_measure measure;
    double value_si, error_si;
    int n_columns; /* of a table and of its rows */
    struct sheet_entry_column {
        char *key, *heading;
        sheet_measure measure;
        bool words;
    } * column;
    struct sheet_entry_cell {
        double value_si, error_si;
        char *words;
    } * cell;
} sheet_entry;

struct sheet {
    char *title, *of, *place;
    sheet_system system;
    bool no_memory;
    int n, room;
    sheet_entry *entry;
};

/** Value, or value and error, as a cell or a line shows them, without unit. */
void sheet_shown(const sheet *s, sheet_measure measure, double value_si, double error_si, char *text, size_t room);
/** Key and unit, as JSON has them. */
void sheet_key_with_unit(const sheet *s, const char *key, sheet_measure measure, char *text, size_t room);

#endif
