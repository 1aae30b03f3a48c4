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

void report_warnings_json(FILE *to, const run_warnings *w)
{
    fputc('[', to);
    for (int i = 0; i < w->n; i++) {
        const run_warning *one = &w->of[i];
        fprintf(to, "%s\n    {\"name\": \"%s\", \"value\": %.6g, \"bound\": %.6g, \"unit\": \"%s\", \"sentence\": ",
                i ? "," : "", one->name, one->value, one->bound, one->unit);
        report_json_text(to, one->sentence);
        fputc('}', to);
    }
    fputs(w->n ? "\n  ]" : "]", to);
}
