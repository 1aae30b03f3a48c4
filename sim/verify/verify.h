/* sim/verify/verify.h - the physics beside published numbers, checked and printed. The door of the module. */
#ifndef VERIFY_VERIFY_H
#define VERIFY_VERIFY_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"

enum { VERIFY_CHECKS = 320 };

typedef enum {
    VERIFY_RELATIVE, /* tolerance is a share of the published value */
    VERIFY_ABSOLUTE, /* tolerance has the unit of the value */
    VERIFY_FACTOR    /* tolerance is the largest ratio of the two, either way; both above 0 */
} verify_kind;

typedef struct {
    const char *subject; /* checks of one subject follow each other */
    char what[80];       /* the case, in words */
    const char *source;  /* author, journal, year; how the number was obtained where it was not measured */
    const char *unit;    /* "" for a number without one */
    double published, ours;
    verify_kind kind;
    double tolerance;
    bool informational; /* shown, never judged */
    bool passes;        /* within tolerance; true where it is not judged */
} verify_check;

typedef struct {
    int n;
    verify_check check[VERIFY_CHECKS];
} verify_list;

/** Works all checks out.
 * @return DRUPELET_OK, whether they pass or not; DRUPELET_MEMORY; DRUPELET_FILE for reference data that cannot be
 * used */
drupelet_status verify_run(verify_list *list);
int verify_failures(const verify_list *list);
/** A table by subject with the sources below each, and a last line that counts. 120 columns at most. */
void verify_print(FILE *to, const verify_list *list);

#endif
