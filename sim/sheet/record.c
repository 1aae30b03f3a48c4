/* sim/sheet/record.c - the field record of a job. What law and label want in a record differs from place to place: here
 * stand the usual fields (common practice), and room for more. */
#include "sheet/record.h"

#include <math.h>
#include <stdio.h>

#include "base/elementary.h"
#include "sheet/job.h"
#include "sprayer/generic.h"

static void put_who(sheet *s)
{
    sheet_section(s, NULL, "When and who");
    sheet_blank(s, "date");
    sheet_blank(s, "start, end");
    sheet_blank(s, "sprayed by, licence number");
    sheet_blank(s, "for whom, in whose charge");
}

static void put_where(sheet *s, const drupelet_scenario *scenario, const sheet_job_done *job)
{
    const scenario_canopy *c = &scenario->canopy;
    sheet_section(s, "block", "The block");
    sheet_words(s, "name", "block", "%s%s%s", scenario->name, scenario->place[0] != '\0' ? ", " : "", scenario->place);
    if (isnan(job->area_m2))
        sheet_blank(s, "area sprayed");
    else
        sheet_value(s, "area", "area", SHEET_AREA, job->area_m2, "as given");
    sheet_blank(s, "crop, variety, growth stage");
    char spacing[24], height[24], width[24];
    const sheet_system system = sheet_system_of(s);
    sheet_quantity(SHEET_LENGTH, system, scenario->orchard.row_spacing_m, spacing, sizeof spacing);
    sheet_quantity(SHEET_LENGTH, system, c->height_m, height, sizeof height);
    sheet_quantity(SHEET_LENGTH, system, c->width_m, width, sizeof width);
    sheet_words(s, "canopy", "rows", "%s apart, canopy %s high and %s wide", spacing, height, width);
    sheet_blank(s, "neighbours, water, buffer kept");
}

static void put_product(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work,
                        const sheet_job_done *done)
{
    sheet_job job = sheet_job_none();
    job.area_m2 = done->area_m2;
    job.dosed = done->dosed;
    job.dose = done->dose;
    const sheet_job_numbers n = sheet_job_work_out(scenario, work, &job);
    const double area = sheet_in_unit(SHEET_AREA, sheet_system_of(s), 1.0);
    sheet_section(s, "product", "Product (the label decides)");
    if (done->product)
        sheet_words(s, "product", "product", "%s", done->product);
    else
        sheet_blank(s, "product");
    sheet_blank(s, "registration number, batch");
    sheet_blank(s, "against what");
    if (done->dosed) {
        sheet_words(s, "dose", "dose", "%.4g %s/%s; %.4g %s into a full tank", n.product_per_m2 / area, done->dose.unit,
                    sheet_system_of(s) == SHEET_US ? "acre" : "ha", n.product_tank, done->dose.unit);
    } else {
        sheet_blank(s, "dose");
    }
    sheet_value(s, "rate", "application rate, planned", SHEET_RATE, work->application_rate_m, "");
    if (!isnan(n.volume_m3)) sheet_value(s, "volume", "spray, planned", SHEET_VOLUME, n.volume_m3, "");
    if (done->dosed && !isnan(n.product))
        sheet_words(s, "product_planned", "product, planned", "%.4g %s", n.product, done->dose.unit);
    sheet_blank(s, "used: product, spray, tanks filled");
    sheet_blank(s, "re-entry and harvest not before");
}

static void put_sprayer(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work)
{
    static const sheet_column columns[] = {{"tip", "tip", 0, true},
                                           {"kind", "kind", 0, true},
                                           {"size", "size", 0, true},
                                           {"nozzles", "open", SHEET_COUNT, false},
                                           {"pressure", "pressure", SHEET_PRESSURE, false},
                                           {"flow", "flow, each new", SHEET_FLOW, false},
                                           {"dv50", "Dv50", SHEET_DROPLET, false}};
    sheet_section(s, "sprayer", "The sprayer");
    sheet_blank(s, "sprayer, tractor, gear");
    char speed[32], fan[32];
    sheet_quantity(SHEET_TRAVEL_SPEED, sheet_system_of(s), scenario->sprayer.travel_speed_m_s, speed, sizeof speed);
    sheet_quantity(SHEET_ROTATION, sheet_system_of(s), scenario->sprayer.fan_rpm, fan, sizeof fan);
    sheet_words(s, "set", "set to", "%s, fan at %s", speed, fan);
    sheet_table(s, "tips", 7, columns);
    for (int i = 0; i < work->n_sprays; i++) {
        const sprayer_spray *spray = &work->spray[i];
        const scenario_tip *tip = &scenario->tip[spray->i_tip];
        int n = 0;
        for (int k = 0; k < work->n_nozzles; k++)
            n += work->nozzle[k].i_spray == i && work->nozzle[k].flow_m3_s > 0.0;
        if (n == 0) continue;
        sheet_row(s, (sheet_cell[]){
                         {.words = tip->name},
                         {.words = sprayer_kind_name(tip->kind)},
                         {.words = tip->size},
                         {.value_si = n},
                         {.value_si = spray->pressure_Pa},
                         {.value_si = sprayer_flow_m3_s(tip->flow_m3_s, tip->flow_pressure_Pa, spray->pressure_Pa)},
                         {.value_si = spray->dv50_m}});
    }
}

static void put_weather(sheet *s, const drupelet_scenario *scenario)
{
    static const sheet_column columns[] = {{"what", "", 0, true},
                                           {"planned", "planned", 0, true},
                                           {NULL, "at the start", 0, true},
                                           {NULL, "half way", 0, true},
                                           {NULL, "at the end", 0, true}};
    const scenario_weather *w = &scenario->weather;
    const sheet_system system = sheet_system_of(s);
    char wind[40], air[40], wet[40];
    sheet_quantity(SHEET_AIR_SPEED, system, w->wind_speed_m_s, wind, sizeof wind);
    sheet_quantity(SHEET_TEMPERATURE, system, w->temperature_K, air, sizeof air);
    sheet_quantity(SHEET_PERCENT, system, w->relative_humidity, wet, sizeof wet);
    const char *const what[][2] = {{"wind speed", wind},
                                   {"wind comes from", ""},
                                   {"temperature", air},
                                   {"relative humidity", wet},
                                   {"clouds, dew, inversion?", ""}};
    sheet_section(s, "weather", "Weather (planned: of the scenario)");
    sheet_table(s, "readings", 5, columns);
    for (size_t i = 0; i < sizeof what / sizeof what[0]; i++)
        sheet_row(s, (sheet_cell[]){
                         {.words = what[i][0]}, {.words = what[i][1]}, {.words = ""}, {.words = ""}, {.words = ""}});
}

void sheet_put_record(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_job_done *job)
{
    put_who(s);
    put_where(s, scenario, job);
    put_product(s, scenario, work, job);
    put_sprayer(s, scenario, work);
    put_weather(s, scenario);
    sheet_section(s, NULL, "Afterwards");
    sheet_blank(s, "cards, leaves looked at");
    sheet_blank(s, "what went otherwise than planned");
    sheet_blank(s, "tank and sprayer rinsed where");
    sheet_blank(s, "signature");
    sheet_note(s,
               "Usual fields (common practice). Local law and the label say what a record must hold and how long it is "
               "kept.");
}
