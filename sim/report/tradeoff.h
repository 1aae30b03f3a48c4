/* sim/report/tradeoff.h - answers from a sweep: trade-off front, best settings under limits, main effects, sensitivity
 * indices, differences between cases. */
#ifndef REPORT_TRADEOFF_H
#define REPORT_TRADEOFF_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "report/fan_note.h"
#include "report/sensitivity.h"
#include "report/sweep_table.h"

#define REPORT_BEYOND_NOISE 2.0 /* standard errors of a difference; choice: about 95 % of a normal distribution */
enum { REPORT_LIMITS = 8, REPORT_EFFECT_LEVELS = 24, REPORT_BINS = 5 };

/** A limit on an output: at most (or at least) a value. */
typedef struct { int i_output; bool at_least; double value; } report_limit;
/** Reads "ground_5_m < 2 %". @param reason out: what is wrong, for a message  @return false where it is none */
/** Number of an output, or -1 and the reason, with the name that was meant. */
int report_output_named(const char *name, char reason[240]);
bool report_limit_read(const char *text, report_limit *limit, char reason[240]);

/** What an output is asked about for: more of the gain, less of the loss; one may be told beside them. */
typedef enum { REPORT_GAIN, REPORT_LOSS, REPORT_BESIDE, REPORT_ROLES } report_role;

typedef struct {
    int output[REPORT_ROLES];
    bool tells_beside;
    int n_limits;
    report_limit limit[REPORT_LIMITS];
    int64_t a, b;       /* points to compare, from 0; -1: none */
} report_question;

/** What is asked unless told otherwise: leaf deposit to gain, ground deposit at 5 m to lose, no limits. */
report_question report_question_usual(void);
/** Has the other kind of drift told beside the loss, at the distance nearest to the loss's: what is airborne, or the
 *  ground deposit where the loss is airborne. */
void report_question_tell_beside(report_question *question);

/** A level of a factor (or a stretch of its values), and the mean over the points that have it. */
typedef struct {
    char label[96];
    double number; /* mean of the values; of a word its place in the list */
    int64_t n;
    tally_estimate mean[REPORT_ROLES];
} report_level;

typedef struct {
    int n_levels;
    report_level level[REPORT_EFFECT_LEVELS];
    /* highest less lowest mean of the levels, with its own error */
    tally_estimate range[REPORT_ROLES];
    report_index index[REPORT_BESIDE]; /* of designs for indices */
} report_effect;

typedef struct {
    const store_sweep *sweep;
    report_question question;
    int n_told;                    /* 2 outputs, or 3 with one beside gain and loss */
    report_column of[REPORT_ROLES], limited[REPORT_LIMITS];
    int64_t n_points, n_known;
    /* points of which so much is aloft when the flight ends that their drift is not known (tally/drift.h), rising.
       Where the question is about drift they are left out of front and best settings: calm air would look safe */
    int64_t n_aloft, n_left_out, *aloft;
    int64_t n_front, *front;       /* points by rising loss; no point has more gain at no more loss */
    int *equals;                   /* [n_front] group of points that are equal to one another, from 1; 0: none is */
    int n_equals;                  /* groups */
    int64_t n_near, *near;         /* others that are equal to a point of the front */
    int64_t n_within, best, safest; /* points within the limits; the best of them, and of those that hold the limits by
                                       two standard errors; -1: none */
    int64_t n_as_good, *as_good;   /* others within the limits whose gain is no less than the best's beyond noise */
    report_effect effect[STORE_SWEEP_FACTORS];
    bool drawn;                    /* a design that was drawn: effects have the scatter of the other factors in them */
} report_tradeoff;

/** Works the answers out. The caller ends it with report_tradeoff_free(), also after a failure. */
drupelet_status report_tradeoff_create(const store_sweep *sweep, const report_question *question, report_tradeoff *t);
void report_tradeoff_free(report_tradeoff *t);
/* Steps of it (front.c), in this order, each @return DRUPELET_OK or DRUPELET_MEMORY. */
drupelet_status report_find_aloft(report_tradeoff *t);
drupelet_status report_find_front(report_tradeoff *t);
drupelet_status report_find_best(report_tradeoff *t);
/** What is aloft at the end, percent of the output, mean of a point's replicates. NAN where one failed. */
double report_aloft_percent(const store_sweep *sweep, int64_t point);
/** Neither gain nor loss differs by more than REPORT_BEYOND_NOISE standard errors of the difference, out of which the
 *  random numbers that both points share have dropped: as far as these droplets tell, the points are equal. */
bool report_equal(const report_tradeoff *t, int64_t a, int64_t b);
/** The letters of a group of equals: a, b, ... z, aa, ab ... */
void report_equals_letters(int group, char text[8]);
/** Mean gain and loss over one level of a factor less those over another.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status report_level_difference(const report_tradeoff *t, int i_factor, int level, int less,
                                        tally_estimate difference[REPORT_BESIDE]);

void report_tradeoff_print(const report_tradeoff *t, const report_fan_note *fan, FILE *to, bool json);
/** Pictures (SVG) of the front and of the main effects. */
void report_front_plot(const report_tradeoff *t, FILE *to);
void report_effects_plot(const report_tradeoff *t, FILE *to);
/** Writes one of the two to a file. */
drupelet_status report_plot_to(const report_tradeoff *t, void (*plot)(const report_tradeoff *, FILE *),
                               const char *path, bool overwrite);

#endif
