/* tests/data_file.c - embedded reference data, and the model beside it; or the test fails. */
#include "data_file.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

verify_table *data_file_open(const char *name)
{
    verify_table *table = NULL;
    const drupelet_status status = verify_table_open(name, &table);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    assert_true(verify_table_rows(table) > 0);
    return table;
}

void published_numbers_hold(drupelet_status (*subject)(verify_list *))
{
    static verify_list list;
    drupelet_status status = verify_begin(&list);
    if (status.code == DRUPELET_OK)
        status = subject(&list);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    assert_true(list.n > 0);
    for (int i = 0; i < list.n; i++)
        if (!list.check[i].passes)
            print_error("%s, %s: published %g, ours %g\n", list.check[i].target.subject, list.check[i].what,
                        list.check[i].published, list.check[i].ours);
    assert_int_equal(verify_failures(&list), 0);
    verify_end(&list);
}
