/* sim/sheet/hours_read.c - reads an hourly weather file. Times rise from line to line; all have a date or none has. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/number.h"
#include "base/status.h"
#include "scenario/keys.h"
#include "scenario/units.h"
#include "sheet/hours.h"

#define MOST_BYTES ((size_t)1000000)
#define COLDEST_C (-40.0) /* what thermometers of the trade are read for; choice */
#define WARMEST_C 55.0
#define WINDIEST_M_S 60.0

static const char known[] = "time temperature_C temperature_F humidity_percent wind_m_s wind_km_h wind_mph "
                            "wind_from_deg cloud_percent";

/* ---- times ---- */

/* A whole number of so many digits; what follows, or NULL. */
static const char *digits(const char *text, int n, int *number)
{
    *number = 0;
    for (int i = 0; i < n; i++) {
        if (!text || !base_is_digit(text[i])) return NULL;
        *number = 10 * *number + (text[i] - '0');
    }
    return text + n;
}

/* A clock at the start of a text. */
static const char *clock_at(const char *text, double *clock_h)
{
    int hour = 0, minute = 0;
    const char *rest = digits(text, 2, &hour);
    rest = rest && *rest == ':' ? digits(rest + 1, 2, &minute) : NULL;
    *clock_h = hour + minute / 60.0;
    return rest && minute < 60 && *clock_h <= 24.0 ? rest : NULL;
}

bool sheet_clock_read(const char *text, double *clock_h)
{
    const char *rest = clock_at(text, clock_h);
    return rest && *rest == '\0';
}

static bool leap(int year)
{
    return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

/* "2031-05-14" at the start of a text: days since the year 0 of the calendar, and the day of the year. */
static const char *date_at(const char *text, long *day, int *day_of_year)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int year = 0, month = 0, of_month = 0;
    const char *rest = digits(text, 4, &year);
    rest = rest && *rest == '-' ? digits(rest + 1, 2, &month) : NULL;
    rest = rest && *rest == '-' ? digits(rest + 1, 2, &of_month) : NULL;
    if (!rest || month < 1 || month > 12) return NULL;
    if (of_month < 1 || of_month > days[month - 1] + (month == 2 && leap(year))) return NULL;
    *day_of_year = of_month;
    for (int m = 1; m < month; m++)
        *day_of_year += days[m - 1] + (m == 2 && leap(year));
    *day = *day_of_year;
    for (int y = 0; y < year; y++)
        *day += leap(y) ? 366 : 365;
    return rest;
}

/* @param after_h out: hours since some day, by which times rise */
static bool time_of(const char *text, sheet_hour *h, double *after_h)
{
    long day = 0;
    const char *clock = date_at(text, &day, &h->day_of_year);
    if (clock && *clock != ' ' && *clock != 'T') return false;
    if (!clock) h->day_of_year = 0;
    *after_h = 24.0 * (double)day;
    if (!sheet_clock_read(clock ? clock + 1 : text, &h->clock_h)) return false;
    *after_h += h->clock_h;
    return true;
}

/* ---- lines ---- */

typedef struct {
    const char *name, *spelling;
} unit_column;

/* A quantity from the one of several columns that is filled in. @return false where none is, which is told */
static bool quantity(base_csv *csv, scenario_quantity_kind kind, int n, const unit_column column[], double low_si,
                     double high_si, const char *what, double *value_si)
{
    int filled = -1, there = -1;
    for (int i = 0; i < n; i++) {
        const int c = base_csv_column(csv, column[i].name);
        if (c >= 0) there = c;
        if (c < 0 || base_csv_text(csv, c)[0] == '\0') continue;
        if (filled >= 0) base_csv_refuse(csv, c, "nothing, for %s is given", column[filled].name);
        filled = i;
    }
    if (filled < 0) {
        base_csv_refuse(csv, there, "%s", what);
        return false;
    }
    const char *unit = column[filled].spelling;
    const double number =
        base_csv_number(csv, base_csv_column(csv, column[filled].name), scenario_units_from_si(kind, unit, low_si),
                        scenario_units_from_si(kind, unit, high_si), what);
    *value_si = scenario_units_to_si(kind, unit, number);
    return csv->status.code == DRUPELET_OK;
}

static double number_or_none(base_csv *csv, const char *name, double high, const char *what)
{
    const int c = base_csv_column(csv, name);
    return base_csv_text(csv, c)[0] == '\0' ? (double)NAN : base_csv_number(csv, c, 0.0, high, what);
}

static void take_line(base_csv *csv, sheet_hours *hours, double *last_h)
{
    static const unit_column warm[] = {{"temperature_C", "degC"}, {"temperature_F", "degF"}};
    static const unit_column wind[] = {{"wind_m_s", "m/s"}, {"wind_km_h", "km/h"}, {"wind_mph", "mph"}};
    const int i_time = base_csv_column(csv, "time");
    const char *text = base_csv_text(csv, i_time);
    sheet_hour h = {.line = csv->line};
    double after_h = 0.0;
    if (strlen(text) >= sizeof h.label || !time_of(text, &h, &after_h)) {
        base_csv_refuse(csv, i_time, "a time such as 2031-05-14 06:00, or 06:00");
        return;
    }
    snprintf(h.label, sizeof h.label, "%s", text);
    if (hours->n == 0)
        hours->dated = h.day_of_year > 0;
    else if (hours->dated != (h.day_of_year > 0))
        base_csv_refuse(csv, i_time, "a time %s a date, as in the lines before", hours->dated ? "with" : "without");
    else if (after_h <= *last_h)
        base_csv_refuse(csv, i_time, "a time later than that of the line before");
    if (hours->n == SHEET_HOURS_MOST) base_csv_refuse(csv, i_time, "at most %d hours", SHEET_HOURS_MOST);
    *last_h = after_h;
    const scenario_key *wet = scenario_key_of("weather.relative_humidity");
    if (!quantity(csv, SCENARIO_TEMPERATURE, 2, warm, scenario_units_to_si(SCENARIO_TEMPERATURE, "degC", COLDEST_C),
                  scenario_units_to_si(SCENARIO_TEMPERATURE, "degC", WARMEST_C), "a temperature", &h.temperature_K)
        || !quantity(csv, SCENARIO_SPEED, 3, wind, 0.0, WINDIEST_M_S, "a wind speed", &h.wind_speed_m_s))
        return;
    h.relative_humidity = 0.01
                          * base_csv_number(csv, base_csv_column(csv, "humidity_percent"), wet->low, wet->high,
                                            "a relative humidity in %");
    h.from_deg = number_or_none(csv, "wind_from_deg", 360.0, "the compass direction that the wind comes from");
    h.cloud = 0.01 * number_or_none(csv, "cloud_percent", 100.0, "clouds in % of the sky");
    if (csv->status.code == DRUPELET_OK) hours->hour[hours->n++] = h;
}

drupelet_status sheet_hours_read(const char *path, sheet_hours *hours)
{
    base_csv csv;
    double last_h = 0.0;
    *hours = (sheet_hours){0};
    base_csv_open(path, MOST_BYTES, known, &csv);
    base_csv_need(&csv, "time");
    base_csv_need(&csv, "humidity_percent");
    if (base_csv_column(&csv, "temperature_F") < 0) base_csv_need(&csv, "temperature_C");
    if (base_csv_column(&csv, "wind_km_h") < 0 && base_csv_column(&csv, "wind_mph") < 0)
        base_csv_need(&csv, "wind_m_s");
    while (base_csv_next(&csv))
        take_line(&csv, hours, &last_h);
    if (csv.status.code == DRUPELET_OK && hours->n == 0)
        csv.status = base_error(DRUPELET_SCENARIO, "%s: found no hour, expected one a line", path);
    base_csv_close(&csv);
    return csv.status;
}

bool sheet_side_read(const char *text, sheet_hours_ask *ask, char reason[SHEET_REASON])
{
    const char *equals = strchr(text, '=');
    const size_t n = equals ? (size_t)(equals - text) : 0;
    double rad = 0.0;
    bool unitless = false;
    if (n > 0 && n < sizeof ask->side
        && scenario_units_read(SCENARIO_ANGLE, equals + 1, &rad, &unitless) == SCENARIO_READ) {
        ask->side_deg = scenario_units_from_si(SCENARIO_ANGLE, "deg", rad);
        if (ask->side_deg >= 0.0 && ask->side_deg <= 360.0) {
            snprintf(ask->side, sizeof ask->side, "%.*s", (int)n, text);
            return true;
        }
    }
    snprintf(reason, SHEET_REASON, "found '%.60s', expected NAME=DIRECTION by the compass, such as 'school=120 deg'",
             text);
    return false;
}
