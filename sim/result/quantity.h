/* sim/result/quantity.h - the one table of what a result holds: name, axes, unit and meaning of every quantity, where
 * it lies in a result, and where it appears. The result file, its reader, the data of the page and the tables of
 * docs/result-format.md are made from it. */
#ifndef RESULT_QUANTITY_H
#define RESULT_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/elementary.h"
#include "result/result.h"

/** Kinds of values. A share is a tally_estimate: the file holds it as NAME and NAME_standard_error. */
typedef enum {
    RESULT_SHARE, RESULT_DOUBLE, RESULT_FLOAT, RESULT_INT8, RESULT_INT32, RESULT_INT64, RESULT_TEXT
} result_type;

enum { RESULT_MOST_AXES = 4, RESULT_LAST_RANK = 200 /* in the summary */ };

/** Where the values lie: at an offset of the result; behind the pointer there (apart); in a field of the structures of
 *  an array behind it (stride: size of one of them, which stands for an index of the first axis). */
typedef struct { size_t at, stride, field; bool apart, none; } result_place;

#define RESULT_AT(name) .place = {.at = offsetof(drupelet_result, name)}
#define RESULT_APART(name) .place = {.at = offsetof(drupelet_result, name), .apart = true}
#define RESULT_FIELD(array, type, name) \
    .place = {.at = offsetof(drupelet_result, array), .apart = true, .stride = sizeof(type), \
              .field = offsetof(type, name)}

/** Where a quantity appears beside the result file. */
typedef enum {
    RESULT_IN_PAGE = 1,    /* the data of the page */
    RESULT_MAY_LACK = 2,   /* not every file has it: unknown then (not a number) */
    RESULT_ORDERED = 4,    /* the values rise throughout, or fall */
    RESULT_MAY_BE_NONE = 8, /* not a number stands for "unknown", or for "there is none" */
    RESULT_IN_SUMMARY = 16    /* the summary, as text and as JSON */
} result_use;

/** The columns that a quantity has in the table of a sweep, one for each of its values; shares are in percent there. */
typedef struct {
    int rank; /* columns of lower ranks stand first, those that are known batch by batch before the others; 0: none */
    /* known batch by batch: the values are numbers that a run can aim at, from this one on, and have their names */
    bool batched;
    scenario_target target;
    const char *name[2], *meaning[2]; /* of the others */
} result_columns;

/** How a quantity stands in the summary, where RESULT_IN_SUMMARY marks it. In JSON an axis that is marked, too, makes a
 *  list of records, one for each point, with the quantities along it; other values along an axis make an object. */
typedef struct {
    int rank;            /* lower ranks stand first, in the whole (from 1) or in the record (0 to 2) */
    const char *key;     /* in JSON; NULL: name and unit, such as "caught_uL_cm2"; of an axis that of its list */
    double factor;       /* 0: none */
    int digits;          /* in JSON; 0: as many as usual */
    const char *own_key; /* of an axis: the key of its own value, or number, in a record; NULL: it is not there */
    const char *line;    /* in the text, of a line for each value: its words, before the point of an axis */
    const char *heading; /* above the lines; NULL: none */
    bool lacks_aloft;    /* the numbers are too low where much is aloft at the end, and the text says so */
} result_summary;

typedef struct result_quantity result_quantity;
struct result_quantity {
    const char *name;    /* in its group */
    const char *axes;    /* axes of the group, the slowest first, separated by blanks; "": one value; NULL: an axis */
    result_type type;
    const char *unit;    /* as UDUNITS-2 spells it; NULL for words */
    const char *meaning; /* one sentence */
    result_place place;
    unsigned use;        /* of result_use */
    result_columns column;
    result_summary summary;
    /* of an axis: */
    int length;          /* fixed; 0: the int at the offset count */
    size_t count;
    int first;           /* of an axis without values, whose points are numbered from here */
    /* of words: of an axis, of a text with such an axis, or of the flags of a RESULT_INT8; with i from 0 */
    const char *(*word)(int i);
    int n_words;         /* of flags */
    const char *mark;    /* attribute axis of the file: "X", "Y" or "Z" */
    const char *note[2]; /* one more attribute of the file, and its text */
    /* A file with a value outside is damaged: what loops, draws or divides relies on it. Both 0: by type and unit */
    double low, high;
    const char *key;     /* of a scenario, that gives the range, in the unit of the file */
    int most;            /* points of an axis */
};

/** A group of the file. */
typedef struct {
    const char *name, *meaning;
    const result_quantity *quantity;
    int n;
    void (*count)(const run_outcome *outcome, drupelet_result *result); /* sets the lengths of its axes; may be NULL */
    /* works its values out of a run; the room is there */
    drupelet_status (*fill)(const run_outcome *outcome, drupelet_result *result);
    /* after a file was read: sets what follows from the values; may be NULL.
     * @return NULL, or the quantity that does not fit; found then says in words what is wrong with it */
    const char *(*settle)(drupelet_result *result, const char **found);
} result_group;

extern const result_group *const result_groups[];
extern const int result_n_groups;

/** Number of axes, and length along each. @return rank */
int result_shape(const drupelet_result *result, const result_group *group, const result_quantity *quantity,
                 size_t shape[RESULT_MOST_AXES]);
/** Number of values. */
size_t result_size(const drupelet_result *result, const result_group *group, const result_quantity *quantity);
/** Axis i_axis of a quantity, from 0, or NULL. */
const result_quantity *result_axis_of(const result_group *group, const result_quantity *quantity, int i_axis);
/** Bytes of a value. */
size_t result_value_size(result_type type);
/** Value i (in C order), or NULL where the result holds none (words and numbered axes). */
void *result_value(const drupelet_result *result, const result_group *group, const result_quantity *quantity, size_t i);
/** Value i as a number (of a share without its error), at result_value(); of a numbered axis its ordinal. */
double result_number(const result_quantity *quantity, const void *at, size_t i);
/** Is nothing there, since an axis has no points? */
bool result_empty(const drupelet_result *result, const result_group *group, const result_quantity *quantity);

/** Least and most that a value of the quantity can be. */
void result_range(const result_quantity *quantity, double *low, double *high);

/** Makes room for all that lies apart, by the counts that are set. @return false without memory */
bool result_make_room(drupelet_result *result);
/** Frees what lies apart, texts too. */
void result_drop(drupelet_result *result);

/* ---- for the files of the groups ---- */

extern const result_group result_fates, result_budget_group, result_alone, result_tracks, result_canopy,
    result_ground, result_airborne, result_batches, result_collectors, result_air, result_wind, result_fan_air,
    result_sprayer, result_inputs, result_warnings;

#define RESULT_COUNT(array) ((int)(sizeof(array) / sizeof((array)[0])))
#define RESULT_UL_CM2_A_METRE 1e5 /* a layer of 1 m is 1e9 uL over 1e4 cm2 */

/** A text of the result's own; NULL without memory. */
char *result_copy(const char *text);

#endif
