/* sim/report/warn.c - the list of warnings (run/warn.c), as a section of a text and as a list of JSON. */
#include "report/warn.h"

#include "report/text.h"

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
