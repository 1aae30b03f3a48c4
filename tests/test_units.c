/* tests/test_units.c - numbers with units: every spelling against published factors, and everything that must be
 * refused. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "scenario/units.h"

/* A. Thompson, B. N. Taylor, Guide for the use of the International System of Units, NIST SP 811 (2008), appendix B:
 * foot, inch, yard, mile (international, exact), knot, psi, US gallon, Canadian and imperial gallon, acre (of the US
 * survey foot), horsepower (550 ft lbf/s) and metric horsepower, dyne, poise, degrees Celsius and Fahrenheit. SI
 * prefixes and hours: exact. */
#define GALLON 3.785412e-3
#define IMPERIAL 4.54609e-3
#define ACRE 4046.873
#define FOOT 0.3048
#define MILE 1609.344
#define HOUR 3600.0
#define MU1 "\xC2\xB5"
#define MU2 "\xCE\xBC"
#define CUBED "\xC2\xB3"
#define SQUARED "\xC2\xB2"
#define DEGREE "\xC2\xB0"
#define DOT "\xC2\xB7"
static const double PI = 3.14159265358979323846;

typedef struct { scenario_quantity_kind kind; const char *spelling; double si; } factor;
#define RADIAN (3.14159265358979323846 / 180.0)
static const factor factors[] = {
    {SCENARIO_RATIO, "m2/m2", 1},
    {SCENARIO_RATIO, "m" SQUARED "/m" SQUARED, 1},
    {SCENARIO_SHARE, "%", 0.01},
    {SCENARIO_SHARE, "percent", 0.01},
    {SCENARIO_FRACTION, "%", 0.01},
    {SCENARIO_FRACTION, "percent", 0.01},
    {SCENARIO_LENGTH, "m", 1},
    {SCENARIO_LENGTH, "cm", 0.01},
    {SCENARIO_LENGTH, "mm", 1e-3},
    {SCENARIO_LENGTH, "um", 1e-6},
    {SCENARIO_LENGTH, MU1 "m", 1e-6},
    {SCENARIO_LENGTH, MU2 "m", 1e-6},
    {SCENARIO_LENGTH, "micron", 1e-6},
    {SCENARIO_LENGTH, "km", 1e3},
    {SCENARIO_LENGTH, "ft", FOOT},
    {SCENARIO_LENGTH, "in", 0.0254},
    {SCENARIO_LENGTH, "inch", 0.0254},
    {SCENARIO_LENGTH, "yd", 0.9144},
    {SCENARIO_ANGLE, "deg", RADIAN},
    {SCENARIO_ANGLE, "degree", RADIAN},
    {SCENARIO_ANGLE, "degrees", RADIAN},
    {SCENARIO_ANGLE, DEGREE, RADIAN},
    {SCENARIO_ANGLE, "rad", 1},
    {SCENARIO_SPEED, "m/s", 1},
    {SCENARIO_SPEED, "km/h", 1 / 3.6},
    {SCENARIO_SPEED, "kph", 1 / 3.6},
    {SCENARIO_SPEED, "kmh", 1 / 3.6},
    {SCENARIO_SPEED, "km/hour", 1 / 3.6},
    {SCENARIO_SPEED, "mph", MILE / HOUR},
    {SCENARIO_SPEED, "mi/h", MILE / HOUR},
    {SCENARIO_SPEED, "mile/h", MILE / HOUR},
    {SCENARIO_SPEED, "mile/hour", MILE / HOUR},
    {SCENARIO_SPEED, "ft/min", FOOT / 60},
    {SCENARIO_SPEED, "ft/s", FOOT},
    {SCENARIO_SPEED, "knot", 0.5144444},
    {SCENARIO_SPEED, "knots", 0.5144444},
    {SCENARIO_SPEED, "kn", 0.5144444},
    {SCENARIO_SPEED, "kt", 0.5144444},
    {SCENARIO_PRESSURE, "bar", 1e5},
    {SCENARIO_PRESSURE, "mbar", 100},
    {SCENARIO_PRESSURE, "kPa", 1e3},
    {SCENARIO_PRESSURE, "MPa", 1e6},
    {SCENARIO_PRESSURE, "hPa", 100},
    {SCENARIO_PRESSURE, "Pa", 1},
    {SCENARIO_PRESSURE, "psi", 6894.757},
    {SCENARIO_VOLUME, "L", 1e-3},
    {SCENARIO_VOLUME, "l", 1e-3},
    {SCENARIO_VOLUME, "mL", 1e-6},
    {SCENARIO_VOLUME, "ml", 1e-6},
    {SCENARIO_VOLUME, "m3", 1},
    {SCENARIO_VOLUME, "m^3", 1},
    {SCENARIO_VOLUME, "m" CUBED, 1},
    {SCENARIO_VOLUME, "gal", GALLON},
    {SCENARIO_VOLUME, "US gal", GALLON},
    {SCENARIO_VOLUME, "imp gal", IMPERIAL},
    {SCENARIO_LIQUID_FLOW, "L/min", 1e-3 / 60},
    {SCENARIO_LIQUID_FLOW, "l/min", 1e-3 / 60},
    {SCENARIO_LIQUID_FLOW, "mL/min", 1e-6 / 60},
    {SCENARIO_LIQUID_FLOW, "ml/min", 1e-6 / 60},
    {SCENARIO_LIQUID_FLOW, "L/h", 1e-3 / HOUR},
    {SCENARIO_LIQUID_FLOW, "l/h", 1e-3 / HOUR},
    {SCENARIO_LIQUID_FLOW, "L/s", 1e-3},
    {SCENARIO_LIQUID_FLOW, "l/s", 1e-3},
    {SCENARIO_LIQUID_FLOW, "m3/s", 1},
    {SCENARIO_LIQUID_FLOW, "gpm", GALLON / 60},
    {SCENARIO_LIQUID_FLOW, "gal/min", GALLON / 60},
    {SCENARIO_LIQUID_FLOW, "US gal/min", GALLON / 60},
    {SCENARIO_LIQUID_FLOW, "imp gal/min", IMPERIAL / 60},
    {SCENARIO_AIR_FLOW, "m3/s", 1},
    {SCENARIO_AIR_FLOW, "m^3/s", 1},
    {SCENARIO_AIR_FLOW, "m" CUBED "/s", 1},
    {SCENARIO_AIR_FLOW, "m3/h", 1 / HOUR},
    {SCENARIO_AIR_FLOW, "m^3/h", 1 / HOUR},
    {SCENARIO_AIR_FLOW, "m" CUBED "/h", 1 / HOUR},
    {SCENARIO_AIR_FLOW, "m3/hour", 1 / HOUR},
    {SCENARIO_AIR_FLOW, "cfm", 4.719474e-4},
    {SCENARIO_AIR_FLOW, "ft3/min", 4.719474e-4},
    {SCENARIO_AIR_FLOW, "L/s", 1e-3},
    {SCENARIO_AIR_FLOW, "l/s", 1e-3},
    {SCENARIO_APPLICATION_RATE, "L/ha", 1e-7},
    {SCENARIO_APPLICATION_RATE, "l/ha", 1e-7},
    {SCENARIO_APPLICATION_RATE, "gal/acre", GALLON / ACRE},
    {SCENARIO_APPLICATION_RATE, "gpa", GALLON / ACRE},
    {SCENARIO_APPLICATION_RATE, "US gal/acre", GALLON / ACRE},
    {SCENARIO_APPLICATION_RATE, "imp gal/acre", IMPERIAL / ACRE},
    {SCENARIO_ROTATION, "rpm", 1},
    {SCENARIO_ROTATION, "rev/min", 1},
    {SCENARIO_ROTATION, "r/min", 1},
    {SCENARIO_ROTATION, "1/min", 1},
    {SCENARIO_ROTATION, "min-1", 1},
    {SCENARIO_ROTATION, "min^-1", 1},
    {SCENARIO_POWER, "kW", 1e3},
    {SCENARIO_POWER, "W", 1},
    {SCENARIO_POWER, "hp", 745.6999},
    {SCENARIO_POWER, "PS", 735.4988},
    {SCENARIO_TIME, "s", 1},
    {SCENARIO_TIME, "min", 60},
    {SCENARIO_TIME, "h", HOUR},
    {SCENARIO_TIME, "ms", 1e-3},
    {SCENARIO_DENSITY, "kg/m3", 1},
    {SCENARIO_DENSITY, "kg/m^3", 1},
    {SCENARIO_DENSITY, "kg/m" CUBED, 1},
    {SCENARIO_DENSITY, "g/L", 1},
    {SCENARIO_DENSITY, "g/l", 1},
    {SCENARIO_DENSITY, "kg/L", 1e3},
    {SCENARIO_DENSITY, "kg/l", 1e3},
    {SCENARIO_DENSITY, "g/mL", 1e3},
    {SCENARIO_DENSITY, "g/ml", 1e3},
    {SCENARIO_DENSITY, "g/cm3", 1e3},
    {SCENARIO_DENSITY, "g/cm^3", 1e3},
    {SCENARIO_DENSITY, "g/cm" CUBED, 1e3},
    {SCENARIO_SURFACE_TENSION, "mN/m", 1e-3},
    {SCENARIO_SURFACE_TENSION, "N/m", 1},
    {SCENARIO_SURFACE_TENSION, "dyn/cm", 1e-3},
    {SCENARIO_SURFACE_TENSION, "dyne/cm", 1e-3},
    {SCENARIO_VISCOSITY, "mPa s", 1e-3},
    {SCENARIO_VISCOSITY, "mPa.s", 1e-3},
    {SCENARIO_VISCOSITY, "mPa*s", 1e-3},
    {SCENARIO_VISCOSITY, "mPa" DOT "s", 1e-3},
    {SCENARIO_VISCOSITY, "cP", 1e-3},
    {SCENARIO_VISCOSITY, "Pa s", 1},
    {SCENARIO_VISCOSITY, "Pa.s", 1},
    {SCENARIO_VISCOSITY, "Pa*s", 1},
    {SCENARIO_VISCOSITY, "Pa" DOT "s", 1},
    {SCENARIO_LIQUID_LAYER, "L/m2", 1e-3},
    {SCENARIO_LIQUID_LAYER, "l/m2", 1e-3},
    {SCENARIO_LIQUID_LAYER, "L/m^2", 1e-3},
    {SCENARIO_LIQUID_LAYER, "L/m" SQUARED, 1e-3},
    {SCENARIO_LIQUID_LAYER, "mm", 1e-3},
    {SCENARIO_LIQUID_LAYER, "mL/m2", 1e-6},
    {SCENARIO_LIQUID_LAYER, "ml/m2", 1e-6},
    {SCENARIO_LIQUID_LAYER, "uL/cm2", 1e-5},
    {SCENARIO_LIQUID_LAYER, MU1 "L/cm2", 1e-5},
    {SCENARIO_LIQUID_LAYER, MU2 "L/cm2", 1e-5},
};
enum { FACTORS = sizeof factors / sizeof factors[0] };

static const factor *factor_of(scenario_quantity_kind kind, const char *spelling)
{
    for (int i = 0; i < FACTORS; i++)
        if (factors[i].kind == kind && strcmp(factors[i].spelling, spelling) == 0)
            return &factors[i];
    return NULL;
}

static void assert_reads(scenario_quantity_kind kind, const char *text, double si, double rtol)
{
    double value = NAN;
    const scenario_reading reading = scenario_units_read(kind, text, &value, NULL);
    if (reading != SCENARIO_READ)
        fail_msg("'%s' as %s: refused (%d)", text, scenario_kind_name(kind), (int)reading);
    check_close(value, si, rtol, 1e-15, text, __FILE__, __LINE__);
}

static void assert_refused(scenario_quantity_kind kind, const char *text, scenario_reading why)
{
    double value = NAN;
    const scenario_reading reading = scenario_units_read(kind, text, &value, NULL);
    if (reading != why)
        fail_msg("'%s' as %s: %d, expected %d (value %g)", text, scenario_kind_name(kind), (int)reading, (int)why,
                 value);
}

static void every_spelling_has_its_published_factor(void **state)
{
    (void)state;
    int n = 0;
    for (int kind = 0; kind < SCENARIO_KINDS; kind++) {
        if (kind == SCENARIO_TEMPERATURE)
            continue;
        const char *spelling;
        for (int i = 0; (spelling = scenario_kind_spelling((scenario_quantity_kind)kind, i)) != NULL; i++, n++) {
            const factor *f = factor_of((scenario_quantity_kind)kind, spelling);
            if (!f)
                fail_msg("no published factor for '%s' as %s", spelling,
                         scenario_kind_name((scenario_quantity_kind)kind));
            char text[64];
            snprintf(text, sizeof text, "2.5 %s", spelling);
            assert_reads((scenario_quantity_kind)kind, text, 2.5 * f->si, 3e-7); /* the table prints seven digits */
            assert_close(scenario_units_from_si((scenario_quantity_kind)kind, spelling, f->si), 1.0, 3e-7, 0.0);
        }
    }
    assert_int_equal(n, FACTORS); /* no factor stands there for nothing */
}

/* An inch is 2.54 cm, a US gallon 231 in3, a US survey foot 1200/3937 m, a pound 0.45359237 kg, standard gravity
 * 9.80665 m/s2 (NIST SP 811, appendix B; memory). */
static void definitions_are_exact(void **state)
{
    (void)state;
    static const double GALLON_M3 = 3.785411784e-3;
    assert_reads(SCENARIO_LENGTH, "1 in", 0.0254, 0);
    assert_reads(SCENARIO_VOLUME, "1 gal", GALLON_M3, 0);
    assert_reads(SCENARIO_LIQUID_FLOW, "60 gpm", GALLON_M3, 3e-16);
    assert_reads(SCENARIO_APPLICATION_RATE, "1 gal/acre", GALLON_M3 / (43560 * pow(1200.0 / 3937.0, 2)), 1e-15);
    assert_reads(SCENARIO_PRESSURE, "1 psi", 0.45359237 * 9.80665 / (0.0254 * 0.0254), 1e-15);
    assert_reads(SCENARIO_POWER, "1 hp", 550 * 0.3048 * 0.45359237 * 9.80665, 1e-15);
}

static void temperatures_have_their_offset(void **state)
{
    (void)state;
    /* NIST SP 811 (2008), B.8: K = degC + 273.15 = (degF + 459.67) / 1.8, exact */
    static const struct { const char *text; double kelvin;
    } table[] = {{"20 degC", 293.15},      {"0 degC", 273.15},   {"-5 " DEGREE "C", 268.15},
                 {"20 celsius", 293.15},   {"293.15 K", 293.15}, {"50 degF", 283.15},
                 {"32 degF", 273.15},      {"-40 degF", 233.15}, {"77 " DEGREE "F", 298.15},
                 {"77 fahrenheit", 298.15}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        assert_reads(SCENARIO_TEMPERATURE, table[i].text, table[i].kelvin, 1e-12);
    assert_refused(SCENARIO_TEMPERATURE, "20 C", SCENARIO_WRONG_UNIT); /* coulomb */
    assert_refused(SCENARIO_TEMPERATURE, "68 F", SCENARIO_WRONG_UNIT); /* farad */
    assert_refused(SCENARIO_TEMPERATURE, "0", SCENARIO_NO_UNIT);       /* of which scale? */
    assert_non_null(scenario_kind_spelling(SCENARIO_TEMPERATURE, 6));
    assert_null(scenario_kind_spelling(SCENARIO_TEMPERATURE, 7)); /* all seven are in the table above */
}

static void what_lists_of_units_read_otherwise(void **state)
{
    (void)state;
    assert_reads(SCENARIO_SPEED, "10 mph", 4.4704, 1e-12);                          /* not milli-phot */
    assert_reads(SCENARIO_SPEED, "36 kph", 10.0, 1e-12);                            /* not kilo-phot */
    assert_reads(SCENARIO_APPLICATION_RATE, "100 gal/acre", 935.39e-7, 1e-5);       /* not the unit of acceleration */
    assert_reads(SCENARIO_APPLICATION_RATE, "500 L/ha", 5e-5, 1e-12);
    assert_reads(SCENARIO_ROTATION, "540 1/min", 540.0, 1e-12);                     /* not 540 / 2 pi */
    assert_reads(SCENARIO_LENGTH, "5 in", 0.127, 1e-12);
    assert_refused(SCENARIO_VOLUME, "10 oz", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_VOLUME, "10 pt", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_ROTATION, "9 Hz", SCENARIO_WRONG_UNIT);                 /* would be 9 rad/s */
    assert_refused(SCENARIO_ROTATION, "9 rad/s", SCENARIO_WRONG_UNIT);
}

static void a_unit_must_be_of_its_kind(void **state)
{
    (void)state;
    assert_refused(SCENARIO_PRESSURE, "3 m/s", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_APPLICATION_RATE, "100 um", SCENARIO_WRONG_UNIT); /* same dimension, another meaning */
    assert_refused(SCENARIO_LENGTH, "100 L/ha", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_PRESSURE, "5 J/m3", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_SPEED, "5 s/m", SCENARIO_WRONG_UNIT); /* reciprocals */
    assert_refused(SCENARIO_ROTATION, "5 min", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_TIME, "5 Hz", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_LENGTH, "5 1/m", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_LENGTH, "5 m 3", SCENARIO_WRONG_UNIT); /* would be 15 m */
    assert_refused(SCENARIO_LENGTH, "5 m2", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_RATIO, "5 %", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_LENGTH, "5 a unit with a name that is longer than any unit's name", SCENARIO_WRONG_UNIT);
}

static void upper_and_lower_case_count(void **state)
{
    (void)state;
    static const char *const wrong[] = {"7 Bar", "7 BAR", "7 PSI", "7 kpa"};
    static const char *const right[] = {"bar", "bar", "psi", "kPa"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_refused(SCENARIO_PRESSURE, wrong[i], SCENARIO_WRONG_UNIT);
        assert_string_equal(scenario_kind_respelled(SCENARIO_PRESSURE, wrong[i]), right[i]);
    }
    assert_null(scenario_kind_respelled(SCENARIO_PRESSURE, "7 m"));
    assert_null(scenario_kind_respelled(SCENARIO_PRESSURE, "bar"));
}

static void a_number_is_one_decimal_number(void **state)
{
    (void)state;
    assert_reads(SCENARIO_PRESSURE, "7bar", 7e5, 0);
    assert_reads(SCENARIO_PRESSURE, "  7 \t bar ", 7e5, 0);
    assert_reads(SCENARIO_PRESSURE, "+7. bar", 7e5, 0);
    assert_reads(SCENARIO_PRESSURE, ".5 bar", 5e4, 1e-15);
    assert_reads(SCENARIO_PRESSURE, "7e2 kPa", 7e5, 0);
    assert_reads(SCENARIO_PRESSURE, "0.7E+3 kPa", 7e5, 0);
    assert_reads(SCENARIO_ANGLE, "-90 deg", -PI / 2, 1e-15);
    assert_reads(SCENARIO_VISCOSITY, "1  mPa   s", 1e-3, 1e-15);
    static const char *const none[] = {"",
                                       "bar",
                                       "nan bar",
                                       "inf bar",
                                       "-inf bar",
                                       "1e999 bar",
                                       "- 7 bar",
                                       "--7 bar",
                                       ".",
                                       ".e3 bar",
                                       "e3 bar",
                                       "seven bar",
                                       "0x10 bar",
                                       ("\xE2\x88\x92" "7 bar"),
                                       "~7 bar"};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++)
        assert_refused(SCENARIO_PRESSURE, none[i], SCENARIO_NOT_A_NUMBER);
    assert_refused(SCENARIO_PRESSURE, "7e bar", SCENARIO_WRONG_UNIT);
    assert_refused(SCENARIO_PRESSURE, "10,5 bar", SCENARIO_DECIMAL_COMMA);
    assert_refused(SCENARIO_VOLUME, "1 000 L", SCENARIO_SPACED_NUMBER);
    assert_refused(SCENARIO_RATIO, "1.5 2", SCENARIO_SPACED_NUMBER);
}

static void a_range_is_refused(void **state)
{
    (void)state;
    static const char *const ranges[] = {"10-20 bar", "10 - 20 bar", "10 bar - 20 bar", "10 bar-20 bar", "10..20 bar",
                                         "10...20 bar", "10 to 20 bar", "10 bar to 20 bar", "10\xE2\x80\x93" "20 bar",
                                         "10 \xE2\x80\x94 20 bar", "10\xE2\x80\xA6" "20 bar", "10 ~ 20 bar"};
    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++)
        assert_refused(SCENARIO_PRESSURE, ranges[i], SCENARIO_RANGE);
}

static void only_what_has_no_dimension_goes_without_a_unit(void **state)
{
    (void)state;
    assert_reads(SCENARIO_FRACTION, "0.1", 0.1, 0);
    assert_reads(SCENARIO_FRACTION, "10 %", 0.1, 1e-15);
    assert_reads(SCENARIO_SHARE, "10 %", 0.1, 1e-15);
    assert_reads(SCENARIO_SHARE, "10%", 0.1, 1e-15);
    assert_reads(SCENARIO_RATIO, "2.5", 2.5, 0);
    for (int kind = SCENARIO_RATIO; kind < SCENARIO_KINDS; kind++) {
        if (kind == SCENARIO_RATIO || kind == SCENARIO_FRACTION)
            continue;
        assert_refused((scenario_quantity_kind)kind, "7", SCENARIO_NO_UNIT);
        if (kind != SCENARIO_TEMPERATURE)
            assert_reads((scenario_quantity_kind)kind, "0", 0.0, 0);
    }
    double value;
    bool unitless = false;
    assert_int_equal(scenario_units_read(SCENARIO_FRACTION, "0.6", &value, &unitless), SCENARIO_READ);
    assert_true(unitless);
    assert_int_equal(scenario_units_read(SCENARIO_FRACTION, "60 %", &value, &unitless), SCENARIO_READ);
    assert_false(unitless);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_spelling_has_its_published_factor),
        cmocka_unit_test(temperatures_have_their_offset),
        cmocka_unit_test(definitions_are_exact),
        cmocka_unit_test(what_lists_of_units_read_otherwise),
        cmocka_unit_test(a_unit_must_be_of_its_kind),
        cmocka_unit_test(upper_and_lower_case_count),
        cmocka_unit_test(a_number_is_one_decimal_number),
        cmocka_unit_test(a_range_is_refused),
        cmocka_unit_test(only_what_has_no_dimension_goes_without_a_unit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
