/* sim/run/warn.h - what a scenario or a result should warn of, one sentence each: for the settings sheet, the
 * summary and the result file alike. A warning informs; none says that it is right to spray. */
#ifndef RUN_WARN_H
#define RUN_WARN_H

#include "run/run.h"
#include "scenario/scenario.h"

#define RUN_WARN_WIND_HEIGHT_M 2.0 /* bounds of the wind are for about this height over open ground (common practice) */
enum { RUN_WARNINGS = 16, RUN_WARNING_TEXT = 320 };

typedef struct {
    const char *name;    /* one word for files and scripts, such as "strong_wind"; a list has it once */
    double value, bound; /* what was found, and the line that it crosses */
    const char *unit;    /* of both */
    char sentence[RUN_WARNING_TEXT];
} run_warning;

typedef struct {
    int n;
    run_warning of[RUN_WARNINGS];
} run_warnings;

/** Adds one. @param name, unit constants: they are kept as they are */
void run_warn(run_warnings *warnings, const char *name, double value, double bound, const char *unit,
              const char *format, ...) __attribute__((format(printf, 6, 7)));
/** The bounds of common practice that the rules have: of the wind, and of the wet bulb below the air. */
typedef struct { double strong_wind_m_s, calm_m_s, wet_bulb_difference_K; } run_warning_bounds;
run_warning_bounds run_weather_bounds(void);
/** What the weather of a scenario should warn of. */
void run_warnings_of_weather(const drupelet_scenario *scenario, run_warnings *warnings);
/** The same and what the result itself should warn of: all warnings of a run. */
void run_warnings_of(const run_outcome *result, run_warnings *warnings);

#endif
