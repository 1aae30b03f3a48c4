/* sim/sheet/air_fit.c - the travel speed that the fan's air suits, the gear, the outlets that blow past the crown.
 *
 * The rule of thumb (report/air_rule.c) says how much air displaces that of a row at a travel speed. A sprayer has the
 * air that it has: so the rule is read backwards, for the speed. Where alleys are skipped, the air of a pass has to
 * displace that of all rows up to the next one. */
#include "sheet/air_fit.h"

#include <math.h>
#include <stdio.h>

#include "base/elementary.h"
#include "base/number.h"
#include "report/air_rule.h"

#define MOSTLY 0.5 /* of an outlet's air past the crown: it is better shut; choice */

sheet_air_fit sheet_air_fit_of(const drupelet_scenario *scenario, const sprayer_work *work)
{
    const sprayer_pass *first = &work->pass[0], *last = &work->pass[work->n_passes - 1];
    sheet_air_fit fit = {.alleys_a_pass = 1.0};
    if (work->n_passes > 1) fit.alleys_a_pass = (double)(last->i_alley - first->i_alley) / (work->n_passes - 1);
    fit.spacing_m = scenario->orchard.row_spacing_m * fit.alleys_a_pass;
    const report_air_rule rule = report_air_rule_of(scenario);
    for (int i = 0; i < 2; i++) /* the most air of the rule makes the slowest speed */
        fit.speed_m_s[i] = scenario->sprayer.travel_speed_m_s * 3600.0 * work->fan_flow_m3_s
                           / (rule.need_m3_h[1 - i] * fit.alleys_a_pass);
    return fit;
}

static bool inside(const sheet_air_fit *fit, double speed_m_s)
{
    return speed_m_s >= fit->speed_m_s[0] * (1.0 - BASE_ROUNDING)
           && speed_m_s <= fit->speed_m_s[1] * (1.0 + BASE_ROUNDING);
}

static const char *verdict(const sheet_air_fit *fit, double speed_m_s)
{
    return inside(fit, speed_m_s)          ? "the air suits it"
           : speed_m_s < fit->speed_m_s[0] ? "slow: the air may blow through the row"
                                           : "fast: the air may not reach through the row";
}

static void put_gears(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_air_fit *fit,
                      int n_gears, const sheet_gear gear[])
{
    static const sheet_column columns[] = {{"gear", "gear", 0, true},
                                           {"speed", "speed", SHEET_TRAVEL_SPEED, false},
                                           {"rate", "rate at this pressure", SHEET_RATE, false},
                                           {"air", "air", 0, true}};
    const sheet_gear *best = NULL;
    sheet_table(s, "gears", 4, columns);
    for (int i = 0; i < n_gears; i++) {
        const double slower = scenario->sprayer.travel_speed_m_s / gear[i].speed_m_s;
        sheet_row(s, (sheet_cell[]){{.words = gear[i].name},
                                    {.value_si = gear[i].speed_m_s},
                                    {.value_si = work->application_rate_m * slower},
                                    {.words = verdict(fit, gear[i].speed_m_s)}});
        if (inside(fit, gear[i].speed_m_s) && (!best || gear[i].speed_m_s > best->speed_m_s)) best = &gear[i];
    }
    if (best)
        sheet_words(s, "gear", "the fastest gear that the air suits", "%s", best->name);
    else
        sheet_words(s, "gear", "the fastest gear that the air suits", "none of those given");
}

/* ---- outlets ---- */

sheet_outlet_aim sheet_outlet_aim_of(const drupelet_scenario *scenario, const scenario_outlet *o)
{
    enum { LINES = 1000 };
    const double face_m = 0.5 * (scenario->orchard.row_spacing_m - scenario->canopy.width_m);
    sheet_outlet_aim aim = {.low_m = INFINITY, .high_m = -INFINITY};
    for (int i = 0; i < LINES; i++) {
        const double part = (i + 0.5) / LINES;
        double from_m = o->offset_m, at_m = o->height_m, angle_rad = o->tilt_rad;
        if (o->kind == SCENARIO_ARC) {
            from_m = 0.0; /* lines of an arc meet in its centre */
            at_m = o->centre_height_m;
            angle_rad = o->from_rad + part * (o->to_rad - o->from_rad);
        } else if (o->kind == SCENARIO_SLOT) {
            at_m = o->bottom_m + part * (o->top_m - o->bottom_m);
        }
        const bool level = fabs(angle_rad) < 89.0 * BASE_DEGREE;
        const double there_m =
            level ? at_m + (face_m - from_m) * base_sin(angle_rad) / base_cos(angle_rad) : copysign(1e3, angle_rad);
        aim.low_m = fmin(aim.low_m, there_m);
        aim.high_m = fmax(aim.high_m, there_m);
        *(there_m < scenario->canopy.base_m     ? &aim.under
          : there_m > scenario->canopy.height_m ? &aim.over
                                                : &aim.at) += 1.0 / LINES;
    }
    return aim;
}

static void put_outlets(sheet *s, const drupelet_scenario *scenario)
{
    static const sheet_column columns[] = {
        {"outlet", "outlet", SHEET_COUNT, false},           {"side", "side", 0, true},
        {"from", "points from", SHEET_LENGTH, false},       {"to", "to", SHEET_LENGTH, false},
        {"under", "under the crown", SHEET_PERCENT, false}, {"at", "at it", SHEET_PERCENT, false},
        {"over", "over it", SHEET_PERCENT, false},          {"verdict", "", 0, true}};
    sheet_table(s, "outlets", 8, columns);
    for (int i = 0; i < scenario->sprayer.n_outlets; i++) {
        const scenario_outlet *o = &scenario->sprayer.outlet[i];
        const sheet_outlet_aim a = sheet_outlet_aim_of(scenario, o);
        const char *words = a.at <= BASE_ROUNDING    ? "shut it: all of it passes the crown"
                            : a.over >= MOSTLY       ? "shut or turn it down: most goes over"
                            : a.under >= MOSTLY      ? "shut or turn it up: most goes under"
                            : a.over + a.under > 0.1 ? "shut the part that passes the crown"
                                                     : "keep";
        sheet_row(s, (sheet_cell[]){{.value_si = i + 1},
                                    {.words = o->side == SCENARIO_LEFT ? "left" : "right"},
                                    {.value_si = fmax(a.low_m, 0.0)},
                                    {.value_si = a.high_m},
                                    {.value_si = a.under},
                                    {.value_si = a.at},
                                    {.value_si = a.over},
                                    {.words = words}});
    }
    sheet_note(s,
               "Heights are those where a straight line from the outlet meets the near face of the crown. Shutting an "
               "outlet leaves more air to the others; how much, the machine's maker says.");
}

void sheet_put_air_fit(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, int n_gears,
                       const sheet_gear gear[])
{
    const sheet_air_fit fit = sheet_air_fit_of(scenario, work);
    const report_air_rule rule = report_air_rule_of(scenario);
    const double speed_m_s = scenario->sprayer.travel_speed_m_s;
    sheet_section(s, "air", "The air beside the row");
    sheet_value(s, "fan_speed", "fan speed", SHEET_ROTATION, scenario->sprayer.fan_rpm, "");
    sheet_value(s, "fan_flow", "air of the fan", SHEET_AIR_FLOW, work->fan_flow_m3_s, "by the fan laws");
    sheet_value(s, "alleys_a_pass", "alleys from pass to pass", SHEET_RATIO, fit.alleys_a_pass,
                fit.alleys_a_pass > 1.0 + BASE_ROUNDING ? "alleys are skipped: a pass has the rows of several to serve"
                                                        : "");
    if (work->fan_flow_m3_s > 0.0) {
        sheet_value(s, "slowest", "the air suits a speed from", SHEET_TRAVEL_SPEED, fit.speed_m_s[0], "");
        sheet_value(s, "fastest", "to", SHEET_TRAVEL_SPEED, fit.speed_m_s[1], "");
        sheet_value(s, "travel_speed", "travel speed now", SHEET_TRAVEL_SPEED, speed_m_s, verdict(&fit, speed_m_s));
    } else {
        sheet_note(s, "The fan is off.");
    }
    sheet_note(
        s,
        "Rule of thumb (common practice): %s from pass to pass x %s of canopy height / R, with R %.1f to %.1f for a "
        "canopy of this leaf area; read backwards for the speed.",
        sheet_system_of(s) == SHEET_US ? "cfm = 88 x mph x ft" : "air in m3/h = 1000 x km/h x m",
        sheet_system_of(s) == SHEET_US ? "ft" : "m", rule.divisor[0], rule.divisor[1]);
    if (n_gears > 0) put_gears(s, scenario, work, &fit, n_gears, gear);
    put_outlets(s, scenario);
}
