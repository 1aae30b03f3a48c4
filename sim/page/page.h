/* sim/page/page.h - one or more results, or a sweep, as one HTML file that needs nothing else: no network, no other
 * file. */
#ifndef PAGE_PAGE_H
#define PAGE_PAGE_H

#include <stdbool.h>

#include "drupelet/status.h"

enum { PAGE_RESULTS = 4 }; /* most results side by side */

/** How the page opens; its reader can switch both. NULL: as the reader's browser says (language), metric (units). */
typedef struct {
    const char *language; /* "en" or "es" */
    const char *units;    /* "metric" or "us" */
    bool without_simulator;
} page_start;

/** @param n 1 to PAGE_RESULTS; 1 for the file of a sweep
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (a file is no result), DRUPELET_FILE or DRUPELET_MEMORY */
drupelet_status page_write(int n, char *const result_path[], const char *html_path, bool overwrite,
                           const page_start *start);

#endif
