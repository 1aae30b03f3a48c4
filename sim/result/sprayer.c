/* sim/result/sprayer.c - what left the sprayer: its nozzles, their sprays, its passes through the block. */
#include <stdio.h>

#include "base/status.h"
#include "result/quantity.h"
#include "sprayer/nozzle_names.h"

#define NOZZLE(name) RESULT_FIELD(nozzle, result_nozzle, name)
#define SPRAY(name) RESULT_FIELD(spray, result_spray, name)
#define PASS(name) RESULT_FIELD(pass, result_pass, name)

static const char *assumed_name(int i)
{
    return i == 0 ? "measured" : "assumed";
}

enum { DIGITS = 6 }; /* of a spectrum in JSON */
#define IN_TIPS RESULT_IN_PAGE | RESULT_IN_SUMMARY, .summary = {.digits = DIGITS}

static const result_quantity QUANTITIES[] = {
    {"application_rate", "", RESULT_DOUBLE, "L/ha",
     "volume emitted per treated area; not a number where the sprayer stands still", RESULT_AT(application_rate_L_ha),
     RESULT_IN_PAGE | RESULT_MAY_BE_NONE | RESULT_IN_SUMMARY, .high = 1e9, .summary = {.rank = 20}},
    {"emitted_per_100_m", "", RESULT_DOUBLE, "L",
     "volume emitted by all passes over 100 m of row length; not a number where the sprayer stands still",
     RESULT_AT(emitted_L_per_100_m), RESULT_IN_PAGE | RESULT_MAY_BE_NONE | RESULT_IN_SUMMARY, .high = 1e9,
     .summary = {.rank = 40, .key = "emitted_L_per_100_m"}},
    {"fan_flow", "", RESULT_DOUBLE, "m3/s", "air flow of the fan", RESULT_AT(fan_flow_m3_s), RESULT_IN_PAGE,
     .high = 1e9},
    {"fan_power", "", RESULT_DOUBLE, "kW", "shaft power of the fan", RESULT_AT(fan_power_kW), RESULT_IN_PAGE,
     .high = 1e9},
    {"worn_nozzles", "", RESULT_TEXT, NULL, "nozzles that are worn so far that they should be replaced; empty: none",
     RESULT_AT(worn_nozzles)},
    {"plugged_nozzles", "", RESULT_TEXT, NULL, "nozzles that are plugged; empty: none", RESULT_AT(plugged_nozzles)},
    {"nozzle", NULL, RESULT_INT32, "1", "nozzle, in the order of the scenario", .place.none = true,
     .count = offsetof(drupelet_result, n_nozzles), .first = 1, .most = SCENARIO_NOZZLES},
    {"nozzle_side", "nozzle", RESULT_INT32, "1", "side as the driver sees it: -1 left, 1 right", NOZZLE(side),
     RESULT_IN_PAGE, .low = -1, .high = 1},
    {"nozzle_spray", "nozzle", RESULT_INT32, "1", "spray that the nozzle gives, as in the axis spray", NOZZLE(spray),
     RESULT_IN_PAGE, .low = 1, .high = SCENARIO_NOZZLES},
    {"nozzle_offset", "nozzle", RESULT_DOUBLE, "m", "outward from the sprayer's centre line", NOZZLE(offset_m),
     RESULT_IN_PAGE},
    {"nozzle_height", "nozzle", RESULT_DOUBLE, "m", "height above the ground", NOZZLE(height_m), RESULT_IN_PAGE},
    {"nozzle_angle", "nozzle", RESULT_DOUBLE, "degree", "direction above the outward horizontal", NOZZLE(angle_deg)},
    {"nozzle_pressure", "nozzle", RESULT_DOUBLE, "bar", "pressure at the nozzle", NOZZLE(pressure_bar), RESULT_IN_PAGE},
    {"nozzle_flow", "nozzle", RESULT_DOUBLE, "L/min", "flow of the nozzle", NOZZLE(flow_L_min), RESULT_IN_PAGE},
    {"nozzle_exit_speed", "nozzle", RESULT_DOUBLE, "m/s", "speed at which the liquid leaves", NOZZLE(exit_speed_m_s)},
    {"spray", NULL, RESULT_INT32, "1", "spray: a tip at a pressure", .place.none = true, .use = RESULT_IN_SUMMARY,
     .summary = {.rank = 170, .key = "tips"},
     .count = offsetof(drupelet_result, n_sprays), .first = 1, .most = SCENARIO_NOZZLES},
    {"tip", "spray", RESULT_TEXT, NULL, "tip, as the scenario calls it", SPRAY(tip),
     RESULT_IN_PAGE | RESULT_IN_SUMMARY},
    {"note", "spray", RESULT_TEXT, NULL, "where the droplet spectrum comes from", SPRAY(note),
     RESULT_IN_PAGE | RESULT_IN_SUMMARY, .summary = {.rank = 2}},
    {"assumed", "spray", RESULT_INT8, "1", "is the droplet spectrum an assumption?", SPRAY(assumed),
     RESULT_IN_PAGE | RESULT_IN_SUMMARY, .word = assumed_name, .n_words = 2, .summary = {.rank = 1}},
    {"pressure", "spray", RESULT_DOUBLE, "bar", "pressure at the nozzle", SPRAY(pressure_bar), IN_TIPS},
    {"dv10", "spray", RESULT_DOUBLE, "um", "a tenth of the volume is in droplets below this diameter", SPRAY(dv10_um),
     IN_TIPS},
    {"dv50", "spray", RESULT_DOUBLE, "um", "half of the volume is in droplets below this diameter", SPRAY(dv50_um),
     IN_TIPS},
    {"dv90", "spray", RESULT_DOUBLE, "um", "nine tenths of the volume are in droplets below this diameter",
     SPRAY(dv90_um), IN_TIPS},
    {"share_below_100_um", "spray", RESULT_DOUBLE, "1", "share of the volume in droplets below 100 um",
     SPRAY(share_below_100_um), RESULT_IN_PAGE | RESULT_IN_SUMMARY,
     .summary = {.key = "volume_below_100_um_percent", .factor = 100.0, .digits = DIGITS}},
    {"share_below_150_um", "spray", RESULT_DOUBLE, "1", "share of the volume in droplets below 150 um",
     SPRAY(share_below_150_um), RESULT_IN_SUMMARY,
     .summary = {.key = "volume_below_150_um_percent", .factor = 100.0, .digits = DIGITS}},
    {"pass", NULL, RESULT_INT32, "1", "pass of the sprayer through the block", .place.none = true,
     .count = offsetof(drupelet_result, n_passes), .first = 1, .most = SCENARIO_ROWS + 1},
    {"pass_alley", "pass", RESULT_INT32, "1", "alley that it drives; 0 is outside row 1", PASS(alley), RESULT_IN_PAGE,
     .high = SCENARIO_ROWS},
    {"pass_x", "pass", RESULT_DOUBLE, "m", "place of the sprayer's centre line across", PASS(x_m), RESULT_IN_PAGE},
    {"pass_heading", "pass", RESULT_INT32, "1", "direction of travel: 1 along +y, -1 along -y", PASS(heading),
     RESULT_IN_PAGE, .low = -1, .high = 1},
    {"end", NULL, RESULT_TEXT, NULL, "where the spray came to rest, as in the group budget", .length = TALLY_ENDS,
     .word = tally_end_name, .place.none = true, .use = RESULT_MAY_LACK},
    {"pass_end", "pass end", RESULT_SHARE, "1",
     "share of the output that the pass sprayed and that came to that end; before run-off", PASS(end),
     RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"pass_left_open", "pass", RESULT_INT32, "1", "do the left nozzles spray?", PASS(left_open), RESULT_IN_PAGE,
     .high = 1},
    {"pass_right_open", "pass", RESULT_INT32, "1", "do the right nozzles spray?", PASS(right_open), RESULT_IN_PAGE,
     .high = 1},
    {"pass_left_air", "pass", RESULT_INT32, "1", "do the left air outlets blow?", PASS(left_air), .high = 1},
    {"pass_right_air", "pass", RESULT_INT32, "1", "do the right air outlets blow?", PASS(right_air), .high = 1},
    {"pass_fan_flow", "pass", RESULT_INT32, "1",
     "which flow that was solved for is the fan's air of this pass, from 1; passes with one number share it; 0: none",
     PASS(fan_flow), RESULT_MAY_LACK, .high = SCENARIO_ROWS + 1},
    {"pass_flow", "pass", RESULT_DOUBLE, "L/min", "flow of all open nozzles", PASS(flow_L_min)},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    r->n_nozzles = o->sprayer.n_nozzles;
    r->n_sprays = o->sprayer.n_sprays;
    r->n_passes = o->sprayer.n_passes;
}

/* "2 of 12 nozzles plugged: left and right at 0.85 m", or "" where there are none. */
static char *nozzles_with(const drupelet_scenario *scenario, sprayer_nozzle_fault fault, const char *state)
{
    char names[200], text[300] = "";
    const int n = sprayer_nozzle_names(scenario, fault, names, sizeof names);
    if (n > 0) snprintf(text, sizeof text, "%d of %d nozzles %s: %s", n, scenario->sprayer.n_nozzles, state, names);
    return result_copy(text);
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const sprayer_work *w = &o->sprayer;
    r->application_rate_L_ha = 1e7 * w->application_rate_m;
    r->emitted_L_per_100_m = 1e5 * w->emitted_per_length_m2;
    r->fan_flow_m3_s = w->fan_flow_m3_s;
    r->fan_power_kW = 1e-3 * w->fan_power_W;
    r->worn_nozzles = nozzles_with(o->scenario, SPRAYER_WORN_NOZZLES, "worn so far that they should be replaced");
    r->plugged_nozzles = nozzles_with(o->scenario, SPRAYER_PLUGGED_NOZZLES, "plugged");
    if (!r->worn_nozzles || !r->plugged_nozzles) return base_error(DRUPELET_MEMORY, "no memory for the result");
    for (int i = 0; i < w->n_nozzles; i++) {
        const sprayer_nozzle *n = &w->nozzle[i];
        r->nozzle[i] = (result_nozzle){.side = n->nozzle->side,
                                       .spray = n->i_spray + 1,
                                       .offset_m = n->nozzle->offset_m,
                                       .height_m = n->nozzle->height_m,
                                       .angle_deg = BASE_DEGREES_A_RADIAN * n->nozzle->angle_rad,
                                       .pressure_bar = 1e-5 * n->nozzle->pressure_Pa,
                                       .flow_L_min = 6e4 * n->flow_m3_s,
                                       .exit_speed_m_s = n->exit_speed_m_s};
    }
    for (int i = 0; i < w->n_passes; i++) {
        const sprayer_pass *p = &w->pass[i];
        r->pass[i] = (result_pass){.x_m = p->x_m,
                                   .flow_L_min = 6e4 * p->flow_m3_s,
                                   .alley = p->i_alley,
                                   .heading = p->heading,
                                   .left_open = p->left_open,
                                   .right_open = p->right_open,
                                   .left_air = p->left_air,
                                   .right_air = p->right_air,
                                   .fan_flow = o->fan_flow_of_pass[i]};
        for (int end = 0; end < TALLY_ENDS; end++)
            r->pass[i].end[end] = tally_pass_end(o->accounts, i, end);
    }
    for (int i = 0; i < w->n_sprays; i++) {
        const sprayer_spray *s = &w->spray[i];
        result_spray *to = &r->spray[i];
        *to = (result_spray){.tip = result_copy(o->scenario->tip[s->i_tip].name),
                             .note = result_copy(s->note),
                             .assumed = s->assumed,
                             .pressure_bar = 1e-5 * s->pressure_Pa,
                             .dv10_um = 1e6 * s->dv10_m,
                             .dv50_um = 1e6 * s->dv50_m,
                             .dv90_um = 1e6 * s->dv90_m,
                             .share_below_100_um = s->share_below_100_um,
                             .share_below_150_um = s->share_below_150_um};
        if (!to->tip || !to->note) return base_error(DRUPELET_MEMORY, "no memory for the result");
    }
    return base_ok();
}

static const char *settle(drupelet_result *r, const char **found)
{
    *found = "the number of a spray that is not there";
    for (int i = 0; i < r->n_nozzles; i++)
        if (r->nozzle[i].spray > r->n_sprays) return "nozzle_spray";
    return NULL;
}

const result_group result_sprayer = {
    "sprayer", "what left the sprayer", QUANTITIES, RESULT_COUNT(QUANTITIES), count, fill, settle};
