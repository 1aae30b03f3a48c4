/* sim/page/canopy.c - crowns, deposit by voxel and air for a page, as bytes: 0 to 255 of the largest.
 *
 * The deposit is that on the leaves of a voxel over their area, over the mean of all leaves. Voxels are pooled along
 * the row, then all ways, until at most MOST_CELLS hold leaves: a page should stay light, and single voxels get few
 * droplets. 0: no leaves; 1 to 255: by the square root of the deposit from none to that of the richest cell, so that
 * few rich cells leave enough steps to the others. "top" is the 99th of 100 cells: where the colours should end. Where
 * no tree has a leaf ("bare"), the crowns from the side and from above are their wood. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/order.h"
#include "base/status.h"
#include "page/parts.h"

enum { MOST_CELLS = 9000 };

typedef struct { double deposit, leaf; } cell;

static int64_t voxel_of(const drupelet_result *r, int row, int z, int y, int x)
{
    return (((int64_t)row * r->nz + z) * r->ny + y) * r->nx + x;
}

static uint8_t byte_of(double value, double most)
{
    return (uint8_t)(most > 0.0 ? lround(255.0 * fmin(fmax(value / most, 0.0), 1.0)) : 0);
}

static bool is_bare(const drupelet_result *r)
{
    const int64_t n = (int64_t)r->n_rows * r->nz * r->ny * r->nx;
    for (int64_t v = 0; v < n; v++)
        if (r->leaf_area_density_1_m[v] > 0.0f)
            return false;
    return true;
}

/* Area density of leaves, or of wood, summed along one axis: mean along y (from the side), or area over ground. */
static bool write_view(base_json *j, const char *key, const drupelet_result *r, bool above)
{
    const float *density_1_m = is_bare(r) ? r->wood_area_density_1_m : r->leaf_area_density_1_m;
    const int n_up = above ? r->ny : r->nz;
    const size_t n = (size_t)r->n_rows * (size_t)n_up * (size_t)r->nx;
    double *sum = calloc(n, sizeof *sum), most = 0.0;
    uint8_t *byte = malloc(n);
    if (sum && byte) {
        for (int row = 0; row < r->n_rows; row++)
            for (int z = 0; z < r->nz; z++)
                for (int y = 0; y < r->ny; y++)
                    for (int x = 0; x < r->nx; x++)
                        sum[((size_t)row * (size_t)n_up + (size_t)(above ? y : z)) * (size_t)r->nx + (size_t)x] +=
                            (double)density_1_m[voxel_of(r, row, z, y, x)];
        for (size_t i = 0; i < n; i++)
            most = fmax(most, sum[i]);
        for (size_t i = 0; i < n; i++)
            byte[i] = byte_of(sum[i], most);
        base_json_open(j, key, '{');
        base_json_number(j, "most", above ? most * r->voxel_m : most / r->ny, 4);
        base_json_bytes(j, "bytes", n, byte);
        base_json_close(j, '}');
    }
    const bool good = sum && byte;
    free(byte);
    free(sum);
    return good;
}

static int pooled(int n, int by)
{
    return (n + by - 1) / by;
}

/* Pools the voxels; returns the number of cells that hold leaves. */
static int pool(const drupelet_result *r, int along, int across, cell *cells)
{
    const int nz = pooled(r->nz, across), ny = pooled(r->ny, along), nx = pooled(r->nx, across);
    const int64_t n = (int64_t)r->n_rows * nz * ny * nx;
    memset(cells, 0, (size_t)n * sizeof *cells);
    for (int row = 0; row < r->n_rows; row++)
        for (int z = 0; z < r->nz; z++)
            for (int y = 0; y < r->ny; y++)
                for (int x = 0; x < r->nx; x++) {
                    const int64_t v = voxel_of(r, row, z, y, x);
                    cell *c = &cells[(((int64_t)row * nz + z / across) * ny + y / along) * nx + x / across];
                    c->deposit += r->leaf_deposit[v];
                    c->leaf += (double)r->leaf_area_density_1_m[v];
                }
    int leafy = 0;
    for (int64_t i = 0; i < n; i++)
        leafy += cells[i].leaf > 0.0;
    return leafy;
}

/* The cells that hold leaves, over the mean; sorted is room for as many. */
static void write_cells(base_json *j, const drupelet_result *r, int along, int across, const cell *cells, int leafy,
                        double *sorted, uint8_t *byte)
{
    const int n[4] = {r->n_rows, pooled(r->nz, across), pooled(r->ny, along), pooled(r->nx, across)};
    const size_t all = (size_t)n[0] * (size_t)n[1] * (size_t)n[2] * (size_t)n[3];
    const double shape[] = {n[0], n[1], n[2], n[3]};
    double deposit = 0.0, leaf = 0.0;
    int k = 0;
    for (size_t i = 0; i < all; i++) {
        deposit += cells[i].deposit;
        leaf += cells[i].leaf;
    }
    const double mean = deposit > 0.0 ? deposit / leaf : 1.0;
    for (size_t i = 0; i < all; i++)
        if (cells[i].leaf > 0.0)
            sorted[k++] = cells[i].deposit / cells[i].leaf / mean;
    base_sort(sorted, (size_t)leafy);
    const double top = leafy > 0 ? fmax(base_ranked(sorted, (size_t)leafy, 0.99), 1e-6) : 1.0;
    const double most = leafy > 0 ? fmax(sorted[leafy - 1], top) : 1.0;
    for (size_t i = 0; i < all; i++) {
        const double of_mean = cells[i].leaf > 0.0 ? cells[i].deposit / cells[i].leaf / mean : 0.0;
        byte[i] = (uint8_t)(cells[i].leaf > 0.0 ? 1 + lround(254.0 * sqrt(fmin(of_mean / most, 1.0))) : 0);
    }
    base_json_open(j, "voxels", '{');
    base_json_numbers(j, "shape", 4, shape, 1, 6);
    base_json_number(j, "edge_m", across * r->voxel_m, 6);
    base_json_number(j, "edge_along_m", along * r->voxel_y_m, 6);
    base_json_number(j, "top", top, 4);
    base_json_number(j, "most", most, 6);
    base_json_bytes(j, "bytes", all, byte);
    base_json_close(j, '}');
}

static bool write_voxels(base_json *j, const drupelet_result *r)
{
    static const struct { int along, across; } STEP[] = {{1, 1}, {2, 1}, {3, 1}, {4, 1}, {6, 2}, {8, 2}, {12, 3},
                                                         {16, 4}, {24, 6}, {48, 12}};
    enum { STEPS = sizeof STEP / sizeof STEP[0] };
    const size_t n = (size_t)r->n_rows * (size_t)r->nz * (size_t)r->ny * (size_t)r->nx;
    cell *cells = malloc(n * sizeof *cells);
    double *sorted = malloc(n * sizeof *sorted);
    uint8_t *byte = malloc(n);
    const bool good = cells && sorted && byte;
    int step = 0, leafy = 0;
    for (; good && step < STEPS; step++)
        if ((leafy = pool(r, STEP[step].along, STEP[step].across, cells)) <= MOST_CELLS)
            break;
    if (good && step < STEPS)
        write_cells(j, r, STEP[step].along, STEP[step].across, cells, leafy, sorted, byte);
    free(byte);
    free(sorted);
    free(cells);
    return good;
}

static bool write_air(base_json *j, const drupelet_result *r)
{
    const size_t n = (size_t)r->air_nx * (size_t)r->air_nz;
    if (n == 0)
        return true;
    uint8_t *byte = malloc(n);
    double most = 0.0;
    if (!byte)
        return false;
    for (size_t i = 0; i < n; i++)
        most = fmax(most, (double)r->air_speed_m_s[i]);
    for (size_t i = 0; i < n; i++)
        byte[i] = byte_of((double)r->air_speed_m_s[i], most);
    base_json_open(j, "air", '{');
    base_json_number(j, "nx", r->air_nx, 9);
    base_json_number(j, "nz", r->air_nz, 9);
    base_json_number(j, "x_m", r->air_x_m[0], 6);
    base_json_number(j, "dx_m", r->air_nx > 1 ? r->air_x_m[1] - r->air_x_m[0] : 1.0, 6);
    base_json_number(j, "z_m", r->air_z_m[0], 6);
    base_json_number(j, "dz_m", r->air_nz > 1 ? r->air_z_m[1] - r->air_z_m[0] : 1.0, 6);
    base_json_number(j, "most_m_s", most, 4);
    base_json_bytes(j, "bytes", n, byte);
    base_json_close(j, '}');
    free(byte);
    return true;
}

drupelet_status page_canopy(base_json *j, const drupelet_result *r, bool whole)
{
    base_json_open(j, "canopy", '{');
    base_json_number(j, "nx", r->nx, 9);
    base_json_number(j, "ny", r->ny, 9);
    base_json_number(j, "nz", r->nz, 9);
    base_json_number(j, "edge_m", r->voxel_m, 6);
    base_json_number(j, "edge_along_m", r->voxel_y_m, 6);
    base_json_truth(j, "bare", is_bare(r));
    const bool good = (!whole || (write_view(j, "side", r, false) && write_view(j, "above", r, true)))
                      && write_voxels(j, r);
    base_json_close(j, '}');
    return good && (!whole || write_air(j, r)) ? base_ok()
                                               : base_error(DRUPELET_MEMORY, "no memory for the canopy of the page");
}
