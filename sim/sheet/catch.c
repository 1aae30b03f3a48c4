/* sim/sheet/catch.c - the catch test on the sheet: each nozzle, both sides, what wear does to rate and droplets. */
#include "sheet/catch.h"

#include <math.h>
#include <stdlib.h>

#include "base/number.h"
#include "base/status.h"
#include "sprayer/nozzle_names.h"
#include "sprayer/sprayer.h"

static const char *const state_words[] = {
    [SHEET_NOT_CAUGHT] = "not caught, taken as the scenario has it",
    [SHEET_IN_ORDER] = "within 10 %",
    [SHEET_WORN] = "worn: replace the tip",
    [SHEET_LOW] = "gives less: clean it, catch again",
    [SHEET_PLUGGED] = "plugged: clean it, catch again",
};

static void put_nozzles(sheet *s, const drupelet_scenario *scenario, const sheet_catch *caught)
{
    static const sheet_column columns[] = {{"side", "side", 0, true},
                                           {"nozzle", "nozzle", SHEET_COUNT, false},
                                           {"tip", "tip", 0, true},
                                           {"height", "height", SHEET_LENGTH, false},
                                           {"pressure", "pressure", SHEET_PRESSURE, false},
                                           {"caught", "flow caught", SHEET_FLOW, false},
                                           {"new", "of a new tip", SHEET_FLOW, false},
                                           {"departure", "difference", SHEET_PERCENT, false},
                                           {"found", "found", 0, true}};
    sheet_section(s, "catch", "Catch test, nozzle by nozzle (left and right as the driver sees them; 1 is the lowest)");
    sheet_picture(s, sheet_catch_picture(scenario, caught));
    sheet_table(s, "nozzles", 9, columns);
    for (int side = SCENARIO_LEFT; side <= SCENARIO_RIGHT; side += 2)
        for (int number = 1; number <= caught->n_nozzles; number++)
            for (int i = 0; i < caught->n_nozzles; i++) {
                const scenario_nozzle *n = &scenario->sprayer.nozzle[i];
                const sheet_caught *c = &caught->nozzle[i];
                const double none = c->line > 0 ? 0.0 : (double)NAN;
                if ((int)n->side != side || c->number != number) continue;
                sheet_row(s, (sheet_cell[]){{.words = side == SCENARIO_LEFT ? "left" : "right"},
                                            {.value_si = number},
                                            {.words = scenario->tip[n->i_tip].name},
                                            {.value_si = n->height_m},
                                            {.value_si = c->pressure_Pa},
                                            {.value_si = c->flow_m3_s + none},
                                            {.value_si = c->new_m3_s},
                                            {.value_si = c->departure + none},
                                            {.words = state_words[c->state]}});
            }
    sheet_note(s,
               "A tip that gives more than %g %% above a new one is replaced, one that gives %g %% less is cleaned "
               "(common practice). Flows are for the pressure of the job: a flow caught at another pressure was "
               "brought to it by the square root of the pressures.",
               100.0 * SPRAYER_WORN_MOST, -100.0 * SHEET_LOW_FROM);
}

static void put_sides(sheet *s, const sprayer_work *as_new, const sprayer_work *found)
{
    double flow[2][2] = {{0.0}}; /* [side][new, found] */
    for (int i = 0; i < found->n_nozzles; i++) {
        const int side = found->nozzle[i].nozzle->side == SCENARIO_RIGHT;
        flow[side][0] += as_new->nozzle[i].flow_m3_s;
        flow[side][1] += found->nozzle[i].flow_m3_s;
    }
    sheet_section(s, "sides", "Left and right");
    sheet_value(s, "left", "left, as found", SHEET_FLOW, flow[0][1], "");
    sheet_value(s, "right", "right, as found", SHEET_FLOW, flow[1][1], "");
    const double expected = flow[1][0] > 0.0 ? flow[0][0] / flow[1][0] : (double)NAN,
                 now = flow[1][1] > 0.0 ? flow[0][1] / flow[1][1] : (double)NAN;
    const double uneven = now / expected - 1.0;
    const double most = SHEET_UNEVEN_FROM * (1.0 + BASE_ROUNDING);
    sheet_value(s, "left_over_right", "left over right, beside new tips", SHEET_PERCENT, uneven,
                fabs(uneven) > most ? "uneven: more than 10 % apart (common practice)"
                : isfinite(uneven)  ? "even within 10 % (common practice)"
                                    : "one side gives nothing");
}

static double flow_of(const sprayer_work *work)
{
    double flow_m3_s = 0.0;
    for (int i = 0; i < work->n_nozzles; i++)
        flow_m3_s += work->nozzle[i].flow_m3_s;
    return flow_m3_s;
}

static void put_effect(sheet *s, const drupelet_scenario *scenario, const sprayer_work *as_new,
                       const sprayer_work *found)
{
    static const sheet_column columns[] = {{"tip", "tip", 0, true},
                                           {"departure", "flow against new", SHEET_PERCENT, false},
                                           {"nozzles", "nozzles", SHEET_COUNT, false},
                                           {"dv50_new", "Dv50 new", SHEET_DROPLET, false},
                                           {"dv50", "Dv50 as found", SHEET_DROPLET, false},
                                           {"below_100_um", "below 100 um", SHEET_PERCENT, false}};
    sheet_section(s, "effect", "What that does to rate and droplets");
    sheet_value(s, "flow_new", "all nozzles, new", SHEET_FLOW, flow_of(as_new), "");
    sheet_value(s, "flow", "all nozzles, as found", SHEET_FLOW, flow_of(found), "");
    sheet_value(s, "rate_new", "rate with new tips", SHEET_RATE, as_new->application_rate_m, "");
    sheet_value(s, "rate", "rate as found", SHEET_RATE, found->application_rate_m, "");
    sheet_value(s, "rate_change", "difference of the rate", SHEET_PERCENT,
                found->application_rate_m / as_new->application_rate_m - 1.0, "");
    sheet_table(s, "sprays", 6, columns);
    for (int i = 0; i < found->n_sprays; i++) {
        const sprayer_spray *spray = &found->spray[i];
        int n = 0, k = 0;
        for (int j = 0; j < found->n_nozzles; j++)
            n += found->nozzle[j].i_spray == i && found->nozzle[j].flow_m3_s > 0.0;
        while (k < as_new->n_sprays - 1
               && (as_new->spray[k].i_tip != spray->i_tip || as_new->spray[k].pressure_Pa != spray->pressure_Pa))
            k++;
        if (n == 0) continue;
        sheet_row(s, (sheet_cell[]){{.words = scenario->tip[spray->i_tip].name},
                                    {.value_si = spray->worn},
                                    {.value_si = n},
                                    {.value_si = as_new->spray[k].dv50_m},
                                    {.value_si = spray->dv50_m},
                                    {.value_si = spray->share_below_100_um}});
    }
    sheet_note(s, "Droplet sizes: a generic spectrum is taken to be that of an orifice of the flow found; a measured "
                  "spectrum is kept. How wear changes a real tip's droplets is not known from its flow.");
}

drupelet_status sheet_put_catch(sheet *s, const drupelet_scenario *scenario, const drupelet_scenario *as_found,
                                const sheet_catch *caught)
{
    sprayer_work *work = malloc(2 * sizeof *work);
    drupelet_scenario *as_new = malloc(sizeof *as_new);
    drupelet_status status = work && as_new ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the sprayer");
    if (status.code == DRUPELET_OK) {
        *as_new = *scenario; /* what it points to stays the scenario's */
        for (int i = 0; i < as_new->sprayer.n_nozzles; i++) {
            as_new->sprayer.nozzle[i].worn = 0.0;
            as_new->sprayer.nozzle[i].plugged = false;
        }
        status = sprayer_work_out(as_new, &work[0]);
    }
    if (status.code == DRUPELET_OK) status = sprayer_work_out(as_found, &work[1]);
    if (status.code == DRUPELET_OK) {
        put_nozzles(s, scenario, caught);
        put_sides(s, &work[0], &work[1]);
        put_effect(s, scenario, &work[0], &work[1]);
        status = sheet_status(s);
    }
    free(as_new);
    free(work);
    return status;
}
