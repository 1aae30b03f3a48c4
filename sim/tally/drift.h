/* sim/tally/drift.h - the numbers by which drift is told: the ground curve, what passes in the air, and their sum.
 * Names, distances and meanings stand in scenario/drift.c. */
#ifndef TALLY_DRIFT_H
#define TALLY_DRIFT_H

#include "tally/tally.h"

#define TALLY_CURVE_SPAN_M 1.0 /* choice: about as far as ground samplers lie along the distance */

/** Bands of height in which texts tell what passes in the air; the last is open at the top (choice: a person, the
 *  trees, above them). */
enum { TALLY_BANDS = 4 };
double tally_band_from_m(int i);
/** What passes a plane in a band, as a share of the output. */
tally_estimate tally_band(const tally *accounts, int i_plane, int i_band);

/** A share batch by batch: the parts of each batch over all of its parts (output, or water), times the factor. */
typedef struct {
    double part[TALLY_BATCHES], factor;
    int64_t (*whole)[1]; /* [TALLY_BATCHES] */
} tally_parts;
/** Parts of a number of drift, of the water evaporated or of a fate. The factor is not a number where the sprayer
 *  stands still and the number is a share of the rate.
 *  @return false where the domain does not reach that far; the parts are 0 then */
bool tally_target_parts(const tally *accounts, scenario_target target, tally_parts *parts);
/** The share, with the factor. */
tally_estimate tally_parts_share(const tally_parts *parts, double factor);
/** Number i of scenario_drift_numbers as a share (of the rate or of the output); NAN where it is not known. */
tally_estimate tally_drift(const tally *accounts, int i);

#endif
