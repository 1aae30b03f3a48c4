/* sim/sheet/catch_read.c - reads a catch test, and says of each nozzle what was found.
 *
 * Flow goes with the square root of pressure (sprayer/flow.c), so that a test at another pressure than the job's can be
 * used. The test is made with clean water. */
#include <math.h>
#include <string.h>

#include "base/csv.h"
#include "base/number.h"
#include "base/status.h"
#include "scenario/units.h"
#include "sheet/catch.h"
#include "sprayer/nozzle_names.h"
#include "sprayer/sprayer.h"

#define MOST_BYTES ((size_t)1000000)

static const char known[] = "side nozzle volume_mL volume_fl_oz time_s pressure_bar pressure_psi";

/* Does a nozzle stand below another of its side? Of two at one height the first in the scenario does. */
static bool below(const scenario_sprayer *s, int a, int b)
{
    const double rise_m = s->nozzle[b].height_m - s->nozzle[a].height_m;
    return rise_m != 0.0 ? rise_m > 0.0 : a < b;
}

static void number_nozzles(const drupelet_scenario *scenario, sheet_catch *caught)
{
    const scenario_sprayer *s = &scenario->sprayer;
    caught->n_nozzles = s->n_nozzles;
    for (int i = 0; i < s->n_nozzles; i++) {
        scenario_nozzle as_new = s->nozzle[i];
        as_new.worn = 0.0;
        as_new.plugged = false;
        caught->nozzle[i].number = 1;
        for (int k = 0; k < s->n_nozzles; k++)
            caught->nozzle[i].number += k != i && s->nozzle[k].side == s->nozzle[i].side && below(s, k, i);
        caught->nozzle[i].pressure_Pa = s->nozzle[i].pressure_Pa;
        caught->nozzle[i].new_m3_s = sprayer_nozzle_flow_m3_s(&scenario->tip[as_new.i_tip], &as_new);
    }
}

static int n_of_side(const drupelet_scenario *scenario, scenario_side side)
{
    int n = 0;
    for (int i = 0; i < scenario->sprayer.n_nozzles; i++)
        n += scenario->sprayer.nozzle[i].side == side;
    return n;
}

/* The nozzle of the line in hand, or NULL. */
static sheet_caught *nozzle_of_line(base_csv *csv, const drupelet_scenario *scenario, sheet_catch *caught)
{
    const int i_side = base_csv_column(csv, "side"), i_number = base_csv_column(csv, "nozzle");
    const char *word = base_csv_text(csv, i_side);
    const scenario_side side = strcmp(word, "left") == 0 ? SCENARIO_LEFT : SCENARIO_RIGHT;
    if (side == SCENARIO_RIGHT && strcmp(word, "right") != 0) {
        base_csv_refuse(csv, i_side, "left or right, as the driver sees it");
        return NULL;
    }
    const int n = n_of_side(scenario, side);
    const double number = base_csv_number(csv, i_number, 1.0, n > 0 ? n : 1.0,
                                          "the number of a nozzle on that side, the lowest being 1,");
    if (csv->status.code != DRUPELET_OK) return NULL;
    for (int i = 0; i < caught->n_nozzles; i++)
        if (scenario->sprayer.nozzle[i].side == side && (double)caught->nozzle[i].number == number)
            return &caught->nozzle[i];
    base_csv_refuse(csv, i_number, "a whole number of a nozzle that the scenario has on that side");
    return NULL;
}

/* A number from one of two columns in two units, in SI.
 * @param otherwise where neither is filled in; 0: one has to be */
static double either(base_csv *csv, const char *metric, double metric_si, const char *us, double us_si, double low,
                     double high, const char *what, double otherwise)
{
    const int i_metric = base_csv_column(csv, metric), i_us = base_csv_column(csv, us);
    const bool in_us =
        i_metric < 0 || (i_us >= 0 && base_csv_text(csv, i_metric)[0] == '\0' && base_csv_text(csv, i_us)[0] != '\0');
    const int column = in_us ? i_us : i_metric;
    const double si = in_us ? us_si : metric_si;
    if (column < 0 || (otherwise > 0.0 && base_csv_text(csv, column)[0] == '\0')) return otherwise;
    if (!in_us && i_us >= 0 && base_csv_text(csv, i_us)[0] != '\0')
        base_csv_refuse(csv, i_us, "nothing, for %s is given", metric);
    return si * base_csv_number(csv, column, low / si, high / si, what);
}

static sheet_nozzle_state state_of(double departure)
{
    return departure <= SHEET_PLUGGED_BELOW - 1.0                  ? SHEET_PLUGGED
           : departure > SPRAYER_WORN_MOST * (1.0 + BASE_ROUNDING) ? SHEET_WORN
           : departure < SHEET_LOW_FROM * (1.0 + BASE_ROUNDING)    ? SHEET_LOW
                                                                   : SHEET_IN_ORDER;
}

static void take_line(base_csv *csv, const drupelet_scenario *scenario, sheet_catch *caught)
{
    sheet_caught *n = nozzle_of_line(csv, scenario, caught);
    if (!n) return;
    if (n->line > 0) {
        base_csv_refuse(csv, base_csv_column(csv, "nozzle"), "each nozzle once; this one stands in line %d", n->line);
        return;
    }
    const double mL = scenario_units_to_si(SCENARIO_VOLUME, "mL", 1.0),
                 fl_oz = scenario_units_to_si(SCENARIO_VOLUME, "gal", 1.0) / SHEET_FLUID_OUNCES_A_GALLON,
                 job_Pa = n->pressure_Pa;
    const double most_new = 2.0; /* the range of sprayer.nozzles.*.worn ends there */
    n->volume_m3 = either(csv, "volume_mL", mL, "volume_fl_oz", fl_oz, 0.0, 0.1, "what the jug holds", 0.0);
    n->time_s = base_csv_number(csv, base_csv_column(csv, "time_s"), 1.0, 3600.0, "seconds");
    n->pressure_Pa =
        either(csv, "pressure_bar", 1e5, "pressure_psi", scenario_units_to_si(SCENARIO_PRESSURE, "psi", 1.0), 0.5e5,
               60e5, "the gauge's pressure", job_Pa);
    if (csv->status.code != DRUPELET_OK) return;
    n->flow_m3_s = sprayer_flow_m3_s(n->volume_m3 / n->time_s, n->pressure_Pa, job_Pa);
    n->departure = n->flow_m3_s / n->new_m3_s - 1.0;
    n->state = state_of(n->departure);
    n->line = csv->line;
    caught->n_caught++;
    if (n->departure > most_new - 1.0) {
        const bool metric = base_csv_text(csv, base_csv_column(csv, "volume_mL"))[0] != '\0';
        base_csv_refuse(csv, base_csv_column(csv, metric ? "volume_mL" : "volume_fl_oz"),
                        "at most twice what a new tip gives, %.0f mL or %.1f fl oz in that time",
                        n->new_m3_s * n->time_s * sqrt(n->pressure_Pa / job_Pa) / mL,
                        n->new_m3_s * n->time_s * sqrt(n->pressure_Pa / job_Pa) / fl_oz);
    }
}

drupelet_status sheet_catch_read(const char *path, const drupelet_scenario *scenario, sheet_catch *caught)
{
    base_csv csv;
    memset(caught, 0, sizeof *caught);
    number_nozzles(scenario, caught);
    base_csv_open(path, MOST_BYTES, known, &csv);
    base_csv_need(&csv, "side");
    base_csv_need(&csv, "nozzle");
    base_csv_need(&csv, "time_s");
    if (base_csv_column(&csv, "volume_fl_oz") < 0) base_csv_need(&csv, "volume_mL");
    while (base_csv_next(&csv))
        take_line(&csv, scenario, caught);
    if (csv.status.code == DRUPELET_OK && caught->n_caught == 0)
        csv.status = base_error(DRUPELET_SCENARIO, "%s: found no nozzle, expected one a line", path);
    base_csv_close(&csv);
    return csv.status;
}
