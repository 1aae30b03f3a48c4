/* include/drupelet/quantities.h - everything that a result holds, by name, with axes and units.
 *
 * A quantity goes by its group and its name as in the result file: "ground/curve". docs/result-format.md lists them,
 * and so does drupelet_quantity_at(). Values come in C order: the last axis changes fastest.
 *
 *     size_t shape[DRUPELET_MOST_AXES];
 *     int n_axes;
 *     double curve[8], error[8];
 *     drupelet_status status = drupelet_result_shape(result, "ground/curve", shape, &n_axes);
 *     if (status.code == DRUPELET_OK && shape[0] == 8)
 *         status = drupelet_result_numbers(result, "ground/curve", 8, curve, error);
 *
 * Threads may ask at once, also one result. Where a name is wrong the status is DRUPELET_SCENARIO, and its message
 * names the one that was meant, if there is one near. */
#ifndef DRUPELET_QUANTITIES_H
#define DRUPELET_QUANTITIES_H

#include <stdbool.h>
#include <stddef.h>

#include "drupelet/run.h"
#include "drupelet/status.h"

enum { DRUPELET_MOST_AXES = 4 };

/** What the values are in the file; drupelet_result_numbers() gives all but text as double, which holds each exactly.
 */
typedef enum {
    DRUPELET_DOUBLE, DRUPELET_FLOAT, DRUPELET_INT8, DRUPELET_INT32, DRUPELET_INT64, DRUPELET_TEXT
} drupelet_type;

/** A quantity. All text lives as long as the library. */
typedef struct {
    const char *group, *name;
    const char *meaning;  /**< one sentence */
    const char *unit;     /**< as UDUNITS-2 spells it; "1" for a plain ratio or count, "" for text */
    drupelet_type type;
    bool has_error;       /**< every value has a standard error: from the sampling of droplets, not of the model */
    bool is_axis;         /**< its values are the points of an axis of its name */
    int n_axes;           /**< 0: one value */
    const char *axis[DRUPELET_MOST_AXES]; /**< names of quantities of the same group, slowest first */
    int n_words;          /**< words that whole numbers from 0 on stand for (drupelet_quantity_word()); 0: none */
    const char *coordinates; /**< quantity of the group that tells where the points of its axis lie, or NULL */
    const char *direction;   /**< of an axis "X" across the rows, "Y" along them, "Z" up; else NULL */
} drupelet_quantity;

DRUPELET_API int drupelet_groups(void);                    /**< number of groups */
DRUPELET_API const char *drupelet_group_name(int i);       /**< from 0; NULL beyond the last */
DRUPELET_API const char *drupelet_group_meaning(int i);

/** Quantity i, group by group. @return false beyond the last */
DRUPELET_API bool drupelet_quantity_at(int i, drupelet_quantity *quantity);
/** The quantity of a name such as "ground/curve". @return DRUPELET_OK or DRUPELET_SCENARIO */
DRUPELET_API drupelet_status drupelet_quantity_named(const char *name, drupelet_quantity *quantity);
/** Word i, from 0, of a quantity that has some; NULL beyond the last. */
DRUPELET_API const char *drupelet_quantity_word(const char *name, int i);

/** Lengths of its axes in a result, 0 where there is nothing (no collectors, no paths).
 *  @param n_axes out: how many of shape are set; 0: one value  @return DRUPELET_OK or DRUPELET_SCENARIO */
DRUPELET_API drupelet_status drupelet_result_shape(const drupelet_result *result, const char *name,
                                                   size_t shape[DRUPELET_MOST_AXES], int *n_axes);
/** Its values, in its unit.
 *  @param n        room: must be the number of values, the product of the shape
 *  @param value    out: [n]; not a number where the result does not know
 *  @param error    out: [n] standard errors, not a number where the quantity has none; NULL: not wanted
 *  @return DRUPELET_OK or DRUPELET_SCENARIO (wrong name, a text, wrong n) */
DRUPELET_API drupelet_status drupelet_result_numbers(const drupelet_result *result, const char *name, size_t n,
                                                     double value[], double error[]);
/** Value i, from 0, of a text or of an axis of words. @param text out: borrowed until drupelet_result_free()
 *  @return DRUPELET_OK or DRUPELET_SCENARIO (wrong name, no text, no such value) */
DRUPELET_API drupelet_status drupelet_result_text(const drupelet_result *result, const char *name, size_t i,
                                                  const char **text);

#endif
