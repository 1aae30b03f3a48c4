/* sim/sheet/typed.h - what a user types in for a job, and no scenario has: an area, a dose, a price, a gear. */
#ifndef SHEET_TYPED_H
#define SHEET_TYPED_H

#include <stdbool.h>

enum { SHEET_TYPED_UNIT = 12, SHEET_TYPED_NAME = 24, SHEET_REASON = 240 };

/** An amount of product for an area, or for a volume of spray. Mass and volume are not turned into one another. */
typedef struct {
    double amount;               /* in the unit, of which the sheet keeps the name */
    char unit[SHEET_TYPED_UNIT]; /* kg, g, L, mL, lb, oz, fl oz, pt, qt, gal */
    bool by_area;                /* else by volume of spray */
    double per_si;               /* m2 or m3 */
} sheet_dose;

typedef enum {
    SHEET_PRICE_PRODUCT,
    SHEET_PRICE_WATER,
    SHEET_PRICE_FUEL,
    SHEET_PRICE_LABOUR,
    SHEET_PRICE_MACHINE,
    SHEET_PRICES
} sheet_price_of;
/** The word of a price; NULL beyond the last. */
const char *sheet_price_name(int i);
/** A price: of the product for a unit of the dose; of water and fuel for a m3, of work for a second. */
typedef struct {
    sheet_price_of of;
    double amount, per_si;
    char unit[SHEET_TYPED_UNIT];
} sheet_price;

typedef struct {
    char name[SHEET_TYPED_NAME];
    double speed_m_s;
} sheet_gear;

/* Each reads a text; false, and what was found and expected, where it is none. */
bool sheet_read_area(const char *text, double *area_m2, char reason[SHEET_REASON]);
bool sheet_read_dose(const char *text, sheet_dose *dose, char reason[SHEET_REASON]);
bool sheet_read_price(const char *text, sheet_price *price, char reason[SHEET_REASON]);
bool sheet_read_gear(const char *text, sheet_gear *gear, char reason[SHEET_REASON]);

#endif
