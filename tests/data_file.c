/* tests/data_file.c - opens embedded reference data, or fails the test. */
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
