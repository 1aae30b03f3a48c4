/* sim/scenario/colour_code.c - sizes of tips by flow, ISO 10625: the colour names the flow at 40 psi, a tenth of a US
 * gallon a minute for size 01. Brought to 300 kPa by the square-root law. The standard leaves disc-and-core sets out.
 */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "scenario/scenario.h"
#include "scenario/units.h"

static const struct {
    const char *size, *colour;
    double gallons_min;
} codes[] = {{"005", "purple", 0.050}, {"0067", "olive", 0.067}, {"0075", "pink", 0.075}, /* memory, with 10, 15, 20 */
             {"01", "orange", 0.10},   {"015", "green", 0.15},   {"02", "yellow", 0.20},
             {"025", "lilac", 0.25},   {"03", "blue", 0.30},     {"04", "red", 0.40},
             {"05", "brown", 0.50},    {"06", "grey", 0.60},     {"08", "white", 0.80},
             {"10", "light blue", 1.0}, {"15", "light green", 1.5}, {"20", "black", 2.0}};

double scenario_size_flow_m3_s(const char *size)
{
    for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++)
        if (strcmp(size, codes[i].size) == 0)
            return scenario_units_to_si(SCENARIO_LIQUID_FLOW, "gpm", codes[i].gallons_min)
                   * sqrt(SCENARIO_SIZE_PRESSURE_PA / scenario_units_to_si(SCENARIO_PRESSURE, "psi", 40.0));
    return 0.0;
}

const char *scenario_size_colour(const char *size)
{
    for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++)
        if (strcmp(size, codes[i].size) == 0)
            return codes[i].colour;
    return "";
}

const char *scenario_size_at(int i)
{
    return i >= 0 && i < (int)(sizeof codes / sizeof codes[0]) ? codes[i].size : NULL;
}
