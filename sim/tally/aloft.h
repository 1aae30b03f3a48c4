/* sim/tally/aloft.h - whether what is still aloft at the time limit is small beside drift, and a sentence where it is
 * not. On plain numbers, so that results from files and rows of sweeps can ask, too. */
#ifndef TALLY_ALOFT_H
#define TALLY_ALOFT_H

#include <stdbool.h>

#include "tally/tally.h"

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
