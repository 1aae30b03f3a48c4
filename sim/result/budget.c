/* sim/result/budget.c - the way of the spray from the nozzle to where it comes to rest (tally/budget.h). */
#include <math.h>

#include "base/status.h"
#include "result/quantity.h"
#include "tally/budget.h"

#define TELLS RESULT_MAY_LACK | RESULT_MAY_BE_NONE

static const result_quantity QUANTITIES[] = {
    {"class", NULL, RESULT_INT32, "1", "class of the emitted diameter", .place.none = true, .length = TALLY_CLASSES,
     .first = 1},
    {"class_low", "class", RESULT_DOUBLE, "um", "lower edge of the class", RESULT_AT(class_low_um), TELLS, .high = 1e9},
    {"class_high", "class", RESULT_DOUBLE, "um", "upper edge of the class; not a number: it has none",
     RESULT_AT(class_high_um), TELLS, .high = 1e9},
    {"zone", NULL, RESULT_TEXT, NULL,
     "where droplets first met a leaf or wood: in the crowns beside the sprayer's alley, facing it or behind, by "
     "thirds of the height; in other rows; or nowhere",
     .length = TALLY_ZONES, .word = tally_zone_name, .place.none = true},
    {"first", NULL, RESULT_TEXT, NULL, "what that first hit did", .length = TALLY_FIRSTS, .word = tally_first_name,
     .place.none = true},
    {"end", NULL, RESULT_TEXT, NULL, "where they came to rest", .length = TALLY_ENDS, .word = tally_end_name,
     .place.none = true},
    {"end_label", "end", RESULT_TEXT, NULL, "where they came to rest, in words", .word = tally_end_label,
     .place.none = true},
    {"path", "class zone first end", RESULT_SHARE, "1",
     "share of the output of that class, first hit and end; all of it together is the output; before run-off",
     RESULT_AT(budget.path), TELLS},
    {"class_end", "class end", RESULT_SHARE, "1", "share of the output of that class and end",
     RESULT_AT(budget.class_end), TELLS},
    {"class_first", "class first", RESULT_SHARE, "1", "share of the output of that class and outcome of the first hit",
     RESULT_AT(budget.class_first), TELLS},
    {"zone_first", "zone first", RESULT_SHARE, "1", "share of the output that first hit there, with that outcome",
     RESULT_AT(budget.zone_first), TELLS},
    {"zone_end", "zone end", RESULT_SHARE, "1", "share of the output that first hit there and came to that end",
     RESULT_AT(budget.zone_end), TELLS},
};

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const tally *a = o->accounts;
    result_budget *b = &r->budget;
    for (int c = 0; c < TALLY_CLASSES; c++) {
        r->class_low_um[c] = 1e6 * tally_class_edge_m(c);
        r->class_high_um[c] = c + 1 < TALLY_CLASSES ? 1e6 * tally_class_edge_m(c + 1) : (double)NAN;
        for (int z = 0; z < TALLY_ZONES; z++)
            for (int f = 0; f < TALLY_FIRSTS; f++)
                for (int e = 0; e < TALLY_ENDS; e++)
                    b->path[c][z][f][e] = tally_budget(a, c, z, f, e);
        for (int f = 0; f < TALLY_FIRSTS; f++)
            b->class_first[c][f] = tally_budget(a, c, -1, f, -1);
        for (int e = 0; e < TALLY_ENDS; e++)
            b->class_end[c][e] = tally_budget(a, c, -1, -1, e);
    }
    for (int z = 0; z < TALLY_ZONES; z++) {
        for (int f = 0; f < TALLY_FIRSTS; f++)
            b->zone_first[z][f] = tally_budget(a, -1, z, f, -1);
        for (int e = 0; e < TALLY_ENDS; e++)
            b->zone_end[z][e] = tally_budget(a, -1, z, -1, e);
    }
    return base_ok();
}

const result_group result_budget_group = {
    "budget", "the way of the spray: where it first met leaf or wood, what that did, and where it came to rest",
    QUANTITIES, RESULT_COUNT(QUANTITIES), NULL, fill, NULL};
