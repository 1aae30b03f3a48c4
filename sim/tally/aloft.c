/* sim/tally/aloft.c - the warning about what is still aloft at the time limit.
 *
 * Where droplets that fly on when the flight ends will come down is not known. They are drift: mostly fine ones, which
 * the trees did not catch. Where there are many of them every number of drift is too low, and most so in calm air,
 * which would otherwise look safest. */
#include "tally/aloft.h"

#include <stdio.h>

#include "scenario/scenario.h"

#define NEXT_TO_NOTHING 0.001 /* percent of the output; choice */

double tally_aloft_of_drift(const double fate_percent[TALLY_FATES])
{
    static const tally_fate OUTSIDE[] = {TALLY_GROUND_DOWNWIND, TALLY_GROUND_UPWIND, TALLY_AIR_DOWNWIND,
                                         TALLY_AIR_ABOVE,       TALLY_AIR_UPWIND,    TALLY_ALOFT};
    double sum = 0.0;
    for (size_t i = 0; i < sizeof OUTSIDE / sizeof OUTSIDE[0]; i++)
        sum += fate_percent[OUTSIDE[i]];
    return sum > 0.0 ? fate_percent[TALLY_ALOFT] / sum : 0.0;
}

bool tally_aloft_matters(const double fate_percent[TALLY_FATES])
{
    return fate_percent[TALLY_ALOFT] > NEXT_TO_NOTHING && tally_aloft_of_drift(fate_percent) > TALLY_ALOFT_SMALL;
}

void tally_aloft_warning(const double fate_percent[TALLY_FATES], double wind_speed_m_s, char text[TALLY_WARNING])
{
    const double of_drift = 100.0 * tally_aloft_of_drift(fate_percent);
    const char *end = wind_speed_m_s < SCENARIO_STILL_M_S
                          ? "The air stands still: how much hangs in it is known, where it goes is not, for the next "
                            "breath of wind takes it to any side."
                          : "Where it comes down is not known, and the numbers of drift lack it; a longer "
                            "run.time_limit follows it further.";
    text[0] = '\0';
    if (tally_aloft_matters(fate_percent))
        snprintf(text, TALLY_WARNING,
                 "Still aloft when the flight ends: %.3g %% of the output, %.0f %% of all that left the block. It is "
                 "drift and no safe place. %s",
                 fate_percent[TALLY_ALOFT], of_drift, end);
}
