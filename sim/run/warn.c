/* sim/run/warn.c - the table of rules for the weather, and the list of warnings of a run.
 *
 * Each rule compares one number of the weather with a bound of common practice. Bounds differ between countries,
 * crops and labels; where they do, the more careful end of the common range stands here. They are habits of the
 * trade, no limits of law: the label and local law decide, and every sentence says so. Left out: rain, fog, wind
 * that turns, neighbours. The lack of a warning does not say that spraying is right. */
#include "run/warn.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "air/fan_flow.h"
#include "air/wind.h"
#include "base/moist_air.h"
#include "base/number.h"
#include "run/run.h"
#include "tally/drift.h"

typedef enum { WIND_SPEED, OBUKHOV_LENGTH, WET_BULB_DIFFERENCE, MEASURES } measure;
typedef struct {
    const char *name, *title, *unit;
    measure of;
    bool from_above; /* warns at the bound and above it; else at it and below it */
    double bound;
    const char *bound_words, *why;
} weather_rule;

/* Wind: labels and extension texts mostly say 3 to 10 mph, others 1 to 5 or 5.5 m/s (common practice, memory).
 * Inversion: common practice goes by clear evenings, nights and mornings or by air that is warmer above than below;
 * Obukhov lengths of 0 to 200 m are called stable (S.-E. Gryning, E. Batchvarova, B. Bruemmer, H. Jorgensen, S. Larsen,
 * Boundary-Layer Meteorol. 124 (2007) 251; memory). Hot and dry: a wet-bulb difference ("delta T") of 2 to 8 K is
 * called good, more than 8 or 10 K too dry (extension texts; common practice, memory). */
static const weather_rule rules[] = {
    {"strong_wind", "Strong wind", "m/s", WIND_SPEED, true, 4.5, "10 mph", "Fine droplets are carried far."},
    {"calm", "Calm", "m/s", WIND_SPEED, false, 1.3, "3 mph",
     "The wind's direction is unsure, fine droplets stay in the air for long, and a calm evening often brings an "
     "inversion."},
    {"inversion", "Inversion", "m", OBUKHOV_LENGTH, false, 200.0, "stable air",
     "What stays in the air hardly mixes upwards and may move as a dense cloud, far and in any direction."},
    {"hot_and_dry", "Hot and dry", "K", WET_BULB_DIFFERENCE, true, 8.0, "a delta T of 8",
     "Droplets shrink fast, and small ones leave residues that drift."},
};
static const char *const measure_words[MEASURES] = {
    [WIND_SPEED] = "the wind at 2 m over open ground is",
    [OBUKHOV_LENGTH] = "the Obukhov length is",
    [WET_BULB_DIFFERENCE] = "the wet bulb lies below the air's temperature by",
};

void run_warn(run_warnings *w, const char *name, double value, double bound, const char *unit, const char *format, ...)
{
    assert(w->n < RUN_WARNINGS); /* a fixed number of rules */
    run_warning *one = &w->of[w->n++];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(one->sentence, sizeof one->sentence, format, arguments);
    va_end(arguments);
    one->name = name;
    one->value = value;
    one->bound = bound;
    one->unit = unit;
}

run_warning_bounds run_weather_bounds(void)
{
    run_warning_bounds b = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        if (rules[i].of == WIND_SPEED) *(rules[i].from_above ? &b.strong_wind_m_s : &b.calm_m_s) = rules[i].bound;
        if (rules[i].of == WET_BULB_DIFFERENCE) b.wet_bulb_difference_K = rules[i].bound;
    }
    return b;
}

void run_warnings_of_weather(const drupelet_scenario *scenario, run_warnings *w)
{
    const scenario_weather *weather = &scenario->weather;
    const air_wind wind = air_wind_of(scenario);
    const base_air air = base_moist_air(weather->temperature_K, weather->relative_humidity, weather->pressure_Pa);
    const double value[MEASURES] = {
        [WIND_SPEED] = air_wind_speed_m_s(&wind, 0.0, RUN_WARN_WIND_HEIGHT_M),
        [OBUKHOV_LENGTH] = wind.per_obukhov_open_1_m > 0.0 ? 1.0 / wind.per_obukhov_open_1_m : INFINITY,
        [WET_BULB_DIFFERENCE] = air.temperature_K - air.wet_bulb_K,
    };
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        const weather_rule *r = &rules[i];
        const double v = value[r->of];
        if (r->from_above ? v < r->bound * (1.0 - BASE_ROUNDING) : v > r->bound * (1.0 + BASE_ROUNDING)) continue;
        run_warn(w, r->name, v, r->bound, r->unit,
                 "%s: %s %.3g %s; common practice draws the line at %g %s (%s). %s The label and local law decide.",
                 r->title, measure_words[r->of], v, r->unit, r->bound, r->unit, r->bound_words, r->why);
    }
}

void run_warnings_of(const run_outcome *result, run_warnings *w)
{
    const tally *a = result->accounts;
    double percent[TALLY_FATES];
    char text[TALLY_WARNING];
    run_warnings_of_weather(result->scenario, w);
    for (int f = 0; f < TALLY_FATES; f++)
        percent[f] = 100.0 * tally_share(a, &a->fate[0][f], TALLY_FATES).share;
    tally_aloft_warning(percent, result->scenario->weather.wind_speed_m_s, text);
    if (text[0] != '\0')
        run_warn(w, "aloft", 100.0 * tally_aloft_of_drift(percent), 100.0 * TALLY_ALOFT_SMALL, "percent", "%s", text);
    if (result->fan_unsure > 0.0)
        run_warn(
            w, "fan_air_unsettled", 100.0 * result->fan_unsure, 0.0, "percent",
            "Fan air unsettled: the flow around the sprayer goes on wandering. Its mean is used, which is known to "
            "%.2g %% of what the fan adds to the wind. Without wind jets have no steady flow. Trust no difference "
            "between settings that is of this size, or use run.fan_air: integral.",
            100.0 * result->fan_unsure);
}
