/* sim/scenario/units.c - numbers with units, by UDUNITS-2 behind a guard.
 *
 * UDUNITS knows what units are, not what people mean: it takes mph for milli-phot, gal for the unit of acceleration,
 * oz for a volume, "10-20 bar" for 1e-20 x 10 bar, and it turns s/m into m/s. So it sees neither the user's number
 * nor the user's spelling: the spellings of each kind of quantity are listed here, each with an expression that
 * UDUNITS reads rightly. US gallons unless a spelling says otherwise. Left out: spellings with two meanings, such as
 * C, F, oz and pt. */
#define _POSIX_C_SOURCE 200809L
#include "scenario/units.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <udunits2.h>

#include "base/status.h"

enum { MOST_CONVERTERS = 128 };

/* A converter that was made before; from and to are expressions of the table below. */
typedef struct { const char *from, *to; cv_converter *made; } ready_converter;

struct scenario_units {
    ut_system *system;
    locale_t c_locale, former;
    struct { int n; ready_converter ready[MOST_CONVERTERS]; } *kept; /* making one takes longer than all else */
};

typedef struct { const char *spelling, *expression; } unit_spelling;
typedef struct {
    const char *name, *si;
    int n_named; /* of the spellings, how many a message lists */
    unit_spelling unit[20];
} quantity_kind;

#define MICRO_SIGN "\xC2\xB5"
#define GREEK_MU "\xCE\xBC"
#define DEGREE_SIGN "\xC2\xB0"
#define CUBED "\xC2\xB3"
#define SQUARED "\xC2\xB2"
#define MIDDLE_DOT "\xC2\xB7"

static const quantity_kind kinds[SCENARIO_KINDS] = {
    [SCENARIO_RATIO] = {"a number", "1", 0, {{"m2/m2", "1"}, {"m" SQUARED "/m" SQUARED, "1"}}},
    [SCENARIO_SHARE] = {"a share", "1", 1, {{"%", "percent"}, {"percent", "percent"}}},
    [SCENARIO_FRACTION] = {"a fraction", "1", 0, {{"%", "percent"}, {"percent", "percent"}}},
    [SCENARIO_LENGTH] = {"a length", "m", 7,
        {{"m", "m"}, {"cm", "cm"}, {"mm", "mm"}, {"um", "micron"}, {"km", "km"}, {"ft", "international_foot"},
         {"in", "international_inch"}, {MICRO_SIGN "m", "micron"}, {GREEK_MU "m", "micron"}, {"micron", "micron"},
         {"inch", "international_inch"}, {"yd", "international_yard"}}},
    [SCENARIO_ANGLE] = {"an angle", "radian", 2,
        {{"deg", "degree"}, {"rad", "radian"}, {"degree", "degree"}, {"degrees", "degree"}, {DEGREE_SIGN, "degree"}}},
    [SCENARIO_SPEED] = {"a speed", "m/s", 5,
        {{"m/s", "m/s"}, {"km/h", "km/hour"}, {"mph", "international_mile/hour"},
         {"ft/min", "international_foot/minute"}, {"knot", "knot"}, {"kph", "km/hour"}, {"kmh", "km/hour"},
         {"mi/h", "international_mile/hour"}, {"mile/h", "international_mile/hour"},
         {"mile/hour", "international_mile/hour"}, {"km/hour", "km/hour"}, {"ft/s", "international_foot/s"},
         {"knots", "knot"}, {"kn", "knot"}, {"kt", "knot"}}},
    [SCENARIO_PRESSURE] = {"a pressure", "Pa", 5,
        {{"bar", "bar"}, {"kPa", "kPa"}, {"MPa", "MPa"}, {"hPa", "hPa"}, {"psi", "psi"}, {"mbar", "millibar"},
         {"Pa", "Pa"}}},
    [SCENARIO_VOLUME] = {"a volume", "m3", 3,
        {{"L", "liter"}, {"m3", "m3"}, {"gal", "US_liquid_gallon"}, {"l", "liter"}, {"mL", "milliliter"},
         {"ml", "milliliter"}, {"m^3", "m3"}, {"m" CUBED, "m3"}, {"US gal", "US_liquid_gallon"},
         {"imp gal", "Canadian_liquid_gallon"}}},
    [SCENARIO_LIQUID_FLOW] = {"a flow", "m3/s", 4,
        {{"L/min", "liter/minute"}, {"mL/min", "milliliter/minute"}, {"L/h", "liter/hour"},
         {"gpm", "US_liquid_gallon/minute"}, {"l/min", "liter/minute"}, {"ml/min", "milliliter/minute"},
         {"l/h", "liter/hour"}, {"L/s", "liter/s"}, {"l/s", "liter/s"}, {"gal/min", "US_liquid_gallon/minute"},
         {"US gal/min", "US_liquid_gallon/minute"}, {"imp gal/min", "Canadian_liquid_gallon/minute"},
         {"m3/s", "m3/s"}}},
    [SCENARIO_AIR_FLOW] = {"an air flow", "m3/s", 3,
        {{"m3/s", "m3/s"}, {"m3/h", "m3/hour"}, {"cfm", "international_foot^3/minute"}, {"m^3/s", "m3/s"},
         {"m" CUBED "/s", "m3/s"}, {"m^3/h", "m3/hour"}, {"m" CUBED "/h", "m3/hour"}, {"m3/hour", "m3/hour"},
         {"ft3/min", "international_foot^3/minute"}, {"L/s", "liter/s"}, {"l/s", "liter/s"}}},
    [SCENARIO_APPLICATION_RATE] = {"an application rate", "m", 2,
        {{"L/ha", "liter/hectare"}, {"gal/acre", "US_liquid_gallon/acre"}, {"l/ha", "liter/hectare"},
         {"US gal/acre", "US_liquid_gallon/acre"}, {"gpa", "US_liquid_gallon/acre"},
         {"imp gal/acre", "Canadian_liquid_gallon/acre"}}},
    [SCENARIO_ROTATION] = {"a speed of rotation", "rpm", 1,
        {{"rpm", "rpm"}, {"rev/min", "rpm"}, {"r/min", "rpm"}, {"1/min", "rpm"}, {"min-1", "rpm"}, {"min^-1", "rpm"}}},
    /* hp: 550 ft lbf/s; the database's own horsepower is rounded. PS: 75 m kgf/s */
    [SCENARIO_POWER] = {"a power", "W", 3,
        {{"kW", "kW"}, {"W", "W"}, {"hp", "550 international_foot.pound_force/s"}, {"PS", "735.49875 W"}}},
    [SCENARIO_TEMPERATURE] = {"a temperature", "kelvin", 3,
        {{"degC", "celsius"}, {"degF", "fahrenheit"}, {"K", "kelvin"}, {DEGREE_SIGN "C", "celsius"},
         {DEGREE_SIGN "F", "fahrenheit"}, {"celsius", "celsius"}, {"fahrenheit", "fahrenheit"}}},
    [SCENARIO_TIME] = {"a time", "s", 3, {{"s", "s"}, {"min", "minute"}, {"h", "hour"}, {"ms", "ms"}}},
    [SCENARIO_DENSITY] = {"a density", "kg/m3", 4,
        {{"kg/m3", "kg/m3"}, {"g/L", "g/liter"}, {"kg/L", "kg/liter"}, {"g/mL", "g/milliliter"}, {"g/cm3", "g/cm3"},
         {"kg/m^3", "kg/m3"}, {"kg/m" CUBED, "kg/m3"}, {"g/l", "g/liter"}, {"kg/l", "kg/liter"},
         {"g/ml", "g/milliliter"}, {"g/cm^3", "g/cm3"}, {"g/cm" CUBED, "g/cm3"}}},
    [SCENARIO_SURFACE_TENSION] = {"a surface tension", "N/m", 3,
        {{"mN/m", "mN/m"}, {"N/m", "N/m"}, {"dyn/cm", "dyne/cm"}, {"dyne/cm", "dyne/cm"}}},
    [SCENARIO_VISCOSITY] = {"a viscosity", "Pa.s", 3,
        {{"mPa s", "mPa.s"}, {"Pa s", "Pa.s"}, {"cP", "centipoise"}, {"mPa.s", "mPa.s"}, {"mPa*s", "mPa.s"},
         {"mPa" MIDDLE_DOT "s", "mPa.s"}, {"Pa.s", "Pa.s"}, {"Pa*s", "Pa.s"}, {"Pa" MIDDLE_DOT "s", "Pa.s"}}},
    [SCENARIO_LIQUID_LAYER] = {"an amount of liquid per area", "m", 4,
        {{"L/m2", "liter/m2"}, {"mm", "mm"}, {"mL/m2", "milliliter/m2"}, {"uL/cm2", "microliter/cm2"},
         {"l/m2", "liter/m2"}, {"ml/m2", "milliliter/m2"}, {"L/m^2", "liter/m2"}, {"L/m" SQUARED, "liter/m2"},
         {MICRO_SIGN "L/cm2", "microliter/cm2"}, {GREEK_MU "L/cm2", "microliter/cm2"}}},
};

drupelet_status scenario_units_create(scenario_units **result)
{
    *result = NULL;
    scenario_units *units = calloc(1, sizeof *units);
    if (!units)
        return base_error(DRUPELET_MEMORY, "no memory for the units");
    units->kept = calloc(1, sizeof *units->kept);
    units->c_locale = units->kept ? newlocale(LC_ALL_MASK, "C", (locale_t)0) : (locale_t)0;
    if (units->c_locale == (locale_t)0) {
        free(units->kept);
        free(units);
        return base_error(DRUPELET_MEMORY, "no memory for the units");
    }
    units->former = uselocale(units->c_locale);
    const ut_error_message_handler former = ut_set_error_message_handler(ut_ignore); /* it would print by itself */
    units->system = ut_read_xml(NULL);
    ut_set_error_message_handler(former);
    if (!units->system) {
        scenario_units_free(units);
        return base_error(DRUPELET_FILE, "the unit database of UDUNITS-2 cannot be read: is it installed, and is "
                                         "UDUNITS2_XML_PATH unset or right?");
    }
    *result = units;
    return base_ok();
}

void scenario_units_free(scenario_units *units)
{
    if (!units)
        return;
    for (int i = 0; units->kept && i < units->kept->n; i++)
        cv_free(units->kept->ready[i].made);
    free(units->kept);
    ut_free_system(units->system);
    uselocale(units->former);
    freelocale(units->c_locale);
    free(units);
}

/* Converts between two expressions; false where one is unknown or they are not of one dimension. A reciprocal counts as
 * convertible for UDUNITS, hence the test of the quotient. */
static bool convert(const scenario_units *units, const char *from, const char *to, double number, double *result)
{
    for (int i = 0; i < units->kept->n; i++) {
        const ready_converter *r = &units->kept->ready[i];
        if (r->from == from && r->to == to) { /* the table's own texts */
            *result = cv_convert_double(r->made, number);
            return true;
        }
    }
    const ut_error_message_handler former = ut_set_error_message_handler(ut_ignore);
    ut_unit *a = ut_parse(units->system, from, UT_ASCII), *b = ut_parse(units->system, to, UT_ASCII);
    ut_unit *quotient = a && b ? ut_divide(a, b) : NULL;
    cv_converter *converter = quotient && ut_is_dimensionless(quotient) ? ut_get_converter(a, b) : NULL;
    if (converter)
        *result = cv_convert_double(converter, number);
    const bool good = converter != NULL;
    if (good && units->kept->n < MOST_CONVERTERS)
        units->kept->ready[units->kept->n++] = (ready_converter){from, to, converter};
    else
        cv_free(converter);
    ut_free(quotient);
    ut_free(b);
    ut_free(a);
    ut_set_error_message_handler(former);
    return good;
}

static const unit_spelling *find(scenario_quantity_kind kind, const char *spelling)
{
    const unit_spelling *unit = kinds[kind].unit;
    for (; unit->spelling; unit++) /* every list has room for an empty last entry */
        if (strcmp(unit->spelling, spelling) == 0)
            return unit;
    return NULL;
}

bool scenario_units_to_si(const scenario_units *units, scenario_quantity_kind kind, const char *spelling, double number,
                          double *value)
{
    const unit_spelling *unit = find(kind, spelling);
    return unit && convert(units, unit->expression, kinds[kind].si, number, value);
}

bool scenario_units_from_si(const scenario_units *units, scenario_quantity_kind kind, const char *spelling,
                            double value, double *number)
{
    const unit_spelling *unit = find(kind, spelling);
    return unit && convert(units, kinds[kind].si, unit->expression, value, number);
}

const char *scenario_kind_name(scenario_quantity_kind kind)
{
    return kinds[kind].name;
}

void scenario_kind_units(scenario_quantity_kind kind, char *text, int room)
{
    const quantity_kind *k = &kinds[kind];
    int used = 0;
    text[0] = '\0';
    for (int i = 0; i < k->n_named && used < room; i++)
        used += snprintf(text + used, (size_t)(room - used), "%s%s",
                         i == 0                ? ""
                         : i == k->n_named - 1 ? " or "
                                               : ", ",
                         k->unit[i].spelling);
}

const char *scenario_kind_spelling(scenario_quantity_kind kind, int i)
{
    return i < (int)(sizeof kinds[kind].unit / sizeof kinds[kind].unit[0]) ? kinds[kind].unit[i].spelling : NULL;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static const char *skip_blanks(const char *text)
{
    return text + strspn(text, " \t\r\n");
}

const char *scenario_number(const char *text, double *number)
{
    const char *c = text + (*text == '-' || *text == '+');
    const char *digits = c;
    while (is_digit(*c))
        c++;
    int n = (int)(c - digits);
    if (*c == '.' && c[1] != '.') /* not the dots of a range */
        for (c++; is_digit(*c); c++)
            n++;
    if (n == 0)
        return NULL;
    if (*c == 'e' || *c == 'E') {
        const char *power = c + 1 + (c[1] == '-' || c[1] == '+');
        if (is_digit(*power))
            for (c = power; is_digit(*c);)
                c++;
    }
    char *end;
    *number = strtod(text, &end);
    const bool whole =
        end == c || (end == c + 1 && *c == '.'); /* strtod goes on with 0x10, and takes a range's first dot */
    return whole && isfinite(*number) ? c : NULL;
}

/* Does text, which follows a number, say that the number begins a range? */
static bool goes_on_as_range(const char *text)
{
    static const char *const between[] = {"-", "\xE2\x80\x93", "\xE2\x80\x94", "\xE2\x80\xA6", "...", "..", "to ", "~"};
    for (size_t i = 0; i < sizeof between / sizeof between[0]; i++) {
        const size_t n = strlen(between[i]);
        if (strncmp(text, between[i], n) == 0) {
            const char *next = skip_blanks(text + n);
            if (is_digit(*next) || *next == '.' || *next == '-' || *next == '+')
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
    const char *rest = scenario_number(skip_blanks(text), &number);
    char spelling[40];
    if (!rest)
        return NULL;
    tidy(rest, spelling, sizeof spelling);
    for (const unit_spelling *unit = kinds[kind].unit; unit->spelling; unit++)
        if (strcasecmp(unit->spelling, spelling) == 0)
            return unit->spelling;
    return NULL;
}

scenario_reading scenario_units_read(const scenario_units *units, scenario_quantity_kind kind, const char *text,
                                     double *value, bool *unitless)
{
    double number;
    const char *rest = scenario_number(skip_blanks(text), &number);
    if (!rest)
        return SCENARIO_NOT_A_NUMBER;
    if (*rest == ',' && is_digit(rest[1]))
        return SCENARIO_DECIMAL_COMMA;
    const char *unit = skip_blanks(rest);
    if (goes_on_as_range(unit))
        return SCENARIO_RANGE;
    char spelling[40]; /* longer than any: what is cut is wrong anyway */
    tidy(rest, spelling, sizeof spelling);
    if (is_digit(*unit) && !find(kind, spelling)) { /* some units begin with a digit: 1/min */
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
    const unit_spelling *found = find(kind, spelling);
    if (!found) { /* "10 bar - 20 bar" begins with a unit, and is a range all the same */
        for (const unit_spelling *u = kinds[kind].unit; u->spelling; u++) {
            const size_t n = strlen(u->spelling);
            if (strncmp(spelling, u->spelling, n) == 0 && goes_on_as_range(skip_blanks(spelling + n)))
                return SCENARIO_RANGE;
        }
        return SCENARIO_WRONG_UNIT;
    }
    return convert(units, found->expression, kinds[kind].si, number, value) ? SCENARIO_READ : SCENARIO_UNIT_FAULT;
}
