/* sim/scenario/units.h - numbers with units: which spellings each kind of quantity takes, and what they are in SI
 * units. */
#ifndef SCENARIO_UNITS_H
#define SCENARIO_UNITS_H

#include <stdbool.h>

/** Kinds of quantity. Dimension is not meaning (litres per hectare are a length), so each kind has its own spellings.
 */
typedef enum {
    SCENARIO_RATIO,            /* no unit */
    SCENARIO_SHARE,            /* %: without, 0.5 may be meant as 0.5 % or as 50 %; only 0 goes without */
    SCENARIO_FRACTION,         /* no unit, or %: of something whole, such as 0.5 of a height */
    SCENARIO_LENGTH,           /* m */
    SCENARIO_ANGLE,            /* rad */
    SCENARIO_SPEED,            /* m/s */
    SCENARIO_PRESSURE,         /* Pa */
    SCENARIO_VOLUME,           /* m3 */
    SCENARIO_LIQUID_FLOW,      /* m3/s */
    SCENARIO_AIR_FLOW,         /* m3/s */
    SCENARIO_APPLICATION_RATE, /* m: m3 per m2 */
    SCENARIO_ROTATION,         /* turns a minute */
    SCENARIO_POWER,            /* W */
    SCENARIO_TEMPERATURE,      /* K */
    SCENARIO_TIME,             /* s */
    SCENARIO_DENSITY,          /* kg/m3 */
    SCENARIO_SURFACE_TENSION,  /* N/m */
    SCENARIO_VISCOSITY,        /* Pa s */
    SCENARIO_LIQUID_LAYER,     /* m: m3 of liquid per m2 */
    SCENARIO_KINDS
} scenario_quantity_kind;

typedef enum {
    SCENARIO_READ,          /* a number with a unit of its kind */
    SCENARIO_NOT_A_NUMBER,  /* does not begin with a decimal number, or is not finite */
    SCENARIO_RANGE,         /* "10-20 bar": one value is wanted */
    SCENARIO_DECIMAL_COMMA, /* "10,5 bar" */
    SCENARIO_SPACED_NUMBER, /* "200 000" */
    SCENARIO_NO_UNIT,       /* a unit is needed, and the number is not 0 (a temperature of 0 needs one, too) */
    SCENARIO_WRONG_UNIT     /* no spelling of a unit of this kind */
} scenario_reading;

/** Reads "7 bar". @param value out: in the kind's SI unit @param unitless out: no unit was written; may be NULL */
scenario_reading scenario_units_read(scenario_quantity_kind kind, const char *text, double *value, bool *unitless);
/** A number with one of the kind's spellings, in the kind's SI unit, and back. "": no unit, the number as it is. */
double scenario_units_to_si(scenario_quantity_kind kind, const char *spelling, double number);
double scenario_units_from_si(scenario_quantity_kind kind, const char *spelling, double value);

const char *scenario_kind_name(scenario_quantity_kind kind);   /**< such as "a pressure" */
/** The spellings that the messages name, such as "bar, kPa, MPa, hPa or psi". */
void scenario_kind_units(scenario_quantity_kind kind, char *text, int room);
/** Spelling number i of a kind, from 0; NULL beyond the last. */
const char *scenario_kind_spelling(scenario_quantity_kind kind, int i);
/** The spelling that differs from the one found by upper and lower case only, or NULL. */
const char *scenario_kind_respelled(scenario_quantity_kind kind, const char *text);

#endif
