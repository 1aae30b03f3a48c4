/* tests/svg_text.c - reads pictures as texts. */
#include "svg_text.h"

#include <ctype.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

char *svg_text_of(const char *path)
{
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    assert_int_equal(fseek(f, 0, SEEK_END), 0);
    const size_t n = (size_t)ftell(f);
    rewind(f);
    char *text = malloc(n + 1);
    assert_non_null(text);
    assert_int_equal(fread(text, 1, n, f), n);
    text[n] = '\0';
    fclose(f);
    return text;
}

int svg_count(const char *text, const char *what)
{
    int n = 0;
    for (const char *at = text; (at = strstr(at, what)); at += strlen(what))
        n++;
    return n;
}

void svg_assert_well_formed(const char *svg)
{
    char open[32][16];
    int depth = 0;
    for (const char *c = svg; *c != '\0'; c++) {
        if (*c == '&')
            assert_true(strncmp(c, "&amp;", 5) == 0 || strncmp(c, "&lt;", 4) == 0 || strncmp(c, "&gt;", 4) == 0
                        || strncmp(c, "&quot;", 6) == 0);
        if (*c != '<') continue;
        const char *end = strchr(c, '>');
        assert_non_null(end);
        if (c[1] == '?') {
            assert_true(end[-1] == '?');
        } else if (c[1] == '/') {
            assert_true(depth > 0);
            depth--;
            assert_true(strncmp(c + 2, open[depth], strlen(open[depth])) == 0 && c[2 + strlen(open[depth])] == '>');
        } else if (end[-1] != '/') {
            size_t n = 0;
            while (isalnum((unsigned char)c[1 + n]))
                n++;
            assert_true(n > 0 && n < 16 && depth < 32);
            memcpy(open[depth], c + 1, n);
            open[depth++][n] = '\0';
        }
        c = end;
    }
    assert_int_equal(depth, 0);
    assert_int_equal(svg_count(svg, "nan"), 0);
    assert_int_equal(svg_count(svg, "inf\"") + svg_count(svg, "inf ") + svg_count(svg, " inf") + svg_count(svg, "-inf"),
                     0);
}

double svg_at_words(const char *svg, const char *words, int which)
{
    char wanted[64];
    snprintf(wanted, sizeof wanted, ">%s</text>", words);
    const char *found = strstr(svg, wanted);
    if (!found) print_error("no words '%s'\n", words);
    assert_non_null(found);
    const char *tag = found;
    while (strncmp(tag, "<text", 5) != 0)
        tag--;
    const char *number = strstr(tag, which ? " y=\"" : " x=\"");
    assert_true(number && number < found);
    return strtod(number + 4, NULL);
}
