/* sim/sheet/class_sheet.c - one sheet for a class: the numbers of a sprayer and sums to do by hand, each with the
 * formula that the other sheets use. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/number.h"
#include "base/status.h"
#include "scenario/units.h"
#include "sheet/air_fit.h"
#include "sheet/canopy_dose.h"
#include "sheet/catch.h"
#include "sheet/heights.h"
#include "sheet/record.h"
#include "sprayer/nozzle_names.h"

#define CAUGHT_S 30.0    /* of the catch test on the sheet */
#define CAUGHT_MORE 1.15 /* over a new tip: worn by 15 %, so that it is to be replaced */
#define AREA_RATIO 6.0   /* hectares, or acres, of the job on the sheet; choice */

typedef struct {
    sheet *s;
    const drupelet_scenario *scenario;
    const sprayer_work *work;
    bool answers;
    int n;
} class_sheet;

/* A sum: what is asked, the formula, and a line or the answer. */
static void ask(class_sheet *c, const char *key, const char *question, const char *formula, sheet_measure measure,
                double answer_si)
{
    char label[48], answer[48];
    snprintf(label, sizeof label, "%d. answer", ++c->n);
    sheet_note(c->s, "%d. %s %s", c->n, question, formula);
    sheet_quantity(measure, sheet_system_of(c->s), answer_si, answer, sizeof answer);
    if (c->answers)
        sheet_value(c->s, key, label, measure, answer_si, "");
    else
        sheet_blank(c->s, label);
}

static double flow_m3_s(const sprayer_work *work)
{
    double flow = 0.0;
    for (int i = 0; i < work->n_nozzles; i++)
        flow += work->nozzle[i].flow_m3_s;
    return flow;
}

/* Of the first nozzle that sprays. */
static double nozzle_m3_s(const sprayer_work *work)
{
    int i = 0;
    while (i + 1 < work->n_nozzles && !(work->nozzle[i].flow_m3_s > 0.0))
        i++;
    return work->nozzle[i].flow_m3_s;
}

static void put_given(class_sheet *c)
{
    static const sheet_column sprayer[] = {{"travel_speed", "travel speed", SHEET_TRAVEL_SPEED, false},
                                           {"nozzles", "nozzles", SHEET_COUNT, false},
                                           {"nozzle_flow", "flow of one", SHEET_FLOW, false},
                                           {"flow", "flow of all", SHEET_FLOW, false},
                                           {"tank", "tank", SHEET_VOLUME, false},
                                           {"fan_flow", "air of the fan", SHEET_AIR_FLOW, false}};
    static const sheet_column block[] = {{"row_spacing", "row spacing", SHEET_LENGTH, false},
                                         {"height", "canopy height", SHEET_LENGTH, false},
                                         {"base", "lowest leaves", SHEET_LENGTH, false},
                                         {"width", "width across the row", SHEET_LENGTH, false}};
    const scenario_canopy *canopy = &c->scenario->canopy;
    sheet_section(c->s, "given", "The sprayer and the block");
    sheet_table(c->s, "sprayer", 6, sprayer);
    sheet_row(c->s, (sheet_cell[]){{.value_si = c->scenario->sprayer.travel_speed_m_s},
                                   {.value_si = c->work->n_nozzles},
                                   {.value_si = nozzle_m3_s(c->work)},
                                   {.value_si = flow_m3_s(c->work)},
                                   {.value_si = c->scenario->sprayer.tank_m3},
                                   {.value_si = c->work->fan_flow_m3_s}});
    sheet_table(c->s, "block", 4, block);
    sheet_row(c->s, (sheet_cell[]){{.value_si = c->scenario->orchard.row_spacing_m},
                                   {.value_si = canopy->height_m},
                                   {.value_si = canopy->base_m},
                                   {.value_si = canopy->width_m}});
}

static void put_sums(class_sheet *c)
{
    const drupelet_scenario *scenario = c->scenario;
    const sheet_system system = sheet_system_of(c->s);
    const bool us = system == SHEET_US;
    const double course_m = scenario_units_to_si(SCENARIO_LENGTH, us ? "ft" : "m", us ? 100.0 : 50.0);
    const double area_m2 = AREA_RATIO / sheet_in_unit(SHEET_AREA, system, 1.0);
    const double volume_m3 = c->work->application_rate_m * area_m2, tank_m3 = scenario->sprayer.tank_m3;
    const double caught_m3 = CAUGHT_MORE * CAUGHT_S * nozzle_m3_s(c->work);
    const sheet_air_fit fit = sheet_air_fit_of(scenario, c->work);
    char text[200];
    sheet_section(c->s, "sums", "Work it out");
    ask(c, "course", us ? "How long do 100 ft take?" : "How long do 50 m take?",
        us ? "seconds = feet / (mph x 1.467)" : "seconds = m x 3.6 / (km/h)", SHEET_SECONDS,
        course_m / scenario->sprayer.travel_speed_m_s);
    ask(c, "rate", "Which rate does the sprayer give, every row from both sides?",
        us ? "gal/acre = gal/min x 495 / (mph x ft of row spacing)" : "L/ha = L/min x 600 / (km/h x m of row spacing)",
        SHEET_RATE, flow_m3_s(c->work) / scenario->sprayer.travel_speed_m_s / scenario->orchard.row_spacing_m);
    snprintf(text, sizeof text, "%g %s are sprayed at %.4g %s. How much spray does the last tank hold?", AREA_RATIO,
             us ? "acres" : "ha", sheet_in_unit(SHEET_RATE, system, c->work->application_rate_m),
             sheet_unit(SHEET_RATE, system));
    ask(c, "last_tank", text, "spray = area x rate; take off full tanks", SHEET_VOLUME,
        volume_m3 - tank_m3 * floor(volume_m3 / tank_m3 * (1.0 + BASE_ROUNDING)));
    ask(c, "row_volume", "How large is the tree row volume?",
        us ? "ft3/acre = height x width x 43560 / row spacing" : "m3/ha = height x width x 10000 / row spacing",
        SHEET_ROW_VOLUME, sheet_row_volume_m(scenario));
    ask(c, "wall_area", "And the leaf wall area?",
        us ? "ft2/acre = 2 x (height - lowest leaves) x 43560 / row spacing"
           : "m2/ha = 2 x (height - lowest leaves) x 10000 / row spacing",
        SHEET_WALL_AREA, sheet_wall_area_m2_m2(scenario));
    char caught[40];
    if (us)
        snprintf(caught, sizeof caught, "%.1f fl oz",
                 SHEET_FLUID_OUNCES_A_GALLON * caught_m3 / scenario_units_to_si(SCENARIO_VOLUME, "gal", 1.0));
    else
        snprintf(caught, sizeof caught, "%.0f mL", caught_m3 / scenario_units_to_si(SCENARIO_VOLUME, "mL", 1.0));
    snprintf(
        text, sizeof text,
        "A nozzle of those gives %s in %g s. By how much is it worn? (More than %g %%: replace it, common practice.)",
        caught, CAUGHT_S, 100.0 * SPRAYER_WORN_MOST);
    ask(c, "worn", text, "worn = caught / new - 1", SHEET_PERCENT, CAUGHT_MORE - 1.0);
    if (c->work->fan_flow_m3_s > 0.0)
        ask(c, "fastest",
            "Up to which speed does the fan's air displace that of the row (rule of thumb, common practice)?",
            us ? "cfm = 88 x mph x ft from pass to pass x ft of height / R, R up to 2.5 dense, 3 usual, 3.5 open"
               : "m3/h = 1000 x km/h x m from pass to pass x m of height / R, R up to 2.5 dense, 3 usual, 3.5 open",
            SHEET_TRAVEL_SPEED, fit.speed_m_s[1]);
}

drupelet_status sheet_put_class(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, bool answers)
{
    class_sheet c = {s, scenario, work, answers, 0};
    const double layer_m = sheet_system_of(s) == SHEET_US ? scenario_units_to_si(SCENARIO_LENGTH, "ft", 1.0) : 0.25;
    sheet_heights *heights = malloc(sizeof *heights);
    drupelet_status status = heights ? sheet_heights_of(scenario, work, layer_m, heights)
                                     : base_error(DRUPELET_MEMORY, "no memory for the class's sheet");
    if (status.code == DRUPELET_OK) {
        put_given(&c);
        put_sums(&c);
        sheet_section(s, NULL,
                      "Where do the nozzles point, and where are the leaves? Which nozzle would you turn or shut?");
        sheet_picture(s, sheet_heights_picture(scenario, heights, sheet_system_of(s)));
        if (!answers) sheet_blank(s, "answer");
        status = sheet_status(s);
    }
    free(heights);
    return status;
}
