/* sim/sheet/print_json.c - a sheet as JSON: a section is an object, a value stands under its key and its unit, a table
 * is a list of objects. Notes of a section are a list of texts. */
#include <math.h>

#include "drupelet/run.h"
#include "report/text.h"
#include "sheet/content.h"

enum { KEY = 96, DIGITS = 6 };

static void put_number(base_json *j, const sheet *s, const char *key, sheet_measure measure, double value_si,
                       double error_si)
{
    char name[KEY];
    sheet_key_with_unit(s, key, measure, name, sizeof name);
    const double value = sheet_in_unit(measure, s->system, value_si);
    if (isnan(error_si)) {
        base_json_number(j, name, value, DIGITS);
        return;
    }
    report_json_estimate(j, name,
                         (tally_estimate){value, fabs(sheet_in_unit(measure, s->system, value_si + error_si) - value)});
}

/* @return the entry behind the table's last row */
static int put_table(base_json *j, const sheet *s, int i_table)
{
    const sheet_entry *table = &s->entry[i_table];
    int i = i_table + 1;
    base_json_open(j, table->key, '[');
    for (; i < s->n && s->entry[i].kind == SHEET_IS_ROW; i++) {
        base_json_open(j, NULL, '{');
        for (int c = 0; c < table->n_columns; c++) {
            const struct sheet_entry_cell *cell = &s->entry[i].cell[c];
            if (!table->column[c].key) continue;
            if (table->column[c].words)
                base_json_words(j, table->column[c].key, cell->words ? cell->words : "");
            else
                put_number(j, s, table->column[c].key, table->column[c].measure,
                           cell->words ? (double)NAN : cell->value_si,
                           cell->error_si > 0.0 ? cell->error_si : (double)NAN);
        }
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
    return i;
}

static void put_notes(base_json *j, const sheet *s, int from)
{
    bool open = false;
    for (int i = from; i < s->n && s->entry[i].kind != SHEET_IS_SECTION; i++) {
        if (s->entry[i].kind != SHEET_IS_NOTE) continue;
        if (!open) base_json_open(j, "notes", '[');
        open = true;
        base_json_words(j, NULL, s->entry[i].words);
    }
    if (open) base_json_close(j, ']');
}

void sheet_print_json(const sheet *s, FILE *to)
{
    base_json j = {.to = to, .lines = 3};
    bool inside = false;
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "sheet", s->title);
    base_json_words(&j, "of", s->of);
    base_json_words(&j, "units", s->system == SHEET_METRIC ? "metric" : "us");
    for (int i = 0; i < s->n; i++) {
        const sheet_entry *e = &s->entry[i];
        if (e->kind == SHEET_IS_SECTION) {
            if (inside) base_json_close(&j, '}');
            inside = e->key != NULL; /* a section of lines to write on alone has none */
            if (inside) base_json_open(&j, e->key, '{');
            if (inside) put_notes(&j, s, i + 1);
        } else if (e->kind == SHEET_IS_VALUE && e->key) {
            put_number(&j, s, e->key, e->measure, e->value_si, e->error_si);
        } else if (e->kind == SHEET_IS_WORDS && e->key) {
            base_json_words(&j, e->key, e->words);
        } else if (e->kind == SHEET_IS_TABLE && e->key) {
            i = put_table(&j, s, i) - 1;
        }
    }
    if (inside) base_json_close(&j, '}');
    base_json_words(&j, "caution", drupelet_caution());
    base_json_close(&j, '}');
}
