/* sim/air/fan_lay.c - a solved flow, laid into the grid of a pass.
 *
 * Cells at the outlets are a fraction of the grid's: a jet there is thinner than the way from node to node. So a node
 * gets the mean over all that is nearer to it than to any other, half a cell to each side, not the value at its place,
 * which may lie in the jet or beside it. Speeds are averaged as the momentum that jets leave in a grid (excess.h): the
 * mean of |u| u over the root of the mean of u^2 keeps the flux of momentum, as the jets by integral laws do. Between
 * the centres of the flow's cells all is linear along each axis, beyond the outer ones it stays. */
#include "air/fan_lay.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/between.h"
#include "base/elementary.h"
#include "base/status.h"

/* What is averaged: |u| u along each axis, u^2, and the turbulence. */
enum { PUSH_U, PUSH_V, PUSH_W, SQUARE, VARIANCE, LEVEL_MORE, DISSIPATION, VALUES };

/* Means along one axis: node n takes count[n] cells from first[n] on, with the weights from weight[n * most] on. */
typedef struct {
    int n_nodes, most;
    int *first, *count;
    float *weight;
} means;

static void free_means(means *m)
{
    free(m->first);
    free(m->count);
    free(m->weight);
}

/* The weights of a node: those of the mean over a stretch, which may be a point. Each part of it that lies between two
 * centres counts with its middle; parts beyond the outer centres go with the outer gaps. */
static void weigh(int n, const double *centre_m, double from_m, double to_m, int *first, int *count, float *weight)
{
    double at_m = from_m, end_m;
    int low = *first = base_point_below(n, centre_m, from_m);
    do {
        end_m = low + 2 < n ? fmin(fmax(centre_m[low + 1], at_m), to_m) : to_m;
        const double part = to_m > from_m ? (end_m - at_m) / (to_m - from_m) : 1.0;
        const double share = base_way_from(centre_m, low, 0.5 * (at_m + end_m));
        weight[low - *first] += (float)(part * (1.0 - share));
        weight[low - *first + 1] += (float)(part * share);
        at_m = end_m;
        low++;
    } while (end_m < to_m);
    *count = low - *first + 1;
}

/* @param on_ground the first node's stretch is a point */
static bool make_means(int n, const double *centre_m, int n_nodes, double first_m, double step_m, bool on_ground,
                       means *m)
{
    *m = (means){.n_nodes = n_nodes, .most = n};
    m->first = malloc((size_t)n_nodes * sizeof *m->first);
    m->count = malloc((size_t)n_nodes * sizeof *m->count);
    m->weight = calloc((size_t)n_nodes * (size_t)n, sizeof *m->weight);
    if (!m->first || !m->count || !m->weight) return false;
    for (int node = 0; node < n_nodes; node++) {
        const double place_m = first_m + node * step_m, half_m = on_ground && node == 0 ? 0.0 : 0.5 * step_m;
        weigh(n, centre_m, place_m - half_m, place_m + half_m, &m->first[node], &m->count[node],
              m->weight + (size_t)node * (size_t)n);
    }
    return true;
}

static void add_row(float *restrict to, const float *restrict from, float weight, int n)
{
    for (int k = 0; k < n; k++)
        to[k] += weight * from[k];
}

/* Values of one plane of cells: [VALUES][ny][nz]. */
static void take_plane(const air_fan_flow *f, const fan_turbulence *t, int i, float *value)
{
    const size_t plane = (size_t)f->ny * (size_t)f->nz, at = (size_t)i * plane;
    const float *u = f->u + at, *v = f->v + at, *w = f->w + at;
    for (size_t n = 0; n < plane; n++) {
        const float square = u[n] * u[n] + v[n] * v[n] + w[n] * w[n], speed = sqrtf(square);
        value[PUSH_U * plane + n] = speed * u[n];
        value[PUSH_V * plane + n] = speed * v[n];
        value[PUSH_W * plane + n] = speed * w[n];
        value[SQUARE * plane + n] = square;
    }
    memcpy(value + VARIANCE * plane, t->variance + at, plane * sizeof *value);
    memcpy(value + LEVEL_MORE * plane, t->level_more + at, plane * sizeof *value);
    memcpy(value + DISSIPATION * plane, t->dissipation + at, plane * sizeof *value);
}

/* Their means along the travel: [VALUES][nodes][nz]. */
static void mean_along(const means *y, int ny, int nz, const float *value, float *mean)
{
    memset(mean, 0, (size_t)(VALUES * y->n_nodes * nz) * sizeof *mean);
    for (int q = 0; q < VALUES; q++)
        for (int j = 0; j < y->n_nodes; j++)
            for (int c = 0; c < y->count[j]; c++)
                add_row(mean + (size_t)(q * y->n_nodes + j) * (size_t)nz,
                        value + (size_t)(q * ny + y->first[j] + c) * (size_t)nz, y->weight[j * y->most + c], nz);
}

/* A column of nodes from the means of all its cells at each height. */
static void fill_column(const means *z, const float *law, const float *const mean[VALUES], const air_grid *g, int i,
                        int j, air_excess *e)
{
    for (int k = 0; k < g->nz; k++) {
        float sum[VALUES] = {0};
        for (int c = 0; c < z->count[k]; c++)
            for (int q = 0; q < VALUES; q++)
                sum[q] += z->weight[k * z->most + c] * mean[q][z->first[k] + c];
        const size_t node = air_node(g, k, i, j);
        const float square = law[k] * law[k]; /* as of the momentum of air that is so much slower */
        e->u_m_s[node] = square * sum[PUSH_U];
        e->v_m_s[node] = square * sum[PUSH_V];
        e->w_m_s[node] = square * sum[PUSH_W];
        e->squares_m2_s2[node] = square * sum[SQUARE];
        e->variance_m2_s2[node] = sum[VARIANCE];
        e->level_more_m2_s2[node] = sum[LEVEL_MORE];
        e->dissipation_m2_s3[node] = sum[DISSIPATION];
    }
}

/* Below the lowest centre the speed falls to 0 at the roughness length by the logarithmic law, as the wind does. */
static void find_law(const air_fan_flow *f, double roughness_m, const air_grid *g, float *law)
{
    for (int k = 0; k < g->nz; k++) {
        const double z_m = k * g->dz_m, held_m = fmax(z_m, roughness_m);
        law[k] = z_m < f->z_m[0] ? (float)(base_log(held_m / roughness_m) / base_log(f->z_m[0] / roughness_m)) : 1.0f;
    }
}

drupelet_status fan_lay(const air_fan_flow *f, const fan_turbulence *t, double roughness_m, const air_grid *g,
                        air_excess *e)
{
    const size_t plane = (size_t)(VALUES * f->ny * f->nz), line = (size_t)(VALUES * g->ny * f->nz);
    means x = {0}, y = {0}, z = {0};
    float *value = malloc(plane * sizeof *value), *along = malloc((size_t)f->nx * line * sizeof *along);
    float *across = malloc(line * sizeof *across), *law = malloc((size_t)g->nz * sizeof *law);
    const bool enough = value && along && across && law
                        && make_means(f->nx, f->x_m, g->nx, air_grid_x_m(g, 0), g->dx_m, false, &x)
                        && make_means(f->ny, f->y_m, g->ny, g->y_first_m, g->dy_m, false, &y)
                        && make_means(f->nz, f->z_m, g->nz, 0.0, g->dz_m, true, &z);
    if (enough) find_law(f, roughness_m, g, law);
    for (int i = 0; enough && i < f->nx; i++) {
        take_plane(f, t, i, value);
        mean_along(&y, f->ny, f->nz, value, along + (size_t)i * line);
    }
    for (int i = 0; enough && i < g->nx; i++) {
        memset(across, 0, line * sizeof *across);
        for (int c = 0; c < x.count[i]; c++)
            add_row(across, along + (size_t)(x.first[i] + c) * line, x.weight[i * x.most + c], (int)line);
        for (int j = 0; j < g->ny; j++) {
            const float *mean[VALUES];
            for (int q = 0; q < VALUES; q++)
                mean[q] = across + (size_t)(q * g->ny + j) * (size_t)f->nz;
            fill_column(&z, law, mean, g, i, j, e);
        }
    }
    if (enough) air_momentum_to_velocity(e, 0, e->n_nodes);
    free(law);
    free(across);
    free(along);
    free(value);
    free_means(&x);
    free_means(&y);
    free_means(&z);
    return enough ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the fan air");
}
