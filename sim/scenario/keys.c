/* sim/scenario/keys.c - the one place of what a scenario can say: every key with its range, default, words and meaning.
 * Ranges keep out slips of the pen and what the models were not made for; they are choices. "choice" in a reason:
 * picked here, inside what is published or common, not measured. The page docs/scenario-format.md is made from this
 * table; keys_find.c finds keys and words in it. */
#include "scenario/keys.h"

#include "scenario/key_rows.h"
#include "scenario/leaf.h"
#include "scenario/scenario.h"

/* ---- words and what they stand for ---- */

const scenario_word scenario_answers[] = {{"yes", true}, {"no", false}, {"true", true}, {"false", false}, {NULL, 0}};
static const scenario_word sides[] = {
    {"left", SCENARIO_LEFT}, {"right", SCENARIO_RIGHT}, {"both", SCENARIO_BOTH_SIDES}, {NULL, 0}};

static const scenario_word crowns[] = {
    {"wall", SCENARIO_WALL}, {"cone", SCENARIO_CONE}, {"globe", SCENARIO_GLOBE}, {"bowl", SCENARIO_BOWL}, {NULL, 0}};
static const scenario_word leaf_ages[] = {{"young", SCENARIO_YOUNG_LEAF}, {"old", SCENARIO_OLD_LEAF}, {NULL, 0}};
static const scenario_word wettings[] = {{"easy", SCENARIO_EASY},
                                         {"medium", SCENARIO_MEDIUM},
                                         {"hard", SCENARIO_HARD},
                                         {"very_hard", SCENARIO_VERY_HARD},
                                         {NULL, 0}};

static const scenario_word yieldings[] = {{"reconfigure", true}, {"rigid", false}, {NULL, 0}};
static const scenario_word wood_heights[] = {{"felled_trees", true}, {"even", false}, {NULL, 0}};
static const scenario_word fine_catches[] = {{"full", true}, {"impaction", false}, {NULL, 0}};
static const scenario_word hidings[] = {{"by_catch", true}, {"from_all", false}, {NULL, 0}};
static const scenario_word wet_leaves[] = {{"rebound", true}, {"hold", false}, {NULL, 0}};
static const scenario_word splashes[] = {{"along_leaf", true}, {"off_leaf", false}, {NULL, 0}};

static const scenario_word tip_kinds[] = {{"hollow_cone_disc_core", SCENARIO_HOLLOW_CONE_DISC_CORE},
                                          {"hollow_cone", SCENARIO_HOLLOW_CONE},
                                          {"air_induction_hollow_cone", SCENARIO_AIR_INDUCTION_HOLLOW_CONE},
                                          {"flat_fan", SCENARIO_FLAT_FAN},
                                          {"air_induction_flat_fan", SCENARIO_AIR_INDUCTION_FLAT_FAN},
                                          {NULL, 0}};
static const scenario_word spectrum_forms[] = {{"log_normal", SCENARIO_SPECTRUM_LOG_NORMAL},
                                               {"rosin_rammler", SCENARIO_SPECTRUM_ROSIN_RAMMLER},
                                               {"upper_limit", SCENARIO_SPECTRUM_UPPER_LIMIT},
                                               {NULL, 0}};

static const scenario_word directions[] = {{"alternate", true}, {"same", false}, {NULL, 0}};
static const scenario_word outlet_kinds[] = {
    {"arc", SCENARIO_ARC}, {"slot", SCENARIO_SLOT}, {"spout", SCENARIO_SPOUT}, {NULL, 0}};

static const scenario_word surfactants[] = {
    {"none", SCENARIO_NO_SURFACTANT}, {"wetter", SCENARIO_WETTER}, {"spreader", SCENARIO_SPREADER}, {NULL, 0}};

static const scenario_word winds[] = {{"profiles", false}, {"computed", true}, {NULL, 0}};
static const scenario_word fan_airs[] = {{"integral", false}, {"resolved", true}, {NULL, 0}};
static const scenario_word samplings[] = {{"stratified", false}, {"plain", true}, {NULL, 0}};
static const scenario_word ventilations[] = {
    {"ranz_marshall", SCENARIO_RANZ_MARSHALL}, {"beard_pruppacher", SCENARIO_BEARD_PRUPPACHER}, {NULL, 0}};
static const scenario_word droplet_temperatures[] = {{"steady", false}, {"transient", true}, {NULL, 0}};

static const scenario_word facings[] = {/* degrees above +x */
    {"up", 90}, {"down", -90}, {"towards_plus_x", 0}, {"towards_minus_x", 180}, {NULL, 0}};
static const scenario_word surfaces[] = {{"water_sensitive", true}, {"plain", false}, {NULL, 0}};
static const scenario_word catches[] = {{"leaf", true}, {"all", false}, {NULL, 0}};

/* ---- keys ---- */

/* Whether the air of a run depends on a key's value (air/air_key.c; tests/test_sweep_air.c compares with the air): of
 * the nozzles only the sides that spray count, and of a measured canopy what its file holds; air_key.c adds both. */
#define AT(member) IN(drupelet_scenario, member)

/* Kinds of outlet and of collector that have a key. */
#define ALL 0
#define ARC (1 << SCENARIO_ARC)
#define SLOT (1 << SCENARIO_SLOT)
#define SPOUT (1 << SCENARIO_SPOUT)
#define DISH (1 << SCENARIO_DISH)
#define LINE (1 << SCENARIO_LINE)
#define CARD (1 << SCENARIO_CARD)
#define OUTLET(member, kinds) IN(scenario_outlet, member), .of = kinds
#define COLLECTOR(member, kinds) IN(scenario_collector, member), .of = kinds
#define BY_HAND_OF(kinds) .of = kinds

const scenario_key scenario_keys[] = {
    TEXT("name", AT(name), SCENARIO_TEXT, NO_AIR, "", "name of the file without its ending",
         "title of results and pictures"),
    TEXT("place", AT(place), SCENARIO_TEXT, NO_AIR, "", "none", "where it is; shown only"),

    COUNT("orchard.rows", AT(orchard.n_rows), 1, SCENARIO_ROWS, AIR, NULL, "",
          "rows of trees, all sprayed; row 1 is the last before the open ground that wind of angle 0 blows to"),
    QUANTITY("orchard.row_spacing", AT(orchard.row_spacing_m), LENGTH, "m", 1, 15, AIR, NULL, "",
             "from trunk line to trunk line"),
    QUANTITY("orchard.tree_spacing", AT(orchard.tree_spacing_m), LENGTH, "m", 0.3, 15, AIR, NULL, "", "along the row"),
    COUNT("orchard.trees", AT(orchard.n_trees), 1, 64, AIR, "",
          "as many as make about 10 m of row (choice: several trees before the pattern repeats)",
          "trees along the row before the pattern repeats; at most 100 m of row"),
    QUANTITY("orchard.grass_height", AT(orchard.grass_height_m), LENGTH, "m", 0, 1, AIR, "0.10 m",
             "choice: a mown alley", "grass of the alleys and under the rows"),
    QUANTITY("orchard.grass_leaf_area_index", AT(orchard.grass_leaf_area_index), RATIO, "", 0, 10, AIR, "1.5",
             "choice: short grass", "one side of the blades, m2 per m2 of ground"),
    QUANTITY("orchard.grass_blade_width", AT(orchard.grass_blade_width_m), LENGTH, "mm", 0.5, 50, NO_AIR, "5 mm",
             "choice: blades of meadow grass, 2 to 8 mm", "what droplets meet in the grass"),

    TEXT("canopy.measured", BY_HAND_OR("none"), SCENARIO_FILE, NO_AIR, "", "grown from the keys below",
         "file with leaf area density by voxel, [its format](canopy-format.md); a name counts from the folder "
         "of the scenario file (in `--set` from the current one). Beside it `crown`, `leaf_area_index`, "
         "`profile`, `gaps`, boughs, shell and `tree_variation` are refused, and no key of the shape is required"),
    WORD("canopy.crown", AT(canopy.crown), crowns, AIR, NULL, "",
         "shape: a hedge with straight sides, a spindle, an ellipsoid, an open centre"),
    QUANTITY("canopy.height", AT(canopy.height_m), LENGTH, "m", 0.5, 12, AIR, NULL, "",
             "top of the crown; below `run.domain_top`"),
    QUANTITY("canopy.base", AT(canopy.base_m), LENGTH, "m", 0, 5, AIR, NULL, "",
             "lowest leaves; below `canopy.height`"),
    QUANTITY("canopy.width", AT(canopy.width_m), LENGTH, "m", 0.1, 12, AIR, NULL, "",
             "across the row; at most `orchard.row_spacing`"),
    QUANTITY("canopy.leaf_area_index", AT(canopy.leaf_area_index), RATIO, "", 0, 10, AIR | OFFERED, NULL, "",
             "one side of the leaves, m2 per m2 of orchard ground, alleys included; 0: leafless"),
    LIST("canopy.profile", BY_HAND_OR("uniform"), "[height, density] pairs", 2, SCENARIO_PROFILE, AIR, "",
         "uniform within the crown (choice)",
         "leaf area density by height: 0 at the base, 1 at the top, rising; densities on any scale. `[[0, 1], "
         "[0.4, 1.5], [1, 0.2]]`"),
    QUANTITY("canopy.profile.*.0", BY_HAND, FRACTION, "", 0, 1, AIR, NULL, "", "height"),
    QUANTITY("canopy.profile.*.1", BY_HAND, RATIO, "", 0, 1000, AIR, NULL, "", "density"),
    QUANTITY("canopy.gaps", AT(canopy.gap_fraction), SHARE, "%", 0, 90, AIR, "10 %", "choice",
             "share of the crown's volume without leaves, in gaps as large as boughs"),
    QUANTITY("canopy.bough_variation", AT(canopy.bough_variation), SHARE, "%", 0, 300, AIR, "100 %",
             "how much the sky fraction differs inside tart cherry crowns, see [leaves.md](leaves.md#crowns)",
             "standard deviation of leaf area density from bough to bough over the mean; 0 %: even between the gaps"),
    QUANTITY("canopy.bough_size", AT(canopy.bough_size_m), LENGTH, "m", 0.1, 3, AIR, "",
             "a sixth of the crown's width, 0.3 to 1 m, see [leaves.md](leaves.md#crowns)",
             "way through a crown from a place with many leaves to one that has nothing to do with it"),
    QUANTITY("canopy.shell_depth", IN_OR(drupelet_scenario, canopy.shell_depth_m, "none: leaves all through"), LENGTH,
             "m", 0.1, 10, AIR, "",
             "none: the light in tart cherries of 24 years shows no hollow, see [leaves.md](leaves.md#crowns)",
             "leafy shell of an old crown: depth below its surface over which leaf area density falls to 1/e"),
    QUANTITY("canopy.tree_variation", AT(canopy.tree_variation), SHARE, "%", 0, 50, AIR, "15 %", "choice",
             "standard deviation of leaf area between trees over the mean"),
    QUANTITY("canopy.wood_area_index", AT(canopy.wood_area_index), RATIO, "", 0, 2, AIR, "0.15",
             "middle of 0.05 to 0.4: measured apple and cherry trees, see [theory.md](theory.md), 2.5",
             "half the surface of branches and trunks, m2 per m2 of orchard ground"),
    WORD("canopy.wood_heights", AT(canopy.wood_by_height), wood_heights, AIR, "felled_trees",
         "seven felled fruit trees, measured layer by layer, see [leaves.md](leaves.md#crowns)",
         "where the wood is: by height as in felled trees, trunk included, or evenly over the crown"),
    QUANTITY("canopy.wood_diameter",
             IN_OR(drupelet_scenario, canopy.wood_diameter_m, "trunk to twigs of a measured tree"), LENGTH, "mm", 1,
             300, NO_AIR, "", "trunk to twigs of a measured tree, see [leaves.md](leaves.md#wood)",
             "one diameter for all wood; thin wood catches small droplets best"),
    QUANTITY("canopy.clumping", AT(canopy.clumping), RATIO, "", 0.1, 1, NO_AIR, "0.9",
             "within boughs, from the sky fraction in tart cherry crowns, see [leaves.md](leaves.md#crowns)",
             "1: leaves stand at random within a voxel; less: they hide one another"),
    WORD("canopy.hidden_leaves", AT(canopy.hidden_by_catch), hidings, NO_AIR, "by_catch",
         "leaves in random clumps, see [theory.md](theory.md), 9.1",
         "`by_catch`: a leaf takes from those behind it what it catches, so that it hides little from small droplets, "
         "which flow round it; `from_all`: all that flies towards it"),
    QUANTITY("canopy.drag_coefficient", AT(canopy.drag_coefficient), RATIO, "", 0, 1, AIR, "0.2",
             "G. G. Katul, L. Mahrt, D. Poggi, C. Sanz, Bound.-Layer Meteorol. 113 (2004) 81",
             "of the leaves on the air, on one-sided leaf area"),
    WORD("canopy.leaves_in_wind", AT(canopy.yields_to_wind), yieldings, AIR, "reconfigure",
         "measured on whole trees and crowns, see [leaves.md](leaves.md)",
         "whether leaves bend, fold and overlap in the wind, so that less of their area meets air and droplets; "
         "`rigid`: all of it does at any speed"),
    WORD("canopy.leaves_in_jet", AT(canopy.yields_to_jet), yieldings, AIR, "reconfigure",
         "published motion of leaves, see [leaves.md](leaves.md)",
         "the same in the fan's jets, to which leaves need some time to yield"),
    QUANTITY("canopy.turning_speed", AT(canopy.turning_speed_m_s), SPEED, "m/s", 0.5, 100, AIR, "6 m/s",
             "walnut, peach and pepper leaves change their way of bending at 6 m/s (Horticulturae 11 (2025) 1002, "
             "abstract); crowns then keep 0.29 of their area at 20 m/s (measured: 0.20 to 0.37)",
             "air speed around which leaves begin to yield"),
    QUANTITY("canopy.vogel_exponent", AT(canopy.vogel_exponent), RATIO, "", -1.5, 0, AIR, "-1",
             "leaves that roll up (S. Vogel, J. Exp. Bot. 40 (1989) 941, second hand); published -1.33 to -0.67",
             "in fast air the force on a leaf grows as speed to the power of two plus this; 0: rigid"),
    QUANTITY("canopy.leaf_response", AT(canopy.leaf_response_s), TIME, "ms", 0, 1000, AIR, "50 ms",
             "choice: a quarter of a swing at 5 Hz, inside 2 to 10 Hz (memory, low; leaves of nine species swing at 0 "
             "to 15 Hz: Forests 11 (2020) 115, abstract)",
             "time in which a leaf takes up most of the shape that a new air speed gives it"),
    QUANTITY("canopy.leaf_width", AT(canopy.leaf_width_m), LENGTH, "mm", 2, 300, NO_AIR, "45 mm",
             "choice: apple, 35 to 60 mm (memory)", "decides how well a leaf catches small droplets"),
    WORD("canopy.fine_catch", AT(canopy.fine_catch), fine_catches, NO_AIR, "full",
         "A. Petroff, L. Zhang, S. C. Pryor, Y. Belot, J. Aerosol Sci. 40 (2009) 218, see [theory.md](theory.md), 9.1",
         "`full`: leaves, wood and grass catch small droplets by interception at their edges and hairs, and by "
         "turbulence next to them, too; `impaction`: by impaction and settling alone"),
    QUANTITY("canopy.hair_share", AT(canopy.hair_share), SHARE, "%", 0, 20, NO_AIR, "1 %",
             "W. G. N. Slinn, Atmos. Environ. 16 (1982) 1785 (memory), for vegetation at large",
             "of the drag of leaves on the air, by hairs that are some 10 um thick; 0: smooth leaves"),
    QUANTITY("canopy.leaf_angle_ratio", AT(canopy.leaf_angle_ratio), RATIO, "", 0.1, 10, NO_AIR, "1.5",
             "choice: leaves somewhat flatter than spherical (1)",
             "of the ellipsoidal leaf angles; 1: spherical, above 1: flatter"),
    NAMED("canopy.leaf", BY_HAND, scenario_leaf_word, NO_AIR, "none", "the sides as they are given",
          "leaf by name: sets what the sides are like to droplets, each the middle of a range "
          "([leaf-outcomes.md](leaf-outcomes.md)); a side that is given stands"),
    WORD("canopy.leaf_age", BY_HAND, leaf_ages, NO_AIR | OFFERED, "old", "choice: full-grown leaves",
         "of a leaf by name"),
    WORD("canopy.upper_side", BY_HAND, wettings, NO_AIR, "medium", "choice: apple",
         "how readily the upper side is wetted"),
    QUANTITY("canopy.upper_contact_angle", BY_HAND, ANGLE, "deg", 20, 170, NO_AIR, "", "of the class or the leaf",
             "static, of the liquid as sprayed; the other two follow it unless given"),
    QUANTITY("canopy.upper_receding_angle", BY_HAND, ANGLE, "deg", 5, 165, NO_AIR, "",
             "of the class, the leaf or the contact angle",
             "at most the contact angle; droplets bounce only above 100 deg"),
    QUANTITY("canopy.upper_shatter_limit", BY_HAND, RATIO, "", 20, 400, NO_AIR, "",
             "of the class, the leaf or the contact angle",
             "droplets shatter above this value of We^0.5 Re^0.25 by diameter and normal speed"),
    WORD("canopy.lower_side", BY_HAND, wettings, NO_AIR, "hard", "choice: apple",
         "how readily the lower side is wetted"),
    QUANTITY("canopy.lower_contact_angle", BY_HAND, ANGLE, "deg", 20, 170, NO_AIR, "", "of the class or the leaf",
             "static, of the liquid as sprayed; the other two follow it unless given"),
    QUANTITY("canopy.lower_receding_angle", BY_HAND, ANGLE, "deg", 5, 165, NO_AIR, "",
             "of the class, the leaf or the contact angle",
             "at most the contact angle; droplets bounce only above 100 deg"),
    QUANTITY("canopy.lower_shatter_limit", BY_HAND, RATIO, "", 20, 400, NO_AIR, "",
             "of the class, the leaf or the contact angle",
             "droplets shatter above this value of We^0.5 Re^0.25 by diameter and normal speed"),
    QUANTITY("canopy.wet_share", AT(canopy.wet_share), SHARE, "%", 0, 100, NO_AIR, "0 %", "choice: dry leaves",
             "of the leaves, wet already"),
    WORD("canopy.wet_leaves", AT(canopy.wet_bounce), wet_leaves, NO_AIR, "rebound",
         "C. X. Bai, A. D. Gosman, SAE 950283 (1995): wet walls, Weber number 2 to 20",
         "`rebound`: slow droplets spring off the liquid on leaves that are wet already; `hold`: nothing does"),
    WORD("canopy.splash", AT(canopy.splash_along_leaf), splashes, NO_AIR, "along_leaf",
         "D. M. Macdonald, H. A. McCartney, Ann. Appl. Biol. 113 (1988) 627, bean leaves (abstract)",
         "where the droplets of a splash go: `along_leaf`: most of them 5 to 20 degrees off the leaf; `off_leaf`: 5 to "
         "50 degrees off its normal, as measured on engine walls"),
    QUANTITY("canopy.retention", AT(canopy.retention_m), LIQUID_LAYER, "L/m2", 0.02, 0.5, NO_AIR, "0.15 L/m2",
             "choice inside 0.12 to 0.19 L/m2 of ten tree species, storage of rain (0.05 to 0.2 is usual; a wetter "
             "lowers it, by an amount not known)",
             "liquid that a leaf holds before it drips, both sides together, on the area of one side; 0.15 L/m2 is "
             "a layer of 0.15 mm"),
    QUANTITY("canopy.wood_retention", AT(canopy.wood_retention_m), LIQUID_LAYER, "L/m2", 0.02, 5, NO_AIR, "0.4 L/m2",
             "choice inside 0.2 to 1 L/m2 of soaked bark, storage of rain (memory, low): a film of 0.2 mm all round",
             "liquid that wood holds before it drips, on half of its surface; 5 L/m2: it never drips"),
    QUANTITY("canopy.voxel", AT(canopy.voxel_m), LENGTH, "m", 0.05, 0.5, AIR, "0.2 m",
             "choice: six or so across a crown",
             "edge of the cubes of the canopy; at most the crown's width and depth, and 200 million cubes"),

    WORD("tips.*.kind", IN(scenario_tip, kind), tip_kinds, NO_AIR, NULL, "",
         "disc-and-core sets have no colour code: give their flow"),
    NAMED("tips.*.size", BY_HAND, scenario_size_at, NO_AIR | OFFERED, "", "flow and flow_pressure instead",
          "flow colour code, ISO 10625. Write it in quotes or not: `01` stays a text"),
    QUANTITY("tips.*.flow", BY_HAND, LIQUID_FLOW, "L/min", 0.05, 30, NO_AIR, "",
             "by the size: 0.1 gal/min at 40 psi a step, brought to 3 bar", "rated flow, where no size is given"),
    QUANTITY("tips.*.flow_pressure", BY_HAND, PRESSURE, "bar", 0.5, 60, NO_AIR, "", "3 bar where the size is given",
             "pressure of the rated flow"),
    QUANTITY("tips.*.cone_angle", IN(scenario_tip, cone_angle_rad), ANGLE, "deg", 10, 160, NO_AIR, "80 deg",
             "common practice, hollow cones; a flat fan's must be given", "full angle of the spray at the exit"),
    QUANTITY("tips.*.air_share", IN(scenario_tip, air_share), SHARE, "%", 0, 60, NO_AIR, "0 %",
             "choice: no measured air content is published",
             "share of a droplet's volume that is air, of air-induction tips"),
    QUANTITY("tips.*.generic_factor", IN(scenario_tip, generic_factor), RATIO, "", 0.5, 2, NO_AIR, "1",
             "the generic spectrum as it is ([tips.md](tips.md#generic-tips))",
             "all diameters of the generic spectrum times this, to see how much hangs on the assumption; not beside a "
             "`spectrum`"),
    WORD("tips.*.spectrum.form", IN(scenario_tip, form), spectrum_forms, NO_AIR, "",
         "generic spectrum of the kind, size and pressure",
         "form through the measured Dv10, Dv50 and Dv90. The first two meet Dv10 and Dv90; `upper_limit` meets all "
         "three and wants Dv50 squared above Dv10 times Dv90"),
    QUANTITY("tips.*.spectrum.dv10", IN(scenario_tip, dv10_m), LENGTH, "um", 5, 3000, NO_AIR, NULL, "",
             "a tenth of the volume is in smaller droplets; with `form`"),
    QUANTITY("tips.*.spectrum.dv50", IN(scenario_tip, dv50_m), LENGTH, "um", 5, 3000, NO_AIR, NULL, "",
             "volume median; with `form`"),
    QUANTITY("tips.*.spectrum.dv90", IN(scenario_tip, dv90_m), LENGTH, "um", 5, 3000, NO_AIR, NULL, "", "with `form`"),
    QUANTITY("tips.*.spectrum.pressure", IN_OR(scenario_tip, spectrum_pressure_Pa, "the nozzle's own"), PRESSURE, "bar",
             0.5, 60, NO_AIR, "", "the nozzle's own pressure",
             "at which it was measured; at another pressure of the nozzle the sizes are moved, and the result says "
             "so"),
    LIST("tips.*.spectrum.table", BY_HAND, "[diameter, share below] pairs", 3, SCENARIO_SPECTRUM, NO_AIR, "",
         "generic spectrum of the kind, size and pressure",
         "measured volume table instead of `form`: rising, from 0 % to 100 %. `[[40 um, 0 %], [120 um, 50 %], [400 "
         "um, 100 %]]`"),
    QUANTITY("tips.*.spectrum.table.*.0", BY_HAND, LENGTH, "um", 1, 6000, NO_AIR, NULL, "", "diameter"),
    QUANTITY("tips.*.spectrum.table.*.1", BY_HAND, SHARE, "%", 0, 100, NO_AIR, NULL, "",
             "share of the volume in smaller droplets"),
    LIST("tips.*.classes", BY_HAND, "[class, dv10, dv50, dv90] rows", 1, SCENARIO_LIMITS, NO_AIR, "", "no size class",
         "borders of the size classes, finest first: each row is the reference spray that parts the class it names "
         "from the next coarser one, measured on the instrument of `spectrum`, which must be given. "
         "`[[fine, 70 um, 150 um, 250 um]]`"),
    NAMED("tips.*.classes.*.0", BY_HAND, scenario_border_class, NO_AIR, NULL, "", "the class below the border"),
    QUANTITY("tips.*.classes.*.1", BY_HAND, LENGTH, "um", 5, 6000, NO_AIR, NULL, "", "Dv10 of the reference spray"),
    QUANTITY("tips.*.classes.*.2", BY_HAND, LENGTH, "um", 5, 6000, NO_AIR, NULL, "", "Dv50"),
    QUANTITY("tips.*.classes.*.3", BY_HAND, LENGTH, "um", 5, 6000, NO_AIR, NULL, "", "Dv90"),

    QUANTITY("sprayer.travel_speed", AT(sprayer.travel_speed_m_s), SPEED, "km/h", 0, 15, AIR | OFFERED, NULL, "",
             "0: the sprayer stands still, and there is no rate per area (below); else at least 0.5 km/h"),
    LIST("sprayer.alleys", BY_HAND, "numbers of alleys", 1, SCENARIO_ROWS + 1, AIR, "all",
         "choice: every alley is driven",
         "`all`, or the alleys that are driven: 0 is outside row 1, 1 between rows 1 and 2, and so on to the "
         "number of rows. `[0, 2, 4]`. The application rate refers to the ground that they treat "
         "([result-format.md](result-format.md), `ground`)"),
    WORD("sprayer.direction", AT(sprayer.alternate), directions, AIR, "alternate",
         "common practice: up one alley, down the next", "`same`: every alley is driven the same way"),
    WORD("sprayer.shut_outside", AT(sprayer.shut_outside), scenario_answers, AIR, "yes", "common practice",
         "in the two outermost alleys the nozzles that face away from the block are shut"),
    LIST("sprayer.shut", BY_HAND_OR("none"), "{alley, row, air} entries", 1, 2 * (SCENARIO_ROWS + 1), AIR, "",
         "nothing more is shut (choice)",
         "sides on which nozzles are shut, beside those of `shut_outside`: `[{alley: 3, row: 4, air: yes}, {alley: "
         "0, row: 0}]`"),
    COUNT("sprayer.shut.*.alley", IN(scenario_shut_side, alley), 0, SCENARIO_ROWS, AIR, NULL, "",
          "an alley that is driven"),
    COUNT("sprayer.shut.*.row", IN(scenario_shut_side, row), 0, SCENARIO_ROWS + 1, AIR, NULL, "",
          "the nozzles that face this row are shut there: the number of the alley or one more. 0 is the open "
          "ground beside row 1, the number of rows and 1 that on the other side"),
    WORD("sprayer.shut.*.air", IN(scenario_shut_side, air), scenario_answers, AIR, "no",
         "choice, the fan's air goes on",
         "the outlets on that side are shut, too; those of the other side blow as before"),
    QUANTITY("sprayer.tank", AT(sprayer.tank_m3), VOLUME, "L", 1, 20000, NO_AIR, "1000 L", "choice",
             "for the settings sheet"),
    QUANTITY("sprayer.fan.reference_speed", AT(sprayer.fan_reference_rpm), ROTATION, "rpm", 50, 10000, AIR, NULL, "",
             "speed at which flow and power were found"),
    QUANTITY("sprayer.fan.reference_flow", AT(sprayer.fan_reference_flow_m3_s), AIR_FLOW, "m3/s", 0.1, 40, AIR, NULL,
             "", "of all outlets together at the reference speed"),
    QUANTITY("sprayer.fan.reference_power", AT(sprayer.fan_reference_power_W), POWER, "kW", 0.1, 200, NO_AIR, NULL, "",
             "shaft power at the reference speed"),
    QUANTITY("sprayer.fan.speed", AT(sprayer.fan_rpm), ROTATION, "rpm", 0, 10000, AIR | OFFERED, "", "reference_speed",
             "of this job; 0: fan off. Flow goes with the speed, power with its cube"),
    LIST("sprayer.outlets", BY_HAND, "air outlets", 1, SCENARIO_OUTLETS, AIR, NULL, "",
         "with `side: both` an entry counts twice. Air may leave at up to 100 m/s"),
    WORD("sprayer.outlets.*.kind", OUTLET(kind, ALL), outlet_kinds, AIR, NULL, "",
         "a slot around a fan, a straight upright one, or a round spout. Several outlets stand beside or above one "
         "another; where their air meets, momentum adds"),
    WORD("sprayer.outlets.*.side", OUTLET(side, ALL), sides, AIR, "both", "common practice: machines are symmetric",
         "as the driver sees it"),
    QUANTITY("sprayer.outlets.*.slot", OUTLET(slot_m, ARC | SLOT), LENGTH, "mm", 10, 500, AIR, NULL, "",
             "arc, slot: width of the slot, along the travel direction"),
    QUANTITY("sprayer.outlets.*.centre_height", OUTLET(centre_height_m, ARC), LENGTH, "m", 0.2, 4, AIR, NULL, "",
             "arc: of its centre"),
    QUANTITY("sprayer.outlets.*.radius", OUTLET(radius_m, ARC), LENGTH, "m", 0.1, 1.5, AIR, NULL, "",
             "arc: less than half of `orchard.row_spacing`"),
    QUANTITY("sprayer.outlets.*.from", OUTLET(from_rad, ARC), ANGLE, "deg", -90, 90, AIR, NULL, "",
             "arc: where it begins, above the outward horizontal"),
    QUANTITY("sprayer.outlets.*.to", OUTLET(to_rad, ARC), ANGLE, "deg", -90, 90, AIR, NULL, "",
             "arc: where it ends, 1 deg or more above `from`"),
    QUANTITY("sprayer.outlets.*.diameter", OUTLET(diameter_m, SPOUT), LENGTH, "mm", 30, 600, AIR, NULL, "",
             "spout: inner diameter"),
    QUANTITY("sprayer.outlets.*.offset", OUTLET(offset_m, SLOT | SPOUT), LENGTH, "m", 0, 3, AIR, NULL, "",
             "slot, spout: from the centre line, less than half of `orchard.row_spacing`"),
    QUANTITY("sprayer.outlets.*.bottom", OUTLET(bottom_m, SLOT), LENGTH, "m", 0.05, 6, AIR, NULL, "",
             "slot: lower end"),
    QUANTITY("sprayer.outlets.*.top", OUTLET(top_m, SLOT), LENGTH, "m", 0.1, 6, AIR, NULL, "",
             "slot: upper end, above `bottom`"),
    QUANTITY("sprayer.outlets.*.height", OUTLET(height_m, SPOUT), LENGTH, "m", 0.1, 6, AIR, NULL, "",
             "spout: of its centre"),
    QUANTITY("sprayer.outlets.*.tilt", OUTLET(tilt_rad, SLOT | SPOUT), ANGLE, "deg", -60, 60, AIR, "0 deg",
             "choice: air blown level", "slot, spout: of the air above the outward horizontal"),
    QUANTITY("sprayer.outlets.*.back", OUTLET(back_rad, SPOUT), ANGLE, "deg", -60, 60, AIR, "0 deg",
             "choice: air blown straight across",
             "spout: of the air backwards from straight across; negative: forwards"),
    QUANTITY("sprayer.outlets.*.share", BY_HAND, SHARE, "%", 0, 100, AIR, "",
             "by area (choice: the same air speed everywhere)",
             "of the fan's air, both sides of the entry together; for all outlets or none, 100 % in all (99 to 101 "
             "% is taken as 100 %)"),
    QUANTITY("sprayer.pressure", IN_OR(drupelet_scenario, sprayer.pressure_Pa, ""), PRESSURE, "bar", 0.5, 60,
             NO_AIR | OFFERED, "", "each nozzle's own", "at the nozzles; needed unless each nozzle has its own"),
    LIST("sprayer.nozzles", BY_HAND, "nozzles", 1, SCENARIO_NOZZLES, NO_AIR, NULL, "",
         "with `side: both` an entry counts twice"),
    WORD("sprayer.nozzles.*.side", IN(scenario_nozzle, side), sides, NO_AIR, "both",
         "common practice: machines are symmetric", "as the driver sees it"),
    TEXT("sprayer.nozzles.*.tip", BY_HAND, SCENARIO_TEXT, NO_AIR | OFFERED, NULL, "", "name of a tip under `tips`"),
    QUANTITY("sprayer.nozzles.*.offset", IN(scenario_nozzle, offset_m), LENGTH, "m", 0, 3, NO_AIR, NULL, "",
             "outward from the centre line, less than half of `orchard.row_spacing`"),
    QUANTITY("sprayer.nozzles.*.height", IN(scenario_nozzle, height_m), LENGTH, "m", 0.1, 6, NO_AIR, NULL, "",
             "above the ground"),
    QUANTITY("sprayer.nozzles.*.angle", IN(scenario_nozzle, angle_rad), ANGLE, "deg", -90, 90, NO_AIR, NULL, "",
             "of its axis above the outward horizontal"),
    QUANTITY("sprayer.nozzles.*.behind", IN(scenario_nozzle, behind_m), LENGTH, "m", -1, 3, NO_AIR, "0 m",
             "choice: nozzles in the air outlets", "distance behind the air outlets; negative: ahead of them"),
    QUANTITY("sprayer.nozzles.*.pressure", IN(scenario_nozzle, pressure_Pa), PRESSURE, "bar", 0.5, 60, NO_AIR, "",
             "sprayer.pressure", "of this nozzle"),
    QUANTITY("sprayer.nozzles.*.worn", IN(scenario_nozzle, worn), SHARE, "%", -90, 100, NO_AIR, "0 %",
             "choice: a new tip",
             "flow above that of a new tip at the same pressure, below 0: less, as of one that is partly plugged; a "
             "generic spectrum becomes that of an orifice of that flow"),
    WORD("sprayer.nozzles.*.plugged", IN(scenario_nozzle, plugged), scenario_answers, NO_AIR | OFFERED, "no",
         "common practice: all tips are clean",
         "gives nothing; the pressure at the others stays. One nozzle at least must spray"),

    QUANTITY("weather.temperature", AT(weather.temperature_K), TEMPERATURE, "degC", 0, 50, NO_AIR | OFFERED, NULL, "",
             ""),
    QUANTITY("weather.relative_humidity", AT(weather.relative_humidity), SHARE, "%", 1, 100, NO_AIR | OFFERED, NULL, "",
             ""),
    QUANTITY("weather.pressure", AT(weather.pressure_Pa), PRESSURE, "hPa", 500, 1100, NO_AIR, "1013.25 hPa",
             "standard atmosphere, ISO 2533", "of the air; falls by about 12 hPa each 100 m of height"),
    QUANTITY("weather.wind_speed", AT(weather.wind_speed_m_s), SPEED, "m/s", 0, 15, AIR | OFFERED, NULL, "",
             "over the open ground, at `wind_height`"),
    QUANTITY("weather.wind_height", AT(weather.wind_height_m), LENGTH, "m", 1, 30, AIR, "2 m",
             "common practice in drift trials", "where the wind was measured"),
    QUANTITY("weather.wind_angle", AT(weather.wind_angle_rad), ANGLE, "deg", -360, 360, AIR | OFFERED, "0 deg",
             "choice: straight across the rows",
             "0: straight across the rows, towards row 1 and the open ground beyond; 90 deg: along the rows; 180 "
             "deg: across, the other way"),
    QUANTITY("weather.roughness", AT(weather.roughness_m), LENGTH, "m", 0.0005, 0.3, AIR, "0.03 m",
             "common practice: grass, open flat ground", "roughness length of the open ground"),
    QUANTITY("weather.obukhov_length", BY_HAND_OR("neutral"), LENGTH, "m", -100000, 100000, AIR, "",
             "neutral air, or from the hour and the cloud",
             "stability of the air over the open ground: below 0 a sunny day (-10 m strong, -100 m weak), above 0 "
             "an inversion (10 m strong, 100 m weak); not nearer to 0 than 3 m"),
    QUANTITY("weather.hour", AT(weather.hour), TIME, "h", 0, 24, AIR, "", "neutral air, or by obukhov_length",
             "hour of the day by the sun, which stands highest at 12 h: stability then follows from sun, cloud and "
             "wind, by Pasquill's classes; instead of `obukhov_length`"),
    QUANTITY("weather.cloud", AT(weather.cloud), SHARE, "%", 0, 100, AIR, "", "must be given where hour is",
             "share of the sky"),
    COUNT("weather.day_of_year", AT(weather.day_of_year), 1, 366, AIR, "172", "choice: midsummer of the north",
          "1: first of January; only with `hour`"),
    QUANTITY("weather.latitude", AT(weather.latitude_rad), ANGLE, "deg", -66, 66, AIR, "45 deg", "choice",
             "south is below 0; only with `hour`"),
    QUANTITY("weather.gusts", IN_OR(drupelet_scenario, weather.gusts, "as turbulence of the surface layer has it"),
             SHARE, "%", 1, 100, AIR, "", "as turbulence of the surface layer has it",
             "standard deviation of the level wind over its mean, at `wind_height`, as an anemometer gives it: "
             "gusts and slow turns of the wind together"),

    QUANTITY("liquid.solids", AT(liquid.solids), SHARE, "%", 0, 40, NO_AIR, "0 %", "choice: nothing in suspension",
             "share of the volume in suspension: never evaporates (`liquid.nonvolatile` is then at least that) and "
             "thickens the liquid"),
    QUANTITY("liquid.nonvolatile", AT(liquid.nonvolatile), SHARE, "%", 0, 50, NO_AIR, "0.5 %",
             "choice: a usual tank mix is nearly all water", "share of the volume that does not evaporate"),
    QUANTITY("liquid.density", AT(liquid.density_kg_m3), DENSITY, "kg/m3", 700, 1500, NO_AIR, "",
             "of water at weather.temperature", ""),
    WORD("liquid.surfactant", AT(liquid.surfactant), surfactants, NO_AIR, "none", "choice: plain water",
         "makes leaves one class easier to wet, or two, unless their contact angle is given, and lowers the "
         "surface tension unless that is given"),
    LIST("liquid.dynamic_surface_tension", BY_HAND, "[surface age, tension] pairs", 2, SCENARIO_TENSIONS, NO_AIR, "",
         "liquid.surface_tension at every age",
         "such as `[[1 ms, 70 mN/m], [20 ms, 48 mN/m], [1 s, 32 mN/m]]`, ages rising; used at 2 ms on leaves and "
         "at 20 ms in the spray sheet"),
    QUANTITY("liquid.dynamic_surface_tension.*.0", BY_HAND, TIME, "ms", 0.1, 1e6, NO_AIR, NULL, "", "age"),
    QUANTITY("liquid.dynamic_surface_tension.*.1", BY_HAND, SURFACE_TENSION, "mN/m", 15, 80, NO_AIR, NULL, "",
             "tension"),
    QUANTITY("liquid.surface_tension", BY_HAND, SURFACE_TENSION, "mN/m", 15, 80, NO_AIR, "",
             "of water at weather.temperature", "dynamic, at a few milliseconds of age"),
    QUANTITY("liquid.viscosity", AT(liquid.viscosity_Pa_s), VISCOSITY, "mPa s", 0.2, 100, NO_AIR, "",
             "of water at weather.temperature", ""),
    QUANTITY("liquid.temperature", AT(liquid.temperature_K), TEMPERATURE, "degC", 0, 60, NO_AIR, "",
             "weather.temperature", "as it leaves the nozzles; counts with `run.droplet_temperature: transient`"),

    COUNT("run.droplets", AT(run.n_droplets), 1000, 1e12, NO_AIR, "200000", "choice",
          "more droplets, smaller standard errors. Also `2e5`. With `run.target_error` the most that fly, and then "
          "1e7 unless given"),
    QUANTITY("run.target_error", IN_OR(drupelet_scenario, run.target_error, "none"), SHARE, "%", 0.01, 50, NO_AIR, "",
             "none: all of run.droplets fly",
             "relative standard error of `run.target` at which the run stops; it looks at fixed numbers of "
             "droplets only, from 2048 on, so that the result depends on the seed alone. The summary and the "
             "result file say how many flew, the error reached, and whether `run.droplets` ran out first (the exit "
             "code is 0 all the same: the result is whole and its errors hold). Also `--target-error 2%`"),
    NAMED("run.target", AT(run.target), scenario_target_name, NO_AIR, "airborne_5_m",
          "choice: what passes the nearest of the usual buffers in the air; it is known to 2 % from some thousand "
          "droplets, `ground_5_m` from 200,000 to a million",
          "number that `run.target_error` is about: deposit on the ground at a distance, what passes a distance in "
          "the air, the sum of drift beyond a distance, water evaporated, or a fate (before run-off); only with "
          "`run.target_error`"),
    WORD("run.sampling", AT(run.plain_sampling), samplings, NO_AIR, "stratified",
         "choice: fewer droplets for the same error",
         "`plain`: every droplet is drawn by itself, all have one weight, and each is caught whole or not at all. "
         "The means are the same, the errors larger; for comparison ([theory.md](theory.md), section 6)"),
    COUNT("run.seed", AT(run.seed), 0, 18446744073709551615.0, AIR, "1", "choice",
          "another seed: other trees, other droplets"),
    QUANTITY("run.domain_top", AT(run.domain_top_m), LENGTH, "m", 7, 100, AIR, "20 m", "choice: several tree heights",
             "height of the domain; above `canopy.height`"),
    QUANTITY("run.open_ground", AT(run.open_ground_m), LENGTH, "m", 100, 1000, AIR, "100 m",
             "choice: as far as published drift tables go", "on each side of the block"),
    QUANTITY("run.time_limit", AT(run.time_limit_s), TIME, "s", 10, 36000, NO_AIR, "",
             "6 times the width of block and open ground over the wind across the rows, 180 s to 3600 s; 180 s in "
             "still air (choice, derived in `sim/scenario/time_limit.c`)",
             "for one droplet; what then flies is booked as aloft, told with the drift, and warned of where it is "
             "not small beside it. The default lets the slowest droplets, near the ground and among leaves, come "
             "down or leave in winds from about 0.2 m/s on; below 0.1 m/s air counts as still, and no limit would "
             "do"),
    QUANTITY("run.air_cell", AT(run.air_cell_m), LENGTH, "m", 0.05, 0.5, AIR, "0.2 m", "choice: the edge of a voxel",
             "edge of the air grid near the sprayer, across the row and upwards; half of it along the travel"),
    WORD("run.wind", AT(run.computed_wind), winds, AIR, "computed",
         "choice: nearer to field results close to leafy blocks and in what is airborne, farther off at 50 m behind "
         "bare trees; [validation.md](validation.md#the-checks-with-both-winds) has all numbers with both",
         "wind over, in and behind the block: `profiles` are assumed, one over the block and one over open ground, "
         "with changes from one to the other by fixed lengths; `computed` solves the equations of the mean wind and "
         "its turbulence around the rows as they stand. In still air both are the same"),
    WORD("run.fan_air", AT(run.resolved_fan_air), fan_airs, AIR, "integral",
         "choice: takes no time; [air.md](air.md#fan-air-integral-or-resolved) tells what it gets wrong",
         "air of the fan: `integral` follows each jet along its line by laws of its momentum, with assumed profiles; "
         "`resolved` solves the equations of the flow around the moving sprayer, which slows in the rows, rises over "
         "them and bends in the wind, in minutes; it is kept, so that cases with other tips, pressures, liquids or "
         "humidity take it over"),
    QUANTITY("run.fan_air_cell", AT(run.fan_air_cell_m), LENGTH, "m", 0.05, 0.8, AIR, "0.2 m",
             "choice: the edge of a voxel",
             "`resolved`: edge of the cells in the rows beside the sprayer. At its outlets they are two fifths of "
             "that, an eighth along the travel, or a quarter of the slot where that is less; beyond they grow. Half "
             "takes some ten times as long"),
    QUANTITY("run.step", AT(run.step_scale), RATIO, "", 0.25, 4, NO_AIR, "1",
             "choice: docs/validation.md shows what half and double do",
             "of the droplets' steps of flight, over the usual length; for studies of convergence, half takes "
             "twice the time"),
    WORD("run.ventilation", AT(run.ventilation), ventilations, NO_AIR, "ranz_marshall",
         "choice: nobody has settled which is right in a jet",
         "how much faster a droplet dries that slips through the air: Ranz and Marshall (1952), or Beard and "
         "Pruppacher (1971), by which droplets of 50 to 200 um at low slip live 6 to 14 % longer"),
    WORD("run.droplet_temperature", AT(run.transient_temperature), droplet_temperatures, NO_AIR, "steady",
         "choice: a droplet reaches its steady temperature in a fraction of a second",
         "`transient`: droplets leave at `liquid.temperature` and warm or cool towards their steady temperature, "
         "near the wet bulb; a droplet colder than the dew point takes on a little water"),
    WORD("run.spray_humidity", AT(run.spray_humidity), scenario_answers, NO_AIR, "no",
         "choice: the settings sheet says when it would matter",
         "`yes`: drying is slowed by the vapour and the cooling that the spray gives the air it flies in, by the "
         "estimate of the settings sheet"),
    WORD("run.spray_sink", AT(run.spray_sink), scenario_answers, NO_AIR, "no",
         "choice: an estimate within a factor of two; [leaves.md](leaves.md) says what it changes",
         "`yes`: the air that holds the spray comes down by the weight of its droplets and by what evaporation cools "
         "it, less what the fan's power heats it, by the same estimate"),
    WORD("run.spray_air", AT(run.spray_air), scenario_answers, AIR, "yes",
         "the momentum that droplets lose has to go somewhere ([theory.md](theory.md), 3.6)",
         "`yes`: the droplets drag air along near their nozzle, as they slow down in it; `no`: the air is that of wind "
         "and fan alone, and cases of a sweep that differ in tips, pressure or liquid share it"),
    WORD("run.keep_wind", AT(run.keep_wind), scenario_answers, NO_AIR, "no",
         "choice: it makes the result file larger, and few ask for it",
         "`yes`: the result holds the wind across the rows (group `wind`), for `drupelet draw --air`"),
    WORD("run.keep_fan_air", AT(run.keep_fan_air), scenario_answers, NO_AIR, "no",
         "choice: it makes the result file larger, and few ask for it",
         "`yes`: the result holds the air around the sprayer on the middle pass (group `fan_air`), for `drupelet draw "
         "--air --fan`"),

    LIST("collectors", BY_HAND, "collectors", 0, SCENARIO_COLLECTORS, NO_AIR, "", "none", ""),
    TEXT("collectors.*.name", COLLECTOR(name, ALL), SCENARIO_TEXT, NO_AIR, NULL, "", "no two have the same"),
    NAMED("collectors.*.kind", COLLECTOR(kind, ALL), scenario_collector_kind_name, NO_AIR, NULL, "",
          "what it is; it decides which of the other keys it takes, and what it catches (below)"),
    QUANTITY("collectors.*.distance", BY_HAND, LENGTH, "m", -1000, 1000, NO_AIR, "", "x or row instead",
             "of its middle, downwind of the block; negative: inside it, or beyond it upwind"),
    QUANTITY("collectors.*.x", BY_HAND, LENGTH, "m", -2000, 2000, NO_AIR, "", "distance or row instead",
             "of its middle, across; row 1 is at 0"),
    COUNT("collectors.*.row", BY_HAND, 1, SCENARIO_ROWS, NO_AIR, "", "distance or x instead",
          "it stands `offset` from this row's line"),
    QUANTITY("collectors.*.offset", BY_HAND, LENGTH, "m", -15, 15, NO_AIR, "0 m", "choice: in the row line",
             "with `row`: positive towards +x, the open ground next to row 1"),
    QUANTITY("collectors.*.height", COLLECTOR(height_m, DISH | CARD), LENGTH, "m", 0, 100, NO_AIR, "",
             "a dish's: orchard.grass_height",
             "dish, card: above the ground. A dish at the height of the grass lies level with its tips; at 0 it "
             "gets what comes through the grass"),
    QUANTITY("collectors.*.width", COLLECTOR(width_m, DISH), LENGTH, "m", 0.01, 50, NO_AIR, "",
             "0.1 m, or a tenth of the distance where that is more (choice: over a tenth of its distance a drift "
             "curve is straight within 0.2 %)",
             "dish: across the rows. Results are per area; a wider dish has a smaller standard error"),
    QUANTITY("collectors.*.from", COLLECTOR(height_m, LINE), LENGTH, "m", 0, 100, NO_AIR, "0 m",
             "choice: from the ground", "line: its lower end"),
    QUANTITY("collectors.*.to", COLLECTOR(top_m, LINE), LENGTH, "m", 0.1, 100, NO_AIR, NULL, "", "line: its upper end"),
    QUANTITY("collectors.*.diameter", COLLECTOR(width_m, LINE), LENGTH, "mm", 0.1, 100, NO_AIR, "2 mm",
             "common practice in drift trials", "line"),
    QUANTITY("collectors.*.segment", COLLECTOR(segment_m, LINE), LENGTH, "m", 0.05, 100, NO_AIR, "0.5 m", "choice",
             "line: height of the pieces that are counted apart; they are made equal"),
    WORD("collectors.*.facing", BY_HAND_OF(CARD), facings, NO_AIR, "up", "choice", "card: direction of its front"),
    QUANTITY("collectors.*.angle", BY_HAND_OF(CARD), ANGLE, "deg", -180, 180, NO_AIR, "", "facing instead",
             "card: direction of its front, 0 towards +x, 90 deg up, 180 deg towards -x"),
    QUANTITY("collectors.*.size", COLLECTOR(width_m, CARD), LENGTH, "mm", 5, 1000, NO_AIR, "76 mm",
             "common practice: cards of 26 by 76 mm",
             "card: its edge across the rows; also the width that decides how well it catches small droplets"),
    WORD("collectors.*.surface", COLLECTOR(water_sensitive, CARD), surfaces, NO_AIR, "water_sensitive",
         "common practice", "card: on water-sensitive paper the coverage is worked out"),
    WORD("collectors.*.catch", COLLECTOR(leaf_like, CARD), catches, NO_AIR, "leaf",
         "choice: small droplets flow round a card as round a leaf",
         "card: `leaf`: small droplets flow round it as round a leaf of that width; `all`: whatever comes through "
         "from the front"),
};

const int scenario_n_keys = (int)(sizeof scenario_keys / sizeof scenario_keys[0]);
const scenario_table scenario_all_keys = {scenario_keys, sizeof scenario_keys / sizeof scenario_keys[0]};
