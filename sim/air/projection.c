/* sim/air/projection.c - the change of least cost that takes the divergence out of a grid of nodes.
 *
 * Cost: the square of the change, with a change along the sheet of fan air (x and z) ten times as dear as one across it
 * (y). A thin jet entrains across its sheet; at equal cost the correction would slow its axis by a tenth. With e = 0.1
 * that is d/dx(e dphi/dx) + d2phi/dy2 + d/dz(e dphi/dz) = div(u), u := u - (e dphi/dx, dphi/dy, e dphi/dz).
 *
 * Faces carry the mean of their two nodes; nothing passes the grid's outer faces, so that what the jets move comes back
 * within the grid and no air, and no droplet with it, piles up where the grid ends. Cosine transforms along x and y
 * make the equation one tridiagonal system along z a wave number (Thomas algorithm). The transforms are plain matrix
 * products: at these sizes they cost some 30 ms, need no library and give the same bits everywhere. Nodes at the ground
 * own half a cell. The correction is taken as the mean of a node's two faces, so that jets stay as sharp as they came:
 * the divergence left over is of second order in the cell. */
#include "air/projection.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"

#define ALONG_SHEET 0.1f /* e; choice */

static inline int64_t at(const air_grid *g, int k, int i, int j)
{
    return ((int64_t)k * g->nx + i) * g->ny + j;
}

/* Velocity of component c on the face between two nodes; 0 on an outer face. */
static inline float face(const float *node, int64_t here, int64_t there, int c)
{
    return here == there ? 0.0f : 0.5f * (node[AIR_VALUES * here + c] + node[AIR_VALUES * there + c]);
}

/* The neighbour of a node along one axis, or the node itself where the grid ends. */
static inline int64_t next_to(int64_t here, int index, int n, int64_t stride)
{
    return index >= 0 && index < n ? here + stride : here;
}

typedef struct {
    int64_t here, east, west, north, south, up, down;
} neighbours;

static neighbours around(const air_grid *g, int k, int i, int j)
{
    const int64_t here = at(g, k, i, j), row = g->ny, plane = (int64_t)g->nx * g->ny;
    return (neighbours){here, next_to(here, i + 1, g->nx, row), next_to(here, i - 1, g->nx, -row),
                        next_to(here, j + 1, g->ny, 1), next_to(here, j - 1, g->ny, -1),
                        next_to(here, k + 1, g->nz, plane), next_to(here, k - 1, g->nz, -plane)};
}

static float divergence(const air_grid *g, const float *node, int k, int i, int j)
{
    const neighbours n = around(g, k, i, j);
    const float height_m = (float)g->dz_m * (k > 0 ? 1.0f : 0.5f);
    return (face(node, n.here, n.east, AIR_U) - face(node, n.here, n.west, AIR_U)) / (float)g->dx_m
           + (face(node, n.here, n.north, AIR_V) - face(node, n.here, n.south, AIR_V)) / (float)g->dy_m
           + (face(node, n.here, n.up, AIR_W) - face(node, n.here, n.down, AIR_W)) / height_m;
}

/* One plane: out = left in right. */
static void transform(int nx, int ny, const float *left, const float *right, const float *in, float *work, float *out)
{
    memset(work, 0, sizeof(float) * (size_t)nx * (size_t)ny);
    for (int m = 0; m < nx; m++)
        for (int i = 0; i < nx; i++) {
            const float s = left[m * nx + i];
            for (int j = 0; j < ny; j++)
                work[m * ny + j] += s * in[i * ny + j];
        }
    memset(out, 0, sizeof(float) * (size_t)nx * (size_t)ny);
    for (int m = 0; m < nx; m++)
        for (int j = 0; j < ny; j++) {
            const float s = work[m * ny + j];
            for (int l = 0; l < ny; l++)
                out[m * ny + l] += s * right[j * ny + l];
        }
}

/* Cosine transform (type II, orthonormal) and its inverse, the transpose. */
static void cosine_matrix(int n, float *forward, float *inverse)
{
    const double pi = acos(-1.0);
    for (int m = 0; m < n; m++)
        for (int i = 0; i < n; i++) {
            forward[m * n + i] = (float)(sqrt((m > 0 ? 2.0 : 1.0) / n) * cos(pi * m * (i + 0.5) / n));
            inverse[i * n + m] = forward[m * n + i];
        }
}

/* Tridiagonal systems along z for all wave numbers; phi comes in as the right-hand side. */
static void solve_columns(const air_grid *g, float *phi, float *factor)
{
    const double pi = acos(-1.0);
    const size_t plane = (size_t)g->nx * (size_t)g->ny;
    const float z2 = ALONG_SHEET * (float)(1.0 / (g->dz_m * g->dz_m));
    for (int m = 0; m < g->nx; m++)
        for (int l = 0; l < g->ny; l++) {
            const size_t c = (size_t)m * (size_t)g->ny + (size_t)l;
            const double wave_x = (2.0 - 2.0 * cos(pi * m / g->nx)) / (g->dx_m * g->dx_m);
            const double wave_y = (2.0 - 2.0 * cos(pi * l / g->ny)) / (g->dy_m * g->dy_m);
            /* the mean of phi is free: a touch of wave number pins it */
            const float wave = (float)fmax((double)ALONG_SHEET * wave_x + wave_y, 1e-5);
            /* ground node, half a cell: 2 (phi1 - phi0) / dz^2 - wave phi0 = rhs; top node: nothing passes above */
            factor[0] = 2.0f * z2 / -(2.0f * z2 + wave);
            phi[c] /= -(2.0f * z2 + wave);
            for (int k = 1; k < g->nz; k++) {
                const float links = k + 1 < g->nz ? 2.0f * z2 : z2;
                const float pivot = -(links + wave) - z2 * factor[k - 1];
                factor[k] = z2 / pivot;
                float *const here = &phi[(size_t)k * plane + c];
                *here = (*here - z2 * phi[(size_t)(k - 1) * plane + c]) / pivot;
            }
            for (int k = g->nz - 2; k >= 0; k--)
                phi[(size_t)k * plane + c] -= factor[k] * phi[(size_t)(k + 1) * plane + c];
        }
}

static void correct(const air_grid *g, float *node, const float *phi)
{
    for (int k = 0; k < g->nz; k++)
        for (int i = 0; i < g->nx; i++)
            for (int j = 0; j < g->ny; j++) {
                const neighbours n = around(g, k, i, j);
                float *values = node + AIR_VALUES * n.here;
                values[AIR_U] -= ALONG_SHEET * (phi[n.east] - phi[n.west]) / (2.0f * (float)g->dx_m);
                values[AIR_V] -= (phi[n.north] - phi[n.south]) / (2.0f * (float)g->dy_m);
                if (k > 0)
                    values[AIR_W] -= ALONG_SHEET * (phi[n.up] - phi[n.down]) / (2.0f * (float)g->dz_m);
            }
}

drupelet_status air_project(const air_grid *g, float *node)
{
    const size_t plane = (size_t)g->nx * (size_t)g->ny, all = plane * (size_t)g->nz;
    const size_t nx2 = (size_t)g->nx * (size_t)g->nx, ny2 = (size_t)g->ny * (size_t)g->ny;
    float *phi = malloc(all * sizeof *phi), *work = malloc(2 * plane * sizeof *work);
    float *along_x = malloc(2 * nx2 * sizeof *along_x), *along_y = malloc(2 * ny2 * sizeof *along_y);
    float *factor = malloc((size_t)g->nz * sizeof *factor);
    drupelet_status status = base_ok();
    if (!phi || !work || !along_x || !along_y || !factor) {
        status = base_error(DRUPELET_MEMORY, "no memory for the air around the sprayer");
    } else {
        float *const x_back = along_x + nx2, *const y_back = along_y + ny2;
        cosine_matrix(g->nx, along_x, x_back);
        cosine_matrix(g->ny, along_y, y_back);
        for (int k = 0; k < g->nz; k++)
            for (int i = 0; i < g->nx; i++)
                for (int j = 0; j < g->ny; j++)
                    phi[at(g, k, i, j)] = divergence(g, node, k, i, j);
        for (int back = 0; back < 2; back++) {
            for (int k = 0; k < g->nz; k++) {
                float *const layer = phi + (size_t)k * plane;
                transform(g->nx, g->ny, back ? x_back : along_x, back ? along_y : y_back, layer, work, work + plane);
                memcpy(layer, work + plane, plane * sizeof *phi);
            }
            if (!back)
                solve_columns(g, phi, factor);
        }
        correct(g, node, phi);
    }
    free(factor);
    free(along_y);
    free(along_x);
    free(work);
    free(phi);
    return status;
}

double air_divergence_rms_1_s(const air_grid *g, const float *node)
{
    double sum = 0.0;
    int64_t n = 0;
    for (int k = 1; k + 1 < g->nz; k++)
        for (int i = 1; i + 1 < g->nx; i++)
            for (int j = 1; j + 1 < g->ny; j++, n++) {
                const double d = (double)divergence(g, node, k, i, j);
                sum += d * d;
            }
    return sqrt(sum / (double)(n > 0 ? n : 1));
}
