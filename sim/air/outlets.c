/* sim/air/outlets.c - from outlets to jets on a grid: arcs and slots as sheets of 25 lines, spouts as round jets. Where
 * they overlap their momentum adds (excess.c). */
#include "air/outlets.h"

#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"

#define FAN_OFF_M_S 0.5 /* slower air is none */
/* Choices: a jet that is faster than this over the ambient is kept within the grid, but for the farthest. */
#define STRONG_M_S 3.5
#define MOST_ACROSS_M 16.0
#define MOST_ALONG_M 12.0
enum { LINES = 25, LINES_TO_LOOK = 6 /* every so many, for the reach */ };

air_jet_start air_outlet_start(const scenario_outlet *outlet, double outward, double speed_m_s, double t)
{
    air_jet_start start = {.speed_m_s = speed_m_s, .slot_m = outlet->slot_m};
    double angle_rad = outlet->tilt_rad, back_rad = 0.0;
    if (outlet->kind == SCENARIO_ARC) {
        angle_rad = outlet->from_rad + t * (outlet->to_rad - outlet->from_rad);
        start.radius_m = outlet->radius_m;
        start.x_m = outward * outlet->radius_m * base_cos(angle_rad);
        start.z_m = outlet->centre_height_m + outlet->radius_m * base_sin(angle_rad);
    } else if (outlet->kind == SCENARIO_SLOT) {
        start.x_m = outward * outlet->offset_m;
        start.z_m = outlet->bottom_m + t * (outlet->top_m - outlet->bottom_m);
    } else {
        start.round = true;
        start.slot_m = outlet->diameter_m;
        start.x_m = outward * outlet->offset_m;
        start.z_m = outlet->height_m;
        back_rad = outlet->back_rad;
    }
    start.direction[0] = outward * base_cos(angle_rad) * base_cos(back_rad);
    start.direction[1] = -base_cos(angle_rad) * base_sin(back_rad);
    start.direction[2] = base_sin(angle_rad);
    return start;
}

static air_jet_start start_of(const scenario_outlet *outlet, const sprayer_pass *pass, double speed_m_s, int line)
{
    return air_outlet_start(outlet, outlet->side * pass->heading, speed_m_s, (double)line / (LINES - 1));
}

bool air_outlet_blows(const sprayer_work *work, const sprayer_pass *pass, const scenario_outlet *outlet, int o)
{
    return work->outlet_speed_m_s[o] >= FAN_OFF_M_S
           && (outlet->side == SCENARIO_LEFT ? pass->left_air : pass->right_air);
}

drupelet_status air_outlets_add(const drupelet_scenario *scenario, const sprayer_work *work, const sprayer_pass *pass,
                                air_jet_look look, const void *where, const air_grid *g, air_excess *excess)
{
    const scenario_sprayer *sprayer = &scenario->sprayer;
    air_jet_point(*line)[AIR_JET_POINTS] = malloc(LINES * sizeof *line);
    drupelet_status status = base_ok();
    if (!line) status = base_error(DRUPELET_MEMORY, "no memory for the fan air");
    const double reach_m = base_hypot(g->nx * g->dx_m, g->nz * g->dz_m);
    for (int o = 0; o < sprayer->n_outlets && status.code == DRUPELET_OK; o++) {
        const scenario_outlet *outlet = &sprayer->outlet[o];
        if (!air_outlet_blows(work, pass, outlet, o)) continue;
        const int n_lines = outlet->kind == SCENARIO_SPOUT ? 1 : LINES;
        int n_points[LINES];
        for (int l = 0; l < n_lines; l++) {
            const air_jet_start start = start_of(outlet, pass, work->outlet_speed_m_s[o], l);
            n_points[l] = air_jet_follow(&start, look, where, reach_m, AIR_JET_WEAKEST_M_S, line[l]);
        }
        status =
            outlet->kind == SCENARIO_SPOUT
                ? air_spout_add(g, excess, n_points[0], line[0], outlet->diameter_m)
                : air_sheet_add(g, excess, LINES, (const air_jet_point(*)[AIR_JET_POINTS])line, n_points,
                                outlet->slot_m);
    }
    free(line);
    return status;
}

void air_outlets_widen(const drupelet_scenario *scenario, const sprayer_work *work, const sprayer_pass *pass,
                       air_jet_look look, const void *where, double fade_m, air_reach *reach)
{
    const scenario_sprayer *sprayer = &scenario->sprayer;
    air_jet_point line[AIR_JET_POINTS];
    for (int o = 0; o < sprayer->n_outlets; o++) {
        const scenario_outlet *outlet = &sprayer->outlet[o];
        if (!air_outlet_blows(work, pass, outlet, o)) continue;
        const int step = outlet->kind == SCENARIO_SPOUT ? LINES : LINES_TO_LOOK;
        for (int l = 0; l < LINES; l += step) {
            const air_jet_start start = start_of(outlet, pass, work->outlet_speed_m_s[o], l);
            const int n = air_jet_follow(&start, look, where, MOST_ACROSS_M + MOST_ALONG_M, STRONG_M_S, line);
            for (int i = 0; i < n; i++) {
                const air_jet_point *p = &line[i];
                if (p->excess[0] * p->excess[0] + p->excess[1] * p->excess[1] + p->excess[2] * p->excess[2]
                    < STRONG_M_S * STRONG_M_S)
                    break;
                reach->across_m = fmax(reach->across_m, fmin(fabs(p->x_m) + fade_m, MOST_ACROSS_M));
                reach->behind_m = fmax(reach->behind_m, fmin(fade_m - p->y_m, MOST_ALONG_M));
                reach->ahead_m = fmax(reach->ahead_m, fmin(fade_m + p->y_m, MOST_ALONG_M));
            }
        }
    }
}
