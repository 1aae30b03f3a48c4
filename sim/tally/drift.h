/* sim/tally/drift.h - the numbers by which drift is told: the ground curve, what passes in the air, and their sum.
 * Names, distances and meanings stand in scenario/drift.c. */
#ifndef TALLY_DRIFT_H
#define TALLY_DRIFT_H

#include <stdbool.h>

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

/* ---- what is still aloft at the time limit, beside drift; on plain numbers, so that results from files and rows of
 * sweeps can ask, too ---- */
#define TALLY_ALOFT_SMALL 0.05 /* of all that left the block; choice: drift is seldom known better by its sampling */
enum { TALLY_WARNING = 320 };  /* bytes of a warning, with its end */

/** What is aloft, over all that left the block or hangs above it: on the ground outside, out of the domain to any side,
 *  aloft. 0 where nothing left it. @param fate_percent the fates, percent of the output */
double tally_aloft_of_drift(const double fate_percent[TALLY_FATES]);
/** Is that too much to be passed over? */
bool tally_aloft_matters(const double fate_percent[TALLY_FATES]);
/** The warning in words, "" where none is due.
 *  @param wind_speed_m_s over the open ground; NAN where it is not known */
void tally_aloft_warning(const double fate_percent[TALLY_FATES], double wind_speed_m_s, char text[TALLY_WARNING]);

#endif
