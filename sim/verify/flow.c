/* sim/verify/flow.c - flow and droplet sizes of tips beside the colour code, the square-root law and worked fits. */
#include <math.h>
#include <string.h>

#include "base/elementary.h"
#include "sprayer/generic.h"
#include "sprayer/sprayer.h"
#include "verify/checks.h"

#define L_MIN 60000.0 /* L/min in m3/s */

static double size_L_min(const verify_table *t, int row)
{
    return L_MIN * scenario_size_flow_m3_s(verify_table_text(t, row, "size"));
}

/* From the table's flow of the same size at 300 kPa. */
static double flow_L_min(const verify_table *t, int row)
{
    const char *size = verify_table_text(t, row, "size");
    double rated = NAN;
    for (int i = 0; i < verify_table_rows(t); i++)
        if (strcmp(verify_table_text(t, i, "size"), size) == 0 && verify_table_number(t, i, "pressure_kPa") == 300.0)
            rated = verify_table_number(t, i, "flow_L_min") / L_MIN;
    return L_MIN * sprayer_flow_m3_s(rated, 300e3, 1e3 * verify_table_number(t, row, "pressure_kPa"));
}

static double flow_of_size_L_min(const verify_table *t, int row)
{
    return L_MIN
           * sprayer_flow_m3_s(scenario_size_flow_m3_s(verify_table_text(t, row, "size")), 300e3,
                               1e3 * verify_table_number(t, row, "pressure_kPa"));
}

/* The form of a row, fitted to 60, 120 and 200 um. */
static sprayer_spectrum fitted(const verify_table *t, int row)
{
    static const scenario_spectrum_form forms[] = {SCENARIO_SPECTRUM_ROSIN_RAMMLER, SCENARIO_SPECTRUM_LOG_NORMAL,
                                                   SCENARIO_SPECTRUM_UPPER_LIMIT};
    sprayer_spectrum spectrum = {.a = NAN};
    for (size_t f = 0; f < sizeof forms / sizeof forms[0]; f++)
        if (strcmp(verify_table_text(t, row, "form"), sprayer_spectrum_form_name(forms[f])) == 0
            && sprayer_spectrum_fit(forms[f], 60e-6, 120e-6, 200e-6, &spectrum).code != DRUPELET_OK)
            spectrum.a = NAN;
    return spectrum;
}

static double median_um(const verify_table *t, int row)
{
    const sprayer_spectrum s = fitted(t, row);
    return 1e6 * sprayer_spectrum_quantile_m(&s, 0.5);
}

static double sauter_um(const verify_table *t, int row)
{
    const sprayer_spectrum s = fitted(t, row);
    return 1e6 * sprayer_spectrum_sauter_m(&s);
}

static double percent_below_100_um(const verify_table *t, int row)
{
    const sprayer_spectrum s = fitted(t, row);
    return 100.0 * sprayer_spectrum_share_below(&s, 100e-6);
}

static double percent_below_150_um(const verify_table *t, int row)
{
    const sprayer_spectrum s = fitted(t, row);
    return 100.0 * sprayer_spectrum_share_below(&s, 150e-6);
}

static const verify_model models[] = {
    {"size_L_min", size_L_min},
    {"flow_L_min", flow_L_min},
    {"flow_of_size_L_min", flow_of_size_L_min},
    {"median_um", median_um},
    {"sauter_um", sauter_um},
    {"percent_below_100_um", percent_below_100_um},
    {"percent_below_150_um", percent_below_150_um},
};

/* Exponent of Dv50 on pressure as the generic tips have it, beside the middle of the published range; half its width is
 * allowed. */
static drupelet_status compare_exponents(verify_list *list)
{
    verify_table *published;
    const drupelet_status status = verify_table_open("pressure_exponents", &published);
    if (status.code != DRUPELET_OK)
        return status;
    static const scenario_tip_kind kinds[] = {SCENARIO_HOLLOW_CONE_DISC_CORE, SCENARIO_HOLLOW_CONE,
                                              SCENARIO_AIR_INDUCTION_HOLLOW_CONE, SCENARIO_FLAT_FAN,
                                              SCENARIO_AIR_INDUCTION_FLAT_FAN};
    for (int row = 0; row < verify_table_rows(published); row++) {
        const bool cone = strcmp(verify_table_text(published, row, "kind"), "hollow cone") == 0;
        const double low = verify_table_number(published, row, "lowest"),
                     high = verify_table_number(published, row, "highest");
        verify_worst worst = verify_worst_of(list, cone ? "flow.cone" : "flow.fan");
        worst.target.tolerance = 0.5 * (high - low);
        for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
            const sprayer_generic g = sprayer_generic_tip(kinds[k]);
            if (cone != (kinds[k] != SCENARIO_FLAT_FAN && kinds[k] != SCENARIO_AIR_INDUCTION_FLAT_FAN)) continue;
            const double ratio = sprayer_generic_dv50_m(&g, g.flow_m3_s, g.pressure_highest_Pa)
                                 / sprayer_generic_dv50_m(&g, g.flow_m3_s, g.pressure_lowest_Pa);
            const double exponent = base_log(ratio) / base_log(g.pressure_highest_Pa / g.pressure_lowest_Pa);
            verify_worst_case(&worst, 0.5 * (low + high), exponent, "%s", sprayer_kind_name(kinds[k]));
        }
        verify_worst_compare(list, &worst, "Dv50 by pressure");
    }
    verify_table_free(published);
    return status;
}

drupelet_status verify_flow(verify_list *list)
{
    const drupelet_status status = verify_columns(list, "flow", models, sizeof models / sizeof models[0]);
    return status.code == DRUPELET_OK ? compare_exponents(list) : status;
}
