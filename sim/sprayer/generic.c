/* sim/sprayer/generic.c - reads the assumptions about generic tips from their one data file. */
#include "sprayer/generic.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"

/* Exit speed of a plain tip over what pressure alone would give. A swirl tip loses some in its chamber, a fan tip less:
 * 0.8 to 0.98 (common practice; no measured value for orchard tips at hand). */
#define VELOCITY_COEFFICIENT 0.9

extern const char sprayer_generic_tips_csv[];

enum { VALUE = 2, LOWEST = 4, HIGHEST = 5, STANDING = 6 }; /* columns of the file */

/* Start of a cell of the file; every kind has every parameter (a test reads them all). */
static const char *cell(const char *kind, const char *name, int column)
{
    char key[80];
    snprintf(key, sizeof key, "\n%s,%s,", kind, name);
    const char *row = strstr(sprayer_generic_tips_csv, key);
    assert(row);
    const char *at = row ? row + strlen(key) : ",,,,,";
    for (int i = VALUE; i < column; i++)
        at += strcspn(at, ",") + 1;
    return at;
}

static double parameter(const char *kind, const char *name)
{
    return strtod(cell(kind, name, VALUE), NULL);
}

static void standing(const char *kind, const char *name, char text[24])
{
    const char *at = cell(kind, name, STANDING);
    snprintf(text, 24, "%.*s", (int)strcspn(at, ","), at);
}

const char *sprayer_kind_name(scenario_tip_kind kind)
{
    static const char *const names[] = {[SCENARIO_HOLLOW_CONE_DISC_CORE] = "hollow_cone_disc_core",
                                        [SCENARIO_HOLLOW_CONE] = "hollow_cone",
                                        [SCENARIO_AIR_INDUCTION_HOLLOW_CONE] = "air_induction_hollow_cone",
                                        [SCENARIO_FLAT_FAN] = "flat_fan",
                                        [SCENARIO_AIR_INDUCTION_FLAT_FAN] = "air_induction_flat_fan"};
    return names[kind];
}

sprayer_generic sprayer_generic_tip(scenario_tip_kind kind)
{
    const char *name = sprayer_kind_name(kind);
    return (sprayer_generic){.dv50_m = 1e-6 * parameter(name, "dv50"),
                             .flow_m3_s = parameter(name, "flow") / 6e4,
                             .pressure_Pa = 1e5 * parameter(name, "pressure"),
                             .dv50_lowest_m = 1e-6 * strtod(cell(name, "dv50", LOWEST), NULL),
                             .dv50_highest_m = 1e-6 * strtod(cell(name, "dv50", HIGHEST), NULL),
                             .pressure_exponent = parameter(name, "pressure_exponent"),
                             .flow_exponent = parameter(name, "flow_exponent"),
                             .dv10_over_dv50 = parameter(name, "dv10_over_dv50"),
                             .dv90_over_dv50 = parameter(name, "dv90_over_dv50"),
                             .pressure_lowest_Pa = 1e5 * parameter(name, "pressure_lowest"),
                             .pressure_highest_Pa = 1e5 * parameter(name, "pressure_highest"),
                             .velocity_coefficient = VELOCITY_COEFFICIENT / parameter(name, "exit_area")};
}

double sprayer_generic_dv50_m(const sprayer_generic *tip, double flow_m3_s, double pressure_Pa)
{
    return tip->dv50_m * base_pow(flow_m3_s / tip->flow_m3_s, tip->flow_exponent)
           * base_pow(pressure_Pa / tip->pressure_Pa, tip->pressure_exponent);
}

void sprayer_generic_standing(scenario_tip_kind kind, char text[SPRAYER_STANDING])
{
    char size[24], exponent[24];
    standing(sprayer_kind_name(kind), "dv50", size);
    standing(sprayer_kind_name(kind), "pressure_exponent", exponent);
    snprintf(text, SPRAYER_STANDING, "Dv50 %s, exponent %s", size, exponent);
}
