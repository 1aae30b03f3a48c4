/* sim/sheet/measure.h - what a number of the block sheet is, and in which unit the sheet shows it. */
#ifndef SHEET_MEASURE_H
#define SHEET_MEASURE_H

#include <stddef.h>

typedef enum { SHEET_METRIC, SHEET_US, SHEET_SYSTEMS } sheet_system;

/** Kinds of numbers. Each has a unit in either system, and so many decimals. */
typedef enum {
    SHEET_COUNT,
    SHEET_PERCENT, /* of a share, 0 to 1 */
    SHEET_RATIO,
    SHEET_LENGTH,       /* in m */
    SHEET_TRAVEL_SPEED, /* m/s */
    SHEET_AIR_SPEED,    /* m/s, of the wind and of the fan's air */
    SHEET_ROTATION,     /* turns a minute */
    SHEET_PRESSURE,     /* Pa */
    SHEET_VOLUME,       /* m3 */
    SHEET_FLOW,         /* m3/s, of a nozzle or of all */
    SHEET_RATE,         /* m3 per m2 */
    SHEET_PER_ROW,      /* m3 per m of row */
    SHEET_AREA,         /* m2 */
    SHEET_SECONDS,
    SHEET_MINUTES,      /* s */
    SHEET_HOURS,        /* s */
    SHEET_TIME_AN_AREA, /* s per m2 */
    SHEET_AREA_A_TIME,  /* m2/s */
    SHEET_AIR_FLOW,     /* m3/s */
    SHEET_POWER,        /* W */
    SHEET_FUEL_A_TIME,  /* m3/s */
    SHEET_FUEL_AN_AREA, /* m3 per m2 */
    SHEET_MONEY,
    SHEET_MONEY_AN_AREA, /* per m2 */
    SHEET_TEMPERATURE,   /* K */
    SHEET_WARMTH,        /* K, a difference of temperatures */
    SHEET_ANGLE,         /* rad */
    SHEET_DROPLET,       /* m */
    SHEET_ROW_VOLUME,    /* m3 of crown per m2 of ground */
    SHEET_WALL_AREA,     /* m2 of wall per m2 of ground */
    SHEET_PER_CROWN,     /* m3 of spray per m3 of crown */
    SHEET_PER_WALL,      /* m3 of spray per m2 of wall */
    SHEET_PER_CM2,       /* droplets per cm2 */
    SHEET_MEASURES
} sheet_measure;

/** The unit in words, such as "US gal/acre"; "" without one. */
const char *sheet_unit(sheet_measure measure, sheet_system system);
/** The unit as it ends a key of JSON, such as "US_gal_acre"; "" without one. */
const char *sheet_unit_of_key(sheet_measure measure, sheet_system system);
/** A value in that unit. */
double sheet_in_unit(sheet_measure measure, sheet_system system, double value_si);
/** The number alone, with the decimals that it has in a sheet; "-" where it is not known. */
void sheet_number(sheet_measure measure, sheet_system system, double value_si, char *text, size_t room);
/** Number and unit, such as "5.2 km/h". */
void sheet_quantity(sheet_measure measure, sheet_system system, double value_si, char *text, size_t room);

#endif
