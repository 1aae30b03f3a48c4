/* sim/store/warn.c - the group warnings of a result file: name, sentence, what was found and the bound.
 *
 * Found and bound are words ("0.5 m/s"), since their units differ from one warning to the next. */
#include "store/warn.h"

#include <stdio.h>
#include <stdlib.h>

#include "run/warn.h"
#include "store/read.h"

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

/* A file from before there were warnings has none. */
void store_read_warnings(store_in *in, store_result *r)
{
    enum { TEXTS = 4 };
    static const char *const NAME[TEXTS] = {"warnings/warning", "warnings/sentence", "warnings/found",
                                            "warnings/bound"};
    hsize_t n[1] = {0};
    char **text[TEXTS] = {0};
    if (!store_in_has(in, NAME[0]))
        return;
    for (int k = 0; k < TEXTS; k++)
        text[k] = store_in_texts(in, NAME[k], 1, n, RUN_WARNINGS);
    r->warning = store_in_memory(in, (size_t)n[0], sizeof *r->warning);
    for (hsize_t i = 0; i < n[0] && r->warning; i++)
        r->warning[i] = (store_warning){text[0][i], text[1][i], text[2][i], text[3][i]};
    r->n_warnings = r->warning ? (int)n[0] : 0;
    for (int k = 0; k < TEXTS; k++) {
        for (hsize_t i = 0; i < n[0] && text[k] && !r->warning; i++)
            free(text[k][i]);
        free(text[k]);
    }
}
