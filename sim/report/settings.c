/* sim/report/settings.c - flows, rate, tank, air and warnings of a scenario; its droplets: settings_droplets.c. Air
 * check: the rule of air_rule.c. */
#include "report/settings.h"

#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"
#include "drupelet/run.h"
#include "report/advice.h"
#include "report/air_rule.h"
#include "report/settings_droplets.h"
#include "report/text.h"
#include "report/us_units.h"
#include "sprayer/sprayer.h"

typedef struct {
    const drupelet_scenario *scenario;
    sprayer_work *work;
    double flow_L_min;                         /* all nozzles open */
    double rate_L_ha, per_100_m_L;             /* of the block and of a row of it, with all passes as driven */
    double tank_L, tank_ha, tank_km, tank_min; /* area and row length; minutes with all nozzles open */
    report_air_rule air_rule;
    report_advice advice;
    run_warnings warnings;
    report_droplets droplets;
} sheet;

static void work_out(const drupelet_scenario *scenario, sheet *s)
{
    const scenario_sprayer *sprayer = &scenario->sprayer;
    double flow_m3_s = 0.0;
    for (int i = 0; i < s->work->n_nozzles; i++)
        flow_m3_s += s->work->nozzle[i].flow_m3_s;
    s->flow_L_min = 6e4 * flow_m3_s;
    s->rate_L_ha = 1e7 * s->work->application_rate_m;
    s->per_100_m_L = 1e5 * s->work->application_rate_m * scenario->orchard.row_spacing_m;
    s->tank_L = 1e3 * sprayer->tank_m3;
    s->tank_ha = s->tank_L / s->rate_L_ha;
    s->tank_km = 0.1 * s->tank_L / s->per_100_m_L;
    s->tank_min = s->tank_L / s->flow_L_min;
    s->air_rule = report_air_rule_of(scenario);
    if (!s->work->stands)
        report_advise_speed(&s->advice, sprayer->travel_speed_m_s);
    report_advise_rate(&s->advice, s->work->application_rate_m);
    for (int i = 0; i < s->work->n_sprays; i++) {
        const scenario_tip *tip = &scenario->tip[s->work->spray[i].i_tip];
        report_advise_pressure(&s->advice, tip->name, tip->kind, s->work->spray[i].pressure_Pa);
    }
    report_advise_nozzles(&s->advice, scenario);
    if (!s->work->stands)
        report_advise_fan(&s->advice, scenario, &s->air_rule, sprayer->fan_rpm);
    run_warnings_of_weather(scenario, &s->warnings);
    s->droplets = report_droplets_of(scenario, s->work);
}

static void print_nozzles(FILE *to, const sheet *s)
{
    fprintf(to, "\nNozzles (left and right as the driver sees them)\n  %-6s %-20s %10s %8s %8s %12s %11s\n", "side",
            "tip", "pressure", "height", "angle", "flow", "exit speed");
    for (int i = 0; i < s->work->n_nozzles; i++) {
        const sprayer_nozzle *n = &s->work->nozzle[i];
        char state[32] = "";
        if (n->nozzle->plugged)
            snprintf(state, sizeof state, "  plugged");
        else if (n->nozzle->worn > 0.0)
            snprintf(state, sizeof state, "  worn, +%.3g %%", 100.0 * n->nozzle->worn);
        else if (n->nozzle->worn < 0.0)
            snprintf(state, sizeof state, "  low, %.3g %%", 100.0 * n->nozzle->worn);
        fprintf(to, "  %-6s %-20s %6.1f bar %6.2f m %4.0f deg %6.3f L/min %7.1f m/s%s\n",
                n->nozzle->side == SCENARIO_LEFT ? "left" : "right", s->scenario->tip[n->nozzle->i_tip].name,
                1e-5 * n->nozzle->pressure_Pa, n->nozzle->height_m, BASE_DEGREES_A_RADIAN * n->nozzle->angle_rad,
                6e4 * n->flow_m3_s, n->exit_speed_m_s, state);
    }
    for (int i = 0; i < s->scenario->n_tips; i++) {
        const scenario_tip *tip = &s->scenario->tip[i];
        if (tip->size[0] != '\0')
            fprintf(to,
                    "  %s: size %s, %s in the flow colour code of ISO 10625 (the colour names the flow, not the "
                    "droplets)\n",
                    tip->name, tip->size, scenario_size_colour(tip->size));
    }
}

static void print_rate(FILE *to, const sheet *s)
{
    char tank[32];
    if (s->work->stands) {
        fprintf(to, "\nRate and tank (%d rows, %d places; the sprayer stands still: no rate per area or length)\n",
                s->scenario->orchard.n_rows, s->work->n_passes);
        fprintf(to, "  %-34s %10.2f L/min\n  %-34s %10s\n  %-34s %10s\n", "flow, all nozzles open", s->flow_L_min,
                "application rate", "-", "per 100 m of row", "-");
        fprintf(to, "  a tank of %.0f L lasts for %.0f min with all nozzles open\n", s->tank_L, s->tank_min);
        return;
    }
    snprintf(tank, sizeof tank, "%.0f L lasts for", s->tank_L);
    fprintf(to, "\nRate and tank (%d rows, %d passes)\n", s->scenario->orchard.n_rows, s->work->n_passes);
    fprintf(to, "  %-34s %10.2f L/min\n", "flow, all nozzles open", s->flow_L_min);
    fprintf(to, "  %-34s %10.0f L/ha   (%.1f US gal/acre)\n", "application rate", s->rate_L_ha,
            report_gal_acre(s->work->application_rate_m));
    fprintf(to, "  %-34s %10.4g m\n", "on a treated width of", s->work->treated_width_m);
    fprintf(to, "  %-34s %10.2f L\n", "per 100 m of row", s->per_100_m_L);
    fprintf(to, "  a tank of %-24s %10.2f ha, %.2f km of row, %.0f min with all nozzles open\n", tank, s->tank_ha,
            s->tank_km, s->tank_min);
}

static const char *air_verdict(const sheet *s)
{
    if (s->work->stands)
        return "no verdict: the rule is for a sprayer that drives";
    return report_air_verdict(&s->air_rule, 3600.0 * s->work->fan_flow_m3_s);
}

/* One line for each side of a pass that is shut. The driver's right is towards +x, the lower row number, where the
 * sprayer drives along +y. */
static void print_shut(FILE *to, const sprayer_pass *pass)
{
    for (int side = SCENARIO_LEFT; side <= SCENARIO_RIGHT; side += 2) {
        const bool nozzles = side < 0 ? pass->left_open : pass->right_open;
        const bool air = side < 0 ? pass->left_air : pass->right_air;
        if (!nozzles)
            fprintf(to, "  alley %d, %s (towards row %d): nozzles shut, %s\n", pass->i_alley,
                    side < 0 ? "left" : "right", pass->i_alley + (side * pass->heading > 0 ? 0 : 1),
                    air ? "air on" : "air shut");
    }
}

static void print_air(FILE *to, const sheet *s)
{
    const scenario_sprayer *sprayer = &s->scenario->sprayer;
    fputs("\nFan air\n", to);
    fprintf(to, "  %-34s %10.0f rpm\n", "fan speed", sprayer->fan_rpm);
    fprintf(to, "  %-34s %10.0f m3/h   (%.2f m3/s)\n", "air flow", 3600.0 * s->work->fan_flow_m3_s,
            s->work->fan_flow_m3_s);
    fprintf(to, "  %-34s %10.1f kW\n", "shaft power, by the fan laws", 1e-3 * s->work->fan_power_W);
    for (int i = 0; i < sprayer->n_outlets; i++)
        fprintf(to, "  outlet %d, %-24s %10.1f m/s\n", i + 1,
                sprayer->outlet[i].side == SCENARIO_LEFT ? "left" : "right", s->work->outlet_speed_m_s[i]);
    for (int p = 0; p < s->work->n_passes; p++)
        print_shut(to, &s->work->pass[p]);
    if (s->work->stands)
        fprintf(to, "  %-34s %10s\n", "to displace the row's air", "-");
    else
        fprintf(to, "  %-34s %6.0f to %.0f m3/h (rule of thumb: speed x spacing x height / %.1f to %.1f)\n",
                "to displace the row's air", s->air_rule.need_m3_h[0], s->air_rule.need_m3_h[1],
                s->air_rule.divisor[0], s->air_rule.divisor[1]);
    fprintf(to, "  %-34s %s\n", "this fan gives", air_verdict(s));
}

enum { DIGITS = 6 }; /* in JSON; a number that is not known is null, such as the rate of a sprayer that stands still */

static void json_numbers(base_json *j, const sheet *s)
{
    base_json_number(j, "flow_L_min", s->flow_L_min, DIGITS);
    base_json_number(j, "application_rate_L_ha", s->rate_L_ha, DIGITS);
    base_json_number(j, "application_rate_US_gal_acre", report_gal_acre(s->work->application_rate_m), DIGITS);
    base_json_number(j, "treated_width_m", s->work->treated_width_m, DIGITS);
    base_json_number(j, "per_100_m_of_row_L", s->per_100_m_L, DIGITS);
    base_json_number(j, "tank_L", s->tank_L, DIGITS);
    base_json_number(j, "tank_ha", s->tank_ha, DIGITS);
    base_json_number(j, "tank_km_of_row", s->tank_km, DIGITS);
    base_json_number(j, "tank_min", s->tank_min, DIGITS);
    base_json_number(j, "fan_flow_m3_s", s->work->fan_flow_m3_s, DIGITS);
    base_json_number(j, "fan_power_W", s->work->fan_power_W, DIGITS);
    if (s->work->stands)
        base_json_null(j, "air_needed_m3_h");
    else
        base_json_numbers(j, "air_needed_m3_h", 2, s->air_rule.need_m3_h, 1, DIGITS);
    base_json_words(j, "air_check", air_verdict(s));
    base_json_numbers(j, "outlet_speed_m_s", (size_t)s->scenario->sprayer.n_outlets, s->work->outlet_speed_m_s, 1,
                      DIGITS);
}

static void json_nozzle(base_json *j, const sheet *s, const sprayer_nozzle *n)
{
    base_json_open(j, NULL, '{');
    base_json_words(j, "side", n->nozzle->side == SCENARIO_LEFT ? "left" : "right");
    base_json_number(j, "worn_percent", 100.0 * n->nozzle->worn, DIGITS);
    base_json_truth(j, "plugged", n->nozzle->plugged);
    base_json_words(j, "tip", s->scenario->tip[n->nozzle->i_tip].name);
    base_json_number(j, "pressure_bar", 1e-5 * n->nozzle->pressure_Pa, DIGITS);
    base_json_number(j, "flow_L_min", 6e4 * n->flow_m3_s, DIGITS);
    base_json_number(j, "exit_speed_m_s", n->exit_speed_m_s, DIGITS);
    base_json_close(j, '}');
}

static void print_json(FILE *to, const sheet *s)
{
    base_json j = {.to = to, .lines = 2};
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "scenario", s->scenario->name);
    json_numbers(&j, s);
    report_droplets_json_air(&j, &s->droplets);
    base_json_open(&j, "nozzles", '[');
    for (int i = 0; i < s->work->n_nozzles; i++)
        json_nozzle(&j, s, &s->work->nozzle[i]);
    base_json_close(&j, ']');
    report_droplets_json(&j, &s->droplets);
    report_advice_json(&j, &s->advice);
    report_warnings_json(&j, &s->warnings);
    base_json_words(&j, "caution", drupelet_caution());
    base_json_close(&j, '}');
}

drupelet_status report_settings(const drupelet_scenario *scenario, FILE *to, bool json)
{
    sheet s = {.scenario = scenario, .work = malloc(sizeof *s.work)};
    if (!s.work) return base_error(DRUPELET_MEMORY, "no memory for the settings sheet");
    const drupelet_status status = sprayer_work_out(scenario, s.work);
    if (status.code == DRUPELET_OK) {
        work_out(scenario, &s);
        if (json) {
            print_json(to, &s);
        } else {
            fprintf(to, "%s\n%s%s", scenario->name, scenario->place, scenario->place[0] != '\0' ? "\n" : "");
            fprintf(to, "Travel speed %.1f km/h, rows %.2f m apart, canopy %.1f m high\n",
                    3.6 * scenario->sprayer.travel_speed_m_s, scenario->orchard.row_spacing_m,
                    scenario->canopy.height_m);
            print_nozzles(to, &s);
            print_rate(to, &s);
            print_air(to, &s);
            report_droplets_print(to, &s.droplets);
            report_advice_print(to, &s.advice);
            report_warnings_print(to, &s.warnings);
            fprintf(to, "\n%s\n", drupelet_caution());
        }
    }
    free(s.work);
    return status;
}
