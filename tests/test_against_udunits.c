/* tests/test_against_udunits.c - every spelling of a unit beside UDUNITS-2, a thousand numbers each, to SI and back:
 * equal to the last bit, or listed here with the reason. UDUNITS reads most spellings as we do; what it reads
 * otherwise, or not at all, is put in its words first. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>
#include <udunits2.h>

#include "scenario/units.h"

enum { NUMBERS = 1000 };

static const char *const si_unit[SCENARIO_KINDS] = {
    [SCENARIO_RATIO] = "1",
    [SCENARIO_SHARE] = "1",
    [SCENARIO_FRACTION] = "1",
    [SCENARIO_LENGTH] = "m",
    [SCENARIO_ANGLE] = "radian",
    [SCENARIO_SPEED] = "m/s",
    [SCENARIO_PRESSURE] = "Pa",
    [SCENARIO_VOLUME] = "m3",
    [SCENARIO_LIQUID_FLOW] = "m3/s",
    [SCENARIO_AIR_FLOW] = "m3/s",
    [SCENARIO_APPLICATION_RATE] = "m",
    [SCENARIO_ROTATION] = "rpm",
    [SCENARIO_POWER] = "W",
    [SCENARIO_TEMPERATURE] = "kelvin",
    [SCENARIO_TIME] = "s",
    [SCENARIO_DENSITY] = "kg/m3",
    [SCENARIO_SURFACE_TENSION] = "N/m",
    [SCENARIO_VISCOSITY] = "Pa.s",
    [SCENARIO_LIQUID_LAYER] = "m",
};

static const struct { const char *spelling, *expression; } words[] = {
    {"deg", "degree"}, /* unknown to it, like kmh, kn, cfm, rev/min, dyn and cP */
    {"kph", "km/hour"}, /* kilo-phot, a unit of light */
    {"kmh", "km/hour"},
    {"mph", "international_mile/hour"}, /* milli-phot */
    {"kn", "knot"},
    {"gal", "US_liquid_gallon"}, /* cm/s2 */
    {"US gal", "US_liquid_gallon"},
    {"imp gal", "Canadian_liquid_gallon"}, /* of the same size */
    {"gpm", "US_liquid_gallon/minute"},
    {"gal/min", "US_liquid_gallon/minute"},
    {"US gal/min", "US_liquid_gallon/minute"},
    {"imp gal/min", "Canadian_liquid_gallon/minute"},
    {"cfm", "international_foot^3/minute"},
    {"gal/acre", "US_liquid_gallon/acre"},
    {"US gal/acre", "US_liquid_gallon/acre"},
    {"gpa", "US_liquid_gallon/acre"},
    {"imp gal/acre", "Canadian_liquid_gallon/acre"},
    {"rev/min", "rpm"},
    {"r/min", "rpm"},
    {"1/min", "rpm"}, /* radians a minute, like the next two */
    {"min-1", "rpm"},
    {"min^-1", "rpm"},
    {"hp", "550 international_foot.pound_force/s"}, /* its own is rounded to 745.7 W or so */
    {"PS", "735.49875 W"},                          /* unknown */
    {"dyn/cm", "dyne/cm"},
    {"cP", "centipoise"},
};

/* UDUNITS has the US gallon rounded to 3.785412 L, where 231 in3 are 3.785411784 L. */
#define ROUNDED_GALLON 5.8e-8
#define LAST_BITS 5e-16
static const struct { const char *spelling; double part; } differs[] = {
    {"gal", ROUNDED_GALLON},
    {"US gal", ROUNDED_GALLON},
    {"gpm", ROUNDED_GALLON},
    {"gal/min", ROUNDED_GALLON},
    {"US gal/min", ROUNDED_GALLON},
    {"gal/acre", ROUNDED_GALLON},
    {"US gal/acre", ROUNDED_GALLON},
    {"gpa", ROUNDED_GALLON},
    {"in", LAST_BITS}, /* 2.54 x 0.01 in floating point, where we write 0.0254 */
    {"inch", LAST_BITS},
    {"psi", LAST_BITS},          /* made of its inch */
    {"imp gal/acre", LAST_BITS}, /* its acre is 160 squares of 16.5 survey feet, rounded on the way */
};
enum { WORDS = sizeof words / sizeof words[0], DIFFERENCES = sizeof differs / sizeof differs[0] };

static cv_converter *converter_of(ut_system *units, const char *from, const char *to)
{
    ut_unit *a = ut_parse(units, from, UT_UTF8), *b = ut_parse(units, to, UT_UTF8);
    ut_unit *quotient = a && b ? ut_divide(a, b) : NULL;
    if (!quotient || !ut_is_dimensionless(quotient)) /* it would make s/m of m/s, too */
        fail_msg("UDUNITS cannot turn '%s' into '%s'", from, to);
    cv_converter *converter = ut_get_converter(a, b);
    ut_free(quotient);
    ut_free(b);
    ut_free(a);
    return converter;
}

/* The largest difference over the value, of NUMBERS numbers from 1e-3 to 1e6. */
static double largest_difference(scenario_quantity_kind kind, const char *spelling, const cv_converter *to_si,
                                 const cv_converter *from_si)
{
    double largest = 0.0;
    for (int i = 0; i < NUMBERS; i++) {
        const double number = pow(10.0, 9.0 * (i + 0.5) / NUMBERS - 3.0);
        const double theirs[] = {cv_convert_double(to_si, number), cv_convert_double(from_si, number)};
        const double ours[] = {scenario_units_to_si(kind, spelling, number),
                               scenario_units_from_si(kind, spelling, number)};
        for (int way = 0; way < 2; way++)
            if (ours[way] != theirs[way])
                largest = fmax(largest, fabs(ours[way] / theirs[way] - 1.0));
    }
    return largest;
}

static void every_spelling_means_what_it_means_to_udunits(void **state)
{
    (void)state;
    bool used[WORDS] = {false}, differed[DIFFERENCES] = {false};
    ut_set_error_message_handler(ut_ignore);
    ut_system *units = ut_read_xml(NULL);
    assert_non_null(units);
    for (scenario_quantity_kind kind = 0; kind < SCENARIO_KINDS; kind++) {
        const char *spelling;
        for (int i = 0; (spelling = scenario_kind_spelling(kind, i)) != NULL; i++) {
            const char *expression = spelling;
            for (int k = 0; k < WORDS; k++)
                if (strcmp(words[k].spelling, spelling) == 0) {
                    expression = words[k].expression;
                    used[k] = true;
                }
            double most = 0.0;
            cv_converter *to_si = converter_of(units, expression, si_unit[kind]);
            cv_converter *from_si = converter_of(units, si_unit[kind], expression);
            const double difference = largest_difference(kind, spelling, to_si, from_si);
            for (int k = 0; k < DIFFERENCES; k++)
                if (strcmp(differs[k].spelling, spelling) == 0) {
                    most = differs[k].part;
                    differed[k] = difference > 0.0;
                }
            if (difference > most)
                fail_msg("'%s' as %s: another value than of UDUNITS for '%s', by %g", spelling,
                         scenario_kind_name(kind), expression, difference);
            cv_free(from_si);
            cv_free(to_si);
        }
    }
    ut_free_system(units);
    for (int k = 0; k < WORDS; k++)
        if (!used[k])
            fail_msg("'%s' is no spelling", words[k].spelling);
    for (int k = 0; k < DIFFERENCES; k++)
        if (!differed[k])
            fail_msg("'%s' does not differ, or is no spelling", differs[k].spelling);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_spelling_means_what_it_means_to_udunits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
