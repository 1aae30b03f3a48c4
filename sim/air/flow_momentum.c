/* sim/air/flow_momentum.c - a step of the three components of the wind, and the pressure that follows.
 *
 * u and w stand on faces; their cells are the halves of two cells of the mesh, and so is what passes their faces. The
 * turbulent stress is nu (grad U + its transpose): its normal parts are implicit, twice nu; of the shear the part with
 * the other component is a source. */
#include <math.h>

#include "air/flow_state.h"
#include "base/machine.h"

#define HELD 1e12      /* a sink that leaves nothing */
#define AHEAD_1_M 0.25 /* the pressure goes so much farther than one step asks, a unit of step (choice) */

air_flow_transport flow_equation(flow_state *s, const air_flow_axis *x, const air_flow_axis *z)
{
    return (air_flow_transport){.x = x,
                                .z = z,
                                .flux_x = s->flux_x,
                                .flux_z = s->flux_z,
                                .spread_x = s->spread_x,
                                .spread_z = s->spread_z,
                                .source = s->source,
                                .sink = s->sink,
                                .per_step = 1.0 / s->step_m};
}

/* What the ground holds back, per speed and volume of a lowest cell. */
static double ground_1_m(const flow_state *s, double k)
{
    return AIR_VON_KARMAN * flow_friction(k) / (s->inflow.law * s->mesh.z.size[0]);
}

/* nu dw/dx on the corner of face i across x and a face across z. */
static double tilt_stress(const flow_state *s, int i, int face)
{
    if (i == 0 || i == s->nx) return 0.0;
    const double nu = 0.5 * (s->nu_z[flow_face_z(s, i - 1, face)] + s->nu_z[flow_face_z(s, i, face)]);
    return nu * (flow_up(s, i, face) - flow_up(s, i - 1, face)) / s->mesh.x.gap[i];
}

/* nu du/dz there; the same on the outermost faces as beside them. */
static double shear_stress(const flow_state *s, int i, int face)
{
    const int west = i > 0 ? i - 1 : 0, east = i < s->nx ? i : s->nx - 1;
    const double nu = 0.5 * (s->nu_z[flow_face_z(s, west, face)] + s->nu_z[flow_face_z(s, east, face)]);
    const size_t below = flow_cell(s, i, face - 1);
    const double above = face < s->nz ? s->u[below + 1] : s->inflow.speed_top * s->c->cos_angle;
    return nu * (above - s->u[below]) / s->mesh.z.gap[face];
}

void flow_step_u(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    const air_flow_axis *x = &s->mesh.x, *of_u = &s->mesh.x_of_u, *z = &s->mesh.z;
    for (int j = 0; j <= nx; j++)
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, j, k);
            s->flux_x[at] = (j < nx ? 0.5 * (s->u[at] + s->u[at + (size_t)nz]) : s->u[at]) * z->size[k];
            s->spread_x[at] = j < nx ? 2.0 * s->nu[at] * z->size[k] / x->size[j] : 0.0;
        }
    for (int i = 0; i < nx; i++) {
        const bool last = i + 1 == nx;
        const int next = last ? i : i + 1;
        for (int face = 0; face <= nz; face++) {
            const size_t at = flow_face_z(s, i, face);
            s->flux_z[at] =
                0.5 * (flow_up(s, i, face) * x->size[i] + (last ? 0.0 : flow_up(s, next, face) * x->size[next]));
            s->spread_z[at] = face == 0 || face == nz ? 0.0
                                                      : 0.5 * (s->nu_z[at] + s->nu_z[flow_face_z(s, next, face)])
                                                            * of_u->size[i] / z->gap[face];
        }
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, i, k), beside = flow_cell(s, next, k);
            const double pull = ((last ? 0.0 : s->p[beside]) - s->p[at]) / x->gap[i + 1];
            s->source[at] = -pull + (tilt_stress(s, i + 1, k + 1) - tilt_stress(s, i + 1, k)) / z->size[k];
            const double share = last ? 0.0 : x->size[next] / (x->size[i] + x->size[next]);
            s->sink[at] =
                (1.0 - share) * s->drag[at] * s->speed[at] + share * s->drag[beside] * s->speed[beside];
        }
        s->source[flow_cell(s, i, nz - 1)] += s->c->cos_angle / z->size[nz - 1];
        s->sink[flow_cell(s, i, 0)] += ground_1_m(s, 0.5 * (s->k[flow_cell(s, i, 0)] + s->k[flow_cell(s, next, 0)]));
    }
    for (int k = 0; k < nz; k++)
        s->edge[k] = s->u[k];
    air_flow_transport t = flow_equation(s, of_u, z);
    t.inflow = s->edge;
    air_flow_transport_step(&t, &s->room, s->u + nz);
}

void flow_step_w(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    const air_flow_axis *x = &s->mesh.x, *z = &s->mesh.z, *of_w = &s->mesh.z_of_w;
    for (int j = 0; j <= nx; j++)
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, j, k);
            const bool last = k + 1 == nz;
            s->flux_x[at] = 0.5 * (s->u[at] * z->size[k] + (last ? 0.0 : s->u[at + 1] * z->size[k + 1]));
            const int west = j > 0 ? j - 1 : 0, east = j < nx ? j : nx - 1;
            const double nu = 0.5 * (s->nu_z[flow_face_z(s, west, k + 1)] + s->nu_z[flow_face_z(s, east, k + 1)]);
            s->spread_x[at] = j < nx ? nu * of_w->size[k] / x->gap[j] : 0.0;
        }
    for (int i = 0; i < nx; i++) {
        for (int face = 0; face <= nz; face++) {
            const size_t at = flow_face_z(s, i, face);
            s->flux_z[at] =
                (face < nz ? 0.5 * (flow_up(s, i, face) + flow_up(s, i, face + 1)) : flow_up(s, i, nz)) * x->size[i];
            s->spread_z[at] = face < nz ? 2.0 * s->nu[flow_cell(s, i, face)] * x->size[i] / z->size[face] : 0.0;
        }
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, i, k);
            const bool last = k + 1 == nz;
            const double pull = ((last ? 0.0 : s->p[at + 1]) - s->p[at]) / z->gap[k + 1];
            s->source[at] = -pull + (shear_stress(s, i + 1, k + 1) - shear_stress(s, i, k + 1)) / x->size[i];
            const double share = last ? 0.0 : z->size[k + 1] / (z->size[k] + z->size[k + 1]);
            s->sink[at] = (1.0 - share) * s->drag[at] * s->speed[at]
                          + (last ? HELD : share * s->drag[at + 1] * s->speed[at + 1]);
            if (last) s->source[at] = 0.0;
        }
    }
    for (int k = 0; k < nz; k++)
        s->edge[k] = 0.0;
    air_flow_transport t = flow_equation(s, x, of_w);
    t.inflow = s->edge;
    air_flow_transport_step(&t, &s->room, s->w);
}

void flow_carry_cells(flow_state *s, double sigma)
{
    const int nx = s->nx, nz = s->nz;
    const air_flow_axis *x = &s->mesh.x, *z = &s->mesh.z;
    const double per_sigma = 1.0 / sigma;
    for (int j = 0; j <= nx; j++)
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, j, k);
            s->flux_x[at] = s->u[at] * z->size[k];
            const double nu = j == 0 ? s->nu[at] : j < nx ? 0.5 * (s->nu[at - (size_t)nz] + s->nu[at]) : 0.0;
            s->spread_x[at] = nu * per_sigma * z->size[k] / x->gap[j];
        }
    for (int i = 0; i < nx; i++)
        for (int face = 0; face <= nz; face++) {
            const size_t at = flow_face_z(s, i, face);
            s->flux_z[at] = flow_up(s, i, face) * x->size[i];
            s->spread_z[at] = face > 0 ? s->nu_z[at] * per_sigma * x->size[i] / z->gap[face] : 0.0;
        }
}

void flow_step_v(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    if (s->c->sin_angle == 0.0) return;
    flow_carry_cells(s, 1.0);
    for (int i = 0; i < nx; i++)
        s->spread_z[flow_face_z(s, i, nz)] = 0.0;
    for (int i = 0; i < nx; i++) {
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, i, k);
            s->source[at] = 0.0;
            s->sink[at] = s->drag[at] * s->speed[at];
        }
        s->source[flow_cell(s, i, nz - 1)] += s->c->sin_angle / s->mesh.z.size[nz - 1];
        s->sink[flow_cell(s, i, 0)] += ground_1_m(s, s->k[flow_cell(s, i, 0)]);
    }
    for (int k = 0; k < nz; k++)
        s->edge[k] = s->inflow.speed[k] * s->c->sin_angle;
    air_flow_transport t = flow_equation(s, &s->mesh.x, &s->mesh.z);
    t.inflow = s->edge;
    air_flow_transport_step(&t, &s->room, s->v);
}

void flow_project(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    const air_flow_axis *x = &s->mesh.x, *z = &s->mesh.z;
    double *phi = s->sink; /* room */
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, i, k);
            s->source[at] = ((s->u[at + (size_t)nz] - s->u[at]) * z->size[k]
                             + (flow_up(s, i, k + 1) - flow_up(s, i, k)) * x->size[i])
                            / s->step_m;
        }
    air_flow_pressure_solve(s->pressure, s->source, phi);
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz; k++) {
            const size_t at = flow_cell(s, i, k);
            const double east = i + 1 < nx ? phi[at + (size_t)nz] : 0.0, above = k + 1 < nz ? phi[at + 1] : phi[at];
            s->u[at + (size_t)nz] -= s->step_m * (east - phi[at]) / x->gap[i + 1];
            s->w[at] -= s->step_m * (above - phi[at]) / z->gap[k + 1];
            s->p[at] += phi[at] * (1.0 + AHEAD_1_M * s->step_m);
        }
}
