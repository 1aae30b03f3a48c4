/* sim/sprayer/size_class.c - size class from borders that the scenario gives.
 *
 * ISO 25358 (as ASABE S572 before it) draws the border between two classes as the curve of volume over diameter of a
 * reference tip, measured on the laboratory's own instrument, and classes a spray by the curves between which its
 * Dv10, Dv50 and Dv90 lie (memory). A spray that crosses a curve counts here as the finest of the three classes,
 * since small droplets drift (common practice). On a border: the finer class. Left out: the measuring error of both
 * sides; three makes of one reference tip differed by up to 14, 34 and 74 um in Dv10, Dv50 and Dv90 on one
 * instrument (A. R. Womac, Trans. ASAE 43 (2000); abstract). */
#include "sprayer/size_class.h"

#include <stdio.h>
#include <string.h>

static double limit_m(const scenario_class_limit *limit, int i_diameter)
{
    return i_diameter == 0 ? limit->dv10_m : i_diameter == 1 ? limit->dv50_m : limit->dv90_m;
}

/* Number of borders that lie below the diameter. */
static int borders_below(const scenario_tip *tip, int i_diameter, double diameter_m)
{
    int n = 0;
    while (n < tip->n_limits && diameter_m > limit_m(&tip->limit[n], i_diameter))
        n++;
    return n;
}

static void write_class(const scenario_tip *tip, int n_below, char text[SPRAYER_CLASS_TEXT])
{
    if (tip->n_limits == 0) {
        text[0] = '\0';
        return;
    }
    const scenario_size_class from =
        n_below == 0 ? SCENARIO_EXTREMELY_FINE : (scenario_size_class)(tip->limit[n_below - 1].up_to + 1);
    const scenario_size_class to = n_below == tip->n_limits ? SCENARIO_ULTRA_COARSE : tip->limit[n_below].up_to;
    if (from == to)
        snprintf(text, SPRAYER_CLASS_TEXT, "%s", scenario_size_class_name(from));
    else if (from == SCENARIO_EXTREMELY_FINE)
        snprintf(text, SPRAYER_CLASS_TEXT, "%s or finer", scenario_size_class_name(to));
    else if (to == SCENARIO_ULTRA_COARSE)
        snprintf(text, SPRAYER_CLASS_TEXT, "%s or coarser", scenario_size_class_name(from));
    else
        snprintf(text, SPRAYER_CLASS_TEXT, "%s to %s", scenario_size_class_name(from), scenario_size_class_name(to));
    for (char *c = text; *c; c++)
        if (*c == '_') *c = ' ';
}

void sprayer_size_class_by(const scenario_tip *tip, int i_diameter, double diameter_m, char text[SPRAYER_CLASS_TEXT])
{
    write_class(tip, borders_below(tip, i_diameter, diameter_m), text);
}

void sprayer_size_class_of(const scenario_tip *tip, sprayer_spray *spray)
{
    const double diameter_m[] = {spray->dv10_m, spray->dv50_m, spray->dv90_m};
    int least = tip->n_limits;
    for (int i = 0; i < 3; i++) {
        const int n = borders_below(tip, i, diameter_m[i]);
        least = n < least ? n : least;
    }
    write_class(tip, least, spray->size_class);
}
