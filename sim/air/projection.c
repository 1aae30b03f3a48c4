/* sim/air/projection.c - the change of least cost that takes the divergence out of a grid of nodes.
 *
 * Cost: the square of the change, with a change along the sheet of fan air (x and z) ten times as dear as one across it
 * (y). A thin jet entrains across its sheet; at equal cost the correction would slow its axis by a tenth. With e = 0.1
 * that is d/dx(e dphi/dx) + d2phi/dy2 + d/dz(e dphi/dz) = div(u), u := u - (e dphi/dx, dphi/dy, e dphi/dz).
 *
 * Faces carry the mean of their two nodes. phi is 0 one node outside the open faces, so sine transforms along x and y
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

/* Velocity of component c on the face between a node and its neighbour; outside the grid the node's own value goes on.
 */
static inline float face(const float *node, int64_t here, int64_t there, int c)
{
    return 0.5f * (node[AIR_VALUES * here + c] + node[AIR_VALUES * there + c]);
}

static float divergence(const air_grid *g, const float *node, int k, int i, int j)
{
    const int64_t here = at(g, k, i, j);
    const int64_t east = i + 1 < g->nx ? at(g, k, i + 1, j) : here, west = i > 0 ? at(g, k, i - 1, j) : here;
    const int64_t north = j + 1 < g->ny ? here + 1 : here, south = j > 0 ? here - 1 : here;
    const int64_t up = k + 1 < g->nz ? at(g, k + 1, i, j) : here;
    const float below = k > 0 ? face(node, here, at(g, k - 1, i, j), AIR_W) : 0.0f;
    const float height_m = (float)g->dz_m * (k > 0 ? 1.0f : 0.5f);
    return (face(node, here, east, AIR_U) - face(node, here, west, AIR_U)) / (float)g->dx_m
           + (face(node, here, north, AIR_V) - face(node, here, south, AIR_V)) / (float)g->dy_m
           + (face(node, here, up, AIR_W) - below) / height_m;
}

/* One plane: out = left * in * right, with symmetric sine matrices. */
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

static void sine_matrix(int n, float *matrix)
{
    const double pi = acos(-1.0), scale = sqrt(2.0 / (n + 1.0));
    for (int m = 0; m < n; m++)
        for (int i = 0; i < n; i++)
            matrix[m * n + i] = (float)(scale * sin(pi * (m + 1.0) * (i + 1.0) / (n + 1.0)));
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
            const float wave =
                (float)((double)ALONG_SHEET * (2.0 - 2.0 * cos(pi * (m + 1.0) / (g->nx + 1.0))) / (g->dx_m * g->dx_m)
                        + (2.0 - 2.0 * cos(pi * (l + 1.0) / (g->ny + 1.0))) / (g->dy_m * g->dy_m));
            /* ground node, half a cell: 2 (phi1 - phi0) / dz^2 - wave phi0 = rhs */
            factor[0] = 2.0f * z2 / -(2.0f * z2 + wave);
            phi[c] /= -(2.0f * z2 + wave);
            for (int k = 1; k < g->nz; k++) {
                const float pivot = -(2.0f * z2 + wave) - z2 * factor[k - 1];
                factor[k] = z2 / pivot;
                phi[(size_t)k * plane + c] =
                    (phi[(size_t)k * plane + c] - z2 * phi[(size_t)(k - 1) * plane + c]) / pivot;
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
                const int64_t n = at(g, k, i, j);
                const float east = i + 1 < g->nx ? phi[at(g, k, i + 1, j)] : 0.0f,
                            west = i > 0 ? phi[at(g, k, i - 1, j)] : 0.0f;
                const float north = j + 1 < g->ny ? phi[n + 1] : 0.0f, south = j > 0 ? phi[n - 1] : 0.0f;
                node[AIR_VALUES * n + AIR_U] -= ALONG_SHEET * (east - west) / (2.0f * (float)g->dx_m);
                node[AIR_VALUES * n + AIR_V] -= (north - south) / (2.0f * (float)g->dy_m);
                if (k > 0) {
                    const float up = k + 1 < g->nz ? phi[at(g, k + 1, i, j)] : 0.0f;
                    node[AIR_VALUES * n + AIR_W] -=
                        ALONG_SHEET * (up - phi[at(g, k - 1, i, j)]) / (2.0f * (float)g->dz_m);
                }
            }
}

drupelet_status air_project(const air_grid *g, float *node)
{
    const size_t plane = (size_t)g->nx * (size_t)g->ny, all = plane * (size_t)g->nz;
    float *phi = malloc(all * sizeof *phi), *work = malloc(2 * plane * sizeof *work);
    float *sx = malloc((size_t)g->nx * (size_t)g->nx * sizeof *sx),
          *sy = malloc((size_t)g->ny * (size_t)g->ny * sizeof *sy);
    float *factor = malloc((size_t)g->nz * sizeof *factor);
    drupelet_status status = base_ok();
    if (!phi || !work || !sx || !sy || !factor) {
        status = base_error(DRUPELET_MEMORY, "no memory for the air around the sprayer");
    } else {
        sine_matrix(g->nx, sx);
        sine_matrix(g->ny, sy);
        for (int k = 0; k < g->nz; k++)
            for (int i = 0; i < g->nx; i++)
                for (int j = 0; j < g->ny; j++)
                    phi[at(g, k, i, j)] = divergence(g, node, k, i, j);
        for (int pass = 0; pass < 2; pass++) { /* the sine matrices are their own inverses */
            for (int k = 0; k < g->nz; k++) {
                transform(g->nx, g->ny, sx, sy, phi + (size_t)k * plane, work, work + plane);
                memcpy(phi + (size_t)k * plane, work + plane, plane * sizeof *phi);
            }
            if (pass == 0)
                solve_columns(g, phi, factor);
        }
        correct(g, node, phi);
    }
    free(factor);
    free(sy);
    free(sx);
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
