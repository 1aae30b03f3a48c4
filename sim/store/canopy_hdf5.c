/* sim/store/canopy_hdf5.c - reads a canopy from HDF5 or netCDF-4: axes x, y, z (and row), and densities over them. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "scenario/scenario.h"
#include "store/canopy_file.h"
#include "store/in.h"

enum { ROW, Z, Y, X, MOST_RANK }; /* order of dimensions; without rows it begins with Z */

static const char *const AXIS[STORE_CANOPY_AXES] = {"x", "y", "z"};

/* A unit that is written must be ours; a file without units is taken at its word. */
static void check_unit(store_in *in, const char *name, const char *spellings)
{
    char expected[STORE_IN_NAME];
    char *unit = store_in_has_note(in, name, "units") ? store_in_note(in, name, "units") : NULL;
    bool known = false;
    for (const char *at = spellings; unit && *at;) {
        const size_t n = strcspn(at, ",");
        known = known || (strlen(unit) == n && strncmp(unit, at, n) == 0);
        at += n + (at[n] == ',');
    }
    snprintf(expected, sizeof expected, "%.*s", (int)strcspn(spellings, ","), spellings);
    if (unit && !known)
        store_in_refuse(in, name, expected, "%.60s", unit[0] ? unit : "empty units");
    free(unit);
}

static double *read_axis(store_in *in, int axis, int64_t *n)
{
    hsize_t shape[STORE_IN_RANK];
    int rank;
    char expected[STORE_IN_NAME];
    const char *name = AXIS[axis];
    const double least_m = axis == 0 ? -STORE_CANOPY_PLACE_MOST_M : 0.0;
    *n = (int64_t)store_in_shape(in, name, &rank, shape);
    if (store_in_fine(in) && rank != 1)
        store_in_refuse(in, name, "one", "another number of dimensions");
    store_in_size(in, name, (hsize_t)*n, SCENARIO_VOXELS_MOST);
    check_unit(in, name, "m,metre,meter,metres,meters");
    double *place_m = store_in_take(in, name, STORE_DOUBLE, 1, shape);
    snprintf(expected, sizeof expected, "places from %g m to %g m", least_m, STORE_CANOPY_PLACE_MOST_M);
    for (int64_t i = 0; i < *n && place_m && store_in_fine(in); i++)
        if (!(place_m[i] >= least_m && place_m[i] <= STORE_CANOPY_PLACE_MOST_M))
            store_in_refuse(in, name, expected, "%g at number %lld", place_m[i], (long long)i);
    return place_m;
}

/* Where a dimension has a scale, the scale must be the axis that is meant. */
static void check_scales(store_in *in, const char *name, int rank)
{
    static const char *const order[MOST_RANK] = {"row", "z", "y", "x"};
    for (int i = 0; i < rank && store_in_fine(in); i++)
        if (!store_in_lies_along(in, name, rank, i, order[MOST_RANK - rank + i]))
            store_in_refuse(in, name, rank == MOST_RANK ? "the order row, z, y, x" : "the order z, y, x",
                            "another dimension in place %d", i + 1);
}

/* Checks that densities fit the axes. @param n_rows 0: not known yet; out: how many the file has */
static void check_density(store_in *in, const char *name, const int64_t n[STORE_CANOPY_AXES], int *n_rows)
{
    hsize_t shape[STORE_IN_RANK];
    int rank = 0;
    if (store_in_shape(in, name, &rank, shape) == 0)
        return;
    if (rank < MOST_RANK - 1) {
        store_in_refuse(in, name, "z, y, x, or row, z, y, x", "another number of dimensions");
        return;
    }
    const hsize_t *of = shape + rank - STORE_CANOPY_AXES, rows = rank == MOST_RANK ? shape[0] : 1;
    if (of[0] != (hsize_t)n[2] || of[1] != (hsize_t)n[1] || of[2] != (hsize_t)n[0]) {
        char expected[STORE_IN_NAME];
        snprintf(expected, sizeof expected, "%lld x %lld x %lld, as z, y and x have", (long long)n[2], (long long)n[1],
                 (long long)n[0]);
        store_in_refuse(in, name, expected, "%llu x %llu x %llu numbers", (unsigned long long)of[0],
                        (unsigned long long)of[1], (unsigned long long)of[2]);
    } else if (rows > SCENARIO_ROWS || (*n_rows > 0 && rows != (hsize_t)*n_rows)) {
        store_in_refuse(in, name, *n_rows > 0 ? "as many as LAD has" : "at most 64", "another number of rows");
    }
    check_unit(in, name, "m2/m3,m2 m-3,m^2/m^3,m^2 m^-3,m2.m-3,1/m,m-1,m^-1");
    check_scales(in, name, rank);
    *n_rows = store_in_fine(in) ? (int)rows : 0;
}

/* The densities of a dataset on their places in the grid. @param index [axis] voxel of each place of the file */
static void place_densities(store_in *in, const char *name, const int64_t n[STORE_CANOPY_AXES],
                            int *const index[STORE_CANOPY_AXES], const scenario_measured_canopy *m, const float *read,
                            float *density)
{
    const int64_t per_row = n[0] * n[1] * n[2];
    for (int64_t i = 0; i < m->n_rows * per_row; i++) {
        const int64_t ix = i % n[0], iy = i / n[0] % n[1], iz = i / (n[0] * n[1]) % n[2], row = i / per_row;
        if (!(read[i] >= 0.0f && (double)read[i] <= STORE_CANOPY_DENSITY_MOST)) {
            char found[160];
            snprintf(found, sizeof found, "%g at row %lld, z %lld, y %lld, x %lld (counted from 0)", (double)read[i],
                     (long long)row, (long long)iz, (long long)iy, (long long)ix);
            store_in_refuse(in, name, "a density from 0 to 100 m2/m3", "%s", found);
            return;
        }
        density[((row * m->nz + index[2][iz]) * m->ny + index[1][iy]) * m->nx + index[0][ix]] = read[i];
    }
}

static void read_density(store_in *in, const char *name, const int64_t n[STORE_CANOPY_AXES],
                         int *const index[STORE_CANOPY_AXES], const scenario_measured_canopy *m, float *density)
{
    hsize_t shape[STORE_IN_RANK];
    int rank;
    float *read =
        store_in_shape(in, name, &rank, shape) > 0 ? store_in_take(in, name, STORE_FLOAT, rank, shape) : NULL;
    if (read)
        place_densities(in, name, n, index, m, read, density);
    free(read);
}

/* Which voxel each place of an axis is; NULL after a failure. */
static int *index_axis(store_in *in, const store_canopy_grid *grid, int axis, int64_t n, const double *place_m)
{
    char found[64], expected[160];
    int *index = store_in_memory(in, (size_t)n, sizeof *index);
    bool *taken = store_in_memory(in, (size_t)grid->n[axis], sizeof *taken);
    for (int64_t i = 0; i < n && store_in_fine(in); i++) {
        index[i] = store_canopy_index(grid, axis, place_m[i]);
        snprintf(found, sizeof found, "%.6g at number %lld", place_m[i], (long long)i);
        store_canopy_expected(grid, axis, expected);
        if (index[i] < 0)
            store_in_refuse(in, AXIS[axis], expected, "%s", found);
        else if (taken[index[i]])
            store_in_refuse(in, AXIS[axis], "each place once", "%s", found);
        else
            taken[index[i]] = true;
    }
    free(taken);
    return index;
}

static void read_all(store_in *in, scenario_measured_canopy **canopy)
{
    int64_t n[STORE_CANOPY_AXES];
    double *place[STORE_CANOPY_AXES];
    int *index[STORE_CANOPY_AXES] = {NULL};
    int n_rows = 0;
    store_canopy_grid grid = {0};
    const char *fault = NULL;
    for (int axis = 0; axis < STORE_CANOPY_AXES; axis++)
        place[axis] = read_axis(in, axis, &n[axis]);
    check_density(in, "LAD", n, &n_rows);
    const bool has_wood = store_in_has(in, "WAD");
    if (has_wood)
        check_density(in, "WAD", n, &n_rows);
    if (store_in_fine(in)) {
        const double *const of[STORE_CANOPY_AXES] = {place[0], place[1], place[2]};
        in->status = store_canopy_grid_find(n, of, &grid, &fault);
    }
    if (fault)
        store_in_refuse(in, "x", fault, "no regular grid");
    if (store_in_fine(in)) {
        in->status = store_canopy_create(&grid, n_rows, has_wood, SCENARIO_VOXELS_MOST, canopy);
        if (in->status.code == DRUPELET_SCENARIO)
            in->status = base_error(DRUPELET_SCENARIO, "%s: /LAD: %s", in->path, in->status.message);
    }
    for (int axis = 0; axis < STORE_CANOPY_AXES && store_in_fine(in); axis++)
        index[axis] = index_axis(in, &grid, axis, n[axis], place[axis]);
    if (store_in_fine(in))
        read_density(in, "LAD", n, index, *canopy, (*canopy)->leaf_area_density_1_m);
    if (store_in_fine(in) && has_wood)
        read_density(in, "WAD", n, index, *canopy, (*canopy)->wood_area_density_1_m);
    for (int axis = 0; axis < STORE_CANOPY_AXES; axis++) {
        free(index[axis]);
        free(place[axis]);
    }
}

static drupelet_status read_file(const char *path, scenario_measured_canopy **canopy)
{
    store_in in;
    *canopy = NULL;
    store_in_open(path, STORE_IN_CANOPY, &in);
    if (store_in_fine(&in))
        read_all(&in, canopy);
    store_in_close(&in);
    if (!store_in_fine(&in)) {
        scenario_measured_free(*canopy);
        *canopy = NULL;
    }
    return in.status;
}

drupelet_status store_canopy_read_hdf5(const char *path, scenario_measured_canopy **canopy)
{
    drupelet_status status;
#pragma omp critical(store_hdf5)
    status = read_file(path, canopy);
    return status;
}
