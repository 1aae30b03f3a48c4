/* tests/sheet_case.h - what tests of the block sheet share: its scenario of round numbers, and numbers of a sheet. */
#ifndef TESTS_SHEET_CASE_H
#define TESTS_SHEET_CASE_H

#include "scenario/scenario.h"
#include "sheet/sheet.h"

/** tests/data/block-sheet.yaml with up to four settings; NULL behind the last. Ends the test without it. */
drupelet_scenario *sheet_case_scenario(const char *const set[4]);
/** An empty sheet. */
sheet *sheet_case_begin(sheet_system system);
/** The sheet as text or JSON, to be freed; the sheet is ended. */
char *sheet_case_text(sheet *s);
char *sheet_case_json(sheet *s);
/** The number that stands first behind a key, from the entry that a name opens on: "sides", "left_L_min". */
double sheet_case_number(const char *json, const char *section, const char *key);
/** The same of a row of a table, from 0. */
double sheet_case_cell(const char *json, const char *table, int i_row, const char *key);
/** The same of words; they stay in the JSON, up to their quote. */
void sheet_case_cell_is(const char *json, const char *table, int i_row, const char *key, const char *words);
void sheet_case_has(const char *text, const char *part);
/** A file of the test's own with that content; its name is kept until the next. */
const char *sheet_case_file(const char *content);

#endif
