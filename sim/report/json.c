/* sim/report/json.c - JSON for a page. */
#include "report/json.h"

#include <math.h>

static void text(FILE *to, const char *words)
{
    fputc('"', to);
    for (const unsigned char *c = (const unsigned char *)words; *c != '\0'; c++) {
        if (*c == '"' || *c == '\\')
            fprintf(to, "\\%c", *c);
        else if (*c < 0x20 || *c == '<' || *c == '>' || *c == '&' || *c == 0x7f)
            fprintf(to, "\\u%04x", *c);
        else
            fputc(*c, to);
    }
    fputc('"', to);
}

static void begin(report_json *j, const char *key)
{
    if (j->more)
        fputc(',', j->to);
    j->more = true;
    if (key) {
        text(j->to, key);
        fputc(':', j->to);
    }
}

static void number(FILE *to, double value, int digits)
{
    if (isfinite(value))
        fprintf(to, "%.*g", digits, value == 0.0 ? 0.0 : value); /* no -0 */
    else
        fputs("null", to);
}

void report_json_open(report_json *j, const char *key, char bracket)
{
    begin(j, key);
    fputc(bracket, j->to);
    j->more = false;
}

void report_json_close(report_json *j, char bracket)
{
    fputc(bracket, j->to);
    j->more = true;
}

void report_json_number(report_json *j, const char *key, double value, int digits)
{
    begin(j, key);
    number(j->to, value, digits);
}

void report_json_numbers(report_json *j, const char *key, size_t n, const double *value, size_t stride, int digits)
{
    begin(j, key);
    fputc('[', j->to);
    for (size_t i = 0; i < n; i++) {
        if (i > 0)
            fputc(',', j->to);
        number(j->to, value[i * stride], digits);
    }
    fputc(']', j->to);
}

void report_json_words(report_json *j, const char *key, const char *words)
{
    begin(j, key);
    text(j->to, words ? words : "");
}

void report_json_truth(report_json *j, const char *key, bool value)
{
    begin(j, key);
    fputs(value ? "true" : "false", j->to);
}

void report_json_bytes(report_json *j, const char *key, size_t n, const uint8_t *byte)
{
    static const char LETTER[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    begin(j, key);
    fputc('"', j->to);
    for (size_t i = 0; i < n; i += 3) {
        const unsigned second = i + 1 < n ? byte[i + 1] : 0u, third = i + 2 < n ? byte[i + 2] : 0u;
        const unsigned bits = (unsigned)byte[i] << 16 | second << 8 | third;
        fputc(LETTER[bits >> 18], j->to);
        fputc(LETTER[bits >> 12 & 63], j->to);
        fputc(i + 1 < n ? LETTER[bits >> 6 & 63] : '=', j->to);
        fputc(i + 2 < n ? LETTER[bits & 63] : '=', j->to);
    }
    fputc('"', j->to);
}
