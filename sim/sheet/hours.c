/* sim/sheet/hours.c - what each hour of a weather file is like.
 *
 * Wind, calm, inversions and hot dry air are judged by the rules that warn of the weather of a run (run/warn.c), so
 * that a bound stands once. An inversion needs the sun's height and the clouds: without date, latitude and cloud it is
 * not known. In the scenario +x, beyond row 1, is where the named side lies; +y lies a quarter turn to its left. */
#include "sheet/hours.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "air/wind.h"
#include "base/elementary.h"
#include "base/moist_air.h"
#include "base/status.h"

static double turned(double deg)
{
    return remainder(deg, 360.0);
}

static sheet_way way_of(const sheet_hours_ask *ask, const sheet_hour *h)
{
    if (h->wind_speed_m_s < SCENARIO_STILL_M_S) return SHEET_CALM;
    if (isnan(ask->side_deg) || isnan(h->from_deg)) return SHEET_WAY_UNKNOWN;
    const double off_deg = fabs(turned(h->from_deg + 180.0 - ask->side_deg));
    return off_deg <= SHEET_TOWARDS_DEG ? SHEET_TOWARDS : off_deg < 90.0 ? SHEET_PARTLY_TOWARDS : SHEET_AWAY;
}

int sheet_hours_airborne(const sheet_hours_ask *ask)
{
    const int first = scenario_drift_first(SCENARIO_DRIFT_AIRBORNE), n = scenario_drift_count(SCENARIO_DRIFT_AIRBORNE);
    const double at_m = scenario_drift_numbers[ask->i_drift].distance_m;
    int nearest = first;
    for (int i = first; i < first + n; i++)
        if (fabs(scenario_drift_numbers[i].distance_m - at_m) < fabs(scenario_drift_numbers[nearest].distance_m - at_m))
            nearest = i;
    return nearest;
}

sheet_hour_found sheet_hour_look(const drupelet_scenario *scenario, const sheet_hours_ask *ask, const sheet_hour *h)
{
    drupelet_scenario hour = *scenario; /* what it points to stays the scenario's */
    sheet_hour_found found = {.way = way_of(ask, h),
                              .drift = {(double)NAN, (double)NAN},
                              .airborne = {(double)NAN, (double)NAN},
                              .no_drift = ""};
    scenario_weather *w = &hour.weather;
    w->temperature_K = h->temperature_K;
    w->relative_humidity = h->relative_humidity;
    w->wind_speed_m_s = h->wind_speed_m_s;
    w->wind_height_m = ask->wind_height_m;
    if (found.way == SHEET_TOWARDS || found.way == SHEET_PARTLY_TOWARDS || found.way == SHEET_AWAY)
        w->wind_angle_rad = BASE_DEGREE * turned(ask->side_deg - (h->from_deg + 180.0));
    w->per_obukhov_1_m = 0.0;
    found.stability_known = h->day_of_year > 0 && !isnan(ask->latitude_deg) && !isnan(h->cloud);
    w->day_given = found.stability_known;
    if (w->day_given) {
        w->day_of_year = h->day_of_year;
        w->hour = fmod(h->clock_h - ask->noon_h + 36.0, 24.0);
        w->cloud = h->cloud;
        w->latitude_rad = BASE_DEGREE * ask->latitude_deg;
    }
    const base_air air = base_moist_air(fmax(w->temperature_K, 253.0), w->relative_humidity, w->pressure_Pa);
    found.wet_bulb_difference_K = air.temperature_K - air.wet_bulb_K;
    const air_wind wind = air_wind_of(&hour);
    found.wind_low_m_s = air_wind_speed_m_s(&wind, 0.0, RUN_WARN_WIND_HEIGHT_M);
    run_warnings_of_weather(&hour, &found.warnings);
    found.weather = *w;
    return found;
}

/* ---- the sheet ---- */

static const char *way_words(sheet_way way)
{
    static const char *const words[] = {[SHEET_WAY_UNKNOWN] = "",
                                        [SHEET_CALM] = "calm",
                                        [SHEET_TOWARDS] = "towards it",
                                        [SHEET_PARTLY_TOWARDS] = "partly",
                                        [SHEET_AWAY] = "away"};
    return words[way];
}

/* The names of the warnings: "calm, inversion". */
static void name_warnings(const sheet_hour_found *f, char *text, size_t room)
{
    text[0] = '\0';
    for (int i = 0; i < f->warnings.n; i++) {
        char name[40];
        snprintf(name, sizeof name, "%s", f->warnings.of[i].name);
        for (char *c = name; *c != '\0'; c++)
            if (*c == '_') *c = ' ';
        base_add_word(text, room, ", ", name);
    }
    if (!f->stability_known) base_add_word(text, room, ", ", "inversion not known");
}

static void put_table(sheet *s, const sheet_hours_ask *ask, const sheet_hours *hours, const sheet_hour_found found[])
{
    char drift[48] = "", airborne[48] = "", side[48];
    snprintf(side, sizeof side, "wind beside %s", ask->side);
    if (ask->i_drift >= 0) {
        snprintf(drift, sizeof drift, "ground at %g m, %% of rate", scenario_drift_numbers[ask->i_drift].distance_m);
        snprintf(airborne, sizeof airborne, "in the air at %g m, %% of output",
                 scenario_drift_numbers[sheet_hours_airborne(ask)].distance_m);
    }
    sheet_column columns[SHEET_COLUMNS] = {{"time", "time", 0, true},
                                           {"temperature", "air", SHEET_TEMPERATURE, false},
                                           {"humidity", "humidity", SHEET_PERCENT, false},
                                           {"wind", "wind", SHEET_AIR_SPEED, false},
                                           {"from", "from", SHEET_ANGLE, false},
                                           {"wet_bulb_difference", "wet bulb below", SHEET_WARMTH, false},
                                           {"beware", "to beware of", 0, true}};
    int n = 7;
    if (!isnan(ask->side_deg)) columns[n++] = (sheet_column){"way", side, 0, true};
    if (ask->i_drift >= 0) {
        columns[n++] = (sheet_column){"drift_percent_of_rate", drift, SHEET_RATIO, false};
        columns[n++] = (sheet_column){"airborne_percent_of_output", airborne, SHEET_RATIO, false};
        columns[n++] = (sheet_column){"no_drift", "", 0, true};
    }
    sheet_table(s, "hours", n, columns);
    for (int i = 0; i < hours->n; i++) {
        const sheet_hour *h = &hours->hour[i];
        char beware[160];
        name_warnings(&found[i], beware, sizeof beware);
        sheet_cell cell[SHEET_COLUMNS] = {{.words = h->label},
                                          {.value_si = h->temperature_K},
                                          {.value_si = h->relative_humidity},
                                          {.value_si = h->wind_speed_m_s},
                                          {.value_si = BASE_DEGREE * h->from_deg},
                                          {.value_si = found[i].wet_bulb_difference_K},
                                          {.words = beware}};
        int c = 7;
        if (!isnan(ask->side_deg)) cell[c++] = (sheet_cell){.words = way_words(found[i].way)};
        if (ask->i_drift >= 0) {
            cell[c++] = (sheet_cell){.value_si = found[i].drift.share, .error_si = found[i].drift.error};
            cell[c++] = (sheet_cell){.value_si = found[i].airborne.share, .error_si = found[i].airborne.error};
            cell[c++] = (sheet_cell){.words = found[i].no_drift};
        }
        sheet_row(s, cell);
    }
}

static void put_lines(sheet *s, const sheet_hours_ask *ask, const sheet_hours *hours)
{
    char height[32];
    sheet_quantity(SHEET_LENGTH, sheet_system_of(s), ask->wind_height_m, height, sizeof height);
    sheet_words(s, "wind_height", "wind measured at", "%s above open ground", height);
    if (!isnan(ask->side_deg)) {
        sheet_words(s, "side", "side", "%s, %.0f deg by the compass from the block, beyond row 1", ask->side,
                    ask->side_deg);
        sheet_note(s, "The wind counts as towards it within %.0f deg to either hand (choice), as away beyond 90 deg.",
                   SHEET_TOWARDS_DEG);
    }
    if (!hours->dated || isnan(ask->latitude_deg))
        sheet_note(s, "Inversions are judged by sun and clouds: give dates in the file and the latitude.");
}

void sheet_put_hours(sheet *s, const sheet_hours_ask *ask, const sheet_hours *hours, const sheet_hour_found found[])
{
    sheet_section(s, "hours_of", "Hour by hour");
    put_lines(s, ask, hours);
    sheet_picture(s, sheet_hours_picture(ask, hours, found, sheet_system_of(s)));
    put_table(s, ask, hours, found);
    const run_warning_bounds b = run_weather_bounds();
    char strong[32], calm[32], dry[32];
    sheet_quantity(SHEET_AIR_SPEED, sheet_system_of(s), b.strong_wind_m_s, strong, sizeof strong);
    sheet_quantity(SHEET_AIR_SPEED, sheet_system_of(s), b.calm_m_s, calm, sizeof calm);
    sheet_quantity(SHEET_WARMTH, sheet_system_of(s), b.wet_bulb_difference_K, dry, sizeof dry);
    sheet_note(
        s,
        "Common practice draws the lines at wind of %s and more (strong) and of %s and less (calm) 2 m above open "
        "ground, at a wet bulb %s and more below the air (hot and dry), and at stable air (inversion). Bounds "
        "differ between countries, crops and labels.",
        strong, calm, dry);
    if (ask->i_drift >= 0) {
        sheet_note(
            s,
            "Ground: %s. Little on the ground is not little drift: in calm and stable air the spray stays up, so "
            "what passes in the air stands beside it.",
            scenario_drift_numbers[ask->i_drift].meaning);
        sheet_note(s,
                   "All hours have the same random numbers; the errors tell how much another sample of droplets would "
                   "differ, not how far the model is from the field.");
    }
    sheet_note(
        s, "This informs. An hour without a word in the table is not for that reason right for spraying: the label, "
           "local law and a licensed adviser decide.");
}
