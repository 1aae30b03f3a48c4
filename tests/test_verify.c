/* tests/test_verify.c - the table of physics checks: all pass, none can pass by accident, it can be read. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/status.h"
#include "check.h"
#include "verify/checks.h"
#include "verify/table.h"

/* The checks take half a minute: they run once, and a test leaves the list as it found it. */
static verify_list *run(void)
{
    static verify_list list;
    const drupelet_status status = list.n > 0 ? base_ok() : verify_run(&list);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    return &list;
}

static void all_checks_pass(void **state)
{
    (void)state;
    const verify_list *list = run();
    int n_judged = 0;
    for (int i = 0; i < list->n; i++) {
        const verify_check *c = &list->check[i];
        if (!c->passes)
            print_error("%s, %s: published %g, ours %g\n", c->target.subject, c->what, c->published, c->ours);
        assert_true(c->target.source[0] != '\0' && c->what[0] != '\0');
        assert_true(c->target.informational || isfinite(c->target.tolerance));
        assert_true(strlen(c->what) + 1 < sizeof c->what); /* nothing was cut */
        n_judged += !c->target.informational;
    }
    assert_int_equal(verify_failures(list), 0);
    assert_true(n_judged >= 25);
    assert_true(list->n < VERIFY_CHECKS);
}

/* What no check uses would be a comparison that nobody makes. */
static void every_tolerance_and_every_column_is_used(void **state)
{
    (void)state;
    const verify_list *list = run();
    for (int t = 0; t < list->n_targets; t++) {
        int n = 0;
        for (int i = 0; i < list->n; i++)
            n += strcmp(list->check[i].target.name, list->target[t].name) == 0;
        if (n == 0)
            fail_msg("tolerances.csv: %s: nothing is compared by it", list->target[t].name);
    }
    verify_table *columns = NULL;
    assert_int_equal(verify_table_create("columns.csv", verify_columns_csv, &columns).code, DRUPELET_OK);
    for (int row = 0; row < verify_table_rows(columns); row++) {
        const char *target = verify_table_text(columns, row, "target"),
                   *summary = verify_table_text(columns, row, "summary");
        int n = 0;
        for (int i = 0; i < list->n; i++)
            n += strcmp(list->check[i].target.name, target) == 0
                 && strncmp(list->check[i].what, summary, strlen(summary)) == 0;
        if (n == 0)
            fail_msg("columns.csv: %s, %s: nobody compares it", target, summary);
    }
    verify_table_free(columns);
}

static void a_comparison_without_a_tolerance_fails(void **state)
{
    (void)state;
    static verify_list list;
    assert_int_equal(verify_begin(&list).code, DRUPELET_OK);
    verify_compare(&list, "settling.no_such_row", 1.0, 1.0, "equal");
    assert_int_equal(verify_failures(&list), 1);
    verify_compare_range(&list, "wind.displacement", 0.65, 0.80, 0.79, "inside");
    assert_int_equal(verify_failures(&list), 1);
    verify_compare_range(&list, "wind.displacement", 0.65, 0.80, 0.81, "outside");
    verify_compare(&list, "wind.displacement", 0.7, 0.7, "a range that nobody set");
    assert_int_equal(verify_failures(&list), 3);
    verify_end(&list);
}

static void wrong_numbers_fail(void **state)
{
    (void)state;
    static verify_list list;
    const verify_target relative = {"name", "subject", "source", "m", VERIFY_RELATIVE, 0.05, false};
    const verify_target absolute = {"name", "subject", "source", "m", VERIFY_ABSOLUTE, 0.05, false};
    const verify_target shown = {"name", "subject", "source", "m", VERIFY_RELATIVE, 0.05, true};
    list.n = 0;
    verify_compare_by(&list, &relative, 2.0, 2.09, "inside");
    verify_compare_by(&list, &relative, -2.0, -1.91, "inside");
    verify_compare_by(&list, &absolute, 2.0, 1.96, "inside");
    verify_compare_by(&list, &shown, 2.0, 9.0, "never judged");
    assert_int_equal(verify_failures(&list), 0);
    verify_compare_by(&list, &relative, 2.0, 2.11, "outside");
    verify_compare_by(&list, &relative, 2.0, 1.89, "outside");
    verify_compare_by(&list, &absolute, 2.0, 2.06, "outside");
    verify_compare_by(&list, &absolute, 2.0, NAN, "no number");
    verify_compare_by(&list, &relative, NAN, 2.0, "no number");
    verify_compare_by(&list, &relative, 2.0, INFINITY, "no number");
    assert_int_equal(verify_failures(&list), 6);
}

static void worst_case_is_kept(void **state)
{
    (void)state;
    static verify_list list;
    const verify_target target = {"name", "subject", "source", "m", VERIFY_RELATIVE, 0.05, false};
    verify_worst worst = {.target = target};
    list.n = 0;
    verify_worst_compare(&list, &worst, "empty table");
    verify_worst_case(&worst, 1.0, 1.01, "a");
    verify_worst_case(&worst, 10.0, 9.0, "b");
    verify_worst_case(&worst, 100.0, 102.0, "c"); /* farther off, but less so by share */
    verify_worst_compare(&list, &worst, "table");
    verify_worst_case(&worst, 1.0, NAN, "d");
    verify_worst_case(&worst, 1.0, 5.0, "e");
    verify_worst_compare(&list, &worst, "table");
    assert_int_equal(list.n, 3);
    assert_int_equal(verify_failures(&list), 3);
    assert_string_equal(list.check[1].what, "table, worst of 3: b");
    assert_close(list.check[1].ours, 9.0, 0.0, 0.0);
    assert_string_equal(list.check[2].what, "table, worst of 5: d");
}

/* Every check stands on a line of its own, with its source below, in at most 120 columns of plain text; subjects stay
 * together. */
static void table_can_be_read(void **state)
{
    (void)state;
    verify_list *list = run();
    FILE *file = tmpfile();
    assert_non_null(file);
    char line[512], last[512] = "";
    int n_verdicts = 0, n_failed = 0, n_shown = 0, n_lines = 0;
    const bool passes = list->check[0].passes;
    list->check[0].passes = false; /* as if it had failed */
    const int n_failures = verify_failures(list);
    verify_print(file, list);
    list->check[0].passes = passes;
    rewind(file);
    while (fgets(line, sizeof line, file)) {
        for (const char *c = line; *c && *c != '\n'; c++)
            assert_in_range(*c, ' ', '~');
        assert_true(strlen(line) <= 121);
        n_verdicts += strstr(line, "  ok\n") || strstr(line, "  FAILS\n");
        n_failed += strstr(line, "  FAILS\n") != NULL;
        n_shown += strstr(line, "  shown\n") != NULL;
        n_lines++;
        strcpy(last, line);
    }
    fclose(file);
    assert_int_equal(n_verdicts + n_shown, list->n);
    assert_int_equal(n_failed, n_failures);
    assert_true(n_lines < 480);
    char wanted[120];
    snprintf(wanted, sizeof wanted, "%d checks: %d within tolerance, %d outside; %d more shown without a verdict\n",
             n_verdicts, n_verdicts - n_failures, n_failures, n_shown);
    assert_string_equal(last, wanted);
}

static void tables_are_read_as_written(void **state)
{
    (void)state;
    verify_table *t = NULL;
    const char *text = "# source, with a comma\nname,\"a_m\",b\r\n# remark\n\"x, y\",1.5e-3,\r\n\nz,2 m,-4";
    assert_int_equal(verify_table_create("test", text, &t).code, DRUPELET_OK);
    assert_int_equal(verify_table_rows(t), 2);
    assert_string_equal(verify_table_text(t, 0, "name"), "x, y");
    assert_close(verify_table_number(t, 0, "a_m"), 1.5e-3, 0.0, 0.0);
    assert_string_equal(verify_table_text(t, 0, "b"), "");
    assert_true(isnan(verify_table_number(t, 0, "b")));
    assert_true(isnan(verify_table_number(t, 1, "a_m"))); /* "2 m" is no number */
    assert_close(verify_table_number(t, 1, "b"), -4.0, 0.0, 0.0);
    assert_true(isnan(verify_table_number(t, 0, "c")));
    assert_true(isnan(verify_table_number(t, 2, "b")));
    assert_true(isnan(verify_table_number(t, -1, "b")));
    verify_table_free(t);
    verify_table_free(NULL);
}

static void bad_tables_are_refused(void **state)
{
    (void)state;
    verify_table *t = (verify_table *)&t;
    static const char *const bad[] = {"", "# only remarks\n", "a,b\n1\n", "a,b\n1,2,3\n", "a,b\n1,2\n\"1,2\"\n"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_int_equal(verify_table_create("test", bad[i], &t).code, DRUPELET_FILE);
        assert_null(t);
    }
    assert_int_equal(verify_table_open("no_such_table", &t).code, DRUPELET_FILE);
    assert_null(t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_checks_pass),
        cmocka_unit_test(every_tolerance_and_every_column_is_used),
        cmocka_unit_test(a_comparison_without_a_tolerance_fails),
        cmocka_unit_test(wrong_numbers_fail),
        cmocka_unit_test(worst_case_is_kept),
        cmocka_unit_test(table_can_be_read),
        cmocka_unit_test(tables_are_read_as_written),
        cmocka_unit_test(bad_tables_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
