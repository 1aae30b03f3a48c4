/* sim/report/advice.c - borders of common practice. All are habits of the trade (common practice, memory), none a limit
 * of law or of a label; pressures come from sim/sprayer/generic_tips.csv. */
#include "report/advice.h"

#include <stdarg.h>

#include "base/number.h"
#include "report/text.h"
#include "report/us_units.h"
#include "sprayer/generic.h"
#include "sprayer/nozzle_names.h"

#define SLOWEST_KM_H 3.0 /* orchards and vineyards are sprayed at 3 to 8 km/h */
#define FASTEST_KM_H 8.0
#define LEAST_L_HA 100.0 /* below: concentrate spraying with fine droplets; above: leaves run off */
#define MOST_L_HA 2000.0

static void advise(report_advice *a, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void advise(report_advice *a, const char *format, ...)
{
    if (a->n == REPORT_ADVICE) {
        snprintf(a->line[REPORT_ADVICE - 1], REPORT_ADVICE_TEXT, "and more of the kind");
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(a->line[a->n++], REPORT_ADVICE_TEXT, format, arguments);
    va_end(arguments);
}

void report_advise_speed(report_advice *a, double travel_speed_m_s)
{
    const double km_h = 3.6 * travel_speed_m_s;
    if (km_h < SLOWEST_KM_H * (1.0 - BASE_ROUNDING) || km_h > FASTEST_KM_H * (1.0 + BASE_ROUNDING))
        advise(a, "travel speed %.1f km/h (%.1f mph): orchards are mostly sprayed at %g to %g km/h", km_h,
               report_mph(travel_speed_m_s), SLOWEST_KM_H, FASTEST_KM_H);
}

void report_advise_rate(report_advice *a, double rate_m)
{
    const double L_ha = 1e7 * rate_m;
    if (L_ha < LEAST_L_HA * (1.0 - BASE_ROUNDING))
        advise(a, "%.0f L/ha (%.1f US gal/acre): less than the usual %g L/ha; few droplets for each leaf", L_ha,
               report_gal_acre(rate_m), LEAST_L_HA);
    if (L_ha > MOST_L_HA * (1.0 + BASE_ROUNDING))
        advise(a, "%.0f L/ha (%.1f US gal/acre): more than the usual %g L/ha; leaves may run off", L_ha,
               report_gal_acre(rate_m), MOST_L_HA);
}

void report_advise_pressure(report_advice *a, const char *name, scenario_tip_kind kind, double pressure_Pa)
{
    const sprayer_generic g = sprayer_generic_tip(kind);
    if (pressure_Pa < g.pressure_lowest_Pa * (1.0 - BASE_ROUNDING)
        || pressure_Pa > g.pressure_highest_Pa * (1.0 + BASE_ROUNDING))
        advise(a, "%.60s at %.3g bar (%.0f psi): tips of the kind %s are usually run at %g to %g bar", name,
               1e-5 * pressure_Pa, report_psi(pressure_Pa), sprayer_kind_name(kind), 1e-5 * g.pressure_lowest_Pa,
               1e-5 * g.pressure_highest_Pa);
}

void report_advise_nozzles(report_advice *a, const drupelet_scenario *s)
{
    char names[REPORT_ADVICE_TEXT - 104]; /* the rest of either sentence is shorter */
    const int n_worn = sprayer_nozzle_names(s, SPRAYER_WORN_NOZZLES, names, sizeof names);
    if (n_worn > 0)
        advise(a, "%d of %d nozzles worn by more than %g %%: %s; replace tips worn so far", n_worn,
               s->sprayer.n_nozzles, 100.0 * SPRAYER_WORN_MOST, names);
    const int n_plugged = sprayer_nozzle_names(s, SPRAYER_PLUGGED_NOZZLES, names, sizeof names);
    if (n_plugged > 0)
        advise(a,
               "%d of %d nozzles plugged: %s; a gap in the spray, and the rest of the tank goes farther than planned",
               n_plugged, s->sprayer.n_nozzles, names);
}

void report_advise_fan(report_advice *a, const drupelet_scenario *s, const report_air_rule *rule, double fan_rpm)
{
    const double reference_rpm = s->sprayer.fan_reference_rpm;
    const double flow_m3_h = 3600.0 * s->sprayer.fan_reference_flow_m3_s * fan_rpm / reference_rpm; /* fan law */
    if (fan_rpm > reference_rpm * (1.0 + BASE_ROUNDING))
        advise(a, "fan at %.0f rpm: more than the %.0f rpm at which its flow and power were found", fan_rpm,
               reference_rpm);
    if (flow_m3_h < rule->need_m3_h[0] * (1.0 - BASE_ROUNDING)
        || flow_m3_h > rule->need_m3_h[1] * (1.0 + BASE_ROUNDING))
        advise(a, "fan at %.0f rpm gives %.0f m3/h, %s", fan_rpm, flow_m3_h, report_air_verdict(rule, flow_m3_h));
}

void report_advice_print(FILE *to, const report_advice *a)
{
    if (a->n == 0) return;
    fputs("\nOutside common practice\n", to);
    for (int i = 0; i < a->n; i++)
        fprintf(to, "  - %s\n", a->line[i]);
}

void report_advice_json(base_json *j, const report_advice *a)
{
    base_json_open(j, "outside_common_practice", '[');
    for (int i = 0; i < a->n; i++)
        base_json_words(j, NULL, a->line[i]);
    base_json_close(j, ']');
}
