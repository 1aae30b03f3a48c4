/* sim/scenario/keys.c - the one place of ranges and defaults. Ranges keep out slips of the pen and what the models
 * were not made for; they are choices. "choice" in a reason: picked here, inside what is published or common, not
 * measured. */
#include "scenario/keys.h"

#include <stdbool.h>
#include <string.h>

#include "scenario/scenario.h"

#define QUANTITY(path, kind, unit, low, high, otherwise, reason) \
    {path, SCENARIO_IS_QUANTITY, SCENARIO_##kind, unit, low, high, otherwise, reason}
#define COUNT(path, low, high, otherwise, reason) \
    {path, SCENARIO_IS_COUNT, SCENARIO_RATIO, "", low, high, otherwise, reason}
#define WORD(path, words, otherwise, reason) \
    {path, SCENARIO_IS_WORD, SCENARIO_RATIO, words, 0, 0, otherwise, reason}
#define TEXT(path, otherwise, reason) \
    {path, SCENARIO_IS_TEXT, SCENARIO_RATIO, "", 0, SCENARIO_TEXT - 1, otherwise, reason}
#define GROUND_WORD(d) SCENARIO_GROUND_NAME(d) ", "
#define AIRBORNE_WORD(d) SCENARIO_AIRBORNE_NAME(d) ", "
#define SUM_WORD(d) SCENARIO_SUM_NAME(d) ", "
#define LIST(path, of, low, high, otherwise, reason) \
    {path, SCENARIO_IS_LIST, SCENARIO_RATIO, of, low, high, otherwise, reason}

const scenario_key scenario_keys[] = {
    TEXT("name", "", "name of the file without its ending"),
    TEXT("place", "", "none"),

    COUNT("orchard.rows", 1, SCENARIO_ROWS, NULL, ""),
    QUANTITY("orchard.row_spacing", LENGTH, "m", 1, 15, NULL, ""),
    QUANTITY("orchard.tree_spacing", LENGTH, "m", 0.3, 15, NULL, ""),
    COUNT("orchard.trees", 1, 64, "",
          "as many as make about 10 m of row (choice: several trees before the pattern repeats)"),
    QUANTITY("orchard.grass_height", LENGTH, "m", 0, 1, "0.10 m", "choice: a mown alley"),
    QUANTITY("orchard.grass_leaf_area_index", RATIO, "", 0, 10, "1.5", "choice: short grass"),
    QUANTITY("orchard.grass_blade_width", LENGTH, "mm", 0.5, 50, "5 mm", "choice: blades of meadow grass, 2 to 8 mm"),

    {"canopy.measured", SCENARIO_IS_TEXT, SCENARIO_RATIO, "", 0, SCENARIO_FILE - 1, "", "grown from the keys below"},
    WORD("canopy.crown", "wall, cone, globe, bowl", NULL, ""),
    QUANTITY("canopy.height", LENGTH, "m", 0.5, 12, NULL, ""),
    QUANTITY("canopy.base", LENGTH, "m", 0, 5, NULL, ""),
    QUANTITY("canopy.width", LENGTH, "m", 0.1, 12, NULL, ""),
    QUANTITY("canopy.leaf_area_index", RATIO, "", 0, 10, NULL, ""),
    LIST("canopy.profile", "[height, density] pairs", 2, SCENARIO_PROFILE, "", "uniform within the crown (choice)"),
    QUANTITY("canopy.gaps", SHARE, "%", 0, 90, "10 %", "choice"),
    QUANTITY("canopy.tree_variation", SHARE, "%", 0, 50, "15 %", "choice"),
    QUANTITY("canopy.wood_area_index", RATIO, "", 0, 2, "0.15",
             "choice inside 0.05 to 0.30 of dormant trees (memory, low)"),
    QUANTITY("canopy.wood_diameter", LENGTH, "mm", 1, 300, "15 mm", "choice inside 3 to 50 mm (memory, low)"),
    QUANTITY("canopy.clumping", RATIO, "", 0.1, 1, "0.8", "choice inside the published 0.6 to 0.9 of rows (memory)"),
    QUANTITY("canopy.drag_coefficient", RATIO, "", 0, 1, "0.2",
             "G. G. Katul, L. Mahrt, D. Poggi, C. Sanz, Bound.-Layer Meteorol. 113 (2004) 81"),
    QUANTITY("canopy.leaf_width", LENGTH, "mm", 2, 300, "45 mm", "choice: apple, 35 to 60 mm (memory)"),
    QUANTITY("canopy.leaf_angle_ratio", RATIO, "", 0.1, 10, "1.5",
             "choice: leaves somewhat flatter than spherical (1)"),
    WORD("canopy.leaf",
         "none, deciduous, apple, pear, cherry, grape_smooth, grape_hairy, citrus, olive, mango, tea, cabbage, maize, "
         "dracaena",
         "none", "the sides as they are given"),
    WORD("canopy.leaf_age", "young, old", "old", "choice: full-grown leaves"),
    WORD("canopy.upper_side", "easy, medium, hard, very_hard", "medium", "choice: apple"),
    QUANTITY("canopy.upper_contact_angle", ANGLE, "deg", 20, 170, "", "of the class or the leaf"),
    QUANTITY("canopy.upper_receding_angle", ANGLE, "deg", 5, 165, "", "of the class, the leaf or the contact angle"),
    QUANTITY("canopy.upper_shatter_limit", RATIO, "", 20, 400, "", "of the class, the leaf or the contact angle"),
    WORD("canopy.lower_side", "easy, medium, hard, very_hard", "hard", "choice: apple"),
    QUANTITY("canopy.lower_contact_angle", ANGLE, "deg", 20, 170, "", "of the class or the leaf"),
    QUANTITY("canopy.lower_receding_angle", ANGLE, "deg", 5, 165, "", "of the class, the leaf or the contact angle"),
    QUANTITY("canopy.lower_shatter_limit", RATIO, "", 20, 400, "", "of the class, the leaf or the contact angle"),
    QUANTITY("canopy.wet_share", SHARE, "%", 0, 100, "0 %", "choice: dry leaves"),
    QUANTITY("canopy.retention", LIQUID_LAYER, "L/m2", 0.02, 0.5, "0.15 L/m2",
             "choice inside 0.12 to 0.19 of ten tree species (storage of rain on leaves)"),
    QUANTITY("canopy.voxel", LENGTH, "m", 0.05, 0.5, "0.2 m", "choice: six or so across a crown"),

    WORD("tips.*.kind",
         "hollow_cone_disc_core, hollow_cone, air_induction_hollow_cone, flat_fan, air_induction_flat_fan", NULL, ""),
    WORD("tips.*.size", "005, 0067, 0075, 01, 015, 02, 025, 03, 04, 05, 06, 08, 10, 15, 20", "",
         "flow and flow_pressure instead"),
    QUANTITY("tips.*.flow", LIQUID_FLOW, "L/min", 0.05, 30, "",
             "by the size: 0.1 gal/min at 40 psi a step, brought to 3 bar"),
    QUANTITY("tips.*.flow_pressure", PRESSURE, "bar", 0.5, 60, "", "3 bar where the size is given"),
    QUANTITY("tips.*.cone_angle", ANGLE, "deg", 10, 160, "80 deg",
             "common practice, hollow cones; a flat fan's must be given"),
    QUANTITY("tips.*.air_share", SHARE, "%", 0, 60, "0 %", "choice: no measured air content is published"),
    WORD("tips.*.spectrum.form", "log_normal, rosin_rammler, upper_limit", "",
         "generic spectrum of the kind, size and pressure"),
    QUANTITY("tips.*.spectrum.dv10", LENGTH, "um", 5, 3000, NULL, ""),
    QUANTITY("tips.*.spectrum.dv50", LENGTH, "um", 5, 3000, NULL, ""),
    QUANTITY("tips.*.spectrum.dv90", LENGTH, "um", 5, 3000, NULL, ""),
    QUANTITY("tips.*.spectrum.pressure", PRESSURE, "bar", 0.5, 60, "", "the nozzle's own pressure"),
    LIST("tips.*.spectrum.table", "[diameter, share below] pairs", 3, SCENARIO_SPECTRUM, "",
         "generic spectrum of the kind, size and pressure"),
    LIST("tips.*.classes", "[class, dv10, dv50, dv90] rows", 1, SCENARIO_LIMITS, "", "no size class"),

    QUANTITY("sprayer.travel_speed", SPEED, "km/h", 0, 15, NULL, ""),
    LIST("sprayer.alleys", "numbers of alleys", 1, SCENARIO_ROWS + 1, "all", "choice: every alley is driven"),
    WORD("sprayer.direction", "alternate, same", "alternate", "common practice: up one alley, down the next"),
    WORD("sprayer.shut_outside", "yes, no, true, false", "yes", "common practice"),
    LIST("sprayer.shut", "{alley, row, air} entries", 1, 2 * (SCENARIO_ROWS + 1), "", "nothing more is shut (choice)"),
    COUNT("sprayer.shut.*.alley", 0, SCENARIO_ROWS, NULL, ""),
    COUNT("sprayer.shut.*.row", 0, SCENARIO_ROWS + 1, NULL, ""),
    WORD("sprayer.shut.*.air", "yes, no, true, false", "no", "choice, the fan's air goes on"),
    QUANTITY("sprayer.tank", VOLUME, "L", 1, 20000, "1000 L", "choice"),
    QUANTITY("sprayer.fan.reference_speed", ROTATION, "rpm", 50, 10000, NULL, ""),
    QUANTITY("sprayer.fan.reference_flow", AIR_FLOW, "m3/s", 0.1, 40, NULL, ""),
    QUANTITY("sprayer.fan.reference_power", POWER, "kW", 0.1, 200, NULL, ""),
    QUANTITY("sprayer.fan.speed", ROTATION, "rpm", 0, 10000, "", "reference_speed"),
    LIST("sprayer.outlets", "air outlets", 1, SCENARIO_OUTLETS, NULL, ""),
    WORD("sprayer.outlets.*.kind", "arc, slot, spout", NULL, ""),
    WORD("sprayer.outlets.*.side", "left, right, both", "both", "common practice: machines are symmetric"),
    QUANTITY("sprayer.outlets.*.slot", LENGTH, "mm", 10, 500, NULL, ""),
    QUANTITY("sprayer.outlets.*.share", SHARE, "%", 0, 100, "", "by area (choice: the same air speed everywhere)"),
    QUANTITY("sprayer.outlets.*.centre_height", LENGTH, "m", 0.2, 4, NULL, ""),
    QUANTITY("sprayer.outlets.*.radius", LENGTH, "m", 0.1, 1.5, NULL, ""),
    QUANTITY("sprayer.outlets.*.from", ANGLE, "deg", -90, 90, NULL, ""),
    QUANTITY("sprayer.outlets.*.to", ANGLE, "deg", -90, 90, NULL, ""),
    QUANTITY("sprayer.outlets.*.offset", LENGTH, "m", 0, 3, NULL, ""),
    QUANTITY("sprayer.outlets.*.bottom", LENGTH, "m", 0.05, 6, NULL, ""),
    QUANTITY("sprayer.outlets.*.top", LENGTH, "m", 0.1, 6, NULL, ""),
    QUANTITY("sprayer.outlets.*.tilt", ANGLE, "deg", -60, 60, "0 deg", "choice: air blown level"),
    QUANTITY("sprayer.outlets.*.diameter", LENGTH, "mm", 30, 600, NULL, ""),
    QUANTITY("sprayer.outlets.*.height", LENGTH, "m", 0.1, 6, NULL, ""),
    QUANTITY("sprayer.outlets.*.back", ANGLE, "deg", -60, 60, "0 deg", "choice: air blown straight across"),
    QUANTITY("sprayer.pressure", PRESSURE, "bar", 0.5, 60, "", "each nozzle's own"),
    LIST("sprayer.nozzles", "nozzles", 1, SCENARIO_NOZZLES, NULL, ""),
    WORD("sprayer.nozzles.*.side", "left, right, both", "both", "common practice: machines are symmetric"),
    TEXT("sprayer.nozzles.*.tip", NULL, ""),
    QUANTITY("sprayer.nozzles.*.offset", LENGTH, "m", 0, 3, NULL, ""),
    QUANTITY("sprayer.nozzles.*.height", LENGTH, "m", 0.1, 6, NULL, ""),
    QUANTITY("sprayer.nozzles.*.angle", ANGLE, "deg", -90, 90, NULL, ""),
    QUANTITY("sprayer.nozzles.*.behind", LENGTH, "m", -1, 3, "0 m", "choice: nozzles in the air outlets"),
    QUANTITY("sprayer.nozzles.*.pressure", PRESSURE, "bar", 0.5, 60, "", "sprayer.pressure"),
    QUANTITY("sprayer.nozzles.*.worn", SHARE, "%", 0, 50, "0 %", "choice: a new tip"),
    WORD("sprayer.nozzles.*.plugged", "yes, no, true, false", "no", "common practice: all tips are clean"),

    QUANTITY("weather.temperature", TEMPERATURE, "degC", 0, 50, NULL, ""),
    QUANTITY("weather.relative_humidity", SHARE, "%", 1, 100, NULL, ""),
    QUANTITY("weather.pressure", PRESSURE, "hPa", 500, 1100, "1013.25 hPa", "standard atmosphere, ISO 2533"),
    QUANTITY("weather.wind_speed", SPEED, "m/s", 0, 15, NULL, ""),
    QUANTITY("weather.wind_height", LENGTH, "m", 1, 30, "2 m", "common practice in drift trials"),
    QUANTITY("weather.wind_angle", ANGLE, "deg", -360, 360, "0 deg", "choice: straight across the rows"),
    QUANTITY("weather.roughness", LENGTH, "m", 0.0005, 0.3, "0.03 m", "common practice: grass, open flat ground"),
    QUANTITY("weather.obukhov_length", LENGTH, "m", -100000, 100000, "", "neutral air, or from the hour and the cloud"),
    QUANTITY("weather.hour", TIME, "h", 0, 24, "", "neutral air, or by obukhov_length"),
    QUANTITY("weather.cloud", SHARE, "%", 0, 100, "", "must be given where hour is"),
    COUNT("weather.day_of_year", 1, 366, "172", "choice: midsummer of the north"),
    QUANTITY("weather.latitude", ANGLE, "deg", -66, 66, "45 deg", "choice"),
    QUANTITY("weather.gusts", SHARE, "%", 1, 100, "", "as turbulence of the surface layer has it"),

    QUANTITY("liquid.solids", SHARE, "%", 0, 40, "0 %", "choice: nothing in suspension"),
    QUANTITY("liquid.nonvolatile", SHARE, "%", 0, 50, "0.5 %", "choice: a usual tank mix is nearly all water"),
    QUANTITY("liquid.density", DENSITY, "kg/m3", 700, 1500, "", "of water at weather.temperature"),
    WORD("liquid.surfactant", "none, wetter, spreader", "none", "choice: plain water"),
    LIST("liquid.dynamic_surface_tension", "[surface age, tension] pairs", 2, SCENARIO_TENSIONS, "",
         "liquid.surface_tension at every age"),
    QUANTITY("liquid.surface_tension", SURFACE_TENSION, "mN/m", 15, 80, "", "of water at weather.temperature"),
    QUANTITY("liquid.viscosity", VISCOSITY, "mPa s", 0.2, 100, "", "of water at weather.temperature"),
    QUANTITY("liquid.temperature", TEMPERATURE, "degC", 0, 60, "", "weather.temperature"),

    COUNT("run.droplets", 1000, 1e12, "200000", "choice"),
    QUANTITY("run.target_error", SHARE, "%", 0.01, 50, "", "none: all of run.droplets fly"),
    WORD("run.target",
         SCENARIO_DRIFT(GROUND_WORD, AIRBORNE_WORD, SUM_WORD)
         "evaporated, leaf, wood, ground_alley, ground_row, ground_downwind, ground_upwind, air_downwind, air_above, "
         "air_upwind, aloft",
         "airborne_5_m",
         "choice: what passes the nearest of the usual buffers in the air, known from some thousand droplets"),
    WORD("run.sampling", "stratified, plain", "stratified", "choice: fewer droplets for the same error"),
    COUNT("run.seed", 0, 18446744073709551615.0, "1", "choice"),
    QUANTITY("run.time_limit", TIME, "s", 10, 36000, "",
             "6 times the width of block and open ground over the wind across the rows, 180 s to 3600 s; 180 s in "
             "still air"),
    QUANTITY("run.domain_top", LENGTH, "m", 7, 100, "20 m", "choice: several tree heights"),
    QUANTITY("run.open_ground", LENGTH, "m", 100, 1000, "100 m", "choice: as far as published drift tables go"),
    QUANTITY("run.air_cell", LENGTH, "m", 0.05, 0.5, "0.2 m", "choice: the edge of a voxel"),
    QUANTITY("run.step", RATIO, "", 0.25, 4, "1", "choice: docs/validation.md shows what half and double do"),
    WORD("run.ventilation", "ranz_marshall, beard_pruppacher", "ranz_marshall",
         "choice: nobody has settled which is right in a jet"),
    WORD("run.droplet_temperature", "steady, transient", "steady",
         "choice: a droplet reaches its steady temperature in a fraction of a second"),
    WORD("run.spray_humidity", "no, yes, false, true", "no",
         "choice: the settings sheet says when it would matter"),

    LIST("collectors", "collectors", 0, SCENARIO_COLLECTORS, "", "none"),
    TEXT("collectors.*.name", NULL, ""),
    WORD("collectors.*.kind", "dish, line, card", NULL, ""),
    QUANTITY("collectors.*.distance", LENGTH, "m", -1000, 1000, "", "x or row instead"),
    QUANTITY("collectors.*.x", LENGTH, "m", -2000, 2000, "", "distance or row instead"),
    COUNT("collectors.*.row", 1, SCENARIO_ROWS, "", "distance or x instead"),
    QUANTITY("collectors.*.offset", LENGTH, "m", -15, 15, "0 m", "choice: in the row line"),
    QUANTITY("collectors.*.height", LENGTH, "m", 0, 100, "", "a dish's: orchard.grass_height"),
    QUANTITY("collectors.*.width", LENGTH, "m", 0.01, 50, "", "0.1 m, or a tenth of the distance where that is more"),
    QUANTITY("collectors.*.from", LENGTH, "m", 0, 100, "0 m", "choice: from the ground"),
    QUANTITY("collectors.*.to", LENGTH, "m", 0.1, 100, NULL, ""),
    QUANTITY("collectors.*.diameter", LENGTH, "mm", 0.1, 100, "2 mm", "common practice in drift trials"),
    QUANTITY("collectors.*.segment", LENGTH, "m", 0.05, 100, "0.5 m", "choice"),
    WORD("collectors.*.facing", "up, down, towards_plus_x, towards_minus_x", "up", "choice"),
    QUANTITY("collectors.*.angle", ANGLE, "deg", -180, 180, "", "facing instead"),
    QUANTITY("collectors.*.size", LENGTH, "mm", 5, 1000, "76 mm", "common practice: cards of 26 by 76 mm"),
    WORD("collectors.*.surface", "water_sensitive, plain", "water_sensitive", "common practice"),
    WORD("collectors.*.catch", "leaf, all", "leaf", "choice: small droplets flow round a card as round a leaf"),
};

const int scenario_n_keys = (int)(sizeof scenario_keys / sizeof scenario_keys[0]);

const scenario_key *scenario_key_of(const char *path)
{
    for (int i = 0; i < scenario_n_keys; i++)
        if (strcmp(scenario_keys[i].path, path) == 0)
            return &scenario_keys[i];
    return NULL;
}

/* Name that follows a group in a path, or NULL where the path does not lie in it. */
static const char *name_in(const char *path, const char *group, int *n)
{
    const size_t length = strlen(group);
    if (length > 0 && (strncmp(path, group, length) != 0 || path[length] != '.'))
        return NULL;
    const char *name = length > 0 ? path + length + 1 : path;
    *n = (int)strcspn(name, ".");
    return name;
}

const char *scenario_key_in(const char *group, int i, int *n)
{
    const char *former = "";
    int n_former = 0;
    for (int k = 0; k < scenario_n_keys; k++) {
        const char *name = name_in(scenario_keys[k].path, group, n);
        if (!name || (*n == n_former && strncmp(name, former, (size_t)*n) == 0))
            continue; /* keys of one group stand together */
        former = name;
        n_former = *n;
        if (i-- == 0)
            return name;
    }
    return NULL;
}
