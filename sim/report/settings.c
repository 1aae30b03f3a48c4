/* sim/report/settings.c - flows, rate, tank, air, droplets and warnings of a scenario.
 *
 * Air check: the rule of air_rule.c. Droplets: how they settle and dry, and how far the wind carries them, as
 * droplet/carry.h has it: let go at the top of the canopy, over open ground. */
#include "report/settings.h"

#include <math.h>
#include <stdlib.h>

#include "air/wind.h"
#include "base/elementary.h"
#include "base/moist_air.h"
#include "base/status.h"
#include "droplet/carry.h"
#include "droplet/droplet.h"
#include "droplet/humidity.h"
#include "drupelet/run.h"
#include "report/advice.h"
#include "report/air_rule.h"
#include "report/text.h"
#include "report/us_units.h"
#include "sprayer/generic.h"
#include "sprayer/size_class.h"
#include "sprayer/sprayer.h"

#define FARTHEST_M 1000.0 /* beyond, no number is given: a lone droplet in steady wind is no model of it (choice) */

typedef struct {
    double diameter_m, settling_m_s, lifetime_s;
    droplet_carry carry;
    bool near; /* down within FARTHEST_M */
} droplet_line;

typedef struct {
    const drupelet_scenario *scenario;
    sprayer_work *work;
    base_air air;
    air_wind wind;
    double wind_m_s, fall_from_m;              /* wind at 2 m over open ground */
    double flow_L_min;                         /* all nozzles open */
    double rate_L_ha, per_100_m_L;             /* of the block and of a row of it, with all passes as driven */
    double tank_L, tank_ha, tank_km, tank_min; /* area and row length; minutes with all nozzles open */
    report_air_rule air_rule;
    report_advice advice;
    run_warnings warnings;
    droplet_humidity humidity; /* what the spray does to its own air */
} sheet;

static droplet_line line_of(const sheet *s, const sprayer_spray *spray, double diameter_m)
{
    const scenario_liquid *liquid = &s->scenario->liquid;
    const scenario_ventilation ventilation = s->scenario->run.ventilation;
    const droplet_let_go droplet = {diameter_m, spray->droplet_density_kg_m3, liquid->surface_tension_N_m,
                                    liquid->nonvolatile, ventilation};
    droplet_line line = {.diameter_m = diameter_m};
    line.lifetime_s = droplet_free_fall_by(ventilation, diameter_m, spray->droplet_density_kg_m3, liquid->nonvolatile,
                                           &s->air)
                          .lifetime_s;
    line.settling_m_s =
        droplet_settling_speed_m_s(diameter_m, spray->droplet_density_kg_m3, liquid->surface_tension_N_m, &s->air);
    line.carry = droplet_carried(&droplet, s->fall_from_m, &s->air, &s->wind);
    line.near = line.carry.distance_m <= FARTHEST_M;
    return line;
}

static void work_out(const drupelet_scenario *scenario, sheet *s)
{
    const scenario_sprayer *sprayer = &scenario->sprayer;
    double flow_m3_s = 0.0;
    for (int i = 0; i < s->work->n_nozzles; i++)
        flow_m3_s += s->work->nozzle[i].flow_m3_s;
    s->air = base_moist_air(scenario->weather.temperature_K, scenario->weather.relative_humidity,
                            scenario->weather.pressure_Pa);
    s->wind = air_wind_of(scenario);
    s->wind_m_s = air_wind_speed_m_s(&s->wind, 0.0, 2.0);
    s->fall_from_m = scenario->canopy.height_m;
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
    droplet_humidity_estimate(scenario, s->work, &s->humidity);
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

/* How far a tip of the kind may well be from the assumption. */
static void print_standing(FILE *to, const sheet *s, const sprayer_spray *spray)
{
    const scenario_tip *tip = &s->scenario->tip[spray->i_tip];
    if (tip->form != SCENARIO_SPECTRUM_GENERIC) return;
    const sprayer_generic kind = sprayer_generic_tip(tip->kind);
    fprintf(to, "  a real %s tip may well give a Dv50 of %.0f to %.0f um here (docs/tips.md)\n",
            sprayer_kind_name(tip->kind), 1e6 * spray->dv50_m * kind.dv50_lowest_m / kind.dv50_m,
            1e6 * spray->dv50_m * kind.dv50_highest_m / kind.dv50_m);
}

static void print_size_class(FILE *to, const sheet *s, const sprayer_spray *spray)
{
    const double diameter_m[] = {spray->dv10_m, spray->dv50_m, spray->dv90_m};
    if (spray->size_class[0] == '\0') return;
    fprintf(to, "  size class %s (", spray->size_class);
    for (int i = 0; i < 3; i++) {
        char text[SPRAYER_CLASS_TEXT];
        sprayer_size_class_by(&s->scenario->tip[spray->i_tip], i, diameter_m[i], text);
        fprintf(to, "%s %s%s", i == 0 ? "Dv10" : i == 1 ? "Dv50" : "Dv90", text, i < 2 ? ", " : ")\n");
    }
}

/* A time as people say it: "8.2 s", "45 s", "4.1 min", "3.2 h". */
static void put_time(double time_s, char *text, size_t size)
{
    if (time_s < 99.5)
        snprintf(text, size, "%.*f s", time_s < 9.95, time_s);
    else if (time_s < 5970.0)
        snprintf(text, size, "%.*f min", time_s < 597.0, time_s / 60.0);
    else
        snprintf(text, size, "%.*f h", time_s < 35820.0, time_s / 3600.0);
}

static void print_line(FILE *to, const char *name, const droplet_line *l)
{
    char lasts[32] = "does not dry", falls[32], carried[48], dry[64] = "";
    if (isfinite(l->lifetime_s)) put_time(l->lifetime_s, lasts, sizeof lasts);
    put_time(l->carry.time_s, falls, sizeof falls);
    if (l->carry.distance_m <= 0.0)
        snprintf(carried, sizeof carried, "no wind");
    else if (l->near)
        snprintf(carried, sizeof carried, "%.1f m", l->carry.distance_m);
    else
        snprintf(carried, sizeof carried, "over %.0f m", FARTHEST_M);
    if (l->carry.dries && l->carry.distance_m <= 0.0)
        snprintf(dry, sizeof dry, "  dry %.2f m high", l->carry.dry_height_m);
    else if (l->carry.dries && l->carry.dry_distance_m <= FARTHEST_M)
        snprintf(dry, sizeof dry, "  dry after %.1f m, %.2f m high", l->carry.dry_distance_m, l->carry.dry_height_m);
    else if (l->carry.dries)
        snprintf(dry, sizeof dry, "  dry beyond that, %.2f m high", l->carry.dry_height_m);
    fprintf(to, "    %-5s %5.0f um %12.3f m/s %14s %16s %17s%s\n", name, 1e6 * l->diameter_m, l->settling_m_s, lasts,
            falls, carried, dry);
}

static void print_droplets(FILE *to, const sheet *s)
{
    bool any_class = false;
    fprintf(to, "\nDroplets in this weather (%.0f degC, %.0f %% humidity, %.1f m/s at 2 m; let go %.1f m high)\n",
            s->scenario->weather.temperature_K - BASE_ZERO_CELSIUS_K, 100.0 * s->scenario->weather.relative_humidity,
            s->wind_m_s, s->fall_from_m);
    for (int i = 0; i < s->work->n_sprays; i++) {
        const sprayer_spray *spray = &s->work->spray[i];
        any_class = any_class || spray->size_class[0] != '\0';
        const struct {
            const char *name;
            double diameter_m;
        } sizes[] = {{"Dv10", spray->dv10_m}, {"Dv50", spray->dv50_m}, {"Dv90", spray->dv90_m}};
        fprintf(to, "  %s at %.1f bar: %.1f %% of the volume below 100 um, %.1f %% below 150 um\n  ",
                s->scenario->tip[spray->i_tip].name, 1e-5 * spray->pressure_Pa, 100.0 * spray->share_below_100_um,
                100.0 * spray->share_below_150_um);
        report_wrapped(to, spray->note, 2, 118);
        print_standing(to, s, spray);
        print_size_class(to, s, spray);
        fprintf(to, "    %-5s %8s %16s %14s %16s %17s\n", "", "diameter", "settling speed", "water lasts",
                "in the air for", "wind carries it");
        for (int k = 0; k < 3; k++) {
            const droplet_line l = line_of(s, spray, sizes[k].diameter_m);
            print_line(to, sizes[k].name, &l);
        }
    }
    fputs("  How far: let go at the top of the canopy, a droplet falls and shrinks in the mean wind over open ground, "
          "and then\n  its residue falls on to the ground. Left out: the fan's air, shelter, leaves, turbulence.\n",
          to);
    fputs(any_class
              ? "  Size classes by the borders that the scenario gives; ISO 25358 sets no micrometres, and other\n"
                "  instruments set other borders. The finest of Dv10, Dv50 and Dv90 counts.\n"
              : "  No size class is given: the classes of ISO 25358 have no fixed micrometres, but the limits that "
                "reference\n  tips set on one's own instrument.\n",
          to);
    const droplet_humidity *h = &s->humidity;
    fprintf(to,
            "  the spray's own vapour (estimate): up to %.2f g/m3, %+.1f %% humidity, %.1f K cooler after %.1f s;\n"
            "  %.0f %% less water evaporates for it: %s\n",
            1e3 * h->vapour_kg_m3, 100.0 * h->relative_humidity, h->cooling_K, h->most_at_s, 100.0 * h->slower,
            s->scenario->run.spray_humidity        ? "it is reckoned with"
            : h->slower < DROPLET_HUMIDITY_MATTERS ? "it may be left out"
                                                   : "run.spray_humidity: yes reckons with it");
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
    base_json_number(j, "released_at_m", s->fall_from_m, DIGITS);
    base_json_number(j, "carry_known_to_m", FARTHEST_M, DIGITS);
    base_json_open(j, "spray_humidity", '{');
    base_json_number(j, "vapour_g_m3", 1e3 * s->humidity.vapour_kg_m3, DIGITS);
    base_json_number(j, "relative_humidity_percent", 100.0 * s->humidity.relative_humidity, DIGITS);
    base_json_number(j, "cooling_K", s->humidity.cooling_K, DIGITS);
    base_json_number(j, "age_s", s->humidity.most_at_s, DIGITS);
    base_json_number(j, "less_evaporated_percent", 100.0 * s->humidity.slower, DIGITS);
    base_json_close(j, '}');
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

static void json_droplet(base_json *j, const char *key, const droplet_line *l)
{
    base_json_open(j, key, '{');
    base_json_number(j, "diameter_um", 1e6 * l->diameter_m, DIGITS);
    base_json_number(j, "settling_speed_m_s", l->settling_m_s, DIGITS);
    base_json_number(j, "lifetime_s", l->lifetime_s, DIGITS);
    base_json_number(j, "carry_m", l->near ? l->carry.distance_m : NAN, DIGITS);
    base_json_number(j, "down_after_s", l->carry.time_s, DIGITS);
    base_json_number(j, "dry_after_m", l->carry.dries ? l->carry.dry_distance_m : NAN, DIGITS);
    base_json_number(j, "dry_height_m", l->carry.dries ? l->carry.dry_height_m : NAN, DIGITS);
    base_json_truth(j, "dries_up", l->carry.dries);
    base_json_close(j, '}');
}

static void json_spray(base_json *j, const sheet *s, const sprayer_spray *spray)
{
    static const char *const KEY[] = {"dv10", "dv50", "dv90"};
    const double size_m[] = {spray->dv10_m, spray->dv50_m, spray->dv90_m};
    base_json_open(j, NULL, '{');
    base_json_words(j, "tip", s->scenario->tip[spray->i_tip].name);
    base_json_number(j, "pressure_bar", 1e-5 * spray->pressure_Pa, DIGITS);
    base_json_number(j, "below_100_um_percent", 100.0 * spray->share_below_100_um, DIGITS);
    base_json_number(j, "below_150_um_percent", 100.0 * spray->share_below_150_um, DIGITS);
    base_json_truth(j, "assumed", spray->assumed);
    base_json_words(j, "note", spray->note);
    if (spray->size_class[0] != '\0')
        base_json_words(j, "size_class", spray->size_class);
    else
        base_json_null(j, "size_class");
    for (int k = 0; k < 3; k++) {
        const droplet_line line = line_of(s, spray, size_m[k]);
        json_droplet(j, KEY[k], &line);
    }
    base_json_close(j, '}');
}

static void print_json(FILE *to, const sheet *s)
{
    base_json j = {.to = to, .lines = 2};
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "scenario", s->scenario->name);
    json_numbers(&j, s);
    base_json_open(&j, "nozzles", '[');
    for (int i = 0; i < s->work->n_nozzles; i++)
        json_nozzle(&j, s, &s->work->nozzle[i]);
    base_json_close(&j, ']');
    base_json_open(&j, "sprays", '[');
    for (int i = 0; i < s->work->n_sprays; i++)
        json_spray(&j, s, &s->work->spray[i]);
    base_json_close(&j, ']');
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
            print_droplets(to, &s);
            report_advice_print(to, &s.advice);
            report_warnings_print(to, &s.warnings);
            fprintf(to, "\n%s\n", drupelet_caution());
        }
    }
    free(s.work);
    return status;
}
