/* sim/air/flow_turbulence.c - a step of the energy of the turbulence and of its dissipation. */
#include <math.h>

#include "air/flow_state.h"
#include "base/machine.h"

/* In units of u*^2 and u*^3 / m: far below what any wind has (choice), so that no quotient is without an end. */
#define LEAST_K 1e-6
#define LEAST_EPSILON 1e-9

/* Production of k by shear in column i, with its factor: by the shear across the faces across z, as the mean of the two
 * faces across x beside the cell; by stretching; in the lowest cell by what the ground holds back.
 * @param across [nz + 1] room for production at the faces across z */
BASE_WIDEST static void find_production_of(flow_state *s, int i, double *restrict across)
{
    const int nz = s->nz, west = i > 0 ? i - 1 : i, east = i + 1 < s->nx ? i + 1 : i;
    const air_flow_axis *x = &s->mesh.x, *z = &s->mesh.z;
    const size_t at = flow_cell(s, i, 0);
    const double *u = s->u + at, *u_east = u + nz, *v = s->v + at, *w = s->w + at, *nu = s->nu + at;
    const double *w_west = s->w + flow_cell(s, west, 0), *w_east = s->w + flow_cell(s, east, 0);
    const double *v_west = s->v + flow_cell(s, west, 0), *v_east = s->v + flow_cell(s, east, 0);
    const double *nu_z = s->nu_z + flow_face_z(s, i, 0), *factor = s->inflow.production;
    const double per_west = x->per_gap[i], per_east = x->per_gap[i + 1], per_size = x->per_size[i];
    const double per_reach = east > west ? 1.0 / (x->point[east] - x->point[west]) : 0.0;
    double *made = s->made + at;
    for (int face = 1; face < nz; face++) {
        const double per_gap = z->per_gap[face];
        const double along = (v[face] - v[face - 1]) * per_gap;
        const double one = (u[face] - u[face - 1]) * per_gap + (w[face - 1] - w_west[face - 1]) * per_west;
        const double two = (u_east[face] - u_east[face - 1]) * per_gap + (w_east[face - 1] - w[face - 1]) * per_east;
        across[face] = nu_z[face] * (0.5 * (one * one + two * two) + along * along);
    }
    across[nz] = 1.0 / nu_z[nz]; /* the stress of the open ground acts there */
    for (int k = 1; k < nz; k++) {
        const double stretch = (u_east[k] - u[k]) * per_size, lift = (w[k] - w[k - 1]) * z->per_size[k];
        const double turn = (v_east[k] - v_west[k]) * per_reach;
        made[k] =
            factor[k]
            * (0.5 * (across[k] + across[k + 1]) + nu[k] * (2.0 * (stretch * stretch + lift * lift) + turn * turn));
    }
    const double friction = flow_friction(s->k[at]), held = AIR_VON_KARMAN * friction * s->speed[at] / s->inflow.law;
    made[0] = factor[0] * held * held * s->inflow.phi_shear / (AIR_VON_KARMAN * friction * z->point[0]);
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
            const double cold = flow_less(mixing * flow_more(-f->buoyant, 0.0), f->cold_share[k] * made[k]);
            const double carried = f->carried[k] * flow_less(mixing, 1.0);
            made[k] += flow_more(f->buoyant, 0.0);
            source[k] = made[k] + leaves * speed[k] * speed[k] + flow_more(carried, 0.0);
            sink[k] = FLOW_BD * leaves + (e[k] + cold - flow_less(carried, 0.0)) / energy[k];
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

static void step(flow_state *s, double sigma, const double *inflow, double top, const double *held_low, double least,
                 double *value)
{
    air_flow_transport t = flow_equation(s, &s->mesh.x, &s->mesh.z);
    t.spread_share = 1.0 / sigma;
    t.inflow = inflow;
    t.top = top;
    t.held_low = held_low;
    air_flow_transport_step(&t, &s->room, value);
    for (size_t at = 0; at < flow_cell(s, s->nx, 0); at++)
        value[at] = value[at] > least ? value[at] : least;
}

void flow_step_turbulence(flow_state *s)
{
    for (int i = 0; i < s->nx; i++)
        find_production_of(s, i, s->edge); /* room */
    flow_carry_cells(s);
    balance_k(s);
    step(s, FLOW_SIGMA_K, s->inflow.k, s->inflow.k_top, NULL, LEAST_K, s->k);
    balance_epsilon(s);
    step(s, FLOW_SIGMA_E, s->inflow.epsilon, s->inflow.epsilon_top, s->edge, LEAST_EPSILON, s->e);
}
