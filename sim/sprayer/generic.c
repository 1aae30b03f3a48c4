/* sim/sprayer/generic.c - reads the assumptions about generic tips from their one data file. */
#include "sprayer/generic.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/elementary.h"
#include "scenario/keys.h"

/* Exit speed of a plain tip over what pressure alone would give. A swirl tip loses some in its chamber, a fan tip less:
 * 0.8 to 0.98 (common practice; no measured value for orchard tips at hand). */
#define VELOCITY_COEFFICIENT 0.9

extern const char sprayer_generic_tips_csv[];


typedef enum {
    FLOW, PRESSURE, PRESSURE_LOWEST, PRESSURE_HIGHEST, DV50, PRESSURE_EXPONENT, FLOW_EXPONENT, DV10_OVER_DV50,
    DV90_OVER_DV50, EXIT_AREA, QUANTITIES
} quantity;

/* A line of the file; every kind has every quantity (a test reads them all). */
typedef struct { double value, lowest, highest; char standing[24]; } assumption;

static double number(const base_csv *csv, const char *column)
{
    return strtod(base_csv_text(csv, base_csv_column(csv, column)), NULL);
}

static void read_kind(scenario_tip_kind kind, assumption a[QUANTITIES])
{
    static const char *const NAME[QUANTITIES] = {
        [FLOW] = "flow", [PRESSURE] = "pressure", [PRESSURE_LOWEST] = "pressure_lowest",
        [PRESSURE_HIGHEST] = "pressure_highest", [DV50] = "dv50", [PRESSURE_EXPONENT] = "pressure_exponent",
        [FLOW_EXPONENT] = "flow_exponent", [DV10_OVER_DV50] = "dv10_over_dv50", [DV90_OVER_DV50] = "dv90_over_dv50",
        [EXIT_AREA] = "exit_area"};
    base_csv csv;
    base_csv_embedded("generic_tips.csv", sprayer_generic_tips_csv, &csv);
    const int i_kind = base_csv_column(&csv, "kind"), i_quantity = base_csv_column(&csv, "quantity");
    int n = 0;
    while (base_csv_next(&csv)) {
        if (strcmp(base_csv_text(&csv, i_kind), sprayer_kind_name(kind)) != 0)
            continue;
        int q = 0;
        while (q < QUANTITIES && strcmp(base_csv_text(&csv, i_quantity), NAME[q]) != 0)
            q++;
        assert(q < QUANTITIES);
        a[q] = (assumption){number(&csv, "value"), number(&csv, "lowest"), number(&csv, "highest"), ""};
        snprintf(a[q].standing, sizeof a[q].standing, "%s", base_csv_text(&csv, base_csv_column(&csv, "standing")));
        n++;
    }
    assert(csv.status.code == DRUPELET_OK && n == QUANTITIES);
    base_csv_close(&csv);
}

const char *sprayer_kind_name(scenario_tip_kind kind)
{
    return scenario_word_of("tips.*.kind", (int)kind);
}

sprayer_generic sprayer_generic_tip(scenario_tip_kind kind)
{
    assumption a[QUANTITIES] = {0};
    read_kind(kind, a);
    return (sprayer_generic){.dv50_m = 1e-6 * a[DV50].value,
                             .flow_m3_s = a[FLOW].value / 6e4,
                             .pressure_Pa = 1e5 * a[PRESSURE].value,
                             .dv50_lowest_m = 1e-6 * a[DV50].lowest,
                             .dv50_highest_m = 1e-6 * a[DV50].highest,
                             .pressure_exponent = a[PRESSURE_EXPONENT].value,
                             .flow_exponent = a[FLOW_EXPONENT].value,
                             .dv10_over_dv50 = a[DV10_OVER_DV50].value,
                             .dv90_over_dv50 = a[DV90_OVER_DV50].value,
                             .pressure_lowest_Pa = 1e5 * a[PRESSURE_LOWEST].value,
                             .pressure_highest_Pa = 1e5 * a[PRESSURE_HIGHEST].value,
                             .velocity_coefficient = VELOCITY_COEFFICIENT / a[EXIT_AREA].value};
}

double sprayer_generic_dv50_m(const sprayer_generic *tip, double flow_m3_s, double pressure_Pa)
{
    return tip->dv50_m * base_pow(flow_m3_s / tip->flow_m3_s, tip->flow_exponent)
           * base_pow(pressure_Pa / tip->pressure_Pa, tip->pressure_exponent);
}

void sprayer_generic_standing(scenario_tip_kind kind, char text[SPRAYER_STANDING])
{
    assumption a[QUANTITIES] = {0};
    read_kind(kind, a);
    snprintf(text, SPRAYER_STANDING, "Dv50 %s, exponent %s", a[DV50].standing, a[PRESSURE_EXPONENT].standing);
}
