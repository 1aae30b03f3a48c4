/* sim/report/model_error.h - how far the model was from field trials, by quantity: what stands beside each headline
 * number. The numbers are made from the dossier of trials by scripts/model-error (docs/model-error.md). */
#ifndef REPORT_MODEL_ERROR_H
#define REPORT_MODEL_ERROR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "base/json.h"
#include "tally/tally.h"

typedef enum {
    REPORT_ERROR_GROUND_NEAR,   /* deposit on the ground to REPORT_NEAR_M */
    REPORT_ERROR_GROUND_FAR,    /* beyond it */
    REPORT_ERROR_AIRBORNE,      /* amount that passes in the air */
    REPORT_ERROR_AIRBORNE_FALL, /* its fall with the distance */
    REPORT_ERROR_ON_TREES,      /* share on leaves and wood */
    REPORT_ERROR_BY_ZONE,       /* ratio of zones of the crowns */
    REPORT_ERROR_RATIO,         /* ratio of two settings */
    REPORT_ERROR_KINDS
} report_error_kind;

#define REPORT_NEAR_M 10.0 /* as scripts/validation/checks.py parts the trials' numbers */

/** Not a number: too few trials to tell. */
typedef struct {
    char name[24], words[64], trial_names[200];
    int n_trials, n_numbers, n_bounds_broken, n_in_view;
    double bias, spread; /* geometric mean of model over published, geometric standard deviation about it */
    double mostly_within; /* factor within which another trial lies with a chance of two thirds */
    double farthest;      /* of the numbers from the published, as a factor */
} report_model_error;

report_model_error report_model_error_of(report_error_kind kind);

enum { REPORT_ERROR_TEXT = 320 }; /* bytes of a sentence, with its end */
/** What trials say, such as "against 5 trials mostly within a factor of 1.8". @return text */
const char *report_model_error_text(report_error_kind kind, char text[REPORT_ERROR_TEXT]);
/** The same with the sampling error of a number in front, "sampling 2 % at 5 m; against ..."; without where it is not
 *  known. @param at behind the number, such as " at 5 m", or "" */
const char *report_error_text(report_error_kind kind, tally_estimate number, const char *at,
                              char text[REPORT_ERROR_TEXT]);

/** The kind that holds for a column of sweeps and comparisons (result/columns.h), or -1. */
int report_error_of_column(const char *name);
/** The kind of deposit on the ground at a distance. */
report_error_kind report_error_of_ground(double distance_m);

/** Writes a line for each kind that is wanted, under a heading. */
void report_model_error_print(FILE *to, const bool wanted[REPORT_ERROR_KINDS]);
/** Writes the entry "model_error", a list of objects: all kinds. */
void report_model_error_json(base_json *j);

#endif
