/* sim/tally/drift.c - the numbers by which drift is told, out of the accounts.
 *
 * The two that people decide by are the deposit on the ground by distance and what passes in the air by distance. Their
 * sum hardly changes with the distance where fine droplets leave the domain in the air, and so says little about a
 * buffer; it is kept for balances. What leaves upwind or through the top, and what is aloft at the time limit, is in
 * none of them (below). */
#include "tally/drift.h"

#include <math.h>
#include <stdio.h>

static const double BAND_FROM_M[TALLY_BANDS] = {0.0, 2.0, 5.0, 10.0}; /* whole bins of the flux */

double tally_band_from_m(int i) { return BAND_FROM_M[i]; }

static int bin_of(const tally_shape *shape, double height_m)
{
    return (int)fmin(height_m / TALLY_FLUX_STEP_M, shape->n_flux);
}

tally_estimate tally_band(const tally *accounts, int i_plane, int i_band)
{
    const tally_shape *s = &accounts->shape;
    const int to = i_band + 1 < TALLY_BANDS ? bin_of(s, BAND_FROM_M[i_band + 1]) : s->n_flux;
    return tally_plane(accounts, i_plane, bin_of(s, BAND_FROM_M[i_band]), to);
}

/* Parts of number i of drift. */
static bool drift_parts(const tally *accounts, int i, tally_parts *p)
{
    const scenario_drift_number *n = &scenario_drift_numbers[i];
    const tally_shape *s = &accounts->shape;
    const double a_m = tally_x_m(s, n->distance_m - 0.5 * TALLY_CURVE_SPAN_M),
                 b_m = tally_x_m(s, n->distance_m + 0.5 * TALLY_CURVE_SPAN_M);
    switch (n->kind) {
    case SCENARIO_DRIFT_GROUND:
        p->factor = tally_rate_over_output(s, TALLY_CURVE_SPAN_M);
        return tally_ground_parts(accounts, fmin(a_m, b_m), fmax(a_m, b_m), p->part)
               && fmin(a_m, b_m) >= s->domain_low_x_m && fmax(a_m, b_m) <= s->domain_high_x_m;
    case SCENARIO_DRIFT_AIRBORNE:
        tally_plane_parts(accounts, i - SCENARIO_CURVE, 0, s->n_flux, p->part);
        return true;
    case SCENARIO_DRIFT_SUM: break;
    }
    return tally_sum_parts(accounts, n->distance_m, p->part);
}

bool tally_target_parts(const tally *a, scenario_target target, tally_parts *p)
{
    const int i = (int)target;
    p->whole = i == SCENARIO_TARGET_EVAPORATED ? a->water_emitted : a->emitted;
    p->factor = 1.0;
    if (i < SCENARIO_TARGET_EVAPORATED)
        return drift_parts(a, i - SCENARIO_TARGET_DRIFT, p);
    for (int b = 0; b < TALLY_BATCHES; b++)
        p->part[b] = (double)(i < SCENARIO_TARGET_FATE ? a->evaporated[b][0] : a->fate[b][i - SCENARIO_TARGET_FATE]);
    return true;
}

tally_estimate tally_parts_share(const tally_parts *p, double factor)
{
    const tally_estimate e = tally_ratio(p->part, p->whole);
    return (tally_estimate){factor * e.share, factor * e.error};
}

tally_estimate tally_drift(const tally *accounts, int i)
{
    tally_parts p;
    if (!tally_target_parts(accounts, (scenario_target)(SCENARIO_TARGET_DRIFT + i), &p))
        return (tally_estimate){NAN, NAN};
    return tally_parts_share(&p, p.factor);
}

/* ---- aloft ----
 *
 * Where droplets that fly on when the flight ends will come down is not known. They are drift: mostly fine ones, which
 * the trees did not catch. Where there are many of them every number of drift is too low, and most so in calm air,
 * which would otherwise look safest. */
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
