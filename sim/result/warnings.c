/* sim/result/warnings.c - what the weather or the result should warn of. */
#include "base/status.h"
#include "result/quantity.h"
#include "run/warn.h"

#define WARNING(name) RESULT_FIELD(warning, result_warning, name)

static const result_quantity QUANTITIES[] = {
    {"warning", NULL, RESULT_TEXT, NULL, "name of the warning", WARNING(name), RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, n_warnings), .most = RUN_WARNINGS},
    {"sentence", "warning", RESULT_TEXT, NULL, "the warning in words", WARNING(sentence)},
    {"value", "warning", RESULT_DOUBLE, "1", "what was found, in the unit", WARNING(value), .low = -1e9, .high = 1e9},
    {"bound", "warning", RESULT_DOUBLE, "1", "the line that it crosses, in the unit", WARNING(bound), .low = -1e9,
     .high = 1e9},
    {"unit", "warning", RESULT_TEXT, NULL, "unit of both", WARNING(unit)},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    run_warnings w = {0};
    run_warnings_of(o, &w);
    r->n_warnings = w.n;
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    run_warnings w = {0};
    run_warnings_of(o, &w);
    for (int i = 0; i < w.n; i++) {
        const run_warning *from = &w.of[i];
        result_warning *to = &r->warning[i];
        *to = (result_warning){.name = result_copy(from->name),
                               .unit = result_copy(from->unit),
                               .sentence = result_copy(from->sentence),
                               .value = from->value,
                               .bound = from->bound};
        if (!to->name || !to->unit || !to->sentence) return base_error(DRUPELET_MEMORY, "no memory for the result");
    }
    return base_ok();
}

const result_group result_warnings = {"warnings", "what the weather or the result should warn of, by common practice",
                                      QUANTITIES, RESULT_COUNT(QUANTITIES),
                                      count,      fill,
                                      NULL};
