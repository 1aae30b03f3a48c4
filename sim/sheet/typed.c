/* sim/sheet/typed.c - reads an area, a dose, a price, a gear. A dose keeps the unit that it was typed in: the sheet
 * multiplies it by areas and volumes, and never turns pints into ounces or a mass into a volume. */
#include "sheet/typed.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "scenario/units.h"

#define MOST 1e9 /* of a number typed in; choice: keeps out slips of the pen */
#define AREA_MOST_M2 1e9

static const char *const dose_units[] = {"kg", "g", "L", "mL", "lb", "oz", "fl oz", "pt", "qt", "gal"};
static const char *const price_names[SHEET_PRICES + 1] = {"product", "water", "fuel", "labour", "machine", NULL};

const char *sheet_price_name(int i)
{
    return price_names[i];
}

static double litre(void)
{
    return scenario_units_to_si(SCENARIO_VOLUME, "L", 1.0);
}

static double gallon(void)
{
    return scenario_units_to_si(SCENARIO_VOLUME, "gal", 1.0);
}

/* The ground on which a litre makes a litre per hectare. */
static double hectare(void)
{
    return litre() / scenario_units_to_si(SCENARIO_APPLICATION_RATE, "L/ha", 1.0);
}

static double acre(void)
{
    return gallon() / scenario_units_to_si(SCENARIO_APPLICATION_RATE, "gal/acre", 1.0);
}

static const char *behind_blanks(const char *text)
{
    return text + strspn(text, " ");
}

/* A number of 0 or more at the start; what follows, or NULL. */
static const char *number_at(const char *text, double *number)
{
    const char *rest = base_number(behind_blanks(text), number);
    return rest && *number >= 0.0 && *number <= MOST ? behind_blanks(rest) : NULL;
}

static bool refuse(const char *text, const char *expected, char reason[SHEET_REASON])
{
    snprintf(reason, SHEET_REASON, "found '%.60s', expected %s", text, expected);
    return false;
}

bool sheet_read_area(const char *text, double *area_m2, char reason[SHEET_REASON])
{
    double number = 0.0;
    const char *unit = number_at(text, &number);
    const bool is_ha = unit && strcmp(unit, "ha") == 0,
               is_acre = unit && (strcmp(unit, "acre") == 0 || strcmp(unit, "acres") == 0);
    *area_m2 = number * (is_ha ? hectare() : acre());
    if ((is_ha || is_acre) && *area_m2 > 0.0 && *area_m2 <= AREA_MOST_M2) return true;
    return refuse(text, "an area above 0, such as '4 ha' or '10 acre'", reason);
}

/* A dose unit at the start of a text that goes on with a slash; what follows the slash, or NULL. */
static const char *dose_unit(const char *text, char unit[SHEET_TYPED_UNIT])
{
    const char *slash = strchr(text, '/');
    size_t n = slash ? (size_t)(slash - text) : 0;
    while (n > 0 && text[n - 1] == ' ')
        n--;
    for (size_t i = 0; i < sizeof dose_units / sizeof dose_units[0]; i++)
        if (strlen(dose_units[i]) == n && strncmp(dose_units[i], text, n) == 0) {
            snprintf(unit, SHEET_TYPED_UNIT, "%s", dose_units[i]);
            return behind_blanks(slash + 1);
        }
    return NULL;
}

bool sheet_read_dose(const char *text, sheet_dose *dose, char reason[SHEET_REASON])
{
    *dose = (sheet_dose){.by_area = true};
    const char *unit = number_at(text, &dose->amount);
    const char *per = unit ? dose_unit(unit, dose->unit) : NULL;
    if (per && strcmp(per, "ha") == 0)
        dose->per_si = hectare();
    else if (per && strcmp(per, "acre") == 0)
        dose->per_si = acre();
    else if (per && strcmp(per, "100 L") == 0)
        dose->per_si = 100.0 * litre();
    else if (per && strcmp(per, "100 gal") == 0)
        dose->per_si = 100.0 * gallon();
    dose->by_area = !per || strncmp(per, "100", 3) != 0;
    if (dose->per_si > 0.0 && dose->amount > 0.0) return true;
    return refuse(
        text,
        "an amount in kg, g, L, mL, lb, oz, fl oz, pt, qt or gal for a ha, an acre, 100 L or 100 gal, such as "
        "'1.5 kg/ha' or '2 pt/100 gal'",
        reason);
}

/* What a unit of a price is in SI; 0: it is none. */
static double per_unit(sheet_price_of of, const char *unit)
{
    switch (of) {
    case SHEET_PRICE_WATER:
    case SHEET_PRICE_FUEL:
        return strcmp(unit, "m3") == 0    ? 1.0
               : strcmp(unit, "L") == 0   ? litre()
               : strcmp(unit, "gal") == 0 ? gallon()
                                          : 0.0;
    case SHEET_PRICE_LABOUR:
    case SHEET_PRICE_MACHINE: return strcmp(unit, "h") == 0 ? 3600.0 : 0.0;
    case SHEET_PRICE_PRODUCT:
        for (size_t i = 0; i < sizeof dose_units / sizeof dose_units[0]; i++)
            if (strcmp(unit, dose_units[i]) == 0) return 1.0;
        return 0.0;
    case SHEET_PRICES: break;
    }
    return 0.0;
}

bool sheet_read_price(const char *text, sheet_price *price, char reason[SHEET_REASON])
{
    const char *equals = strchr(text, '=');
    const size_t n = equals ? (size_t)(equals - text) : 0;
    int of = 0;
    *price = (sheet_price){0};
    while (of < SHEET_PRICES && (strlen(price_names[of]) != n || strncmp(price_names[of], text, n) != 0))
        of++;
    const char *rest = of < SHEET_PRICES ? number_at(equals + 1, &price->amount) : NULL;
    if (rest && *rest == '/') {
        price->of = (sheet_price_of)of;
        snprintf(price->unit, sizeof price->unit, "%.*s", SHEET_TYPED_UNIT - 1, behind_blanks(rest + 1));
        price->per_si = per_unit(price->of, price->unit);
    }
    if (price->per_si > 0.0) return true;
    return refuse(text,
                  "product=PRICE/UNIT in the unit of the dose, water= or fuel=PRICE/L, /m3 or /gal, labour= or "
                  "machine=PRICE/h, such as 'fuel=1.6/L'",
                  reason);
}

bool sheet_read_gear(const char *text, sheet_gear *gear, char reason[SHEET_REASON])
{
    const char *equals = strchr(text, '=');
    const size_t n = equals ? (size_t)(equals - text) : 0;
    if (n > 0 && n < sizeof gear->name
        && scenario_units_read(SCENARIO_SPEED, behind_blanks(equals + 1), &gear->speed_m_s, NULL) == SCENARIO_READ
        && gear->speed_m_s > 0.0 && gear->speed_m_s < 20.0) {
        snprintf(gear->name, sizeof gear->name, "%.*s", (int)n, text);
        return true;
    }
    return refuse(text, "NAME=SPEED with the speed that the gear drives, such as '2 low=5.1 km/h'", reason);
}
