/* sim/base/json.c - JSON for pages, programs and people. */
#include "base/json.h"

#include <assert.h>
#include <inttypes.h>
#include <math.h>

static void text(const base_json *j, const char *words)
{
    FILE *to = j->to;
    const bool in_page = j->lines == 0;
    fputc('"', to);
    for (const unsigned char *c = (const unsigned char *)words; *c != '\0'; c++) {
        if (*c == '"' || *c == '\\')
            fprintf(to, "\\%c", *c);
        else if (*c < 0x20 || (in_page && (*c == '<' || *c == '>' || *c == '&' || *c == 0x7f)))
            fprintf(to, "\\u%04x", *c);
        else
            fputc(*c, to);
    }
    fputc('"', to);
}

static void begin_line(const base_json *j)
{
    fprintf(j->to, "\n%*s", 2 * j->depth, "");
}

/* @param lined the entry is to begin a line where entries of this depth may */
static void begin(base_json *j, const char *key, bool lined)
{
    if (j->more)
        fputc(',', j->to);
    if (lined && j->depth > 0 && j->depth <= j->lines) {
        begin_line(j);
        j->lined |= 1u << j->depth;
    } else if (j->more && j->lines > 0) {
        fputc(' ', j->to);
    }
    j->more = true;
    if (key) {
        text(j, key);
        fputs(j->lines > 0 ? ": " : ":", j->to);
    }
}

static void number(FILE *to, double value, int digits)
{
    if (isfinite(value))
        fprintf(to, "%.*g", digits, value == 0.0 ? 0.0 : value); /* no -0 */
    else
        fputs("null", to);
}

void base_json_open(base_json *j, const char *key, char bracket)
{
    begin(j, key, key || bracket == '{');
    fputc(bracket, j->to);
    j->more = false;
    j->depth++;
    assert(j->depth < 32); /* bits of lined */
    j->lined &= ~(1u << j->depth);
}

void base_json_close(base_json *j, char bracket)
{
    const bool on_lines = j->lined >> j->depth & 1u;
    j->depth--;
    if (on_lines)
        begin_line(j);
    fputc(bracket, j->to);
    if (j->depth == 0 && j->lines > 0)
        fputc('\n', j->to);
    j->more = true;
}

void base_json_number(base_json *j, const char *key, double value, int digits)
{
    begin(j, key, key != NULL);
    number(j->to, value, digits);
}

void base_json_numbers(base_json *j, const char *key, size_t n, const double *value, size_t stride, int digits)
{
    begin(j, key, key != NULL);
    fputc('[', j->to);
    for (size_t i = 0; i < n; i++) {
        if (i > 0)
            fputs(j->lines > 0 ? ", " : ",", j->to);
        number(j->to, value[i * stride], digits);
    }
    fputc(']', j->to);
}

void base_json_whole(base_json *j, const char *key, uint64_t value)
{
    begin(j, key, key != NULL);
    fprintf(j->to, "%" PRIu64, value);
}

void base_json_words(base_json *j, const char *key, const char *words)
{
    begin(j, key, key != NULL);
    text(j, words ? words : "");
}

void base_json_truth(base_json *j, const char *key, bool value)
{
    begin(j, key, key != NULL);
    fputs(value ? "true" : "false", j->to);
}

void base_json_null(base_json *j, const char *key)
{
    begin(j, key, key != NULL);
    fputs("null", j->to);
}

void base_json_bytes(base_json *j, const char *key, size_t n, const uint8_t *byte)
{
    static const char LETTER[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    begin(j, key, key != NULL);
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
