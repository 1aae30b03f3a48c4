/* sim/scenario/reader.h - takes checked values out of the tree of a scenario file, one key at a time, and writes
 * down what was used. After the first error every call does nothing, so that sections read as plain lists of keys.
 * Missing keys are the exception: reading goes on to find the others, so that one message names them all. What was
 * read is then of no use (a missing value is 0), and other faults are not told. */
#ifndef SCENARIO_READER_H
#define SCENARIO_READER_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "base/hash.h"
#include "scenario/keys.h"
#include "scenario/node.h"
#include "scenario/units.h"

enum { SCENARIO_MISSING = 48 }; /* keys that are missing, told of by name; more are counted */

typedef struct {
    drupelet_status status; /* the first error */
    const scenario_table *table; /* of the keys that are read */
    FILE *resolved;         /* every value used, one "key.path: value unit" a line; borrowed; NULL: not noted */
    base_hash of_air;       /* of what the air may depend on, numbers to the last bit */
    bool only_missing;      /* status is about a missing key, and others are still looked for */
    int n_missing;          /* each key counts once */
    char missing[SCENARIO_MISSING][SCENARIO_PATH];
} scenario_reader;

/** Nothing is wrong so far: values can be used. */
bool scenario_good(const scenario_reader *r);
/** Keys are still looked at: nothing is wrong, or keys are missing and nothing else. */
bool scenario_reads(const scenario_reader *r);
/** The first error, with the names of all keys that were found missing. */
drupelet_status scenario_verdict(const scenario_reader *r);
/** The key stands in the group and is not left empty. */
bool scenario_given(const scenario_reader *r, const scenario_node *group, const char *name);

/** The group of that key, made where there is none; keys that are not known are refused. NULL after an error. */
scenario_node *scenario_take_group(scenario_reader *r, scenario_node *parent, const char *name);
/** The same for a node that must be a group, such as an entry of a list. */
scenario_node *scenario_take_as_group(scenario_reader *r, scenario_node *node);
/** The list of that key, with a number of entries that its table line allows; NULL after an error. */
scenario_node *scenario_take_list(scenario_reader *r, const scenario_node *group, const char *name);
/** Reads a list of [a, b] pairs by the rows of its two columns; a rises. @return how many */
int scenario_take_pairs(scenario_reader *r, const scenario_node *group, const char *name, double a[], double b[]);

/** Takes the keys of a group whose rows say where their values go, in the order of the table, and notes them; keys that
 *  stand deeper and those that are read by hand are left out. A default that is computed stands in its place before.
 *  Where the key "kind" decides which others there may be, those of other kinds are refused.
 *  @param from, before names of the first key and of that behind the last; NULL: all from the first, to the last
 *  @param into the scenario, or the structure of a list's entry */
void scenario_take_keys(scenario_reader *r, const scenario_node *group, const char *from, const char *before,
                        void *into);

/* For keys that are read by hand: */

/** A quantity in its SI unit, by its row: its default is that of the table, or it has to be given. */
double scenario_take(scenario_reader *r, const scenario_node *group, const char *name);
/** The same with a computed default. @param mark how the list of used values marks it, such as "of the class" */
double scenario_take_or(scenario_reader *r, const scenario_node *group, const char *name, double otherwise,
                        const char *mark);
/** Number of a list by a row of the table. */
double scenario_take_number(scenario_reader *r, const scenario_node *node, const scenario_key *key);
uint64_t scenario_take_count_or(scenario_reader *r, const scenario_node *group, const char *name, uint64_t otherwise);
uint64_t scenario_take_count_at(scenario_reader *r, const scenario_node *node, double low, double high);
/** What the word stands for, by its row; 0 after an error. */
int scenario_take_word(scenario_reader *r, const scenario_node *group, const char *name);
/** The same of a word that stands by itself. @param why what the message says behind the words that may stand there */
int scenario_take_word_at(scenario_reader *r, const scenario_node *node, const scenario_key *key, const char *why);
/** One line of text, shorter than room. @param text on input its default */
void scenario_take_text(scenario_reader *r, const scenario_node *group, const char *name, char *text, size_t room);

/** Refuses the value of a key, or its default, for a reason that takes more than its own line of the table. */
void scenario_refuse(scenario_reader *r, const scenario_node *group, const char *name, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/** Refuses a key that is there and should not be. */
void scenario_forbid(scenario_reader *r, const scenario_node *group, const char *name, const char *expected);
/** Says that a key is missing. */
void scenario_miss(scenario_reader *r, const scenario_node *group, const char *name);
/** Says that the keys of a group that is empty are missing. */
void scenario_miss_all_of(scenario_reader *r, const scenario_node *group, const char *found, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/** Refuses a node. @param found NULL: what stands there */
void scenario_refuse_node(scenario_reader *r, const scenario_node *node, const char *found, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/** Adds a line to the list of used values. @param mark "" or such as "default" */
void scenario_note(scenario_reader *r, const scenario_node *group, const char *name, const char *mark,
                   const char *format, ...) __attribute__((format(printf, 5, 6)));

#endif
