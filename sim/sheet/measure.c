/* sim/sheet/measure.c - the units of the block sheet, metric and US. What a unit is worth stands in scenario/units.c
 * alone: a unit that it does not have is a product of those that it has. A hectare is the ground on which one litre
 * makes a litre per hectare. */
#include "sheet/measure.h"

#include <math.h>
#include <stdio.h>

#include "scenario/units.h"

enum { MOST_FACTORS = 4 };

/** A unit of scenario/units.c, by its spelling in either system, and how often it is multiplied (below 0: divided). */
typedef struct {
    scenario_quantity_kind kind;
    const char *spelling[SHEET_SYSTEMS];
    int power; /* 0: behind the last */
} factor;

typedef struct {
    const char *unit[SHEET_SYSTEMS], *key[SHEET_SYSTEMS];
    int decimals[SHEET_SYSTEMS];
    double times; /* such as 1000 of "a thousand m3"; 0: once */
    factor of[MOST_FACTORS];
} row;

#define LITRE {SCENARIO_VOLUME, {"L", "gal"}, 1}
#define A_LITRE {SCENARIO_VOLUME, {"L", "gal"}, -1}
#define RATE {SCENARIO_APPLICATION_RATE, {"L/ha", "gal/acre"}, 1}
#define A_RATE {SCENARIO_APPLICATION_RATE, {"L/ha", "gal/acre"}, -1}
#define METRES(n) {SCENARIO_LENGTH, {"m", "ft"}, n}
#define TIME(unit, n) {SCENARIO_TIME, {unit, unit}, n}
#define SAME(a) {a, a}

static const row rows[SHEET_MEASURES] = {
    [SHEET_COUNT] = {SAME(""), SAME(""), {0, 0}, 0.0, {{0}}},
    [SHEET_PERCENT] = {SAME("%"), SAME("percent"), {1, 1}, 0.0, {{SCENARIO_SHARE, SAME("%"), 1}}},
    [SHEET_RATIO] = {SAME(""), SAME(""), {2, 2}, 0.0, {{0}}},
    [SHEET_LENGTH] = {{"m", "ft"}, {"m", "ft"}, {2, 1}, 0.0, {METRES(1)}},
    [SHEET_TRAVEL_SPEED] = {{"km/h", "mph"}, {"km_h", "mph"}, {2, 2}, 0.0, {{SCENARIO_SPEED, {"km/h", "mph"}, 1}}},
    [SHEET_AIR_SPEED] = {{"m/s", "mph"}, {"m_s", "mph"}, {1, 1}, 0.0, {{SCENARIO_SPEED, {"m/s", "mph"}, 1}}},
    [SHEET_ROTATION] = {SAME("rpm"), SAME("rpm"), {0, 0}, 0.0, {{SCENARIO_ROTATION, SAME("rpm"), 1}}},
    [SHEET_PRESSURE] = {{"bar", "psi"}, {"bar", "psi"}, {1, 0}, 0.0, {{SCENARIO_PRESSURE, {"bar", "psi"}, 1}}},
    [SHEET_VOLUME] = {{"L", "US gal"}, {"L", "US_gal"}, {1, 1}, 0.0, {LITRE}},
    [SHEET_FLOW] = {{"L/min", "US gal/min"},
                    {"L_min", "US_gal_min"},
                    {3, 3},
                    0.0,
                    {{SCENARIO_LIQUID_FLOW, {"L/min", "gal/min"}, 1}}},
    [SHEET_RATE] = {{"L/ha", "US gal/acre"}, {"L_ha", "US_gal_acre"}, {0, 1}, 0.0, {RATE}},
    [SHEET_PER_ROW] =
        {{"L per 100 m", "US gal per 100 ft"}, {"L_100_m", "US_gal_100_ft"}, {2, 3}, 0.01, {LITRE, METRES(-1)}},
    [SHEET_AREA] = {{"ha", "acre"}, {"ha", "acre"}, {2, 2}, 0.0, {LITRE, A_RATE}},
    [SHEET_SECONDS] = {SAME("s"), SAME("s"), {1, 1}, 0.0, {TIME("s", 1)}},
    [SHEET_MINUTES] = {SAME("min"), SAME("min"), {1, 1}, 0.0, {TIME("min", 1)}},
    [SHEET_HOURS] = {SAME("h"), SAME("h"), {2, 2}, 0.0, {TIME("h", 1)}},
    [SHEET_TIME_AN_AREA] =
        {{"min/ha", "min/acre"}, {"min_ha", "min_acre"}, {1, 1}, 0.0, {TIME("min", 1), A_LITRE, RATE}},
    [SHEET_AREA_A_TIME] = {{"ha/h", "acre/h"}, {"ha_h", "acre_h"}, {2, 2}, 0.0, {LITRE, A_RATE, TIME("h", -1)}},
    [SHEET_AIR_FLOW] = {{"m3/h", "cfm"}, {"m3_h", "cfm"}, {0, 0}, 0.0, {{SCENARIO_AIR_FLOW, {"m3/h", "cfm"}, 1}}},
    [SHEET_POWER] = {{"kW", "hp"}, {"kW", "hp"}, {1, 1}, 0.0, {{SCENARIO_POWER, {"kW", "hp"}, 1}}},
    [SHEET_FUEL_A_TIME] = {{"L/h", "US gal/h"}, {"L_h", "US_gal_h"}, {1, 2}, 0.0, {LITRE, TIME("h", -1)}},
    [SHEET_FUEL_AN_AREA] = {{"L/ha", "US gal/acre"}, {"L_ha", "US_gal_acre"}, {1, 2}, 0.0, {RATE}},
    [SHEET_MONEY] = {SAME(""), SAME(""), {2, 2}, 0.0, {{0}}},
    [SHEET_MONEY_AN_AREA] = {{"per ha", "per acre"}, {"per_ha", "per_acre"}, {2, 2}, 0.0, {A_LITRE, RATE}},
    [SHEET_TEMPERATURE] =
        {{"degC", "degF"}, {"degC", "degF"}, {1, 0}, 0.0, {{SCENARIO_TEMPERATURE, {"degC", "degF"}, 1}}},
    [SHEET_WARMTH] = {{"degC", "degF"}, {"degC", "degF"}, {1, 1}, 0.0, {{SCENARIO_TEMPERATURE, {"degC", "degF"}, 1}}},
    [SHEET_ANGLE] = {SAME("deg"), SAME("deg"), {0, 0}, 0.0, {{SCENARIO_ANGLE, SAME("deg"), 1}}},
    [SHEET_DROPLET] = {SAME("um"), SAME("um"), {0, 0}, 0.0, {{SCENARIO_LENGTH, SAME("um"), 1}}},
    [SHEET_ROW_VOLUME] = {{"m3/ha", "ft3/acre"}, {"m3_ha", "ft3_acre"}, {0, 0}, 0.0, {METRES(3), A_LITRE, RATE}},
    [SHEET_WALL_AREA] = {{"m2/ha", "ft2/acre"}, {"m2_ha", "ft2_acre"}, {0, 0}, 0.0, {METRES(2), A_LITRE, RATE}},
    [SHEET_PER_CROWN] =
        {{"L per 1000 m3", "US gal per 1000 ft3"}, {"L_1000_m3", "US_gal_1000_ft3"}, {1, 3}, 1e-3, {LITRE, METRES(-3)}},
    [SHEET_PER_WALL] = {{"L per 10000 m2", "US gal per 10000 ft2"},
                        {"L_10000_m2", "US_gal_10000_ft2"},
                        {1, 2},
                        1e-4,
                        {LITRE, METRES(-2)}},
    [SHEET_PER_CM2] = {SAME("per cm2"), SAME("1_cm2"), {0, 0}, 0.0, {{0}}},
};

const char *sheet_unit(sheet_measure measure, sheet_system system)
{
    return rows[measure].unit[system];
}

const char *sheet_unit_of_key(sheet_measure measure, sheet_system system)
{
    return rows[measure].key[system];
}

/* A unit in SI units; scales that do not begin at 0 count by their degrees. */
static double worth(const row *r, sheet_system system)
{
    double si = r->times > 0.0 ? r->times : 1.0;
    for (int i = 0; i < MOST_FACTORS && r->of[i].power != 0; i++) {
        const factor *f = &r->of[i];
        const double one = scenario_units_to_si(f->kind, f->spelling[system], 1.0)
                           - scenario_units_to_si(f->kind, f->spelling[system], 0.0);
        for (int n = f->power; n > 0; n--)
            si *= one;
        for (int n = f->power; n < 0; n++)
            si /= one;
    }
    return si;
}

double sheet_in_unit(sheet_measure measure, sheet_system system, double value_si)
{
    const row *r = &rows[measure];
    if (measure == SHEET_TEMPERATURE) return scenario_units_from_si(r->of[0].kind, r->of[0].spelling[system], value_si);
    return value_si / worth(r, system);
}

void sheet_number(sheet_measure measure, sheet_system system, double value_si, char *text, size_t room)
{
    if (isfinite(value_si))
        snprintf(text, room, "%.*f", rows[measure].decimals[system], sheet_in_unit(measure, system, value_si) + 0.0);
    else
        snprintf(text, room, "-");
}

void sheet_quantity(sheet_measure measure, sheet_system system, double value_si, char *text, size_t room)
{
    char number[40];
    const char *unit = sheet_unit(measure, system);
    sheet_number(measure, system, value_si, number, sizeof number);
    snprintf(text, room, "%s%s%s", number, unit[0] != '\0' ? " " : "", unit);
}
