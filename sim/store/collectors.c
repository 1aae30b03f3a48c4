/* sim/store/collectors.c - what the virtual collectors caught, into a result file: each as a whole, then part by part.
 */
#include "store/collectors.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "run/measured.h"

#define DEGREES_A_RADIAN (180.0 / BASE_PI)

/* A measure of n collectors or parts, with its standard error. */
static void put_measure(store_out *out, const char *before, const char *dimension, size_t n,
                        const run_measured *measured, run_measure which)
{
    char name[64], long_name[256];
    double *value = store_out_memory(out, n, sizeof *value);
    if (!value)
        return;
    for (size_t i = 0; i < n; i++)
        value[i] = measured[i].of[which].share;
    snprintf(name, sizeof name, "%s%s", before, run_measure_name(which));
    store_out_put(out, name, dimension, STORE_DOUBLE, value, run_measure_unit(which), run_measure_label(which));
    for (size_t i = 0; i < n; i++)
        value[i] = measured[i].of[which].error;
    snprintf(name, sizeof name, "%s%s_standard_error", before, run_measure_name(which));
    snprintf(long_name, sizeof long_name, "standard error of: %s", run_measure_label(which));
    store_out_put(out, name, dimension, STORE_DOUBLE, value, run_measure_unit(which), long_name);
    free(value);
}

static void write_places(store_out *out, const drupelet_result *result)
{
    const run_collectors *r = result->collectors;
    const char *name[SCENARIO_COLLECTORS];
    int8_t kind[SCENARIO_COLLECTORS];
    double x[SCENARIO_COLLECTORS], distance[SCENARIO_COLLECTORS], height[SCENARIO_COLLECTORS], top[SCENARIO_COLLECTORS],
        width[SCENARIO_COLLECTORS], facing[SCENARIO_COLLECTORS];
    for (int i = 0; i < r->n; i++) {
        const scenario_collector *c = r->collector[i].as;
        name[i] = c->name;
        kind[i] = (int8_t)c->kind;
        x[i] = c->x_m;
        distance[i] = tally_distance_m(&result->accounts->shape, c->x_m);
        height[i] = c->height_m;
        top[i] = c->top_m;
        width[i] = c->width_m;
        facing[i] = c->kind == SCENARIO_LINE ? NAN : DEGREES_A_RADIAN * c->facing_rad;
    }
    store_out_axis(out, "collector", STORE_TEXT, (hsize_t)r->n, name, NULL, NULL,
                   "collector, as the scenario calls it");
    store_out_put(out, "kind", "collector", STORE_INT8, kind, "1", "kind of collector");
    store_out_flags(out, "kind", 3, "dish line card");
    store_out_put(out, "x", "collector", STORE_DOUBLE, x, "m", "place of its middle across the rows");
    store_out_put(out, "distance", "collector", STORE_DOUBLE, distance, "m",
                  "distance downwind of the block; negative inside it and upwind");
    store_out_put(out, "height", "collector", STORE_DOUBLE, height, "m", "height of its middle, of a line's lower end");
    store_out_put(out, "top", "collector", STORE_DOUBLE, top, "m", "height of its middle, of a line's upper end");
    store_out_put(out, "width", "collector", STORE_DOUBLE, width, "m",
                  "width of a dish across the rows, edge of a card, diameter of a line");
    store_out_put(out, "facing", "collector", STORE_DOUBLE, facing, "degree",
                  "direction of the front, 0 along +x, 90 up; not a number for a line");
}

static void write_parts(store_out *out, const drupelet_result *result)
{
    const run_collectors *r = result->collectors;
    const size_t n = (size_t)r->n_parts;
    int32_t *ordinal = store_out_memory(out, n, sizeof *ordinal), *of = store_out_memory(out, n, sizeof *of);
    double *low_m = store_out_memory(out, n, sizeof *low_m), *high_m = store_out_memory(out, n, sizeof *high_m);
    run_measured *measured = store_out_memory(out, n, sizeof *measured);
    if (ordinal && of && low_m && high_m && measured) {
        for (int i = 0; i < r->n; i++)
            for (int k = 0; k < r->collector[i].n_parts; k++) {
                const int at = r->collector[i].first_part + k;
                ordinal[at] = at + 1;
                of[at] = i + 1;
                low_m[at] = run_collector_part_height_m(&r->collector[i], k, 0);
                high_m[at] = run_collector_part_height_m(&r->collector[i], k, 1);
                measured[at] = run_measured_part(result, i, k);
            }
        store_out_axis(out, "part", STORE_INT32, n, ordinal, "1", NULL,
                       "part of a collector: a piece of a line's height; dishes and cards have one");
        store_out_put(out, "part_collector", "part", STORE_INT32, of, "1", "which collector it is of, counted from 1");
        store_out_put(out, "part_low", "part", STORE_DOUBLE, low_m, "m", "height of its lower end");
        store_out_put(out, "part_high", "part", STORE_DOUBLE, high_m, "m", "height of its upper end");
        for (int m = 0; m < RUN_MEASURES; m++)
            put_measure(out, "part_", "part", n, measured, (run_measure)m);
    }
    free(measured);
    free(high_m);
    free(low_m);
    free(of);
    free(ordinal);
}

void store_write_collectors(store_out *out, const drupelet_result *result)
{
    store_out_group(out, "collectors",
                    "virtual collectors, each everywhere along the rows; they do not change where the spray goes");
    if (!result->collectors)
        return; /* an empty group: no dimension may be 0 long */
    const run_collectors *r = result->collectors;
    run_measured measured[SCENARIO_COLLECTORS];
    write_places(out, result);
    for (int i = 0; i < r->n; i++)
        measured[i] = run_measured_whole(result, i);
    for (int m = 0; m < RUN_MEASURES; m++)
        put_measure(out, "", "collector", (size_t)r->n, measured, (run_measure)m);
    write_parts(out, result);
}
