/* sim/tally/budget.h - the way of the spray from the nozzle to where it comes to rest: by class of droplet size, by the
 * zone of the crowns where it first met a leaf or wood, by what that hit did, and by the end.
 *
 * All that was emitted is in exactly one place of the table, so that its litres add up. It tells what arrived: what
 * drips later counts where it stuck. */
#ifndef TALLY_BUDGET_H
#define TALLY_BUDGET_H

#include "tally/groups.h"
#include "tally/tally.h"

/** Where a droplet first met a leaf or wood. Of the crowns on both sides of the sprayer's alley: facing it or turned
 *  away from it, by thirds of the height (TALLY_ZONE_OWN + 3 for those turned away + third). */
enum {
    TALLY_ZONE_NONE = 0,                              /* it met neither leaf nor wood */
    TALLY_ZONE_OWN = 1,                               /* the first of six zones */
    TALLY_ZONE_NEXT = 1 + TALLY_THIRDS * TALLY_SIDES, /* the crowns of the next rows */
    TALLY_ZONE_BEYOND                                 /* rows beyond */
};
/** What the first hit did: nothing was hit, or an outcome (TALLY_FIRST_HIT + outcome). */
enum { TALLY_FIRST_NONE = 0, TALLY_FIRST_HIT = 1 };
/** Where it came to rest. */
typedef enum {
    TALLY_END_FIRST,     /* on the leaf or wood that it met first */
    TALLY_END_SAME_ROW,  /* on another of the same row, later */
    TALLY_END_OTHER_ROW, /* on leaves or wood of another row, later */
    TALLY_END_FLOOR,
    TALLY_END_BEYOND,
    TALLY_END_AIRBORNE,
    TALLY_END_ALOFT /* by the groups of fates */
} tally_end;

/** Zone of a place in a row's crown. @param pass_x_m, row_x_m, x_m of the sprayer, the row, the place */
int tally_zone(double pass_x_m, double row_x_m, double row_spacing_m, double x_m, int third);
int tally_class(double diameter_m);
/** Edges of the classes, 0 to TALLY_CLASSES; the outermost are 0 and infinity. */
double tally_class_edge_m(int i);
/** The end of what met a fate on ground or in the air. */
tally_end tally_end_of(tally_fate fate);
tally_group tally_end_group(int end);

/** Short names for files and sentences for people. */
const char *tally_zone_name(int zone);
const char *tally_zone_label(int zone);
const char *tally_first_name(int first);
const char *tally_end_name(int end);
const char *tally_end_label(int end);

/** Share of the output in a place of the budget; -1 stands for all of an axis. */
tally_estimate tally_budget(const tally *accounts, int i_class, int zone, int first, int end);
/** Share of the output that a pass sprayed and that met an end; -1: any end. */
tally_estimate tally_pass_end(const tally *accounts, int i_pass, int end);

#endif
