/* sim/scenario/uncertain.c - the one list of what nobody knows well, with ranges and their sources. docs/commands.md
 * has the table made from it.
 *
 * A range stands here only where something published, recalled or agreed gives it. Left out are keys whose range
 * nobody told, such as gaps in crowns and what does not evaporate of a tank mix, and choices between two laws. */
#include "scenario/uncertain.h"

#define BETWEEN(path_, low_, high_, logarithmic_, of_leaves_, source_) \
    {.path = path_, .bounds = SCENARIO_BETWEEN, .low = low_, .high = high_, .logarithmic = logarithmic_, \
     .of_leaves = of_leaves_, .source = source_}

const scenario_uncertain scenario_uncertain_keys[] = {
    {.path = "tips.*.generic_factor", .bounds = SCENARIO_BY_TIP, .logarithmic = true,
     .source = "how far a tip of the kind may be off (docs/tips.md)"},
    {.path = "canopy.leaf_area_index", .bounds = SCENARIO_TIMES, .low = 0.7, .high = 1.4, .logarithmic = true,
     .though_given = true, .of_leaves = true,
     .source = "apple spindles in full leaf, 1.5 to 3.0 (memory): a factor of 1.4 to either side of their middle"},
    BETWEEN("canopy.wood_area_index", 0.05, 0.4, true, false,
            "measured apple and cherry trees (docs/theory.md, 2.5)"),
    BETWEEN("canopy.bough_variation", 50, 150, false, true,
            "range within which the sky fraction in cherry crowns differs about as measured (docs/leaves.md)"),
    BETWEEN("canopy.clumping", 0.8, 1, false, true,
            "the same crowns: leaf area known to some 15 % (docs/leaves.md)"),
    BETWEEN("canopy.drag_coefficient", 0.1, 0.3, true, true, "published (docs/model.md, choices)"),
    BETWEEN("canopy.turning_speed", 4.1, 7.7, true, true,
            "crowns keep 0.20 to 0.37 of their area at 20 m/s (measured), which goes with this speed"),
    BETWEEN("canopy.vogel_exponent", -1.33, -0.67, false, true, "published for leaves that bend or roll up"),
    BETWEEN("canopy.leaf_response", 25, 125, true, true, "a quarter of a swing at 2 to 10 Hz (memory, low)"),
    BETWEEN("canopy.leaf_width", 35, 60, false, true, "apple leaves (memory)"),
    BETWEEN("canopy.retention", 0.12, 0.19, false, true, "storage of rain on ten tree species (abstract)"),
    {.path = "weather.wind_height", .bounds = SCENARIO_TO_TREETOPS, .low = 2, .high = 1, .logarithmic = true,
     .source = "common practice in drift trials: 2 m over the ground, or 1 m above the trees"},
    BETWEEN("weather.gusts", 20, 40, false, false,
            "2.4 friction velocities in neutral air, 4 on a sunny day (Panofsky and others 1977, memory), at 2 to 5 m "
            "over grass"),
    BETWEEN("weather.roughness", 0.01, 0.1, true, false,
            "short grass to low crops (memory: the usual classes of open ground)"),
};

const int scenario_n_uncertain_keys = (int)(sizeof scenario_uncertain_keys / sizeof scenario_uncertain_keys[0]);
