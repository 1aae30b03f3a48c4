/* sim/orchard/texture.c - leaf area of a crown from bough to bough.
 *
 * A Gaussian field g of mean 0 and variance 1: normal numbers at the nodes of a lattice one bough apart, straight
 * between them, divided by the standard deviation that this leaves. Where g is below the quantile of the share of gaps
 * there are no leaves; elsewhere the leaf area is multiplied by exp(s g), s^2 = ln(1 + v^2): log-normal with the
 * relative standard deviation v. Numbers are keyed by row and node, so voxels of any size cut the same crown. Left out:
 * where a bough starts and ends, that boughs hang together along a limb, that vigour goes with height. */
#include "orchard/texture.h"

#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/random.h"
#include "base/status.h"

#define POINTS_A_BOUGH 2.0 /* inner points of a voxel along each edge: so many in a bough */

struct orchard_texture {
    int nx, ny, nz;             /* nodes of one row; the ny of the row's period come again */
    double per_x, per_y, per_z; /* nodes a metre */
    double first_x_m; /* of the first node, from the edge of the voxels: the lattice lies about the row line */
    double edge_m, edge_y_m;
    int points; /* inner points of a voxel along each edge */
    double sigma, gap_below;
    float *node; /* [row][nz][ny][nx] standard normal numbers */
};

/* Of a node: its row, and its place counted from the row line. */
static uint64_t name_of(const orchard_texture *t, int64_t i)
{
    const uint64_t ix = (uint64_t)(i % t->nx - t->nx / 2 + INT16_MAX), iy = (uint64_t)(i / t->nx % t->ny),
                   iz = (uint64_t)(i / ((int64_t)t->nx * t->ny) % t->nz),
                   row = (uint64_t)(i / ((int64_t)t->nx * t->ny * t->nz));
    return row << 48 | iz << 32 | iy << 16 | ix;
}

drupelet_status orchard_texture_create(const drupelet_scenario *s, const orchard_canopy *c, orchard_texture **texture)
{
    const scenario_canopy *k = &s->canopy;
    *texture = NULL;
    if (!(k->bough_variation > 0.0) && !(k->gap_fraction > 0.0)) return base_ok();
    orchard_texture *t = calloc(1, sizeof *t);
    if (!t) return base_error(DRUPELET_MEMORY, "no memory for the boughs");
    t->edge_m = c->edge_m;
    t->edge_y_m = c->edge_y_m;
    t->points = (int)ceil(POINTS_A_BOUGH * c->edge_m / k->bough_size_m - 1e-9);
    t->ny = (int)fmax(1.0, floor(c->period_m / k->bough_size_m + 0.5));
    t->per_x = t->per_z = 1.0 / k->bough_size_m;
    t->per_y = t->ny / c->period_m;
    const int beside = (int)ceil(c->half_width_m * t->per_x); /* nodes on either side of the row line */
    t->nx = 2 * beside + 1;
    t->first_x_m = c->half_width_m - beside * k->bough_size_m;
    t->nz = (int)ceil(c->nz * c->edge_m * t->per_z) + 1;
    t->sigma = sqrt(base_log1p(k->bough_variation * k->bough_variation));
    t->gap_below = base_normal_quantile(k->gap_fraction);
    const int64_t n = (int64_t)c->n_rows * t->nz * t->ny * t->nx;
    t->node = malloc((size_t)n * sizeof *t->node);
    if (!t->node) {
        orchard_texture_free(t);
        return base_error(DRUPELET_MEMORY, "no memory for the boughs");
    }
    for (int64_t i = 0; i < n; i++) {
        uint32_t bits[4];
        double normals[2];
        base_random_block(s->run.seed, BASE_STREAM_CANOPY, name_of(t, i), 1, bits);
        base_normal_pair(bits[0], bits[1], normals);
        t->node[i] = (float)normals[0];
    }
    *texture = t;
    return base_ok();
}

void orchard_texture_free(orchard_texture *t)
{
    if (!t) return;
    free(t->node);
    free(t);
}

/* At a place of a row, in nodes from the first. */
static double field_at(const orchard_texture *t, int row, double x, double y, double z)
{
    const int ix = (int)x, iy = (int)y, iz = (int)z;
    const double f[3] = {x - ix, y - iy, z - iz};
    double sum = 0.0, squares = 0.0;
    for (int corner = 0; corner < 8; corner++) {
        const int dx = corner & 1, dy = corner >> 1 & 1, dz = corner >> 2;
        const double w = (dx ? f[0] : 1.0 - f[0]) * (dy ? f[1] : 1.0 - f[1]) * (dz ? f[2] : 1.0 - f[2]);
        const int64_t at = (((int64_t)row * t->nz + iz + dz) * t->ny + (iy + dy) % t->ny) * t->nx + ix + dx;
        sum += w * (double)(w > 0.0 ? t->node[at] : 0.0f);
        squares += w * w;
    }
    return sum / sqrt(squares);
}

double orchard_texture_of(const orchard_texture *t, int row, int iz, int iy, int ix)
{
    if (!t) return 1.0;
    const int n = t->points;
    double sum = 0.0;
    for (int p = 0; p < n * n * n; p++) {
        const double x_m = (ix + (p % n + 0.5) / n) * t->edge_m - t->first_x_m,
                     y_m = (iy + (p / n % n + 0.5) / n) * t->edge_y_m, z_m = (iz + (p / (n * n) + 0.5) / n) * t->edge_m;
        const double g = field_at(t, row, x_m * t->per_x, y_m * t->per_y, z_m * t->per_z);
        sum += g < t->gap_below ? 0.0 : base_exp(t->sigma * g);
    }
    return sum / (n * n * n);
}
