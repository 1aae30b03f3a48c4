/* tests/sheet_case.c - the scenario of round numbers, and numbers out of sheets. */
#define _POSIX_C_SOURCE 200809L
#include "sheet_case.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "drupelet/scenario.h"

drupelet_scenario *sheet_case_scenario(const char *const set[4])
{
    drupelet_scenario *scenario = NULL;
    int n = 0;
    while (set && n < 4 && set[n])
        n++;
    const drupelet_status status = drupelet_scenario_read(DRUPELET_TEST_DATA "/block-sheet.yaml", set, n, &scenario);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return scenario;
}

sheet *sheet_case_begin(sheet_system system)
{
    sheet *s = NULL;
    assert_int_equal(sheet_create("Test", "of a sheet", "", system, &s).code, DRUPELET_OK);
    return s;
}

static char *printed(sheet *s, void (*print)(const sheet *, FILE *))
{
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    assert_non_null(to);
    assert_int_equal(sheet_status(s).code, DRUPELET_OK);
    print(s, to);
    assert_int_equal(fclose(to), 0);
    sheet_free(s);
    return text;
}

char *sheet_case_text(sheet *s)
{
    return printed(s, sheet_print_text);
}

char *sheet_case_json(sheet *s)
{
    return printed(s, sheet_print_json);
}

static const char *behind(const char *from, const char *key)
{
    char quoted[96];
    snprintf(quoted, sizeof quoted, "\"%s\": ", key);
    const char *at = strstr(from, quoted);
    if (!at) fail_msg("no key %s in\n%s", key, from);
    return at ? at + strlen(quoted) : from;
}

static double number_at(const char *at)
{
    if (*at == '{') at = behind(at, "amount"); /* an estimate */
    return strncmp(at, "null", 4) == 0 ? (double)NAN : strtod(at, NULL);
}

double sheet_case_number(const char *json, const char *section, const char *key)
{
    return number_at(behind(behind(json, section), key));
}

static const char *cell_at(const char *json, const char *table, int i_row, const char *key)
{
    const char *at = strchr(behind(json, table), '{');
    for (int i = 0; i < i_row && at; i++)
        at = strchr(at + 1, '{');
    if (!at) fail_msg("no row %d of %s in\n%s", i_row, table, json);
    return at ? behind(at, key) : json;
}

double sheet_case_cell(const char *json, const char *table, int i_row, const char *key)
{
    return number_at(cell_at(json, table, i_row, key));
}

void sheet_case_cell_is(const char *json, const char *table, int i_row, const char *key, const char *words)
{
    const char *at = cell_at(json, table, i_row, key);
    if (*at != '"' || strncmp(at + 1, words, strlen(words)) != 0 || at[1 + strlen(words)] != '"')
        fail_msg("row %d of %s, %s: expected '%s', found %.60s", i_row, table, key, words, at);
}

void sheet_case_has(const char *text, const char *part)
{
    if (!strstr(text, part)) fail_msg("the sheet lacks '%s':\n%s", part, text);
}

const char *sheet_case_file(const char *content)
{
    static char path[64];
    snprintf(path, sizeof path, "sheet-case-%ld.csv", (long)getpid());
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_true(fputs(content, f) >= 0);
    assert_int_equal(fclose(f), 0);
    return path;
}
