/* sim/sheet/print_page.c - a sheet as a page to print: one file of HTML without scripts, links or pictures from
 * elsewhere, black on white, for A4 or letter paper. */
#include <string.h>

#include "drupelet/run.h"
#include "report/text.h"
#include "sheet/content.h"
#include "store/store.h"

enum { SHOWN = 96 };

static const char style[] =
    "*{box-sizing:border-box}\n"
    "body{font:10pt/1.35 'Source Sans 3','Helvetica Neue',Arial,'Liberation Sans','DejaVu Sans',sans-serif;color:#111;"
    "background:#fff;margin:0 auto;max-width:190mm;padding:4mm}\n"
    "h1{font-size:15pt;margin:0}\n.of{margin:0 0 1mm;color:#333}\n"
    "h2{font-size:11pt;margin:3mm 0 .8mm;padding-bottom:.5mm;border-bottom:.4mm solid #111;break-after:avoid}\n"
    "dl{margin:0}\n.line{display:flex;gap:2mm;padding:.35mm 0;break-inside:avoid}\n"
    "dt{flex:0 0 62mm}\ndd{margin:0;flex:1}\n.number{font-weight:600;font-variant-numeric:tabular-nums}\n"
    ".note{color:#444;font-size:9pt}\np{margin:.7mm 0}\n"
    "table{border-collapse:collapse;margin:1.5mm 0;font-size:9pt;font-variant-numeric:tabular-nums;width:100%}\n"
    "thead{display:table-header-group}\ntr{break-inside:avoid}\n"
    "th,td{padding:.5mm 1.5mm;text-align:right;vertical-align:top;border-bottom:.2mm solid #bbb}\n"
    "td:not(.words),td:first-child{white-space:nowrap}\n"
    "th{border-bottom:.3mm solid #111;font-weight:600;vertical-align:bottom}\n.words{text-align:left}\n"
    ".blank{border-bottom:.3mm solid #111;min-height:5.3mm}\n.fill{align-items:flex-end}\ntd:empty{height:5mm}\n"
    "svg{display:block;width:100%;height:auto;margin:1mm 0;break-inside:avoid}\n"
    ".caution{margin:3mm 0 0;padding:1.5mm 2mm;border:.3mm solid #111;font-size:9pt;break-inside:avoid}\n"
    "@media print{body{padding:0;max-width:none}}\n";

static void tagged(FILE *to, const char *open, const char *text, const char *close)
{
    fputs(open, to);
    report_xml_text(to, text);
    fputs(close, to);
}

static void put_value(const sheet *s, const sheet_entry *e, FILE *to)
{
    char text[SHOWN];
    sheet_shown(s, e->measure, e->value_si, e->error_si, text, sizeof text);
    tagged(to, "<div class=\"line\"><dt>", e->label, "</dt><dd><span class=\"number\">");
    report_xml_text(to, text);
    tagged(to, " ", sheet_unit(e->measure, s->system), "</span>");
    if (e->words && e->words[0] != '\0') tagged(to, " <span class=\"note\">", e->words, "</span>");
    fputs("</dd></div>\n", to);
}

/* @return the entry behind the table's last row */
static int put_table(const sheet *s, int i_table, FILE *to)
{
    const sheet_entry *table = &s->entry[i_table];
    char text[SHOWN];
    int i = i_table + 1;
    fputs("<table>\n<thead><tr>", to);
    for (int c = 0; c < table->n_columns; c++) {
        const char *unit = table->column[c].words ? "" : sheet_unit(table->column[c].measure, s->system);
        tagged(to, table->column[c].words ? "<th class=\"words\">" : "<th>", table->column[c].heading, "");
        if (unit[0] != '\0') tagged(to, ", ", unit, "");
        fputs("</th>", to);
    }
    fputs("</tr></thead>\n<tbody>\n", to);
    for (; i < s->n && s->entry[i].kind == SHEET_IS_ROW; i++) {
        fputs("<tr>", to);
        for (int c = 0; c < table->n_columns; c++) {
            const struct sheet_entry_cell *cell = &s->entry[i].cell[c];
            text[0] = '\0';
            if (!cell->words && !table->column[c].words)
                sheet_shown(s, table->column[c].measure, cell->value_si, cell->error_si, text, sizeof text);
            tagged(to, table->column[c].words ? "<td class=\"words\">" : "<td>", cell->words ? cell->words : text,
                   "</td>");
        }
        fputs("</tr>\n", to);
    }
    fputs("</tbody></table>\n", to);
    return i;
}

static bool in_list(sheet_kind kind)
{
    return kind == SHEET_IS_VALUE || kind == SHEET_IS_WORDS || kind == SHEET_IS_BLANK;
}

static void put_entry(const sheet *s, const sheet_entry *e, FILE *to)
{
    switch (e->kind) {
    case SHEET_IS_SECTION: tagged(to, "<h2>", e->label, "</h2>\n"); break;
    case SHEET_IS_VALUE: put_value(s, e, to); break;
    case SHEET_IS_WORDS:
        tagged(to, "<div class=\"line\"><dt>", e->label, "</dt><dd>");
        tagged(to, "", e->words, "</dd></div>\n");
        break;
    case SHEET_IS_BLANK:
        tagged(to, "<div class=\"line fill\"><dt>", e->label, "</dt><dd class=\"blank\"></dd></div>\n");
        break;
    case SHEET_IS_NOTE: tagged(to, "<p class=\"note\">", e->words, "</p>\n"); break;
    case SHEET_IS_PICTURE: fputs(e->words, to); break;
    case SHEET_IS_TABLE:
    case SHEET_IS_ROW: break;
    }
}

static void print_page(const sheet *s, sheet_paper paper, FILE *to)
{
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
          "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
          "<meta name=\"viewport\" content=\"width=device-width\">\n",
          to);
    tagged(to, "<title>", s->title, "");
    if (s->of[0] != '\0') tagged(to, ": ", s->of, "");
    fprintf(to, "</title>\n<style>\n@page{size:%s;margin:10mm 13mm}\n%s%s</style>\n</head>\n<body>\n",
            paper == SHEET_A4 ? "A4" : "letter", style,
            /* a full record is one page with room for taller lines of another browser; letter is shorter by 18 mm */
            paper == SHEET_A4 ? "@media print{html{zoom:.96}}\n" : "@media print{html{zoom:.9}}\n");
    tagged(to, "<h1>", s->title, "</h1>\n");
    if (s->of[0] != '\0') {
        tagged(to, "<p class=\"of\">", s->of, "");
        if (s->place[0] != '\0') tagged(to, ", ", s->place, "");
        fputs("</p>\n", to);
    }
    bool list = false;
    for (int i = 0; i < s->n; i++) {
        const sheet_entry *e = &s->entry[i];
        if (in_list(e->kind) != list) fputs(list ? "</dl>\n" : "<dl>\n", to);
        list = in_list(e->kind);
        if (e->kind == SHEET_IS_TABLE)
            i = put_table(s, i, to) - 1;
        else
            put_entry(s, e, to);
    }
    if (list) fputs("</dl>\n", to);
    tagged(to, "<p class=\"caution\">", drupelet_caution(), "</p>\n");
    fputs("</body>\n</html>\n", to);
}

drupelet_status sheet_write_page(const sheet *s, sheet_paper paper, const char *path, bool overwrite)
{
    store_draft draft;
    FILE *to;
    const drupelet_status status = store_text_begin(path, overwrite, &draft, &to);
    if (status.code != DRUPELET_OK) return status;
    print_page(s, paper, to);
    return store_text_end(&draft, to, status);
}
