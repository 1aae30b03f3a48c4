/* sim/verify/verify.h - the physics beside published numbers, checked and printed. The door of the module. */
#ifndef VERIFY_VERIFY_H
#define VERIFY_VERIFY_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"

enum { VERIFY_CHECKS = 320, VERIFY_TARGETS = 160 };

typedef enum {
    VERIFY_RELATIVE, /* tolerance is a share of the published value */
    VERIFY_ABSOLUTE, /* tolerance has the unit of the value */
    VERIFY_FACTOR    /* tolerance is the largest ratio of the two, either way; both above 0 */
} verify_kind;

/** What a set of published numbers is and how close ours must be: a row of tolerances.csv. */
typedef struct {
    const char *name;
    const char *subject; /* checks of one subject follow each other */
    const char *source;  /* author, journal, year; how the number was obtained where it was not measured */
    const char *unit;    /* "" for a number without one */
    verify_kind kind;
    double tolerance;
    bool informational;  /* shown, never judged */
} verify_target;

typedef struct {
    verify_target target;
    char what[80]; /* the case, in words */
    double published, ours;
    bool passes;   /* within tolerance; true where it is not judged */
} verify_check;

typedef struct {
    int n, n_targets;
    verify_check check[VERIFY_CHECKS];
    verify_target target[VERIFY_TARGETS];
    struct verify_table *tolerances; /* owned: holds the texts */
} verify_list;

/** Makes a list without a check, with the tolerances in it. The caller ends it, also after a failure.
 *  @return DRUPELET_OK, DRUPELET_MEMORY, or DRUPELET_FILE for tolerances that cannot be used */
drupelet_status verify_begin(verify_list *list);
void verify_end(verify_list *list);
/** Begins a list and works all checks out. The caller ends it.
 * @return DRUPELET_OK, whether they pass or not; DRUPELET_MEMORY; DRUPELET_FILE for reference data that cannot be
 * used */
drupelet_status verify_run(verify_list *list);
int verify_failures(const verify_list *list);
/** A table by subject with the sources below each, and a last line that counts. 120 columns at most. */
void verify_print(FILE *to, const verify_list *list);

#endif
