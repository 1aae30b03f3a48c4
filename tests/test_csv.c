/* tests/test_csv.c - comma-separated values: what is cut off a value, and where a message points. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/csv.h"

static void values_come_without_blanks_and_quotes(void **state)
{
    (void)state;
    base_csv csv;
    base_csv_embedded("t", "# a, remark\n\nname, \"a b\" ,c\r\n  \"x, y\" , 1.5e-3 ,\n  # more\n\"z,3,\n", &csv);
    assert_int_equal(csv.n_columns, 3);
    assert_int_equal(base_csv_column(&csv, "a b"), 1);
    assert_int_equal(base_csv_column(&csv, "d"), -1);
    assert_true(base_csv_next(&csv));
    assert_int_equal(csv.line, 4);
    assert_string_equal(base_csv_text(&csv, 0), "x, y");
    assert_int_equal(csv.cell[0].column, 4);
    assert_int_equal(csv.cell[1].column, 12);
    assert_true(base_csv_number(&csv, 1, 0.0, 1.0, "a number") == 1.5e-3);
    assert_string_equal(base_csv_text(&csv, 2), "");
    assert_string_equal(base_csv_text(&csv, -1), "");
    assert_true(base_csv_next(&csv)); /* a quote that nothing ends is a letter like others */
    assert_string_equal(base_csv_text(&csv, 0), "\"z");
    assert_false(base_csv_next(&csv));
    assert_int_equal(csv.status.code, DRUPELET_OK);
    base_csv_close(&csv);
}

static void must_fail(const char *text, const char *message)
{
    base_csv csv;
    base_csv_embedded("t", text, &csv);
    while (base_csv_next(&csv))
        base_csv_number(&csv, 1, 0.0, 9.0, "a number");
    assert_int_equal(csv.status.code, DRUPELET_SCENARIO);
    assert_string_equal(csv.status.message, message);
    base_csv_close(&csv);
}

static void messages_name_line_and_column(void **state)
{
    (void)state;
    char longer[5000] = "a,b\n1,";
    memset(longer + 6, '2', sizeof longer - 7);
    must_fail("# nothing\n", "t:2:1: found the end of the file, expected a line that names the columns");
    must_fail("a,a\n", "t:1:3: found a, expected each column once");
    must_fail("a,b\n1\n", "t:2:1: found 1 value, expected 2, as there are columns");
    must_fail("a,b\n1,2\n1,2,3\n", "t:3:5: found 3 values, expected 2, as there are columns");
    must_fail("a,b\n\n1, 0x2\n", "t:3:4: b: found 0x2, expected a number from 0 to 9");
    must_fail(longer, "t:2:1: found a longer line, expected at most 4095 bytes in a line");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_come_without_blanks_and_quotes),
        cmocka_unit_test(messages_name_line_and_column),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
