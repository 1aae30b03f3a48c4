/* sim/report/score.h - measurements of a field trial beside a result (docs/score-format.md). */
#ifndef REPORT_SCORE_H
#define REPORT_SCORE_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"
#include "report/score_statistics.h"
#include "store/store.h"

enum { SCORE_PLACE = 96, SCORE_UNITS = 4 /* of what collectors caught */ };
enum { SCORE_FIXED = 8, SCORE_GROUPS = SCORE_FIXED + SCENARIO_COLLECTOR_KINDS * SCORE_UNITS };
/** What was measured; from SCORE_COLLECTOR on the kinds of collector. */
typedef enum { SCORE_GROUND, SCORE_AIRBORNE, SCORE_CANOPY, SCORE_COLLECTOR } score_kind;

/** Measurements that can be averaged: of one kind and one unit. */
typedef struct {
    int kind;
    const char *kind_name, *unit; /* as in the file of measurements */
    char title[80];               /* for people */
} score_group;
score_group report_score_group_of(int i_group);
/** A unit of what collectors caught. */
const char *report_score_unit_of_collector(int i);

typedef struct {
    int line, i_group;
    char place[SCORE_PLACE]; /* in words */
    score_values value;      /* in the group's unit */
    double measured_error;   /* standard error of the measured value; 0: not given */
} score_pair;

typedef struct {
    int n;
    score_pair *pair;
} score_list;

/** Reads measurements and finds what the result says in the same places. The caller ends the list with
 *  report_score_free(), also after a failure (it is empty then).
 *  @return DRUPELET_OK, DRUPELET_SCENARIO ("file:line:column: column: found ..., expected ...") or DRUPELET_MEMORY */
drupelet_status report_score_read(const char *measured_path, const drupelet_result *result, score_list *list);
void report_score_free(score_list *list);
/** Statistics of a group. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status report_score_group(const score_list *list, int i_group, score_statistics *statistics);

typedef struct {
    const char *result, *measured; /* names for titles */
    const drupelet_result *r;
    const score_list *list;
    score_statistics statistics[SCORE_GROUPS];
} score_report;

/** Is statistic i (of FAC2, FB, NMSE, MG, VG) of two pairs or more? One alone makes no statistic. */
bool report_score_tells(const score_statistics *statistics, int i);
/** "0.83 +/- 0.02" with two digits of the error, by report_amount(); the value alone where the error is next to
 * nothing. */
void report_score_amount(char *text, size_t size, score_number number, const char *between);
/** Measured against simulated, a panel for each group, as SVG. */
void report_score_plot(FILE *to, const score_report *report);

/** Scores a result: prints pairs and statistics, and writes them to files.
 *  @param table_path, svg_path NULL: not wanted; both are there whole or not at all
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (of the inputs), DRUPELET_FILE or DRUPELET_MEMORY */
drupelet_status report_score(const char *result_path, const char *measured_path, const char *table_path,
                             const char *svg_path, bool overwrite, FILE *to);

#endif
