/* sim/tally/drift.h - the numbers by which drift is told: the ground curve, what passes in the air, and their sum.
 * Names and distances stand in scenario/drift.h. */
#ifndef TALLY_DRIFT_H
#define TALLY_DRIFT_H

#include "tally/tally.h"

typedef enum {
    TALLY_DRIFT_GROUND,   /* deposit at a distance, mean over TALLY_CURVE_SPAN_M, over the application rate */
    TALLY_DRIFT_AIRBORNE, /* net flux through the upright plane there, all heights, over the output */
    TALLY_DRIFT_SUM       /* on the ground beyond it or airborne out of the domain downwind, over the output */
} tally_drift_kind;

typedef struct {
    tally_drift_kind kind;
    double distance_m;         /* downwind of the block */
    const char *name, *meaning; /* "ground_5_m"; in words, with what it is a percentage of */
} tally_drift_number;

#define TALLY_CURVE_SPAN_M 1.0 /* choice: about as far as ground samplers lie along the distance */
enum { TALLY_DRIFT_NUMBERS = SCENARIO_DRIFT_NUMBERS };

/** Bands of height in which texts tell what passes in the air; the last is open at the top (choice: a person, the
 *  trees, above them). */
enum { TALLY_BANDS = 4 };
double tally_band_from_m(int i);
/** What passes a plane in a band, as a share of the output. */
tally_estimate tally_band(const tally *accounts, int i_plane, int i_band);

/** The curve from near to far, then the planes, then the sums. */
const tally_drift_number *tally_drift_number_at(int i);
/** First number of a kind, and how many there are of it. */
int tally_drift_first(tally_drift_kind kind);
int tally_drift_count(tally_drift_kind kind);
/** Number of a name, or -1. */
int tally_drift_named(const char *name);

/** Parts by batch of such a number. @param factor out: by which the share of the output is to be multiplied; not a
 *  number where the sprayer stands still and the number is a share of the rate
 *  @return false where the domain does not reach that far; the parts are 0 then */
bool tally_drift_parts(const tally *accounts, int i, double parts[TALLY_BATCHES], double *factor);
/** The number as a share (of the rate or of the output); NAN where it is not known. */
tally_estimate tally_drift(const tally *accounts, int i);

#endif
