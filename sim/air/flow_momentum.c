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
                                .spread_share = 1.0,
                                .per_step = 1.0 / s->step_m};
}

/* What the ground holds back, per speed and volume of a lowest cell. */
static double ground_1_m(const flow_state *s, double k)
{
    return AIR_VON_KARMAN * flow_friction(k) / (s->inflow.law * s->mesh.z.size[0]);
}

/* nu dw/dx on the corners of face i across x, which has cells on both sides. @param stress [nz + 1] */
BASE_WIDEST static void tilt_stresses(const flow_state *s, int i, double *restrict stress)
{
    const int nz = s->nz;
    const double *nu_west = s->nu_z + flow_face_z(s, i - 1, 0), *nu_east = s->nu_z + flow_face_z(s, i, 0);
    const double *west = s->w + flow_cell(s, i - 1, 0), *east = s->w + flow_cell(s, i, 0);
    const double half_per_gap = 0.5 * s->mesh.x.per_gap[i];
    stress[0] = 0.0;
    for (int k = 0; k < nz; k++)
        stress[k + 1] = (nu_west[k + 1] + nu_east[k + 1]) * half_per_gap * (east[k] - west[k]);
}

/* nu du/dz on the corners of face i across x but that on the ground; the outermost faces have the viscosity beside
 * them. @param stress [nz + 1] */
BASE_WIDEST static void shear_stresses(const flow_state *s, int i, double *restrict stress)
{
    const int nz = s->nz, west = i > 0 ? i - 1 : 0, east = i < s->nx ? i : s->nx - 1;
    const double *nu_west = s->nu_z + flow_face_z(s, west, 0), *nu_east = s->nu_z + flow_face_z(s, east, 0);
    const double *u = s->u + flow_cell(s, i, 0), *per_gap = s->mesh.z.per_gap;
    for (int face = 1; face < nz; face++)
        stress[face] = 0.5 * (nu_west[face] + nu_east[face]) * per_gap[face] * (u[face] - u[face - 1]);
    stress[nz] = 0.5 * (nu_west[nz] + nu_east[nz]) * per_gap[nz] * (s->inflow.speed_top * s->c->cos_angle - u[nz - 1]);
}

/* What passes the faces of the cells of u across x, and how it spreads. */
BASE_WIDEST static void carry_u_across(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    const double *dz = s->mesh.z.size;
    for (int j = 0; j <= nx; j++) {
        const size_t at = flow_cell(s, j, 0);
        const double *here = s->u + at, *next = j < nx ? here + nz : here, *nu = s->nu + at;
        double *flux = s->flux_x + at, *spread = s->spread_x + at;
        for (int k = 0; k < nz; k++)
            flux[k] = 0.5 * (here[k] + next[k]) * dz[k];
        const double twice_per_size = j < nx ? 2.0 * s->mesh.x.per_size[j] : 0.0;
        for (int k = 0; k < nz; k++)
            spread[k] = nu[k] * twice_per_size * dz[k];
    }
}

/* The same up and down; what changes it, between columns i and next. */
BASE_WIDEST static void balance_u(flow_state *s, int i, double *restrict stress)
{
    const int nz = s->nz;
    const bool last = i + 1 == s->nx;
    const int next = last ? i : i + 1;
    const air_flow_axis *x = &s->mesh.x, *z = &s->mesh.z;
    const double size = x->size[i], size_next = last ? 0.0 : x->size[next], size_of_u = s->mesh.x_of_u.size[i];
    const double share = size_next / (size + size_next), per_gap = x->per_gap[i + 1], ahead = last ? 0.0 : 1.0;
    const size_t at = flow_cell(s, i, 0), beside = flow_cell(s, next, 0), at_z = flow_face_z(s, i, 0);
    const double *w = s->w + at, *w_next = s->w + beside, *p = s->p + at, *p_next = s->p + beside;
    const double *nu = s->nu_z + at_z, *nu_next = s->nu_z + flow_face_z(s, next, 0);
    const double *drag = s->drag + at, *drag_next = s->drag + beside;
    const double *speed = s->speed + at, *speed_next = s->speed + beside;
    double *flux = s->flux_z + at_z, *spread = s->spread_z + at_z, *source = s->source + at, *sink = s->sink + at;
    flux[0] = spread[0] = 0.0;
    for (int k = 0; k < nz; k++)
        flux[k + 1] = 0.5 * (w[k] * size + w_next[k] * size_next);
    for (int k = 1; k < nz; k++)
        spread[k] = 0.5 * (nu[k] + nu_next[k]) * size_of_u * z->per_gap[k];
    spread[nz] = 0.0;
    if (last)
        for (int k = 0; k <= nz; k++)
            stress[k] = 0.0;
    else
        tilt_stresses(s, i + 1, stress);
    for (int k = 0; k < nz; k++) {
        const double pull = (ahead * p_next[k] - p[k]) * per_gap;
        source[k] = (stress[k + 1] - stress[k]) * z->per_size[k] - pull;
        sink[k] = (1.0 - share) * drag[k] * speed[k] + share * drag_next[k] * speed_next[k];
    }
    source[nz - 1] += s->c->cos_angle * z->per_size[nz - 1];
    sink[0] += ground_1_m(s, 0.5 * (s->k[at] + s->k[beside]));
}

void flow_step_u(flow_state *s)
{
    double *const corner = s->edge; /* room */
    carry_u_across(s);
    for (int i = 0; i < s->nx; i++)
        balance_u(s, i, corner);
    for (int k = 0; k < s->nz; k++)
        s->edge[k] = s->u[k];
    air_flow_transport t = flow_equation(s, &s->mesh.x_of_u, &s->mesh.z);
    t.inflow = s->edge;
    air_flow_transport_step(&t, &s->room, s->u + s->nz);
}

BASE_WIDEST static void carry_w_across(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    const double *dz = s->mesh.z.size, *dz_of_w = s->mesh.z_of_w.size;
    for (int j = 0; j <= nx; j++) {
        const size_t at = flow_cell(s, j, 0);
        const double *u = s->u + at;
        double *flux = s->flux_x + at, *spread = s->spread_x + at;
        for (int k = 0; k + 1 < nz; k++)
            flux[k] = 0.5 * (u[k] * dz[k] + u[k + 1] * dz[k + 1]);
        flux[nz - 1] = 0.5 * u[nz - 1] * dz[nz - 1];
        const double *west = s->nu_z + flow_face_z(s, j > 0 ? j - 1 : 0, 1);
        const double *east = s->nu_z + flow_face_z(s, j < nx ? j : nx - 1, 1);
        const double half_per_gap = j < nx ? 0.5 * s->mesh.x.per_gap[j] : 0.0;
        for (int k = 0; k < nz; k++)
            spread[k] = (west[k] + east[k]) * half_per_gap * dz_of_w[k];
    }
}

/* @param west, east stresses on the corners beside column i */
BASE_WIDEST static void balance_w(flow_state *s, int i, const double *west, const double *east)
{
    const int nz = s->nz;
    const air_flow_axis *x = &s->mesh.x, *z = &s->mesh.z;
    const double size = x->size[i], per_size = x->per_size[i];
    const size_t at = flow_cell(s, i, 0), at_z = flow_face_z(s, i, 0);
    const double *w = s->w + at, *p = s->p + at, *nu = s->nu + at, *drag = s->drag + at, *speed = s->speed + at;
    double *flux = s->flux_z + at_z, *spread = s->spread_z + at_z, *source = s->source + at, *sink = s->sink + at;
    flux[0] = 0.5 * w[0] * size;
    for (int k = 1; k < nz; k++)
        flux[k] = 0.5 * (w[k - 1] + w[k]) * size;
    flux[nz] = w[nz - 1] * size;
    for (int k = 0; k < nz; k++)
        spread[k] = 2.0 * nu[k] * size * z->per_size[k];
    spread[nz] = 0.0;
    for (int k = 0; k + 1 < nz; k++) {
        const double share = z->size[k + 1] / (z->size[k] + z->size[k + 1]);
        source[k] = (east[k + 1] - west[k + 1]) * per_size - (p[k + 1] - p[k]) * z->per_gap[k + 1];
        sink[k] = (1.0 - share) * drag[k] * speed[k] + share * drag[k + 1] * speed[k + 1];
    }
    source[nz - 1] = 0.0;
    sink[nz - 1] = HELD;
}

void flow_step_w(flow_state *s)
{
    double *west = s->edge, *east = west + s->nz + 1; /* room */
    carry_w_across(s);
    shear_stresses(s, 0, west);
    for (int i = 0; i < s->nx; i++) {
        shear_stresses(s, i + 1, east);
        balance_w(s, i, west, east);
        double *const used = west;
        west = east;
        east = used;
    }
    for (int k = 0; k < s->nz; k++)
        s->edge[k] = 0.0;
    air_flow_transport t = flow_equation(s, &s->mesh.x, &s->mesh.z_of_w);
    t.inflow = s->edge;
    air_flow_transport_step(&t, &s->room, s->w);
}

BASE_WIDEST void flow_carry_cells(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    const air_flow_axis *x = &s->mesh.x, *z = &s->mesh.z;
    for (int j = 0; j <= nx; j++) {
        const size_t at = flow_cell(s, j, 0);
        const double *u = s->u + at, *east = s->nu + at, *west = j > 0 && j < nx ? east - nz : east;
        double *flux = s->flux_x + at, *spread = s->spread_x + at;
        for (int k = 0; k < nz; k++)
            flux[k] = u[k] * z->size[k];
        const double half_per_gap = j < nx ? 0.5 * x->per_gap[j] : 0.0;
        for (int k = 0; k < nz; k++)
            spread[k] = (west[k] + east[k]) * half_per_gap * z->size[k];
    }
    for (int i = 0; i < nx; i++) {
        const size_t at = flow_face_z(s, i, 0);
        const double *w = s->w + flow_cell(s, i, 0), *nu = s->nu_z + at, size = x->size[i];
        double *flux = s->flux_z + at, *spread = s->spread_z + at;
        flux[0] = spread[0] = 0.0;
        for (int k = 0; k < nz; k++)
            flux[k + 1] = w[k] * size;
        for (int face = 1; face <= nz; face++)
            spread[face] = nu[face] * size * z->per_gap[face];
    }
}

void flow_step_v(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    if (s->c->sin_angle == 0.0) return;
    flow_carry_cells(s);
    for (int i = 0; i < nx; i++)
        s->spread_z[flow_face_z(s, i, nz)] = 0.0;
    for (int i = 0; i < nx; i++) {
        const size_t at = flow_cell(s, i, 0);
        for (int k = 0; k < nz; k++) {
            s->source[at + (size_t)k] = 0.0;
            s->sink[at + (size_t)k] = s->drag[at + (size_t)k] * s->speed[at + (size_t)k];
        }
        s->source[flow_cell(s, i, nz - 1)] += s->c->sin_angle * s->mesh.z.per_size[nz - 1];
        s->sink[at] += ground_1_m(s, s->k[at]);
    }
    for (int k = 0; k < nz; k++)
        s->edge[k] = s->inflow.speed[k] * s->c->sin_angle;
    air_flow_transport t = flow_equation(s, &s->mesh.x, &s->mesh.z);
    t.inflow = s->edge;
    air_flow_transport_step(&t, &s->room, s->v);
}

BASE_WIDEST static void find_divergence(flow_state *s, double per_step)
{
    const int nz = s->nz;
    const double *dz = s->mesh.z.size;
    for (int i = 0; i < s->nx; i++) {
        const size_t at = flow_cell(s, i, 0);
        const double *west = s->u + at, *east = west + nz, *w = s->w + at, size = s->mesh.x.size[i] * per_step;
        double *source = s->source + at;
        source[0] = (east[0] - west[0]) * dz[0] * per_step + w[0] * size;
        for (int k = 1; k < nz; k++)
            source[k] = (east[k] - west[k]) * dz[k] * per_step + (w[k] - w[k - 1]) * size;
    }
}

BASE_WIDEST static void follow_pressure(flow_state *s, const double *phi)
{
    const int nz = s->nz;
    const double step_m = s->step_m, further = 1.0 + AHEAD_1_M * step_m, *per_gap = s->mesh.z.per_gap;
    for (int i = 0; i < s->nx; i++) {
        const size_t at = flow_cell(s, i, 0);
        const bool last = i + 1 == s->nx;
        const double *here = phi + at, *east = last ? here : here + nz, ahead = last ? 0.0 : 1.0;
        const double step_per_gap = step_m * s->mesh.x.per_gap[i + 1];
        double *u = s->u + at + nz, *w = s->w + at, *p = s->p + at;
        for (int k = 0; k < nz; k++)
            u[k] -= step_per_gap * (ahead * east[k] - here[k]);
        for (int k = 0; k + 1 < nz; k++)
            w[k] -= step_m * (here[k + 1] - here[k]) * per_gap[k + 1];
        for (int k = 0; k < nz; k++)
            p[k] += here[k] * further;
    }
}

void flow_project(flow_state *s)
{
    double *const phi = s->sink; /* room */
    find_divergence(s, 1.0 / s->step_m);
    air_flow_pressure_solve(s->pressure, s->source, phi);
    follow_pressure(s, phi);
}
