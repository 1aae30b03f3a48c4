/* sim/run/measured.c - amounts per area, percent of the rate and coverage from the accounts of the collectors.
 *
 * Coverage: stains lie at random and overlap, 1 - exp(-n a) with n a their area per area (S. D. Poisson's law of no
 * stain at a point); its standard error is that of n a times exp(-n a). */
#include "run/run.h"

#include <math.h>

#include "base/elementary.h"

#define UL_CM2_A_METRE 1e5 /* a layer of 1 m is 1e9 uL over 1e4 cm2 */

static tally_estimate times(tally_estimate e, double factor)
{
    return (tally_estimate){factor * e.share, factor * e.error};
}

static run_measured measure(const run_outcome *result, const scenario_collector *as, int first, int n)
{
    tally_estimate e[TALLY_CATCHES];
    run_measured m;
    for (int k = 0; k < TALLY_CATCHES; k++)
        e[k] = tally_collected(result->accounts, first, n, (tally_catch)k);
    const double rate_uL_cm2 = UL_CM2_A_METRE * result->collectors->application_rate_m;
    m.of[RUN_CAUGHT] = times(e[TALLY_CAUGHT], rate_uL_cm2);
    m.of[RUN_PERCENT_OF_RATE] = times(e[TALLY_CAUGHT], 100.0);
    m.of[RUN_LIQUID] = times(e[TALLY_LIQUID], rate_uL_cm2);
    m.of[RUN_PASSED] = times(e[TALLY_PASSED], rate_uL_cm2);
    m.of[RUN_NET] = times(e[TALLY_NET], rate_uL_cm2);
    m.of[RUN_DROPLETS] = e[TALLY_DROPLETS];
    if (!isfinite(rate_uL_cm2)) { /* a sprayer that stands still: nothing is known per area */
        for (int k = 0; k < RUN_MEASURES; k++)
            m.of[k] = (tally_estimate){NAN, NAN};
        return m;
    }
    const double bare = base_exp(-e[TALLY_STAINS].share);
    m.of[RUN_COVERAGE] = as->water_sensitive
                             ? (tally_estimate){100.0 * (1.0 - bare), 100.0 * bare * e[TALLY_STAINS].error}
                             : (tally_estimate){NAN, NAN};
    return m;
}

run_measured run_measured_whole(const run_outcome *result, int i_collector)
{
    const run_collector *c = &result->collectors->collector[i_collector];
    return measure(result, c->as, c->first_piece, c->n_pieces);
}

run_measured run_measured_piece(const run_outcome *result, int i_collector, int i_piece)
{
    const run_collector *c = &result->collectors->collector[i_collector];
    return measure(result, c->as, c->first_piece + i_piece, 1);
}
