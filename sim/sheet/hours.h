/* sim/sheet/hours.h - an hourly weather file: what each hour is like for spraying, and on request the drift that is
 * simulated for it. It informs; no hour is called right. */
#ifndef SHEET_HOURS_H
#define SHEET_HOURS_H

#include "run/warn.h"
#include "scenario/scenario.h"
#include "sheet/sheet.h"
#include "sheet/typed.h"
#include "sweep/sweep.h"

enum { SHEET_HOURS_MOST = 240, SHEET_HOUR_TEXT = 20 };
#define SHEET_TOWARDS_DEG 45.0 /* the wind blows towards a side within so much of it to either hand; choice */

/** A line of the file. */
typedef struct {
    char label[SHEET_HOUR_TEXT]; /* as it was written */
    int line, day_of_year;       /* 0: without a date */
    double clock_h;              /* 0 to 24 */
    double temperature_K, relative_humidity, wind_speed_m_s;
    double from_deg, cloud; /* compass direction that the wind comes from, share of the sky; NAN: not given */
} sheet_hour;

typedef struct {
    int n;
    bool dated; /* every line has a date, or none has */
    sheet_hour hour[SHEET_HOURS_MOST];
} sheet_hours;

/** What is asked beside the file. */
typedef struct {
    char side[SHEET_TYPED_NAME]; /* name of what lies beyond the open ground beside row 1; "": none */
    double side_deg;             /* compass direction in which that lies from the block; NAN: none */
    double latitude_deg;         /* NAN: not known */
    double noon_h;               /* by the file's clock, when the sun stands highest */
    double wind_height_m;        /* at which the file's wind was measured */
    int i_drift;                 /* number of scenario_drift_numbers that is simulated; -1: none */
} sheet_hours_ask;

typedef enum { SHEET_WAY_UNKNOWN, SHEET_CALM, SHEET_TOWARDS, SHEET_PARTLY_TOWARDS, SHEET_AWAY } sheet_way;

/** What an hour is like. */
typedef struct {
    scenario_weather weather; /* as a scenario has it */
    bool stability_known;     /* by date, latitude and cloud; else neutral air is assumed */
    sheet_way way;            /* of the wind, beside the named side */
    double wind_low_m_s;      /* at RUN_WARN_WIND_HEIGHT_M over open ground, as the bounds have it */
    double wet_bulb_difference_K;
    run_warnings warnings;
    tally_estimate drift;    /* percent of the rate; NAN: not simulated, or not known */
    tally_estimate airborne; /* percent of the output, at the nearest plane; NAN likewise */
    const char *no_drift;    /* why; "" where it is known or was not asked for */
} sheet_hour_found;

/** Reads an hourly weather file (docs/block-sheet.md).
 *  @return DRUPELET_OK, DRUPELET_SCENARIO ("file:line:column: column: found ..., expected ...") or DRUPELET_MEMORY */
drupelet_status sheet_hours_read(const char *path, sheet_hours *hours);
/** Reads "HH:MM". @return false where it is none */
bool sheet_clock_read(const char *text, double *clock_h);
/** Reads "school=120 deg", a name and a compass direction. */
bool sheet_side_read(const char *text, sheet_hours_ask *ask, char reason[SHEET_REASON]);
/** Number of scenario_drift_numbers that says what passes in the air nearest to the distance of the drift asked for. */
int sheet_hours_airborne(const sheet_hours_ask *ask);
sheet_hour_found sheet_hour_look(const drupelet_scenario *scenario, const sheet_hours_ask *ask, const sheet_hour *hour);

/** Simulates the drift of all hours whose wind does not blow away from the named side: cases of a sweep, with the same
 *  random numbers.
 *  @param path, settings of the scenario, which was read with them  @param n_droplets of a case; 0: as the scenario
 * says
 *  @param winds where computed winds are kept
 *  @return DRUPELET_OK, the first fault of a case, DRUPELET_MEMORY or DRUPELET_STOPPED */
drupelet_status sheet_hours_simulate(const char *path, const drupelet_scenario *scenario, const char *const *settings,
                                     int n_settings, const sheet_hours_ask *ask, const sheet_hours *hours,
                                     sheet_hour_found found[], int64_t n_droplets, int n_threads,
                                     const sweep_hooks *hooks, air_flow_store winds);

/** Puts table and picture into a sheet. */
void sheet_put_hours(sheet *s, const sheet_hours_ask *ask, const sheet_hours *hours, const sheet_hour_found found[]);
/** The picture: SVG, to be freed; NULL without memory. */
char *sheet_hours_picture(const sheet_hours_ask *ask, const sheet_hours *hours, const sheet_hour_found found[],
                          sheet_system system);

#endif
