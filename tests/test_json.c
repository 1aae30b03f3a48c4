/* tests/test_json.c - JSON that stands inside a script element: escapes, numbers, base64. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/json.h"

typedef struct {
    char *text;
    size_t n;
    base_json json;
} sheet;

static void start(sheet *s)
{
    *s = (sheet){0};
    s->json.to = open_memstream(&s->text, &s->n);
    assert_non_null(s->json.to);
}

static void must_be(sheet *s, const char *expected)
{
    fclose(s->json.to);
    assert_string_equal(s->text, expected);
    free(s->text);
}

static void no_text_can_end_the_element(void **state)
{
    (void)state;
    sheet s;
    start(&s);
    base_json_words(&s.json, NULL, "</script><!-- \"a\\b\" & \n\t\x7f é");
    must_be(&s, "\"\\u003c/script\\u003e\\u003c!-- \\\"a\\\\b\\\" \\u0026 \\u000a\\u0009\\u007f é\"");
}

static void commas_stand_between_and_nowhere_else(void **state)
{
    (void)state;
    const double value[] = {1.0, 9.0, -0.0, 9.0, NAN, 9.0};
    sheet s;
    start(&s);
    base_json_open(&s.json, NULL, '{');
    base_json_numbers(&s.json, "a", 3, value, 2, 4);
    base_json_open(&s.json, "b", '[');
    base_json_close(&s.json, ']');
    base_json_open(&s.json, "c", '[');
    base_json_number(&s.json, NULL, 12.3456, 4);
    base_json_number(&s.json, NULL, INFINITY, 4);
    base_json_open(&s.json, NULL, '{');
    base_json_truth(&s.json, "d", true);
    base_json_close(&s.json, '}');
    base_json_close(&s.json, ']');
    base_json_words(&s.json, "e", NULL);
    base_json_close(&s.json, '}');
    must_be(&s, "{\"a\":[1,0,null],\"b\":[],\"c\":[12.35,null,{\"d\":true}],\"e\":\"\"}");
}

/* RFC 4648, section 10. */
static void base64_is_that_of_the_standard(void **state)
{
    (void)state;
    static const char *const CODE[] = {"", "Zg==", "Zm8=", "Zm9v", "Zm9vYg==", "Zm9vYmE=", "Zm9vYmFy"};
    for (size_t n = 0; n < sizeof CODE / sizeof CODE[0]; n++) {
        char expected[16];
        sheet s;
        start(&s);
        base_json_bytes(&s.json, NULL, n, (const uint8_t *)"foobar");
        snprintf(expected, sizeof expected, "\"%s\"", CODE[n]);
        must_be(&s, expected);
    }
}

static void lines_are_for_people(void **state)
{
    (void)state;
    const double value[] = {1.5, 2.5};
    sheet s;
    start(&s);
    s.json.lines = 2;
    base_json_open(&s.json, NULL, '{');
    base_json_words(&s.json, "name", "<half & half>");
    base_json_numbers(&s.json, "two", 2, value, 1, 6);
    base_json_open(&s.json, "rows", '[');
    for (int i = 0; i < 2; i++) {
        base_json_open(&s.json, NULL, '{');
        base_json_whole(&s.json, "row", UINT64_MAX - (uint64_t)i);
        base_json_null(&s.json, "none");
        base_json_close(&s.json, '}');
    }
    base_json_close(&s.json, ']');
    base_json_open(&s.json, "groups", '[');
    base_json_open(&s.json, NULL, '[');
    base_json_whole(&s.json, NULL, 3);
    base_json_whole(&s.json, NULL, 4);
    base_json_close(&s.json, ']');
    base_json_close(&s.json, ']');
    base_json_close(&s.json, '}');
    must_be(&s, "{\n  \"name\": \"<half & half>\",\n  \"two\": [1.5, 2.5],\n  \"rows\": [\n"
                "    {\"row\": 18446744073709551615, \"none\": null},\n"
                "    {\"row\": 18446744073709551614, \"none\": null}\n  ],\n  \"groups\": [[3, 4]]\n}\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_text_can_end_the_element),
        cmocka_unit_test(commas_stand_between_and_nowhere_else),
        cmocka_unit_test(lines_are_for_people),
        cmocka_unit_test(base64_is_that_of_the_standard),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
