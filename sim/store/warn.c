/* sim/store/warn.c - the group warnings of a result file: name, sentence, what was found and the bound.
 *
 * Found and bound are words ("0.5 m/s"), since their units differ from one warning to the next. */
#include "store/warn.h"

#include <stdio.h>

#include "run/warn.h"

enum { QUANTITY_TEXT = 48 };

void store_write_warnings(store_out *out, const drupelet_result *result)
{
    run_warnings w = {0};
    const char *name[RUN_WARNINGS], *sentence[RUN_WARNINGS], *found[RUN_WARNINGS], *bound[RUN_WARNINGS];
    char found_text[RUN_WARNINGS][QUANTITY_TEXT], bound_text[RUN_WARNINGS][QUANTITY_TEXT];
    run_warnings_of(result, &w);
    store_out_group(out, "warnings", "what the weather or the result should warn of, by common practice");
    if (w.n == 0)
        return; /* an empty group: no dimension may be 0 long */
    for (int i = 0; i < w.n; i++) {
        snprintf(found_text[i], QUANTITY_TEXT, "%.3g %s", w.of[i].value, w.of[i].unit);
        snprintf(bound_text[i], QUANTITY_TEXT, "%g %s", w.of[i].bound, w.of[i].unit);
        name[i] = w.of[i].name;
        sentence[i] = w.of[i].sentence;
        found[i] = found_text[i];
        bound[i] = bound_text[i];
    }
    store_out_axis(out, "warning", STORE_TEXT, (hsize_t)w.n, name, NULL, NULL, "name of the warning");
    store_out_put(out, "sentence", "warning", STORE_TEXT, sentence, NULL, "the warning in words");
    store_out_put(out, "found", "warning", STORE_TEXT, found, NULL, "number and unit that were found");
    store_out_put(out, "bound", "warning", STORE_TEXT, bound, NULL, "number and unit of the line that it crosses");
}
