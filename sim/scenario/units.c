/* sim/scenario/units.c - numbers with units: every spelling that a kind of quantity takes, and what it is in SI units.
 *
 * The spellings are listed because no rule says what people mean: to a general library of units mph is a milli-phot,
 * gal a unit of acceleration, and litres per hectare are a length. US gallons unless a spelling says
 * otherwise. Left out: spellings with two meanings, such as C, F, oz and pt.
 *
 * Factors: the exact definitions (memory) behind the rounded values of A. Thompson, B. N. Taylor, Guide for the Use of
 * the International System of Units (SI), NIST Special Publication 811 (2008), appendix B, with which
 * tests/test_units.c compares them; the acre is that of the US survey foot, as there. Products are written in the
 * order in which their last bit is that of UDUNITS-2 (tests/test_against_udunits.c lists what differs, and why). */
#define _POSIX_C_SOURCE 200809L
#include "scenario/units.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/elementary.h"
#include "base/number.h"
#include "base/status.h"

typedef struct {
    double factor, offset;   /* value in SI = factor x number + offset */
    const char *spelling[7]; /* the first is the one that messages name; NULL behind the last */
} unit_line;
typedef struct {
    const char *name;
    int n_named; /* of the units, how many a message lists */
    unit_line unit[9];
} quantity_kind;

#define MICRO_SIGN "\xC2\xB5"
#define GREEK_MU "\xCE\xBC"
#define DEGREE_SIGN "\xC2\xB0"
#define CUBED "\xC2\xB3"
#define SQUARED "\xC2\xB2"
#define MIDDLE_DOT "\xC2\xB7"

/* What several lines are made of, in SI units. */
#define MINUTE 60.0
#define HOUR 3600.0
#define INCH 0.0254
#define FOOT 0.3048
#define SURVEY_FOOT (1200.0 / 3937.0)
#define MILE 1609.344 /* 5280 ft */
#define NAUTICAL_MILE 1852.0
#define HECTARE 1e4
#define ACRE (SURVEY_FOOT * SURVEY_FOOT * 43560.0)
#define LITRE (0.1 * 0.1 * 0.1) /* a cubic decimetre */
#define MILLILITRE (1e-3 * LITRE)
#define US_GALLON 3.785411784e-3 /* 231 in3 */
#define IMPERIAL_GALLON 4.54609e-3
#define POUND_FORCE 4.4482216152605 /* 0.45359237 kg times 9.80665 m/s2 */

static const quantity_kind kinds[SCENARIO_KINDS] = {
    [SCENARIO_RATIO] = {"a number", 0, {{1.0, 0.0, {"m2/m2", "m" SQUARED "/m" SQUARED}}}},
    [SCENARIO_SHARE] = {"a share", 1, {{0.01, 0.0, {"%", "percent"}}}},
    [SCENARIO_FRACTION] = {"a fraction", 0, {{0.01, 0.0, {"%", "percent"}}}},
    [SCENARIO_LENGTH] = {"a length", 7,
        {{1.0, 0.0, {"m"}},
         {0.01, 0.0, {"cm"}},
         {1e-3, 0.0, {"mm"}},
         {1e-6, 0.0, {"um", MICRO_SIGN "m", GREEK_MU "m", "micron"}},
         {1e3, 0.0, {"km"}},
         {FOOT, 0.0, {"ft"}},
         {INCH, 0.0, {"in", "inch"}},
         {3.0 * FOOT, 0.0, {"yd"}}}},
    [SCENARIO_ANGLE] = {"an angle", 2,
        {{BASE_DEGREE, 0.0, {"deg", "degree", "degrees", DEGREE_SIGN}},
         {1.0, 0.0, {"rad"}}}},
    [SCENARIO_SPEED] = {"a speed", 5,
        {{1.0, 0.0, {"m/s"}},
         {1e3 / HOUR, 0.0, {"km/h", "kph", "kmh", "km/hour"}},
         {MILE / HOUR, 0.0, {"mph", "mi/h", "mile/h", "mile/hour"}},
         {FOOT / MINUTE, 0.0, {"ft/min"}},
         {NAUTICAL_MILE / HOUR, 0.0, {"knot", "knots", "kn", "kt"}},
         {FOOT, 0.0, {"ft/s"}}}},
    [SCENARIO_PRESSURE] = {"a pressure", 5,
        {{1e5, 0.0, {"bar"}},
         {1e3, 0.0, {"kPa"}},
         {1e6, 0.0, {"MPa"}},
         {100.0, 0.0, {"hPa", "mbar"}},
         {POUND_FORCE / (INCH * INCH), 0.0, {"psi"}},
         {1.0, 0.0, {"Pa"}}}},
    [SCENARIO_VOLUME] = {"a volume", 3,
        {{LITRE, 0.0, {"L", "l"}},
         {1.0, 0.0, {"m3", "m^3", "m" CUBED}},
         {US_GALLON, 0.0, {"gal", "US gal"}},
         {MILLILITRE, 0.0, {"mL", "ml"}},
         {IMPERIAL_GALLON, 0.0, {"imp gal"}}}},
    [SCENARIO_LIQUID_FLOW] = {"a flow", 4,
        {{LITRE / MINUTE, 0.0, {"L/min", "l/min"}},
         {MILLILITRE / MINUTE, 0.0, {"mL/min", "ml/min"}},
         {LITRE / HOUR, 0.0, {"L/h", "l/h"}},
         {US_GALLON / MINUTE, 0.0, {"gpm", "gal/min", "US gal/min"}},
         {LITRE, 0.0, {"L/s", "l/s"}},
         {IMPERIAL_GALLON / MINUTE, 0.0, {"imp gal/min"}},
         {1.0, 0.0, {"m3/s"}}}},
    [SCENARIO_AIR_FLOW] = {"an air flow", 3,
        {{1.0, 0.0, {"m3/s", "m^3/s", "m" CUBED "/s"}},
         {1.0 / HOUR, 0.0, {"m3/h", "m^3/h", "m" CUBED "/h", "m3/hour"}},
         {FOOT * FOOT / MINUTE * FOOT, 0.0, {"cfm", "ft3/min"}},
         {LITRE, 0.0, {"L/s", "l/s"}}}},
    [SCENARIO_APPLICATION_RATE] = {"an application rate", 2,
        {{LITRE / HECTARE, 0.0, {"L/ha", "l/ha"}},
         {US_GALLON / ACRE, 0.0, {"gal/acre", "US gal/acre", "gpa"}},
         {IMPERIAL_GALLON / ACRE, 0.0, {"imp gal/acre"}}}},
    [SCENARIO_ROTATION] = {"a speed of rotation", 1,
        {{1.0, 0.0, {"rpm", "rev/min", "r/min", "1/min", "min-1", "min^-1"}}}},
    [SCENARIO_POWER] = {"a power", 3,
        {{1e3, 0.0, {"kW"}},
         {1.0, 0.0, {"W"}},
         {550.0 * FOOT * POUND_FORCE, 0.0, {"hp"}},
         {735.49875, 0.0, {"PS"}}}}, /* 75 kgf m/s */
    [SCENARIO_TEMPERATURE] = {"a temperature", 3,
        {{1.0, 273.15, {"degC", DEGREE_SIGN "C", "celsius"}},
         {1.0 / 1.8, 459.67 / 1.8, {"degF", DEGREE_SIGN "F", "fahrenheit"}},
         {1.0, 0.0, {"K"}}}},
    [SCENARIO_TIME] = {"a time", 3,
        {{1.0, 0.0, {"s"}},
         {MINUTE, 0.0, {"min"}},
         {HOUR, 0.0, {"h"}},
         {1e-3, 0.0, {"ms"}}}},
    [SCENARIO_DENSITY] = {"a density", 4,
        {{1.0, 0.0, {"kg/m3", "kg/m^3", "kg/m" CUBED}},
         {1.0, 0.0, {"g/L", "g/l"}},
         {1.0 / LITRE, 0.0, {"kg/L", "kg/l"}},
         {1e-3 / MILLILITRE, 0.0, {"g/mL", "g/ml", "g/cm3", "g/cm^3", "g/cm" CUBED}}}},
    [SCENARIO_SURFACE_TENSION] = {"a surface tension", 3,
        {{1e-3, 0.0, {"mN/m"}},
         {1.0, 0.0, {"N/m"}},
         {1e-3, 0.0, {"dyn/cm", "dyne/cm"}}}},
    [SCENARIO_VISCOSITY] = {"a viscosity", 3,
        {{1e-3, 0.0, {"mPa s", "mPa.s", "mPa*s", "mPa" MIDDLE_DOT "s"}},
         {1.0, 0.0, {"Pa s", "Pa.s", "Pa*s", "Pa" MIDDLE_DOT "s"}},
         {1e-3, 0.0, {"cP"}}}},
    [SCENARIO_LIQUID_LAYER] = {"an amount of liquid per area", 4,
        {{LITRE, 0.0, {"L/m2", "l/m2", "L/m^2", "L/m" SQUARED}},
         {1e-3, 0.0, {"mm"}},
         {MILLILITRE, 0.0, {"mL/m2", "ml/m2"}},
         {1e-6 * LITRE / 1e-4, 0.0, {"uL/cm2", MICRO_SIGN "L/cm2", GREEK_MU "L/cm2"}}}},
};

static const unit_line *find(scenario_quantity_kind kind, const char *spelling)
{
    for (const unit_line *unit = kinds[kind].unit; unit->spelling[0]; unit++) /* every list has an empty last entry */
        for (int i = 0; unit->spelling[i]; i++)
            if (strcmp(unit->spelling[i], spelling) == 0)
                return unit;
    return NULL;
}

/* The line of a spelling that the program itself uses; "" is the unit of a number without one. */
static const unit_line *known(scenario_quantity_kind kind, const char *spelling)
{
    static const unit_line none = {1.0, 0.0, {""}};
    const unit_line *unit = spelling[0] ? find(kind, spelling) : &none;
    assert(unit);
    return unit;
}

double scenario_units_to_si(scenario_quantity_kind kind, const char *spelling, double number)
{
    const unit_line *unit = known(kind, spelling);
    return unit->factor * number + unit->offset;
}

double scenario_units_from_si(scenario_quantity_kind kind, const char *spelling, double value)
{
    const unit_line *unit = known(kind, spelling);
    return 1.0 / unit->factor * value - unit->offset / unit->factor;
}

const char *scenario_kind_name(scenario_quantity_kind kind)
{
    return kinds[kind].name;
}

void scenario_kind_units(scenario_quantity_kind kind, char *text, int room)
{
    const quantity_kind *k = &kinds[kind];
    text[0] = '\0';
    for (int i = 0; i < k->n_named; i++)
        base_add_word(text, (size_t)room, i == k->n_named - 1 ? " or " : ", ", k->unit[i].spelling[0]);
}

const char *scenario_kind_spelling(scenario_quantity_kind kind, int i)
{
    for (const unit_line *unit = kinds[kind].unit; unit->spelling[0]; unit++)
        for (int k = 0; unit->spelling[k]; k++)
            if (i-- == 0)
                return unit->spelling[k];
    return NULL;
}

static const char *skip_blanks(const char *text)
{
    return text + strspn(text, " \t\r\n");
}

/* Does text, which follows a number, say that the number begins a range? */
static bool goes_on_as_range(const char *text)
{
    static const char *const between[] = {"-", "\xE2\x80\x93", "\xE2\x80\x94", "\xE2\x80\xA6", "...", "..", "to ", "~"};
    for (size_t i = 0; i < sizeof between / sizeof between[0]; i++) {
        const size_t n = strlen(between[i]);
        if (strncmp(text, between[i], n) == 0) {
            const char *next = skip_blanks(text + n);
            if (base_is_digit(*next) || *next == '.' || *next == '-' || *next == '+')
                return true;
        }
    }
    return false;
}

/* The same spelling with single blanks and none at the end. */
static void tidy(const char *text, char *out, size_t room)
{
    size_t n = 0;
    for (const char *c = skip_blanks(text); *c && n + 1 < room; c++) {
        const char *next = skip_blanks(c);
        if (next == c) {
            out[n++] = *c;
            continue;
        }
        if (*next)
            out[n++] = ' ';
        c = next - 1;
    }
    out[n] = '\0';
}

const char *scenario_kind_respelled(scenario_quantity_kind kind, const char *text)
{
    double number;
    const char *rest = base_number(skip_blanks(text), &number);
    char spelling[40];
    if (!rest)
        return NULL;
    tidy(rest, spelling, sizeof spelling);
    const char *listed;
    for (int i = 0; (listed = scenario_kind_spelling(kind, i)) != NULL && strcasecmp(listed, spelling) != 0;)
        i++;
    return listed;
}

scenario_reading scenario_units_read(scenario_quantity_kind kind, const char *text, double *value, bool *unitless)
{
    double number;
    const char *rest = base_number(skip_blanks(text), &number);
    if (!rest)
        return SCENARIO_NOT_A_NUMBER;
    if (*rest == ',' && base_is_digit(rest[1]))
        return SCENARIO_DECIMAL_COMMA;
    const char *unit = skip_blanks(rest);
    if (goes_on_as_range(unit))
        return SCENARIO_RANGE;
    char spelling[40]; /* longer than any: what is cut is wrong anyway */
    tidy(rest, spelling, sizeof spelling);
    if (base_is_digit(*unit) && !find(kind, spelling)) { /* some units begin with a digit: 1/min */
        tidy(unit + strspn(unit, "0123456789., "), spelling, sizeof spelling);
        return spelling[0] == '\0' || find(kind, spelling) ? SCENARIO_SPACED_NUMBER : SCENARIO_WRONG_UNIT;
    }
    if (unitless)
        *unitless = spelling[0] == '\0';
    if (spelling[0] == '\0') {
        const bool dimensionless = kind == SCENARIO_RATIO || kind == SCENARIO_FRACTION;
        if (!dimensionless && (number != 0.0 || kind == SCENARIO_TEMPERATURE)) /* 0 degC is not 0 K */
            return SCENARIO_NO_UNIT;
        *value = number;
        return SCENARIO_READ;
    }
    if (find(kind, spelling)) {
        *value = scenario_units_to_si(kind, spelling, number);
        return SCENARIO_READ;
    }
    const char *begins;
    for (int i = 0; (begins = scenario_kind_spelling(kind, i)) != NULL; i++) { /* "10 bar - 20 bar" is a range, too */
        const size_t n = strlen(begins);
        if (strncmp(spelling, begins, n) == 0 && goes_on_as_range(skip_blanks(spelling + n)))
            return SCENARIO_RANGE;
    }
    return SCENARIO_WRONG_UNIT;
}
