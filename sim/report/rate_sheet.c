/* sim/report/rate_sheet.c - prints what sprayer/rate_plan.c works out, in metric and US units.
 *
 * A nozzle that is worn or plugged leaves the others as they are, since the regulator holds the pressure: with a share
 * s of the spray that the rows get, worn by w it raises the rate by s w and its own share to s (1 + w) / (1 + s w);
 * plugged it lowers the rate by s. */
#include "report/rate_sheet.h"

#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"
#include "drupelet/run.h"
#include "report/advice.h"
#include "report/air_rule.h"
#include "report/text.h"
#include "report/us_units.h"
#include "sprayer/generic.h"
#include "sprayer/rate_plan.h"

#define WORN 0.10 /* of the example; tips are changed from there on (common practice) */
#define SHOWN_FROM_PA 0.5e5 /* pressures outside those of a scenario are not listed */
#define SHOWN_TO_PA 60e5
#define WHOLE 1e-6 /* every row gets what the machine gives, but for rounding */

typedef struct {
    const drupelet_scenario *scenario;
    sprayer_plan plan;
    sprayer_work work; /* of the scenario as it is */
    int n_choices[SCENARIO_NOZZLES]; /* by circuit */
    sprayer_plan_choice choice[SCENARIO_NOZZLES][SPRAYER_CHOICES];
    double choice_rate_m; /* with the first choice of each circuit; that of the plan where a circuit has none */
    report_air_rule air;
    report_advice advice;
    run_warnings warnings;
} sheet;

static double L_min(double flow_m3_s)
{
    return 6e4 * flow_m3_s;
}

static const scenario_tip *tip_of(const sheet *s, int g)
{
    return &s->scenario->tip[s->plan.group[g].i_tip];
}

static bool coded(const sheet *s, int g)
{
    return tip_of(s, g)->kind != SCENARIO_HOLLOW_CONE_DISC_CORE;
}

/* The tip of a choice in words: "01 orange", or that of the scenario. */
static void name_size(const char *size, char *text, size_t room)
{
    if (size[0] == '\0')
        snprintf(text, room, "as in the scenario");
    else
        snprintf(text, room, "%s %s", size, scenario_size_colour(size));
}

static double pressure_of_Pa(const sheet *s, int g, const char *size)
{
    return sprayer_pressure_for_flow_Pa(sprayer_plan_rated_flow_m3_s(&s->plan, g, size), SCENARIO_SIZE_PRESSURE_PA,
                                        s->plan.group[g].flow_m3_s);
}

static const char *range_word(const sprayer_generic *kind, double pressure_Pa)
{
    return pressure_Pa < kind->pressure_lowest_Pa    ? "below"
           : pressure_Pa > kind->pressure_highest_Pa ? "above"
                                                     : "yes";
}

static void work_out(sheet *s)
{
    const drupelet_scenario *scenario = s->scenario;
    s->choice_rate_m = s->plan.rate_m;
    report_advise_speed(&s->advice, scenario->sprayer.travel_speed_m_s);
    report_advise_rate(&s->advice, s->plan.rate_m);
    for (int c = 0; c < s->plan.n_circuits; c++) {
        s->n_choices[c] = sprayer_plan_choose(&s->plan, c, s->choice[c]);
        if (s->n_choices[c] == 0) continue;
        const sprayer_plan_choice *first = &s->choice[c][0];
        s->choice_rate_m += first->rate_m - s->plan.rate_m;
        for (int g = 0; g < s->plan.n_groups; g++)
            if (first->size[g])
                report_advise_pressure(&s->advice, tip_of(s, g)->name, tip_of(s, g)->kind, first->pressure_Pa);
    }
    report_advise_nozzles(&s->advice, scenario);
    s->air = report_air_rule_of(scenario);
    report_advise_fan(&s->advice, scenario, &s->air, scenario->sprayer.fan_rpm);
    /* the slowest speed that the rule asks for; where the scenario's own is too fast already, that has been said */
    if (s->air.fan_rpm[0] > fmax(scenario->sprayer.fan_reference_rpm, scenario->sprayer.fan_rpm))
        report_advise_fan(&s->advice, scenario, &s->air, s->air.fan_rpm[0]);
    run_warnings_of_weather(scenario, &s->warnings);
}

/* ---- for people ---- */

static void print_flow(FILE *to, const sheet *s)
{
    fputs("\nFlow needed (tips taken as new and clean)\n", to);
    fprintf(to, "  %-34s %8.3f L/min   (%.3f US gal/min)\n", "all nozzles together, all open", L_min(s->plan.flow_m3_s),
            report_gal_min(s->plan.flow_m3_s));
    if (fabs(s->plan.machine_flows_a_row - 1.0) > WHOLE)
        fprintf(to, "  as the alleys are driven, a row is charged with %.3f times what the machine gives\n",
                s->plan.machine_flows_a_row);
    for (int g = 0; g < s->plan.n_groups; g++) {
        const sprayer_plan_group *group = &s->plan.group[g];
        char name[48];
        snprintf(name, sizeof name, "%d x %.28s, each", group->n_nozzles, tip_of(s, g)->name);
        fprintf(to, "  %-34s %8.3f L/min   (%.3f US gal/min)\n", name, L_min(group->flow_m3_s),
                report_gal_min(group->flow_m3_s));
    }
    fputs("  L/min = L/ha x km/h x m of row spacing / 600; gal/min = gal/acre x mph x ft / 495\n", to);
}

static void print_sizes(FILE *to, const sheet *s, int g)
{
    const sprayer_generic kind = sprayer_generic_tip(tip_of(s, g)->kind);
    const double flow_m3_s = s->plan.group[g].flow_m3_s;
    fprintf(to, "\n%.40s: tips that give %.3f L/min; %s, usually run at %g to %g bar (%.0f to %.0f psi)\n",
            tip_of(s, g)->name, L_min(flow_m3_s), sprayer_kind_name(tip_of(s, g)->kind), 1e-5 * kind.pressure_lowest_Pa,
            1e-5 * kind.pressure_highest_Pa, report_psi(kind.pressure_lowest_Pa),
            report_psi(kind.pressure_highest_Pa));
    if (!coded(s, g))
        fputs("  the flow colour code leaves disc-and-core sets out: the pressure for its own flow\n", to);
    fprintf(to, "  %-20s %21s  %-12s %s\n", "size", "pressure", "usual there", "Dv50 of a generic tip, assumed");
    const char *size;
    for (int i = 0; (size = sprayer_plan_candidate(&s->plan, g, i)) != NULL; i++) {
        const double pressure_Pa = pressure_of_Pa(s, g, size);
        const double rated_m3_s = sprayer_plan_rated_flow_m3_s(&s->plan, g, size);
        char name[32];
        if (size[0] != '\0' && (pressure_Pa < SHOWN_FROM_PA || pressure_Pa > SHOWN_TO_PA)) continue;
        name_size(size, name, sizeof name);
        fprintf(to, "  %-20s %7.1f bar (%4.0f psi)  %-12s %4.0f um\n", name, 1e-5 * pressure_Pa,
                report_psi(pressure_Pa), range_word(&kind, pressure_Pa),
                1e6 * sprayer_generic_dv50_m(&kind, rated_m3_s, pressure_Pa));
    }
}

/* One tip stands in the line of its pressure, several below it. */
static void print_choice(FILE *to, const sheet *s, const sprayer_plan_choice *c)
{
    char tips[SCENARIO_NOZZLES * 64] = "";
    size_t used = 0;
    int n = 0;
    for (int g = 0; g < s->plan.n_groups; g++) {
        char name[32];
        if (!c->size[g]) continue;
        name_size(c->size[g], name, sizeof name);
        used += (size_t)snprintf(tips + used, sizeof tips - used, "%s%.24s: %s", n++ ? ", " : "", tip_of(s, g)->name,
                                 name);
    }
    fprintf(to, "  %5.1f bar (%4.0f psi)  %5.0f L/ha (%5.1f US gal/acre, %+.1f %%)%s%s", 1e-5 * c->pressure_Pa,
            report_psi(c->pressure_Pa), 1e7 * c->rate_m, report_gal_acre(c->rate_m),
            100.0 * (c->rate_m / s->plan.rate_m - 1.0), c->usual ? "" : ", unusual", n > 1 ? "\n      " : "  ");
    report_wrapped(to, tips, 6, 118);
    if (c->split_error > 0.005)
        fprintf(to, "      the split between the nozzles is off by up to %.0f %%\n", 100.0 * c->split_error);
}

static void print_choices(FILE *to, const sheet *s)
{
    fputs("\nRecommended, best first (pressure to 0.1 bar below 5 bar, to 0.5 bar above; rate that results)\n", to);
    for (int c = 0; c < s->plan.n_circuits; c++) {
        if (s->plan.n_circuits > 1) fprintf(to, "  nozzles on pressure %d of %d:\n", c + 1, s->plan.n_circuits);
        for (int i = 0; i < s->n_choices[c]; i++)
            print_choice(to, s, &s->choice[c][i]);
        if (s->n_choices[c] == 0)
            fputs("  none from 0.5 to 60 bar: another travel speed or number of nozzles is needed\n", to);
        else if (!s->choice[c][0].usual)
            fputs("  no size gives this inside the usual pressures: another speed or number of nozzles may\n", to);
    }
    if (s->plan.n_circuits > 1)
        fprintf(to, "  with the first of each: %.0f L/ha (%.1f US gal/acre)\n", 1e7 * s->choice_rate_m,
                report_gal_acre(s->choice_rate_m));
}

static void print_faults(FILE *to, const sheet *s)
{
    const double rate_m = s->choice_rate_m;
    fputs("\nOne nozzle out of order (first choice above; the pressure at the others stays)\n", to);
    fprintf(to, "  %-24s %14s   %-40s %s\n", "nozzle of", "of the spray", "worn by 10 %: rate, its share", "plugged");
    for (int g = 0; g < s->plan.n_groups; g++) {
        const sprayer_plan_group *group = &s->plan.group[g];
        const double share = group->row_share / group->n_nozzles;
        const double worn_m = rate_m * (1.0 + WORN * share), plugged_m = rate_m * (1.0 - share);
        fprintf(to, "  %-24.24s %12.2f %%   %5.0f L/ha (%5.1f US gal/acre), %5.2f %%   ",
                tip_of(s, g)->name, 100.0 * share, 1e7 * worn_m, report_gal_acre(worn_m),
                100.0 * share * (1.0 + WORN) / (1.0 + WORN * share));
        fprintf(to, " %5.0f L/ha (%5.1f US gal/acre)\n", 1e7 * plugged_m, report_gal_acre(plugged_m));
    }
    const double all_m = (1.0 + WORN) * rate_m;
    fprintf(to, "  all worn by 10 %%: %.0f L/ha (%.1f US gal/acre); a plugged one leaves its part of the row bare\n",
            1e7 * all_m, report_gal_acre(all_m));
}

static void print_fan(FILE *to, const sheet *s)
{
    const scenario_sprayer *sprayer = &s->scenario->sprayer;
    fputs("\nFan air\n", to);
    fprintf(to, "  %-34s %6.0f to %.0f m3/h   (%.0f to %.0f cfm)\n", "to displace the row's air", s->air.need_m3_h[0],
            s->air.need_m3_h[1], report_cfm(s->air.need_m3_h[0] / 3600.0), report_cfm(s->air.need_m3_h[1] / 3600.0));
    fprintf(to, "  rule of thumb: 1000 x km/h x m of spacing x m of canopy height / R, here R %.1f to %.1f\n",
            s->air.divisor[0], s->air.divisor[1]);
    fprintf(to, "  %-34s %6.0f to %.0f rpm, by the fan law from %.0f m3/h at %.0f rpm\n", "fan speed that gives it",
            s->air.fan_rpm[0], s->air.fan_rpm[1], 3600.0 * sprayer->fan_reference_flow_m3_s,
            sprayer->fan_reference_rpm);
    double power_kW[2]; /* fan law: the cube of speed */
    for (int i = 0; i < 2; i++)
        power_kW[i] =
            1e-3 * sprayer->fan_reference_power_W * base_pow(s->air.fan_rpm[i] / sprayer->fan_reference_rpm, 3.0);
    fprintf(to, "  %-34s %6.1f to %.1f kW   (%.1f to %.1f hp)\n", "shaft power there", power_kW[0], power_kW[1],
            report_hp(1e3 * power_kW[0]), report_hp(1e3 * power_kW[1]));
    const double flow_m3_h = 3600.0 * s->work.fan_flow_m3_s;
    fprintf(to, "  %-34s %6.0f rpm, %.0f m3/h (%.0f cfm)\n  %-34s %s\n", "the scenario's fan", sprayer->fan_rpm,
            flow_m3_h, report_cfm(s->work.fan_flow_m3_s), "that is", report_air_verdict(&s->air, flow_m3_h));
}

static void print_text(FILE *to, const sheet *s)
{
    const drupelet_scenario *scenario = s->scenario;
    const double speed_m_s = scenario->sprayer.travel_speed_m_s, spacing_m = scenario->orchard.row_spacing_m;
    fprintf(to, "%s\n%s%s", scenario->name, scenario->place, scenario->place[0] != '\0' ? "\n" : "");
    fprintf(to, "Settings for %.0f L/ha (%.1f US gal/acre) at %.1f km/h (%.1f mph) in rows %.2f m (%.1f ft) apart\n",
            1e7 * s->plan.rate_m, report_gal_acre(s->plan.rate_m), 3.6 * speed_m_s, report_mph(speed_m_s), spacing_m,
            report_ft(spacing_m));
    fprintf(to, "As the scenario is set now: %.0f L/ha (%.1f US gal/acre)\n", 1e7 * s->work.application_rate_m,
            report_gal_acre(s->work.application_rate_m));
    print_flow(to, s);
    for (int g = 0; g < s->plan.n_groups; g++)
        print_sizes(to, s, g);
    print_choices(to, s);
    print_faults(to, s);
    print_fan(to, s);
    report_advice_print(to, &s->advice);
    report_warnings_print(to, &s->warnings);
    fprintf(to, "\n%s\n", drupelet_caution());
}

/* ---- JSON ---- */

enum { DIGITS = 6 };

static void json_choice(base_json *j, const sheet *s, const sprayer_plan_choice *c)
{
    base_json_open(j, NULL, '{');
    base_json_number(j, "pressure_bar", 1e-5 * c->pressure_Pa, DIGITS);
    base_json_number(j, "rate_L_ha", 1e7 * c->rate_m, DIGITS);
    base_json_number(j, "split_error_percent", 100.0 * c->split_error, DIGITS);
    base_json_truth(j, "usual_pressure", c->usual);
    base_json_open(j, "tips", '[');
    for (int g = 0; g < s->plan.n_groups; g++) {
        if (!c->size[g]) continue;
        base_json_open(j, NULL, '{');
        base_json_words(j, "tip", tip_of(s, g)->name);
        base_json_words(j, "size", c->size[g]);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
    base_json_close(j, '}');
}

static void json_size(base_json *j, const sprayer_generic *kind, const char *size, double pressure_Pa)
{
    base_json_open(j, NULL, '{');
    base_json_words(j, "size", size);
    base_json_words(j, "colour", scenario_size_colour(size));
    base_json_number(j, "pressure_bar", 1e-5 * pressure_Pa, DIGITS);
    base_json_words(j, "usual", range_word(kind, pressure_Pa));
    base_json_close(j, '}');
}

static void json_group(base_json *j, const sheet *s, int g)
{
    const sprayer_plan_group *group = &s->plan.group[g];
    const sprayer_generic kind = sprayer_generic_tip(tip_of(s, g)->kind);
    const double usual_bar[2] = {1e-5 * kind.pressure_lowest_Pa, 1e-5 * kind.pressure_highest_Pa};
    const double share = group->row_share / group->n_nozzles;
    base_json_open(j, NULL, '{');
    base_json_words(j, "tip", tip_of(s, g)->name);
    base_json_words(j, "kind", sprayer_kind_name(tip_of(s, g)->kind));
    base_json_whole(j, "nozzles", (uint64_t)group->n_nozzles);
    base_json_number(j, "flow_L_min", L_min(group->flow_m3_s), DIGITS);
    base_json_number(j, "share_of_spray_percent", 100.0 * share, DIGITS);
    base_json_numbers(j, "usual_pressure_bar", 2, usual_bar, 1, DIGITS);
    base_json_number(j, "rate_with_one_worn_10_percent_L_ha", 1e7 * s->choice_rate_m * (1.0 + WORN * share), DIGITS);
    base_json_number(j, "rate_with_one_plugged_L_ha", 1e7 * s->choice_rate_m * (1.0 - share), DIGITS);
    base_json_open(j, "sizes", '[');
    const char *size;
    for (int i = 0; (size = sprayer_plan_candidate(&s->plan, g, i)) != NULL; i++)
        json_size(j, &kind, size, pressure_of_Pa(s, g, size));
    base_json_close(j, ']');
    base_json_close(j, '}');
}

static void print_json(FILE *to, const sheet *s)
{
    const drupelet_scenario *scenario = s->scenario;
    base_json j = {.to = to, .lines = 3};
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "scenario", scenario->name);
    base_json_number(&j, "rate_L_ha", 1e7 * s->plan.rate_m, DIGITS);
    base_json_number(&j, "rate_US_gal_acre", report_gal_acre(s->plan.rate_m), DIGITS);
    base_json_number(&j, "rate_now_L_ha", 1e7 * s->work.application_rate_m, DIGITS);
    base_json_number(&j, "travel_speed_km_h", 3.6 * scenario->sprayer.travel_speed_m_s, DIGITS);
    base_json_number(&j, "row_spacing_m", scenario->orchard.row_spacing_m, DIGITS);
    base_json_number(&j, "flow_L_min", L_min(s->plan.flow_m3_s), DIGITS);
    base_json_number(&j, "flow_US_gal_min", report_gal_min(s->plan.flow_m3_s), DIGITS);
    base_json_number(&j, "machine_flows_a_row", s->plan.machine_flows_a_row, DIGITS);
    base_json_open(&j, "groups", '[');
    for (int g = 0; g < s->plan.n_groups; g++)
        json_group(&j, s, g);
    base_json_close(&j, ']');
    base_json_open(&j, "choices_by_pressure", '[');
    for (int c = 0; c < s->plan.n_circuits; c++) {
        base_json_open(&j, NULL, '[');
        for (int i = 0; i < s->n_choices[c]; i++)
            json_choice(&j, s, &s->choice[c][i]);
        base_json_close(&j, ']');
    }
    base_json_close(&j, ']');
    base_json_number(&j, "rate_with_first_choices_L_ha", 1e7 * s->choice_rate_m, DIGITS);
    base_json_numbers(&j, "air_needed_m3_h", 2, s->air.need_m3_h, 1, DIGITS);
    base_json_numbers(&j, "fan_speed_needed_rpm", 2, s->air.fan_rpm, 1, DIGITS);
    base_json_number(&j, "fan_speed_rpm", scenario->sprayer.fan_rpm, DIGITS);
    report_advice_json(&j, &s->advice);
    report_warnings_json(&j, &s->warnings);
    base_json_words(&j, "caution", drupelet_caution());
    base_json_close(&j, '}');
}

drupelet_status report_rate_sheet(const drupelet_scenario *scenario, double rate_m, bool equal, FILE *to, bool json)
{
    sheet *s = calloc(1, sizeof *s);
    if (!s) return base_error(DRUPELET_MEMORY, "no memory for the settings sheet");
    s->scenario = scenario;
    drupelet_status status = sprayer_plan_out(scenario, rate_m, equal, &s->plan);
    if (status.code == DRUPELET_OK) status = sprayer_work_out(scenario, &s->work);
    if (status.code == DRUPELET_OK) {
        work_out(s);
        if (json)
            print_json(to, s);
        else
            print_text(to, s);
    }
    free(s);
    return status;
}
