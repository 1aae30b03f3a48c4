/* sim/sprayer/work.c - nozzles, passes, air and rate of a scenario.
 *
 * Fan laws of one fan at one setting: flow ~ speed, pressure ~ speed^2, shaft power ~ speed^3 (any fan handbook;
 * memory). */
#include <math.h>
#include <string.h>

#include "base/status.h"
#include "sprayer/generic.h"
#include "sprayer/spray.h"
#include "sprayer/sprayer.h"

/* The spray of a nozzle; makes it where no earlier nozzle has it. */
static drupelet_status spray_index(const drupelet_scenario *s, const scenario_nozzle *n, sprayer_work *w, int *i_spray)
{
    for (*i_spray = 0; *i_spray < w->n_sprays; (*i_spray)++) {
        const sprayer_spray *spray = &w->spray[*i_spray];
        if (spray->i_tip == n->i_tip && spray->pressure_Pa == n->pressure_Pa && spray->worn == n->worn)
            return base_ok();
    }
    w->n_sprays++;
    return sprayer_spray_of(s, n->i_tip, n->pressure_Pa, n->worn, &w->spray[*i_spray]);
}

static drupelet_status work_out_nozzles(const drupelet_scenario *s, sprayer_work *w)
{
    for (int i = 0; i < s->sprayer.n_nozzles; i++) {
        const scenario_nozzle *nozzle = &s->sprayer.nozzle[i];
        const scenario_tip *tip = &s->tip[nozzle->i_tip];
        sprayer_nozzle *out = &w->nozzle[w->n_nozzles++];
        out->nozzle = nozzle;
        out->flow_m3_s = sprayer_nozzle_flow_m3_s(tip, nozzle);
        out->exit_speed_m_s = sprayer_exit_speed_m_s(sprayer_generic_tip(tip->kind).velocity_coefficient,
                                                     nozzle->pressure_Pa, s->liquid.density_kg_m3);
        out->half_angle_rad = 0.5 * tip->cone_angle_rad;
        const drupelet_status status = spray_index(s, nozzle, w, &out->i_spray);
        if (status.code != DRUPELET_OK) return status;
    }
    return base_ok();
}

static void work_out_passes(const drupelet_scenario *s, sprayer_work *w)
{
    const int n_rows = s->orchard.n_rows;
    for (int alley = 0; alley <= n_rows; alley++) {
        if (!s->sprayer.alley_driven[alley]) continue;
        sprayer_pass *p = &w->pass[w->n_passes];
        *p = (sprayer_pass){.i_alley = alley, .x_m = s->orchard.row_spacing_m * (0.5 - alley)};
        p->left_open = p->right_open = p->left_air = p->right_air = true;
        p->heading = s->sprayer.alternate && w->n_passes % 2 == 1 ? -1 : 1;
        if (s->sprayer.shut_outside && (alley == 0 || alley == n_rows)) {
            const int outward = alley == 0 ? 1 : -1; /* towards +x or -x */
            *(outward * p->heading > 0 ? &p->right_open : &p->left_open) = false;
        }
        for (int outward = -1; outward <= 1; outward += 2) {
            const scenario_shut *shut = &s->sprayer.shut[alley][outward > 0];
            if (shut->nozzles)
                *(outward * p->heading > 0 ? &p->right_open : &p->left_open) = false;
            if (shut->air)
                *(outward * p->heading > 0 ? &p->right_air : &p->left_air) = false;
        }
        for (int i = 0; i < w->n_nozzles; i++)
            if (w->nozzle[i].nozzle->side == SCENARIO_LEFT ? p->left_open : p->right_open)
                p->flow_m3_s += w->nozzle[i].flow_m3_s;
        if (p->flow_m3_s > 0.0) /* a pass without spray is none */
            w->n_passes++;
    }
}

static void work_out_air(const scenario_sprayer *sprayer, sprayer_work *w)
{
    const double speed = sprayer->fan_reference_rpm > 0.0 ? sprayer->fan_rpm / sprayer->fan_reference_rpm : 0.0;
    w->fan_flow_m3_s = sprayer->fan_reference_flow_m3_s * speed;
    w->fan_power_W = sprayer->fan_reference_power_W * speed * speed * speed;
    for (int i = 0; i < sprayer->n_outlets; i++)
        w->outlet_speed_m_s[i] =
            sprayer->outlet[i].share * w->fan_flow_m3_s / sprayer_outlet_area_m2(&sprayer->outlet[i]);
}

/* Does a side of a pass count as spraying? It does with all its nozzles plugged, too: its ground stays in the
 * treated width, and gets less volume. */
static bool sprays(const sprayer_work *w, const sprayer_pass *p, scenario_side side)
{
    bool fitted = false;
    for (int i = 0; i < w->n_nozzles; i++)
        fitted = fitted || w->nozzle[i].nozzle->side == side;
    return fitted && (side == SCENARIO_LEFT ? p->left_open : p->right_open);
}

/* Width of the treated ground. A side that sprays treats the half of its alley that lies on that side. Alleys that
 * are not driven but lie between driven ones are treated from these and count whole: with every second alley driven,
 * half the volume goes onto the same ground, not the full rate onto half of it. What lies outside the outermost
 * passes does not count: one alley driven in a large block treats one row spacing. With all alleys driven, and
 * nothing sprayed outward, it is the number of rows times their spacing. */
static double treated_width_m(const drupelet_scenario *s, const sprayer_work *w)
{
    int n_sides = 0;
    for (int p = 0; p < w->n_passes; p++)
        n_sides += sprays(w, &w->pass[p], SCENARIO_LEFT) + sprays(w, &w->pass[p], SCENARIO_RIGHT);
    const int n_between =
        w->n_passes > 0 ? w->pass[w->n_passes - 1].i_alley - w->pass[0].i_alley + 1 - w->n_passes : 0;
    return s->orchard.row_spacing_m * (0.5 * n_sides + n_between);
}

drupelet_status sprayer_work_out(const drupelet_scenario *s, sprayer_work *w)
{
    memset(w, 0, sizeof *w);
    const drupelet_status status = work_out_nozzles(s, w);
    if (status.code != DRUPELET_OK) return status;
    work_out_passes(s, w);
    work_out_air(&s->sprayer, w);
    w->stands = s->sprayer.travel_speed_m_s <= 0.0; /* its rate per length and area has no meaning */
    for (int p = 0; p < w->n_passes; p++)
        w->emitted_per_length_m2 += w->stands ? (double)NAN : w->pass[p].flow_m3_s / s->sprayer.travel_speed_m_s;
    if (w->n_passes == 0)
        return base_error(DRUPELET_SCENARIO,
                          "sprayer.alleys: found no pass on which a nozzle sprays, expected at least one");
    w->treated_width_m = treated_width_m(s, w);
    w->application_rate_m = w->emitted_per_length_m2 / w->treated_width_m;
    return base_ok();
}

double sprayer_mean_density_kg_m3(const sprayer_work *work)
{
    double flow = 0.0, mass = 0.0;
    for (int i = 0; i < work->n_nozzles; i++) {
        const sprayer_nozzle *n = &work->nozzle[i];
        flow += n->flow_m3_s;
        mass += n->flow_m3_s * work->spray[n->i_spray].droplet_density_kg_m3;
    }
    return mass / flow;
}
