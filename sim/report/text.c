/* sim/report/text.c - escapes, amounts, and the list of warnings (run/warn.c). */
#include "report/text.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/elementary.h"

void report_xml_text(FILE *to, const char *text)
{
    for (const unsigned char *c = (const unsigned char *)text; *c != '\0'; c++) {
        switch (*c) {
        case '&': fputs("&amp;", to); break;
        case '<': fputs("&lt;", to); break;
        case '>': fputs("&gt;", to); break;
        case '"': fputs("&quot;", to); break;
        default: fputc(*c < 0x20 && *c != '\t' && *c != '\n' ? '?' : *c, to);
        }
    }
}

void report_json_estimate(base_json *j, const char *key, tally_estimate e)
{
    base_json_open(j, key, '{');
    base_json_number(j, "amount", e.share, REPORT_JSON_DIGITS);
    base_json_number(j, "standard_error", e.error, REPORT_JSON_DIGITS);
    base_json_close(j, '}');
}

void report_amount(char *text, size_t size, double value, double error, const char *between)
{
    if (!isfinite(value)) {
        snprintf(text, size, "unknown");
        return;
    }
    if (!(error > 0.0)) { /* nothing was sampled there, or all batches agree */
        snprintf(text, size, "%.*f", value > 0.0 ? 2 : 0, value);
        return;
    }
    const int decimals = (int)fmin(fmax(1.0 - floor(base_log10(error)), 1.0), 6.0);
    snprintf(text, size, "%.*f%s%.*f", decimals, value, between, decimals, error);
}

void report_wrapped(FILE *to, const char *text, int indent, int last_column)
{
    int column = indent;
    for (const char *word = text; *word != '\0';) {
        const int n = (int)strcspn(word, " ");
        const bool first = column == indent;
        if (!first && column + 1 + n > last_column) {
            fprintf(to, "\n%*s", indent, "");
            column = indent;
        } else if (!first) {
            fputc(' ', to);
            column++;
        }
        fprintf(to, "%.*s", n, word);
        column += n;
        word += n + (int)strspn(word + n, " ");
    }
    fputc('\n', to);
}

void report_warnings_print(FILE *to, const run_warnings *w)
{
    if (w->n == 0)
        return;
    fputs("\nWarnings\n", to);
    for (int i = 0; i < w->n; i++) {
        fputs("  - ", to);
        report_wrapped(to, w->of[i].sentence, 4, 118);
    }
}

void report_warnings_json(base_json *j, const run_warnings *w)
{
    base_json_open(j, "warnings", '[');
    for (int i = 0; i < w->n; i++) {
        const run_warning *one = &w->of[i];
        base_json_open(j, NULL, '{');
        base_json_words(j, "name", one->name);
        base_json_number(j, "value", one->value, 6);
        base_json_number(j, "bound", one->bound, 6);
        base_json_words(j, "unit", one->unit);
        base_json_words(j, "sentence", one->sentence);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}
