/* sim/air/flow_transport.c - one implicit step of what the wind carries along.
 *
 * The upwind part is solved for, what van Leer's limiter adds to it is taken from the values before (deferred
 * correction; B. van Leer, J. Comput. Phys. 14 (1974) 361; memory). The wind sweeps the section once: a column knows
 * the new values of the column upwind of it. */
#include <math.h>
#include <stddef.h>
#include <stdlib.h>

#include "air/flow_mesh.h"
#include "base/machine.h"
#include "base/status.h"

drupelet_status air_flow_room_create(const air_flow_mesh *mesh, air_flow_room *room)
{
    const size_t nx = (size_t)mesh->nx, nz = (size_t)mesh->nz;
    *room = (air_flow_room){malloc((nx + 1) * nz * sizeof(double)), malloc(nx * (nz + 1) * sizeof(double)),
                            malloc(5 * nz * sizeof(double))};
    return room->over_x && room->over_z && room->line ? base_ok()
                                                      : base_error(DRUPELET_MEMORY, "no memory for the wind");
}

void air_flow_room_free(air_flow_room *room)
{
    free(room->over_x);
    free(room->over_z);
    free(room->line);
}

/* What the value at a face has over the upwind one is psi(r) / 2 of the step to the next, r the ratio of the slopes
 * behind and ahead. The product of both over their sum needs no ratio. */

/* Across faces between columns i - 1 and i. */
BASE_WIDEST static void add_over_x(const air_flow_transport *t, const double *phi, double *over)
{
    const ptrdiff_t nx = t->x->n, nz = t->z->n;
    for (ptrdiff_t k = 0; k < nz; k++)
        over[k] = over[nx * nz + k] = 0.0;
    for (ptrdiff_t i = 1; i < nx; i++) {
        const double *west = phi + (i - 1) * nz, *east = phi + i * nz;
        const double *before = i > 1 ? west - nz : t->inflow, *after = i + 1 < nx ? east + nz : east;
        const double per_behind = 1.0 / t->x->gap[i - 1], per_here = 1.0 / t->x->gap[i];
        const double per_ahead = 1.0 / t->x->gap[i + 1];
        const double reach_west = t->x->face[i] - t->x->point[i - 1], reach_east = t->x->point[i] - t->x->face[i];
        const double *flux = t->flux_x + i * nz;
        double *to = over + i * nz;
#pragma omp simd
        for (ptrdiff_t k = 0; k < nz; k++) {
            const double here = (east[k] - west[k]) * per_here;
            const double behind = (west[k] - before[k]) * per_behind, ahead = (after[k] - east[k]) * per_ahead;
            const double from_west = here * behind > 0.0 ? 2.0 * here * behind / (here + behind) * reach_west : 0.0;
            const double from_east = here * ahead > 0.0 ? -2.0 * here * ahead / (here + ahead) * reach_east : 0.0;
            to[k] = flux[k] * (flux[k] > 0.0 ? from_west : from_east);
        }
    }
}

/* Across faces between levels k - 1 and k. */
BASE_WIDEST static void add_over_z(const air_flow_transport *t, const double *phi, double *slope, double *over)
{
    const ptrdiff_t nx = t->x->n, nz = t->z->n;
    const double *gap = t->z->gap, *face = t->z->face, *point = t->z->point;
    for (ptrdiff_t i = 0; i < nx; i++) {
        const double *here = phi + i * nz, *flux = t->flux_z + i * (nz + 1);
        double *to = over + i * (nz + 1);
        slope[0] = slope[nz] = 0.0;
        for (ptrdiff_t k = 1; k < nz; k++)
            slope[k] = (here[k] - here[k - 1]) / gap[k];
        to[0] = to[nz] = 0.0;
#pragma omp simd
        for (ptrdiff_t k = 1; k < nz; k++) {
            const double below = slope[k] * slope[k - 1], above = slope[k] * slope[k + 1];
            const double up = below > 0.0 ? 2.0 * below / (slope[k] + slope[k - 1]) * (face[k] - point[k - 1]) : 0.0;
            const double down = above > 0.0 ? -2.0 * above / (slope[k] + slope[k + 1]) * (point[k] - face[k]) : 0.0;
            to[k] = flux[k] * (flux[k] > 0.0 ? up : down);
        }
    }
}

/* As fmax, which is a call where infinities and the like must come out right. */
static inline double positive(double x)
{
    return x > 0.0 ? x : 0.0;
}

/* The system of column i: low[k] phi[k - 1] + middle[k] phi[k] + high[k] phi[k + 1] = right[k]. */
BASE_WIDEST static void assemble(const air_flow_transport *t, const air_flow_room *room, ptrdiff_t i, const double *phi,
                                 double *restrict low, double *restrict middle, double *restrict high,
                                 double *restrict right)
{
    const ptrdiff_t nx = t->x->n, nz = t->z->n;
    const ptrdiff_t at = i * nz, at_z = i * (nz + 1);
    const double *here = phi + at, *west = i > 0 ? here - nz : t->inflow, *east = i + 1 < nx ? here + nz : here;
    const double *flux_w = t->flux_x + at, *flux_e = flux_w + nz, *flux_z = t->flux_z + at_z;
    const double *spread_w = t->spread_x + at, *spread_e = spread_w + nz, *spread_z = t->spread_z + at_z;
    const double *over_w = room->over_x + at, *over_e = over_w + nz, *over_z = room->over_z + at_z;
    const double *source = t->source + at, *sink = t->sink ? t->sink + at : NULL, *dz = t->z->size;
    const double dx = t->x->size[i], per_step = t->per_step;
    for (ptrdiff_t k = 0; k < nz; k++) {
        const double a_w = spread_w[k] + positive(flux_w[k]), a_e = spread_e[k] + positive(-flux_e[k]);
        const double a_s = spread_z[k] + positive(flux_z[k]), a_n = spread_z[k + 1] + positive(-flux_z[k + 1]);
        const double volume = dx * dz[k];
        low[k] = -a_s;
        high[k] = -a_n;
        middle[k] = a_w + a_e + a_s + a_n + volume * per_step;
        right[k] = a_w * west[k] + a_e * east[k] + volume * (source[k] + per_step * here[k])
                   + (over_w[k] - over_e[k] + over_z[k] - over_z[k + 1]);
    }
    if (sink)
        for (ptrdiff_t k = 0; k < nz; k++)
            middle[k] += dx * dz[k] * sink[k];
}

/* Thomas's algorithm from both ends to the middle at once: the processor waits for quotients, and so for half as many.
 * low, middle, high and right are used up. */
static void solve_line(ptrdiff_t n, double *restrict low, double *restrict middle, double *restrict high,
                       double *restrict right, double *restrict x)
{
    const ptrdiff_t half = n / 2;
    middle[0] = 1.0 / middle[0];
    middle[n - 1] = 1.0 / middle[n - 1];
    for (ptrdiff_t k = 1; k < half; k++) {
        const ptrdiff_t down = n - 1 - k;
        const double share = low[k] * middle[k - 1], share_down = high[down] * middle[down + 1];
        middle[k] = 1.0 / (middle[k] - share * high[k - 1]);
        middle[down] = 1.0 / (middle[down] - share_down * low[down + 1]);
        right[k] -= share * right[k - 1];
        right[down] -= share_down * right[down + 1];
    }
    ptrdiff_t above = n - half; /* the first of the upper half; between both halves stands a row where n is odd */
    if (above > half) {
        const double share = low[half] * middle[half - 1];
        middle[half] = 1.0 / (middle[half] - share * high[half - 1]);
        right[half] -= share * right[half - 1];
    }
    const ptrdiff_t last = above - 1; /* of the lower half, with that row */
    const double share = low[above] * middle[last];
    x[above] = (right[above] - share * right[last]) / (1.0 / middle[above] - share * high[last]);
    for (ptrdiff_t k = above + 1; k < n; k++)
        x[k] = (right[k] - low[k] * x[k - 1]) * middle[k];
    for (ptrdiff_t k = last; k >= 0; k--)
        x[k] = (right[k] - high[k] * x[k + 1]) * middle[k];
}

void air_flow_transport_step(const air_flow_transport *t, const air_flow_room *room, double *phi)
{
    const ptrdiff_t nx = t->x->n, nz = t->z->n;
    double *low = room->line, *middle = low + nz, *high = middle + nz, *right = high + nz;
    add_over_x(t, phi, room->over_x);
    add_over_z(t, phi, low, room->over_z);
    for (ptrdiff_t i = 0; i < nx; i++) {
        double *here = phi + i * nz;
        assemble(t, room, i, phi, low, middle, high, right);
        right[0] -= low[0] * t->ground;
        right[nz - 1] -= high[nz - 1] * t->top;
        high[nz - 1] = 0.0;
        if (t->held_low) {
            middle[0] = 1.0;
            high[0] = 0.0;
            right[0] = t->held_low[i];
        }
        solve_line(nz, low, middle, high, right, here);
    }
}
