/* sim/sheet/print_text.c - a sheet as plain text, in lines that fit a terminal. */
#include <string.h>

#include "base/status.h"
#include "drupelet/run.h"
#include "report/text.h"
#include "sheet/content.h"

enum { LABEL = 36, NUMBER = 12, LAST = 118, SHOWN = 96 };

/* The note of a line goes on in it, or below. */
static void end_line(FILE *to, int used, const char *note)
{
    if (!note || note[0] == '\0') {
        fputc('\n', to);
    } else if (used + 3 + (int)strlen(note) + 2 <= LAST) {
        fprintf(to, "   (%s)\n", note);
    } else {
        fputs("\n      ", to);
        report_wrapped(to, note, 6, LAST);
    }
}

static void print_value(const sheet *s, const sheet_entry *e, FILE *to)
{
    char text[SHOWN];
    sheet_shown(s, e->measure, e->value_si, e->error_si, text, sizeof text);
    const int used = fprintf(to, "  %-*s %*s %s", LABEL, e->label, NUMBER, text, sheet_unit(e->measure, s->system));
    end_line(to, used, e->words);
}

static void print_words(const sheet_entry *e, FILE *to)
{
    if (LABEL + 3 + (int)strlen(e->words) <= LAST) {
        fprintf(to, "  %-*s %s\n", LABEL, e->label, e->words);
        return;
    }
    fprintf(to, "  %s\n      ", e->label);
    report_wrapped(to, e->words, 6, LAST);
}

/* Heading of a column with its unit. */
static void head_of(const sheet *s, const sheet_entry *table, int c, char *text, size_t room)
{
    const char *unit = table->column[c].words ? "" : sheet_unit(table->column[c].measure, s->system);
    snprintf(text, room, "%s%s%s", table->column[c].heading, unit[0] != '\0' ? ", " : "", unit);
}

static const char *cell_of(const sheet *s, const sheet_entry *table, const sheet_entry *row, int c, char room[SHOWN])
{
    if (row->cell[c].words) return row->cell[c].words;
    if (table->column[c].words) return "";
    sheet_shown(s, table->column[c].measure, row->cell[c].value_si, row->cell[c].error_si, room, SHOWN);
    return room;
}

static void print_table(const sheet *s, int i_table, FILE *to)
{
    const sheet_entry *table = &s->entry[i_table];
    int width[SHEET_COLUMNS] = {0}, end = i_table + 1;
    char text[SHOWN];
    for (; end < s->n && s->entry[end].kind == SHEET_IS_ROW; end++)
        for (int c = 0; c < table->n_columns; c++) {
            const int n = (int)strlen(cell_of(s, table, &s->entry[end], c, text));
            width[c] = n > width[c] ? n : width[c];
        }
    for (int c = 0; c < table->n_columns; c++) {
        head_of(s, table, c, text, sizeof text);
        width[c] = (int)strlen(text) > width[c] ? (int)strlen(text) : width[c];
        if (c + 1 == table->n_columns && text[0] == '\0') break; /* no blanks behind the last word */
        const int wide = c + 1 == table->n_columns && table->column[c].words ? 0 : width[c];
        fprintf(to, "  %*s", table->column[c].words ? -wide : wide, text);
    }
    fputc('\n', to);
    for (int i = i_table + 1; i < end; i++) {
        int last = table->n_columns - 1; /* nor here */
        while (last > 0 && cell_of(s, table, &s->entry[i], last, text)[0] == '\0')
            last--;
        for (int c = 0; c <= last; c++) {
            const char *cell = cell_of(s, table, &s->entry[i], c, text);
            const int wide = c == last && table->column[c].words ? 0 : width[c];
            fprintf(to, "  %*s", table->column[c].words ? -wide : wide, cell);
        }
        fputc('\n', to);
    }
}

void sheet_print_text(const sheet *s, FILE *to)
{
    fprintf(to, "%s\n%s%s%s%s", s->title, s->of, s->of[0] != '\0' ? "\n" : "", s->place,
            s->place[0] != '\0' ? "\n" : "");
    for (int i = 0; i < s->n; i++) {
        const sheet_entry *e = &s->entry[i];
        switch (e->kind) {
        case SHEET_IS_SECTION: fprintf(to, "\n%s\n", e->label); break;
        case SHEET_IS_VALUE: print_value(s, e, to); break;
        case SHEET_IS_WORDS: print_words(e, to); break;
        case SHEET_IS_NOTE:
            fputs("  ", to);
            report_wrapped(to, e->words, 2, LAST);
            break;
        case SHEET_IS_BLANK: fprintf(to, "  %-*s ______________________________\n", LABEL, e->label); break;
        case SHEET_IS_TABLE: print_table(s, i, to); break;
        case SHEET_IS_ROW:
        case SHEET_IS_PICTURE: break;
        }
    }
    fprintf(to, "\n%s\n", drupelet_caution());
}
