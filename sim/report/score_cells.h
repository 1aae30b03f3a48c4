/* sim/report/score_cells.h - the cells of a table of measurements, for those who read its lines. */
#ifndef REPORT_SCORE_CELLS_H
#define REPORT_SCORE_CELLS_H

#include <stdbool.h>

#include "base/csv.h"
#include "report/score.h"

typedef enum {
    SCORE_NAME, SCORE_KIND, SCORE_DISTANCE, SCORE_SPAN, SCORE_HEIGHT, SCORE_ROW, SCORE_THIRD, SCORE_SIDE,
    SCORE_COLLECTOR_NAME, SCORE_VALUE, SCORE_UNIT, SCORE_FLOOR, SCORE_ERROR, SCORE_TRACER, SCORE_AREA, SCORE_COLUMNS
} score_column;
extern const char *const score_column_names[SCORE_COLUMNS];

/** How the measured amounts are to become volumes of spray: they are volumes; ug/cm2; ug of the whole. */
typedef enum { SCORE_VOLUME, SCORE_MASS_AN_AREA, SCORE_MASS } score_amount;

/** Of a layer of the canopy, on one side of one row. */
typedef struct {
    double deposit; /* share of the output */
    double area_m2; /* one-sided, of one period */
} score_leaves;

typedef struct {
    base_csv csv;
    int column[SCORE_COLUMNS];
    const drupelet_result *r;
    score_amount amount;  /* of the line in hand */
    double area_cm2;      /* of its sampler, as the result has it; 0: not known */
    score_leaves *leaves; /* [row][nz][TALLY_SIDES], from malloc(); NULL: no line has asked for them */
} score_reading;

bool score_fine(const score_reading *in);
bool score_given(const score_reading *in, score_column c);
const char *score_text(const score_reading *in, score_column c);
/** Says what is wrong with a cell of the line in hand. @param expected of printf */
#define score_refuse(in, c, ...) base_csv_refuse(&(in)->csv, (in)->column[c], __VA_ARGS__)
/** A number that may be left out, and one that may not. */
double score_number_or(score_reading *in, score_column c, double low, double high, const char *what, double otherwise);
double score_number_of(score_reading *in, score_column c, double low, double high, const char *what);
/** Number of a word, or -1 where nothing is written. @param word NULL beyond the last */
int score_word_or(score_reading *in, score_column c, const char *(*word)(int i), const char *expected);
/** Refuses cells that the kind of measurement has no use for. */
void score_leave_empty(score_reading *in, const char *kind, int n, const score_column column[]);

/** What lies on the leaves of a part of the canopy.
 *  @param of_output as percent of the output, else as uL/cm2 of one-sided leaf area */
void score_read_canopy(score_reading *in, bool of_output, score_pair *pair);

/** What a collector of a kind caught, by its name, or by the place where it stands, and its area. */
void score_read_collector(score_reading *in, int kind, int i_unit, score_pair *pair);
/** What passes a height at a distance where a line stands: net volume per upright area, uL/cm2.
 *  @return false where none stands there */
bool score_line_at(const score_reading *in, double distance_m, double height_m, score_number *net_uL_cm2);

#define SCORE_PLACE_SLACK_M 0.25 /* choice: half a step of the flux, as a place is told in a trial */

#endif
