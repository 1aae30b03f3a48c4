/* sim/sprayer/rate_plan.c - settings for a rate.
 *
 * q = rate x travel speed x row spacing for the flow q that a row gets (common practice, exact; in customary units
 * L/min = L/ha x km/h x m / 600 and gal/min = gal/acre x mph x ft / 495). p = p0 (q / q0)^2 (square-root law).
 *
 * Choices of tips: the nozzles of a circuit share one pressure. Each candidate of the group with the most flow sets
 * a pressure, the other groups take what then comes nearest to their flow, and the pressure is set so that the
 * circuit gives its part. Choices inside the usual pressures come first; they are ranked by nearness to the kind's
 * pressure of reference and to the wanted split (choices, as is the rounding of the pressure). Left out: pressure
 * lost in pipes and valves. */
#include "sprayer/rate_plan.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "sprayer/generic.h"

#define LOWEST_PA 0.5e5 /* range of pressures of a scenario */
#define HIGHEST_PA 60e5
#define SAME 1e-9             /* flows that differ by less are one */
#define SPLIT_WEIGHT 5.0      /* 10 % off the wanted split counts as much as a factor exp(0.5) of pressure */
#define FINE_GAUGE_TO_PA 5e5
#define FINE_STEP_PA 0.1e5
#define COARSE_STEP_PA 0.5e5

double sprayer_pressure_for_flow_Pa(double rated_flow_m3_s, double rated_pressure_Pa, double flow_m3_s)
{
    const double ratio = flow_m3_s / rated_flow_m3_s;
    return rated_pressure_Pa * ratio * ratio;
}

static double as_read_Pa(double pressure_Pa)
{
    const double step = pressure_Pa < FINE_GAUGE_TO_PA ? FINE_STEP_PA : COARSE_STEP_PA;
    return step * round(pressure_Pa / step);
}

/* How often the nozzles of a side spray, for each row spacing of treated width. */
static double passes_a_row(const drupelet_scenario *s, const sprayer_work *work, scenario_side side)
{
    int n = 0;
    for (int p = 0; p < work->n_passes; p++)
        n += side == SCENARIO_LEFT ? work->pass[p].left_open : work->pass[p].right_open;
    return n * s->orchard.row_spacing_m / work->treated_width_m;
}

static double new_flow_m3_s(const drupelet_scenario *s, const scenario_nozzle *n)
{
    return sprayer_flow_m3_s(s->tip[n->i_tip].flow_m3_s, s->tip[n->i_tip].flow_pressure_Pa, n->pressure_Pa);
}

/* Nozzles before this one with another pressure than all before them. */
static int circuit_of(const scenario_sprayer *sprayer, int i_nozzle)
{
    double known[SCENARIO_NOZZLES];
    int n = 0;
    for (int i = 0;; i++) {
        int k = 0;
        while (k < n && known[k] != sprayer->nozzle[i].pressure_Pa)
            k++;
        if (k == n) known[n++] = sprayer->nozzle[i].pressure_Pa;
        if (i == i_nozzle) return k;
    }
}

static sprayer_plan_group *group_of(sprayer_plan *plan, int i_tip, int i_circuit, double flow_m3_s)
{
    for (int g = 0; g < plan->n_groups; g++) {
        sprayer_plan_group *group = &plan->group[g];
        if (group->i_tip == i_tip && group->i_circuit == i_circuit
            && fabs(group->flow_m3_s - flow_m3_s) <= SAME * flow_m3_s)
            return group;
    }
    sprayer_plan_group *group = &plan->group[plan->n_groups++];
    *group = (sprayer_plan_group){.i_tip = i_tip, .i_circuit = i_circuit, .flow_m3_s = flow_m3_s};
    return group;
}

/* Passes of the sprayer with all its nozzles clean. @param to_rows [2] left, right */
static drupelet_status count_passes(const drupelet_scenario *s, double to_rows[2])
{
    drupelet_scenario *clean = malloc(sizeof *clean);
    sprayer_work *work = malloc(sizeof *work);
    drupelet_status status = clean && work ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the settings");
    if (status.code == DRUPELET_OK) {
        *clean = *s; /* its texts are borrowed */
        for (int i = 0; i < clean->sprayer.n_nozzles; i++)
            clean->sprayer.nozzle[i].plugged = false;
        status = sprayer_work_out(clean, work);
    }
    if (status.code == DRUPELET_OK) {
        to_rows[0] = passes_a_row(s, work, SCENARIO_LEFT);
        to_rows[1] = passes_a_row(s, work, SCENARIO_RIGHT);
    }
    free(work);
    free(clean);
    return status;
}

drupelet_status sprayer_plan_out(const drupelet_scenario *s, double rate_m, bool equal, sprayer_plan *plan)
{
    const scenario_sprayer *sprayer = &s->sprayer;
    memset(plan, 0, sizeof *plan);
    plan->scenario = s;
    plan->rate_m = rate_m;
    if (!(sprayer->travel_speed_m_s > 0.0))
        return base_error(DRUPELET_SCENARIO,
                          "sprayer.travel_speed: found 0, expected a speed above 0: a sprayer that stands still has no "
                          "rate");
    double to_rows[2] = {0.0, 0.0};
    const drupelet_status status = count_passes(s, to_rows);
    if (status.code != DRUPELET_OK) return status;
    double machine = 0.0, rows = 0.0; /* in the proportions wanted */
    for (int i = 0; i < sprayer->n_nozzles; i++) {
        const double part = equal ? 1.0 : new_flow_m3_s(s, &sprayer->nozzle[i]);
        machine += part;
        rows += part * to_rows[sprayer->nozzle[i].side == SCENARIO_RIGHT];
    }
    const double row_flow_m3_s = rate_m * sprayer->travel_speed_m_s * s->orchard.row_spacing_m;
    const double scale = row_flow_m3_s / rows;
    plan->flow_m3_s = machine * scale;
    plan->machine_flows_a_row = rows / machine;
    for (int i = 0; i < sprayer->n_nozzles; i++) {
        const scenario_nozzle *n = &sprayer->nozzle[i];
        const double flow_m3_s = scale * (equal ? 1.0 : new_flow_m3_s(s, n));
        const int circuit = circuit_of(sprayer, i);
        sprayer_plan_group *group = group_of(plan, n->i_tip, circuit, flow_m3_s);
        group->n_nozzles++;
        group->row_share += flow_m3_s * to_rows[n->side == SCENARIO_RIGHT] / row_flow_m3_s;
        plan->n_circuits = circuit >= plan->n_circuits ? circuit + 1 : plan->n_circuits;
    }
    return status;
}

static const scenario_tip *tip_of(const sprayer_plan *plan, int i_group)
{
    return &plan->scenario->tip[plan->group[i_group].i_tip];
}

double sprayer_plan_rated_flow_m3_s(const sprayer_plan *plan, int i_group, const char *size)
{
    const scenario_tip *tip = tip_of(plan, i_group);
    return size[0] != '\0' ? scenario_size_flow_m3_s(size)
                           : sprayer_flow_m3_s(tip->flow_m3_s, tip->flow_pressure_Pa, SCENARIO_SIZE_PRESSURE_PA);
}

const char *sprayer_plan_candidate(const sprayer_plan *plan, int i_group, int i)
{
    const scenario_tip *tip = tip_of(plan, i_group);
    const int own = tip->size[0] == '\0';
    if (own && i == 0) return "";
    return tip->kind == SCENARIO_HOLLOW_CONE_DISC_CORE ? NULL : scenario_size_at(i - own);
}

/* What comes nearest to a group's flow at a pressure. */
static const char *nearest(const sprayer_plan *plan, int i_group, double pressure_Pa)
{
    const char *best = NULL, *size;
    double least = INFINITY;
    for (int i = 0; (size = sprayer_plan_candidate(plan, i_group, i)) != NULL; i++) {
        const double flow = sprayer_flow_m3_s(sprayer_plan_rated_flow_m3_s(plan, i_group, size),
                                              SCENARIO_SIZE_PRESSURE_PA, pressure_Pa);
        const double off = fabs(base_log(flow / plan->group[i_group].flow_m3_s));
        if (off < least) {
            least = off;
            best = size;
        }
    }
    return best;
}

/* Share of its part that the circuit gives at a pressure with the tips of a choice. */
static double circuit_share(const sprayer_plan *plan, int i_circuit, const sprayer_plan_choice *c, double pressure_Pa)
{
    double given = 0.0, wanted = 0.0;
    for (int g = 0; g < plan->n_groups; g++)
        if (plan->group[g].i_circuit == i_circuit) {
            const double flow = sprayer_flow_m3_s(sprayer_plan_rated_flow_m3_s(plan, g, c->size[g]),
                                                  SCENARIO_SIZE_PRESSURE_PA, pressure_Pa);
            wanted += plan->group[g].row_share;
            given += plan->group[g].row_share * flow / plan->group[g].flow_m3_s;
        }
    return wanted > 0.0 ? given / wanted : 0.0;
}

/* Fills the choice for tips that are named; false where the pressure cannot be set. */
static bool finish(const sprayer_plan *plan, int i_circuit, sprayer_plan_choice *c, double pressure_Pa)
{
    const double share = circuit_share(plan, i_circuit, c, pressure_Pa);
    if (!(share > 0.0)) return false;
    c->pressure_Pa = as_read_Pa(pressure_Pa / (share * share));
    if (c->pressure_Pa < LOWEST_PA || c->pressure_Pa > HIGHEST_PA) return false;
    const double set_share = circuit_share(plan, i_circuit, c, c->pressure_Pa);
    double of_rate = 0.0;
    c->usual = true;
    c->split_error = 0.0;
    for (int g = 0; g < plan->n_groups; g++) {
        if (plan->group[g].i_circuit != i_circuit) continue;
        const sprayer_generic kind = sprayer_generic_tip(tip_of(plan, g)->kind);
        const double flow = sprayer_flow_m3_s(sprayer_plan_rated_flow_m3_s(plan, g, c->size[g]),
                                              SCENARIO_SIZE_PRESSURE_PA, c->pressure_Pa);
        c->usual = c->usual && c->pressure_Pa >= kind.pressure_lowest_Pa - 1.0
                   && c->pressure_Pa <= kind.pressure_highest_Pa + 1.0;
        c->split_error = fmax(c->split_error, fabs(flow / plan->group[g].flow_m3_s / set_share - 1.0));
        of_rate += plan->group[g].row_share;
    }
    c->rate_m = plan->rate_m * (1.0 + of_rate * (set_share - 1.0));
    return true;
}

/* Smaller is better; what lies outside the usual pressures comes last. */
static double rank(const sprayer_plan *plan, int lead, const sprayer_plan_choice *c)
{
    const sprayer_generic kind = sprayer_generic_tip(tip_of(plan, lead)->kind);
    return (c->usual ? 0.0 : 100.0) + fabs(base_log(c->pressure_Pa / kind.pressure_Pa)) + SPLIT_WEIGHT * c->split_error;
}

static int lead_of(const sprayer_plan *plan, int i_circuit)
{
    int lead = -1;
    double most = -1.0;
    for (int g = 0; g < plan->n_groups; g++)
        if (plan->group[g].i_circuit == i_circuit && plan->group[g].row_share > most) {
            most = plan->group[g].row_share;
            lead = g;
        }
    return lead;
}

int sprayer_plan_choose(const sprayer_plan *plan, int i_circuit, sprayer_plan_choice choice[SPRAYER_CHOICES])
{
    const int lead = lead_of(plan, i_circuit);
    assert(lead >= 0);
    int n = 0;
    const char *size;
    for (int i = 0; lead >= 0 && (size = sprayer_plan_candidate(plan, lead, i)) != NULL; i++) {
        const double pressure_Pa = sprayer_pressure_for_flow_Pa(
            sprayer_plan_rated_flow_m3_s(plan, lead, size), SCENARIO_SIZE_PRESSURE_PA, plan->group[lead].flow_m3_s);
        sprayer_plan_choice c = {0};
        for (int g = 0; g < plan->n_groups; g++)
            if (plan->group[g].i_circuit == i_circuit) c.size[g] = g == lead ? size : nearest(plan, g, pressure_Pa);
        if (!finish(plan, i_circuit, &c, pressure_Pa)) continue;
        int at = n;
        while (at > 0 && rank(plan, lead, &c) < rank(plan, lead, &choice[at - 1]))
            at--;
        if (at >= SPRAYER_CHOICES) continue;
        n = n < SPRAYER_CHOICES ? n + 1 : n;
        memmove(&choice[at + 1], &choice[at], (size_t)(n - 1 - at) * sizeof *choice);
        choice[at] = c;
    }
    while (n > 1 && !choice[n - 1].usual)
        n--;
    return n;
}
