/* tests/data_file.h - published numbers of tests/data, as they are embedded in the library. */
#ifndef DATA_FILE_H
#define DATA_FILE_H

#include "verify/checks.h"

/** Opens tests/data/<name>.csv; the test fails where that cannot be done. The caller ends it with
 * verify_table_free(). */
verify_table *data_file_open(const char *name);

/** Fails unless the model meets all published numbers of a subject, by their one list of tolerances. */
void published_numbers_hold(drupelet_status (*subject)(verify_list *));

#endif
