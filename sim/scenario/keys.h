/* sim/scenario/keys.h - every key of a scenario in one table: what it holds, its range, its default and the reason
 * for it. */
#ifndef SCENARIO_KEYS_H
#define SCENARIO_KEYS_H

#include "scenario/units.h"

typedef enum {
    SCENARIO_IS_QUANTITY,
    SCENARIO_IS_COUNT, /* a whole number */
    SCENARIO_IS_WORD,  /* one of the words in unit */
    SCENARIO_IS_TEXT,
    SCENARIO_IS_LIST
} scenario_key_holds;

typedef struct {
    const char *path;         /* "*": a number of a list, or the name of a tip */
    scenario_key_holds holds;
    scenario_quantity_kind kind; /* of a quantity */
    const char *unit;         /* a quantity's customary unit, "" without; the words that can stand; what a list is of */
    double low, high;         /* both allowed, in that unit; of a list the number of entries */
    const char *otherwise;    /* the value where none is given, as it would be written; NULL: must be given */
    const char *reason;       /* for otherwise. A default that is computed is described here, and otherwise is "" */
} scenario_key;

extern const scenario_key scenario_keys[];
extern const int scenario_n_keys;

/** The key of a general path ("sprayer.nozzles.*.angle"), or NULL. */
const scenario_key *scenario_key_of(const char *path);
/** Name of the key number i that can stand in a group ("" for the top), from 0, each once; NULL beyond the last.
 *  @param n out: bytes of the name */
const char *scenario_key_in(const char *group, int i, int *n);

#endif
