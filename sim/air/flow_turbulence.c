/* sim/air/flow_turbulence.c - a step of the energy of the turbulence and of its dissipation. */
#include <math.h>

#include "air/flow_state.h"
#include "base/machine.h"

/* Production by the shear across a face across z, as the mean of the two faces across x beside the cell. */
static double made_at(const flow_state *s, int i, int face)
{
    const size_t at = flow_cell(s, i, face), below = at - 1, row = (size_t)s->nz;
    const double per_gap = 1.0 / s->mesh.z.gap[face];
    if (face == s->nz) return 1.0 / s->nu_z[flow_face_z(s, i, face)]; /* the stress of the open ground acts there */
    const double west = (s->u[at] - s->u[below]) * per_gap, east = (s->u[at + row] - s->u[below + row]) * per_gap;
    const double along = (s->v[at] - s->v[below]) * per_gap;
    const double tilt_west = i > 0 ? (flow_up(s, i, face) - flow_up(s, i - 1, face)) / s->mesh.x.gap[i] : 0.0;
    const double tilt_east =
        i + 1 < s->nx ? (flow_up(s, i + 1, face) - flow_up(s, i, face)) / s->mesh.x.gap[i + 1] : 0.0;
    const double one = west + tilt_west, two = east + tilt_east;
    return s->nu_z[flow_face_z(s, i, face)] * (0.5 * (one * one + two * two) + along * along);
}

/* Production by shear in a cell. The lowest one's follows from what the ground holds back. */
static double made_in(const flow_state *s, int i, int k, double at_faces)
{
    const size_t at = flow_cell(s, i, k), row = (size_t)s->nz;
    if (k == 0) {
        const double friction = flow_friction(s->k[at]),
                     held = AIR_VON_KARMAN * friction * s->speed[at] / s->inflow.law;
        return held * held * s->inflow.phi_shear / (AIR_VON_KARMAN * friction * s->mesh.z.point[0]);
    }
    const double stretch = (s->u[at + row] - s->u[at]) / s->mesh.x.size[i];
    const double lift = (flow_up(s, i, k + 1) - flow_up(s, i, k)) / s->mesh.z.size[k];
    const int west = i > 0 ? i - 1 : i, east = i + 1 < s->nx ? i + 1 : i;
    const double across = east > west ? (s->v[flow_cell(s, east, k)] - s->v[flow_cell(s, west, k)])
                                            / (s->mesh.x.point[east] - s->mesh.x.point[west])
                                      : 0.0;
    return at_faces + s->nu[at] * (2.0 * (stretch * stretch + lift * lift) + across * across);
}

void flow_step_turbulence(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    const air_flow_inflow *f = &s->inflow;
    for (int i = 0; i < nx; i++) {
        double below = 0.0;
        for (int k = 0; k < nz; k++) {
            const double above = made_at(s, i, k + 1);
            s->made[flow_cell(s, i, k)] = f->production[k] * made_in(s, i, k, 0.5 * (below + above));
            below = above;
        }
    }
    flow_carry_cells(s, FLOW_SIGMA_K);
    air_flow_transport t = flow_equation(s, &s->mesh.x, &s->mesh.z);
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, i, k);
            const double leaves = s->c->drag_1_m[at] * s->speed[at], buoyant = f->buoyant[k] * s->nu[at];
            s->source[at] = s->made[at] + leaves * s->speed[at] * s->speed[at] + fmax(buoyant, 0.0);
            s->sink[at] = s->e[at] / s->k[at] + FLOW_BD * leaves + fmax(-buoyant, 0.0) / s->k[at];
        }
    t.inflow = f->k;
    t.top = f->k_top;
    air_flow_transport_step(&t, &s->room, s->k);
    for (size_t at = 0; at < flow_cell(s, nx, 0); at++)
        s->k[at] = fmax(s->k[at], 1e-6);

    flow_carry_cells(s, FLOW_SIGMA_E);
    for (int i = 0; i < nx; i++) {
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, i, k);
            const double leaves = s->c->drag_1_m[at] * s->speed[at], per_k = s->e[at] / s->k[at];
            s->source[at] = (f->ce1[k] * s->made[at] + FLOW_C4 * leaves * s->speed[at] * s->speed[at]) * per_k;
            s->sink[at] = FLOW_CE2 * per_k + FLOW_C5 * leaves;
        }
        const double friction = flow_friction(s->k[flow_cell(s, i, 0)]);
        s->edge[i] = friction * friction * friction * f->phi_epsilon / (AIR_VON_KARMAN * s->mesh.z.point[0]);
    }
    t.inflow = f->epsilon;
    t.top = f->epsilon_top;
    t.held_low = s->edge;
    air_flow_transport_step(&t, &s->room, s->e);
    for (size_t at = 0; at < flow_cell(s, nx, 0); at++)
        s->e[at] = fmax(s->e[at], 1e-9);
}
