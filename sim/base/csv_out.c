/* sim/base/csv_out.c - values of tables that are written. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/csv.h"

void base_csv_put_text(FILE *to, const char *text)
{
    if (!strpbrk(text, ",\"\n\r#")) {
        fputs(text, to);
        return;
    }
    fputc('"', to);
    for (; *text; text++) {
        if (*text == '"') fputc('"', to);
        fputc(*text, to);
    }
    fputc('"', to);
}

void base_csv_put_number(FILE *to, double value)
{
    if (isfinite(value)) fprintf(to, "%.9g", value);
}
