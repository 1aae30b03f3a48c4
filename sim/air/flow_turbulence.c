/* sim/air/flow_turbulence.c - a step of the energy of the turbulence and of its dissipation. */
#include <math.h>

#include "air/flow_state.h"
#include "base/machine.h"

/* In units of u*^2 and u*^3 / m: far below what any wind has (choice), so that no quotient is without an end. */
#define LEAST_K 1e-6
#define LEAST_EPSILON 1e-9

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

/* Production of k by shear with its factor, in all cells. */
static void find_production(flow_state *s)
{
    for (int i = 0; i < s->nx; i++) {
        double below = 0.0;
        for (int k = 0; k < s->nz; k++) {
            const double above = made_at(s, i, k + 1);
            s->made[flow_cell(s, i, k)] = s->inflow.production[k] * made_in(s, i, k, 0.5 * (below + above));
            below = above;
        }
    }
}

/* One heat flux from the ground makes warm air rise; cold air takes energy where it is stirred, and no greater share of
 * what shear makes than over the open ground. */
BASE_WIDEST static void balance_k(flow_state *s)
{
    const air_flow_inflow *f = &s->inflow;
    for (int i = 0; i < s->nx; i++) {
        const size_t first = flow_cell(s, i, 0);
        const double *drag = s->drag + first, *speed = s->speed + first, *nu = s->nu + first, *e = s->e + first;
        const double *energy = s->k + first;
        double *made = s->made + first, *source = s->source + first, *sink = s->sink + first;
        for (int k = 0; k < s->nz; k++) {
            const double leaves = drag[k] * speed[k], mixing = nu[k] * f->per_viscosity[k];
            const double cold = fmin(mixing * fmax(-f->buoyant, 0.0), f->cold_share[k] * made[k]);
            const double carried = f->carried[k] * fmin(mixing, 1.0);
            made[k] += fmax(f->buoyant, 0.0);
            source[k] = made[k] + leaves * speed[k] * speed[k] + fmax(carried, 0.0);
            sink[k] = FLOW_BD * leaves + (e[k] + cold - fmin(carried, 0.0)) / energy[k];
        }
    }
}

BASE_WIDEST static void balance_epsilon(flow_state *s)
{
    const air_flow_inflow *f = &s->inflow;
    for (int i = 0; i < s->nx; i++) {
        const size_t first = flow_cell(s, i, 0);
        const double *drag = s->drag + first, *speed = s->speed + first, *made = s->made + first;
        const double *energy = s->k + first, *e = s->e + first;
        double *source = s->source + first, *sink = s->sink + first;
        for (int k = 0; k < s->nz; k++) {
            const double leaves = drag[k] * speed[k], per_k = e[k] / energy[k];
            source[k] = (f->ce1[k] * made[k] + FLOW_C4 * leaves * speed[k] * speed[k]) * per_k;
            sink[k] = FLOW_CE2 * per_k + FLOW_C5 * leaves;
        }
        const double friction = flow_friction(energy[0]);
        s->edge[i] = friction * friction * friction * f->phi_epsilon / (AIR_VON_KARMAN * s->mesh.z.point[0]);
    }
}

static void step(flow_state *s, const double *inflow, double top, const double *held_low, double least, double *value)
{
    air_flow_transport t = flow_equation(s, &s->mesh.x, &s->mesh.z);
    t.inflow = inflow;
    t.top = top;
    t.held_low = held_low;
    air_flow_transport_step(&t, &s->room, value);
    for (size_t at = 0; at < flow_cell(s, s->nx, 0); at++)
        value[at] = value[at] > least ? value[at] : least;
}

void flow_step_turbulence(flow_state *s)
{
    find_production(s);
    balance_k(s);
    flow_carry_cells(s, FLOW_SIGMA_K);
    step(s, s->inflow.k, s->inflow.k_top, NULL, LEAST_K, s->k);
    balance_epsilon(s);
    flow_carry_cells(s, FLOW_SIGMA_E);
    step(s, s->inflow.epsilon, s->inflow.epsilon_top, s->edge, LEAST_EPSILON, s->e);
}
