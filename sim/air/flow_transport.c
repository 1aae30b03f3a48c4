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

enum { ROOM_LINES = 8 };

drupelet_status air_flow_room_create(const air_flow_mesh *mesh, air_flow_room *room)
{
    const size_t nx = (size_t)mesh->nx, nz = (size_t)mesh->nz;
    *room = (air_flow_room){malloc((nx + 1) * nz * sizeof(double)), malloc(nx * (nz + 1) * sizeof(double)),
                            malloc(ROOM_LINES * nz * sizeof(double))};
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
    const double dx = t->x->size[i], per_step = t->per_step, share = t->spread_share;
    for (ptrdiff_t k = 0; k < nz; k++) {
        const double a_w = share * spread_w[k] + positive(flux_w[k]), a_e = share * spread_e[k] + positive(-flux_e[k]);
        const double a_s = share * spread_z[k] + positive(flux_z[k]);
        const double a_n = share * spread_z[k + 1] + positive(-flux_z[k + 1]);
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

/* The elimination of Thomas from both ends to the middle, without a quotient for which the next level waits: with the
 * rows divided by their middles, p[k] is the product of the pivots up to k, and what is on the right is carried along
 * times the product before. All quotients are then worked out side by side. Where the middles outweigh low and high
 * pivots stay above the share of the step in the middle, so that products do not vanish. low, middle, high and right
 * are used up. @param p, q [n] room */
BASE_WIDEST static void solve_line(ptrdiff_t n, double *restrict low, double *restrict middle, double *restrict high,
                                   double *restrict right, double *restrict p, double *restrict q, double *restrict x)
{
    const ptrdiff_t half = n / 2;
    for (ptrdiff_t k = 0; k < n; k++) {
        const double per_middle = 1.0 / middle[k];
        low[k] *= per_middle;
        high[k] *= per_middle;
        right[k] *= per_middle;
    }
    for (ptrdiff_t k = 1; k < half; k++)
        middle[k] = low[k] * high[k - 1];
    for (ptrdiff_t k = half; k + 1 < n; k++)
        middle[k] = high[k] * low[k + 1];
    /* from the ground in p[k], q[k]; from the top likewise */
    double before = 1.0, product = 1.0, carried = right[0];
    double before_up = 1.0, product_up = 1.0, carried_up = right[n - 1];
    p[0] = p[n - 1] = 1.0; /* over the product before */
    q[0] = carried;
    q[n - 1] = carried_up;
    x[0] = x[n - 1] = 1.0; /* the product before */
    for (ptrdiff_t k = 1; k < n - half; k++) {
        const ptrdiff_t down = n - 1 - k;
        if (k < half) {
            const double next = product - middle[k] * before;
            carried = right[k] * product - low[k] * carried;
            x[k] = before = product;
            p[k] = product = next;
            q[k] = carried;
        }
        const double next = product_up - middle[down] * before_up;
        carried_up = right[down] * product_up - high[down] * carried_up;
        x[down] = before_up = product_up;
        p[down] = product_up = next;
        q[down] = carried_up;
    }
    for (ptrdiff_t k = 0; k < n; k++) {
        const double per_product = 1.0 / p[k];
        right[k] = q[k] * per_product;
        middle[k] = (k < half ? high[k] : low[k]) * x[k] * per_product;
    }
    double value = half > 0 ? (right[half] - middle[half] * right[half - 1]) / (1.0 - middle[half] * middle[half - 1])
                            : right[half];
    x[half] = value;
    double value_down = value;
    for (ptrdiff_t k = 1; k < n - half; k++) {
        const ptrdiff_t up = half + k, down = half - k;
        x[up] = value = right[up] - middle[up] * value;
        x[down] = value_down = right[down] - middle[down] * value_down;
    }
    if (n % 2 == 0) x[0] = right[0] - middle[0] * x[1];
}

void air_flow_transport_step(const air_flow_transport *t, const air_flow_room *room, double *phi)
{
    const ptrdiff_t nx = t->x->n, nz = t->z->n;
    double *low = room->line, *middle = low + nz, *high = middle + nz, *right = high + nz, *p = right + nz, *q = p + nz;
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
        solve_line(nz, low, middle, high, right, p, q, here);
    }
}
