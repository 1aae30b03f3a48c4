/* sim/sheet/canopy_dose.c - tree row volume and leaf wall area, and the spray for each.
 *
 * Tree row volume: height x width of the row over the spacing (T. B. Sutton, C. R. Unrath, Plant Disease 68 (1984) 480;
 * memory), the height from the ground. Leaf wall area: twice the height of the leaves over the spacing (EPPO Standard
 * PP 1/239; memory). Both are boxes: gaps and rounded crowns are in neither. */
#include "sheet/canopy_dose.h"

#include <stdio.h>

#include "scenario/units.h"

/* Dilute spray to the point of run-off takes 0.7 to 1 US gal for 1000 ft3 of tree row (common practice, memory). */
#define DILUTE_LOW_GAL 0.7
#define DILUTE_HIGH_GAL 1.0
#define DILUTE_FT3 1000.0

double sheet_row_volume_m(const drupelet_scenario *scenario)
{
    return scenario->canopy.height_m * scenario->canopy.width_m / scenario->orchard.row_spacing_m;
}

double sheet_wall_area_m2_m2(const drupelet_scenario *scenario)
{
    return 2.0 * (scenario->canopy.height_m - scenario->canopy.base_m) / scenario->orchard.row_spacing_m;
}

/* Both formulas with their numbers, in the sheet's units. */
static void put_formulas(sheet *s, const drupelet_scenario *scenario)
{
    const sheet_system system = sheet_system_of(s);
    const scenario_canopy *c = &scenario->canopy;
    const char *unit = sheet_unit(SHEET_LENGTH, system);
    char height[24], leaves[24], width[24], spacing[24], ground[24];
    sheet_number(SHEET_LENGTH, system, c->height_m, height, sizeof height);
    sheet_number(SHEET_LENGTH, system, c->height_m - c->base_m, leaves, sizeof leaves);
    sheet_number(SHEET_LENGTH, system, c->width_m, width, sizeof width);
    sheet_number(SHEET_LENGTH, system, scenario->orchard.row_spacing_m, spacing, sizeof spacing);
    sheet_number(SHEET_WALL_AREA, system, 1.0, ground, sizeof ground); /* of a hectare or an acre */
    sheet_note(s, "Tree row volume = height x width x ground / row spacing = %s %s x %s %s x %s %s2 / %s %s.", height,
               unit, width, unit, ground, unit, spacing, unit);
    sheet_note(s, "Leaf wall area = 2 x height of the leaves x ground / row spacing = 2 x %s %s x %s %s2 / %s %s.",
               leaves, unit, ground, unit, spacing, unit);
}

void sheet_put_canopy_dose(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work)
{
    const double volume_m = sheet_row_volume_m(scenario), wall = sheet_wall_area_m2_m2(scenario),
                 rate_m = work->application_rate_m;
    const double gallon = scenario_units_to_si(SCENARIO_VOLUME, "gal", 1.0),
                 foot = scenario_units_to_si(SCENARIO_LENGTH, "ft", 1.0);
    const double dilute = gallon / (DILUTE_FT3 * foot * foot * foot);
    char low[40], high[40], note[200];
    sheet_quantity(SHEET_RATE, sheet_system_of(s), DILUTE_LOW_GAL * dilute * volume_m, low, sizeof low);
    sheet_quantity(SHEET_RATE, sheet_system_of(s), DILUTE_HIGH_GAL * dilute * volume_m, high, sizeof high);
    snprintf(note, sizeof note,
             "dilute spray to run-off would take %s to %s (0.7 to 1 US gal for 1000 ft3; common practice)", low, high);
    sheet_section(s, "canopy", "The spray beside the canopy");
    sheet_value(s, "height", "canopy height", SHEET_LENGTH, scenario->canopy.height_m, "from the ground");
    sheet_value(s, "base", "lowest leaves", SHEET_LENGTH, scenario->canopy.base_m, "");
    sheet_value(s, "width", "width across the row", SHEET_LENGTH, scenario->canopy.width_m, "");
    sheet_value(s, "row_spacing", "row spacing", SHEET_LENGTH, scenario->orchard.row_spacing_m, "");
    sheet_value(s, "leaf_area_index", "leaf area", SHEET_RATIO, scenario->canopy.leaf_area_index,
                "one side of the leaves over the ground");
    sheet_value(s, "row_volume", "tree row volume", SHEET_ROW_VOLUME, volume_m, "");
    sheet_value(s, "wall_area", "leaf wall area", SHEET_WALL_AREA, wall, "");
    sheet_value(s, "rate", "the spray", SHEET_RATE, rate_m, "");
    sheet_value(s, "spray_a_volume", "for the tree row volume", SHEET_PER_CROWN, rate_m / volume_m, note);
    sheet_value(s, "spray_a_wall", "for the leaf wall area", SHEET_PER_WALL, rate_m / wall, "");
    put_formulas(s, scenario);
    sheet_note(s, "A label that gives a dose by volume or by wall area says how it measures them, and that holds.");
}
