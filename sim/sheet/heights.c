/* sim/sheet/heights.c - the flow of the nozzles by height beside the leaves by height.
 *
 * A nozzle's flow is spread evenly over the angles of its cone, along straight lines to the near face of the crown.
 * Left out: the fan's air, which bends and lifts the cones, gravity, and that a hollow cone has more at its edges. So
 * this tells where the nozzles point, not where droplets land. */
#include "sheet/heights.h"

#include <math.h>
#include <stdio.h>

#include "base/elementary.h"
#include "base/number.h"
#include "base/status.h"
#include "orchard/orchard.h"

enum { LINES = 400 };

static void add_leaves(const orchard_canopy *c, sheet_heights *h)
{
    double all = 0.0;
    size_t v = 0;
    for (int row = 0; row < c->n_rows; row++)
        for (int iz = 0; iz < c->nz; iz++) {
            double area = 0.0;
            for (int i = 0; i < c->ny * c->nx; i++, v++)
                area += (double)c->leaf_area_density_1_m[v];
            all += area;
            for (int k = 0; k < h->n_layers; k++) { /* a voxel may lie in two layers */
                const double low_m = fmax(iz * c->edge_m, k * h->step_m);
                const double high_m = fmin((iz + 1) * c->edge_m, k + 1 == h->n_layers ? INFINITY : (k + 1) * h->step_m);
                h->leaf[k] += area * fmax(high_m - low_m, 0.0) / c->edge_m;
            }
        }
    for (int k = 0; k < h->n_layers && all > 0.0; k++)
        h->leaf[k] /= all;
}

/* Height at which a line from a nozzle meets the near face; below the ground: it meets the ground before. */
static double height_there_m(const scenario_nozzle *n, double face_m, double angle_rad, double top_m)
{
    if (fabs(angle_rad) >= 89.5 * BASE_DEGREE) return angle_rad > 0.0 ? top_m : -1.0;
    return fmin(n->height_m + (face_m - n->offset_m) * base_sin(angle_rad) / base_cos(angle_rad), top_m);
}

static void add_nozzle(const drupelet_scenario *scenario, const sprayer_nozzle *n, double share, sheet_heights *h,
                       sheet_aim *aim)
{
    const double face_m = 0.5 * (scenario->orchard.row_spacing_m - scenario->canopy.width_m),
                 top_m = 2.0 * scenario->canopy.height_m, axis_rad = n->nozzle->angle_rad;
    const int side = n->nozzle->side == SCENARIO_RIGHT;
    aim->axis_m = fmax(height_there_m(n->nozzle, face_m, axis_rad, top_m), 0.0);
    aim->low_m = fmax(height_there_m(n->nozzle, face_m, axis_rad - n->half_angle_rad, top_m), 0.0);
    aim->high_m = fmax(height_there_m(n->nozzle, face_m, axis_rad + n->half_angle_rad, top_m), 0.0);
    for (int i = 0; i < LINES; i++) {
        const double angle_rad = axis_rad + n->half_angle_rad * ((2 * i + 1.0) / LINES - 1.0);
        const double z_m = height_there_m(n->nozzle, face_m, angle_rad, top_m);
        const int layer = (int)fmin(z_m / h->step_m, h->n_layers - 1);
        *(z_m < 0.0 ? &h->ground[side] : &h->flow[side][layer]) += share / LINES;
        *(z_m < scenario->canopy.base_m     ? &aim->under
          : z_m > scenario->canopy.height_m ? &aim->over
                                            : &aim->at) += 1.0 / LINES;
    }
    h->over += share * aim->over;
    h->under += share * aim->under;
}

drupelet_status sheet_heights_of(const drupelet_scenario *scenario, const sprayer_work *work, double step_m,
                                 sheet_heights *h)
{
    orchard_canopy *canopy = NULL;
    const drupelet_status status = orchard_create(scenario, &canopy);
    *h = (sheet_heights){.step_m = step_m};
    if (status.code != DRUPELET_OK) return status;
    while (h->n_layers < SHEET_LAYERS && h->n_layers * step_m < 1.25 * scenario->canopy.height_m)
        h->n_layers++;
    double flow_m3_s = 0.0;
    for (int i = 0; i < work->n_nozzles; i++)
        flow_m3_s += work->nozzle[i].flow_m3_s;
    add_leaves(canopy, h);
    for (int i = 0; i < work->n_nozzles; i++)
        add_nozzle(scenario, &work->nozzle[i], work->nozzle[i].flow_m3_s / flow_m3_s, h, &h->aim[i]);
    orchard_free(canopy);
    return base_ok();
}

static const char *verdict(const drupelet_scenario *scenario, const sheet_aim *a)
{
    return a->axis_m > scenario->canopy.height_m ? "over the crown: turn it down or shut it"
           : a->axis_m < scenario->canopy.base_m ? "under the crown: turn it up or shut it"
                                                 : "at the crown";
}

static void put_nozzles(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_heights *h)
{
    static const sheet_column columns[] = {{"side", "side", 0, true},
                                           {"tip", "tip", 0, true},
                                           {"height", "height", SHEET_LENGTH, false},
                                           {"angle", "angle", SHEET_ANGLE, false},
                                           {"aims_at", "aims at", SHEET_LENGTH, false},
                                           {"under", "of its cone under", SHEET_PERCENT, false},
                                           {"over", "over the crown", SHEET_PERCENT, false},
                                           {"verdict", "its axis points", 0, true}};
    sheet_table(s, "nozzles", 8, columns);
    for (int i = 0; i < work->n_nozzles; i++) {
        const scenario_nozzle *n = work->nozzle[i].nozzle;
        sheet_row(
            s, (sheet_cell[]){{.words = n->side == SCENARIO_LEFT ? "left" : "right"},
                              {.words = scenario->tip[n->i_tip].name},
                              {.value_si = n->height_m},
                              {.value_si = n->angle_rad},
                              {.value_si = h->aim[i].axis_m},
                              {.value_si = h->aim[i].under},
                              {.value_si = h->aim[i].over},
                              {.words = work->nozzle[i].flow_m3_s > 0.0 ? verdict(scenario, &h->aim[i]) : "plugged"}});
    }
}

static void put_layers(sheet *s, const sheet_heights *h)
{
    static const sheet_column columns[] = {{"from", "from", SHEET_LENGTH, false},
                                           {"leaf", "of the leaves", SHEET_PERCENT, false},
                                           {"left", "of the flow, left", SHEET_PERCENT, false},
                                           {"right", "right", SHEET_PERCENT, false},
                                           {"both", "both", SHEET_PERCENT, false}};
    sheet_table(s, "layers", 5, columns);
    for (int k = h->n_layers - 1; k >= 0; k--)
        sheet_row(s, (sheet_cell[]){{.value_si = k * h->step_m},
                                    {.value_si = h->leaf[k]},
                                    {.value_si = h->flow[0][k]},
                                    {.value_si = h->flow[1][k]},
                                    {.value_si = h->flow[0][k] + h->flow[1][k]}});
}

void sheet_put_heights(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_heights *h)
{
    sheet_section(s, "heights", "Flow by height beside leaves by height");
    sheet_value(s, "over", "of the flow points over the crown", SHEET_PERCENT, h->over, "");
    sheet_value(s, "under", "and under it", SHEET_PERCENT, h->under, "");
    sheet_picture(s, sheet_heights_picture(scenario, h, sheet_system_of(s)));
    put_nozzles(s, scenario, work, h);
    put_layers(s, h);
    sheet_note(s,
               "Straight lines from the nozzles to the near face of the crown, the flow spread evenly over each cone: "
               "where the nozzles point, not where droplets land. Flow in proportion to the leaves of a height is a "
               "usual start (common practice). The last layer holds all that is above, too.");
}
