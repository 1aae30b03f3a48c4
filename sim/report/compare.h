/* sim/report/compare.h - what differs between results: settings, headline numbers, collectors, and where else. */
#ifndef REPORT_COMPARE_H
#define REPORT_COMPARE_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"
#include "result/result.h"

enum { REPORT_COMPARED = 12 }; /* most results; choice: of more a sweep makes a better table */

/** A setting and its value in each result; NULL where a result has none. Values are borrowed from the comparison. */
typedef struct {
    char *key;                          /* owned */
    const char *value[REPORT_COMPARED];
} compare_setting;

/** A number of the results, and how much more of it each has than the first. */
typedef struct {
    char name[SCENARIO_TEXT + 32];
    const char *unit, *meaning;
    bool paired;                                 /* the error is that of the differences batch by batch */
    tally_estimate value[REPORT_COMPARED];       /* NAN where a result has none */
    tally_estimate difference[REPORT_COMPARED];  /* [0] is not used */
} compare_number;

/** A quantity whose values differ beyond noise in some places. */
typedef struct {
    char name[96];
    int n, n_differ[REPORT_COMPARED]; /* values; -1: the other result has another shape */
} compare_elsewhere;

typedef struct {
    int n;                                    /* results */
    const char *path[REPORT_COMPARED];        /* borrowed */
    drupelet_result *result[REPORT_COMPARED];
    char *resolved[REPORT_COMPARED];          /* cut into lines */
    int n_settings, n_numbers, n_elsewhere;
    compare_setting *setting;
    compare_number *number;                   /* the columns of a sweep, then the collectors */
    compare_elsewhere *elsewhere;
} report_comparison;

/** Reads results and compares them with the first. The caller ends it with report_comparison_free(), also after a
 *  failure. @return DRUPELET_OK, DRUPELET_SCENARIO (no result) or DRUPELET_MEMORY */
drupelet_status report_comparison_create(int n, const char *const path[], report_comparison *c);
void report_comparison_free(report_comparison *c);
/** The mark behind a value that tells where it comes from, such as " (default)", or NULL where the value was given. */
const char *report_setting_mark(const char *key, const char *value);
/** Is a difference more than twice its standard error (REPORT_BEYOND_NOISE)? */
bool report_beyond_noise(tally_estimate difference);
/** A letter for each result. */
static inline char report_letter(int i) { return (char)('A' + i); }

void report_comparison_print(const report_comparison *c, FILE *to);
void report_comparison_json(const report_comparison *c, FILE *to);
/** A line for each setting and number of each result. @return DRUPELET_OK, DRUPELET_FILE or DRUPELET_MEMORY */
drupelet_status report_comparison_csv(const report_comparison *c, const char *path, bool overwrite);

#endif
