/* sim/scenario/keys.h - every key of a scenario in one table: what it holds, its range, its default and the reason for
 * it, what it means, and whether the air of a run depends on it. */
#ifndef SCENARIO_KEYS_H
#define SCENARIO_KEYS_H

#include <stdbool.h>
#include <stddef.h>

#include "scenario/units.h"

typedef enum {
    SCENARIO_IS_QUANTITY,
    SCENARIO_IS_COUNT, /* a whole number */
    SCENARIO_IS_WORD,  /* one of the key's words */
    SCENARIO_IS_TEXT,
    SCENARIO_IS_LIST
} scenario_key_holds;

enum { SCENARIO_KEY = 64 }; /* bytes of the path of a key, with the end */

typedef struct {
    const char *word; /* NULL behind the last */
    int value;        /* what is stored: of an enum, true or false, or as the list says */
} scenario_word;

typedef struct {
    const char *path;         /* "*": a number of a list, or the name of a tip; 0, 1, ...: a column of its rows */
    size_t place, bytes;      /* of its value in the scenario, or the structure of a list's entry; 0 bytes: by hand */
    int of;                   /* kinds of entry that have it, 1 << kind each; 0: all */
    scenario_key_holds holds;
    scenario_quantity_kind kind;    /* of a quantity */
    const char *unit;               /* a quantity's customary unit, "" without; what a list is of */
    double low, high;               /* both allowed, in that unit; of a list its entries, of a text its bytes */
    const scenario_word *words;     /* of a word; NULL where another table has the names: */
    const char *(*name_at)(int i);  /* name i of it, NULL beyond the last; the value of a name is its number */
    const char *otherwise;          /* the value where none is given, as it would be written; NULL: must be given */
    const char *reason;             /* for otherwise. A default that is computed is described here; otherwise is "" */
    const char *absent;             /* what the list of used values says where none is given and none is computed */
    const char *meaning;            /* for the page of keys; "" where the path says it */
    bool not_of_air;                /* the air does not depend on it; false where that is not known */
    bool offered;                   /* a page may let its readers change it */
} scenario_key;

extern const scenario_word scenario_answers[]; /* yes and no */
extern const scenario_key scenario_keys[];
extern const int scenario_n_keys;

/** A table of keys: that of scenarios, or another (sweep/plan_keys.c). */
typedef struct { const scenario_key *key; int n; } scenario_table;
extern const scenario_table scenario_all_keys;

/** The key of a general path ("sprayer.nozzles.*.angle"), or NULL. */
const scenario_key *scenario_key_of(const char *path);
const scenario_key *scenario_key_among(const scenario_table *table, const char *path);
/** The key of a path as it stands in a file ("sprayer.nozzles.3.angle"; a tip's name may hold dots), or NULL. */
const scenario_key *scenario_key_at(const char *path);
/** Whether the air of a run may depend on what stands at a path of a file, with or without a row in the table: an entry
 *  of a list counts as the list does, a group if one of its keys does, and what is not known does. */
bool scenario_of_air(const char *path);
/** Name of a key within a group (of general path), or NULL where it does not lie in it: "fan.speed" in "sprayer". */
const char *scenario_key_below(const scenario_key *key, const char *group);
/** Name of the key number i that can stand in a group ("" for the top), from 0, each once; NULL beyond the last.
 *  @param n out: bytes of the name */
const char *scenario_key_in(const scenario_table *table, const char *group, int i, int *n);

/** Word number i of a key that holds words; NULL beyond the last. @param value out: what it stands for; may be NULL */
const char *scenario_key_word(const scenario_key *key, int i, int *value);
/** What a word stands for; false where the key has no such word, and value is left alone. */
bool scenario_key_value(const scenario_key *key, const char *word, int *value);
/** The first word with that value, or NULL; of a key, and of the key of a general path. */
const char *scenario_word_for(const scenario_key *key, int value);
const char *scenario_word_of(const char *path, int value);

#endif
