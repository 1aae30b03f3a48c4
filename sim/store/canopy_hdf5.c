/* sim/store/canopy_hdf5.c - reads a canopy from HDF5 or netCDF-4: axes x, y, z (and row), and densities over them. */
#include <hdf5.h>
#include <hdf5_hl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "scenario/scenario.h"
#include "store/canopy_file.h"
#include "store/quiet.h"

#define MOST_VOXELS 200e6
enum { ROW, Z, Y, X, MOST_RANK }; /* order of dimensions; without rows it begins with Z */

static const char *const AXIS[STORE_CANOPY_AXES] = {"x", "y", "z"};

typedef struct {
    hid_t file;
    const char *path;
    drupelet_status status;
} canopy_in;

static bool fine(const canopy_in *in)
{
    return in->status.code == DRUPELET_OK;
}

static void refuse(canopy_in *in, const char *name, const char *found, const char *expected)
{
    if (fine(in))
        in->status =
            base_error(DRUPELET_SCENARIO, "%s: /%s: found %s, expected %s", in->path, name, found, expected);
}

/* A unit that is written must be ours; a file without units is taken at its word. */
static void check_unit(canopy_in *in, hid_t set, const char *name, const char *spellings)
{
    char unit[64] = "", expected[128];
    if (H5Aexists(set, "units") <= 0)
        return;
    const hid_t attribute = H5Aopen(set, "units", H5P_DEFAULT), type = attribute >= 0 ? H5Aget_type(attribute) : -1;
    const hid_t space = attribute >= 0 ? H5Aget_space(attribute) : -1;
    bool read = false;
    if (type >= 0 && space >= 0 && H5Tget_class(type) == H5T_STRING && H5Sget_simple_extent_npoints(space) == 1) {
        if (H5Tis_variable_str(type) > 0) {
            char *text = NULL;
            const hid_t memory = H5Tcopy(type);
            read = H5Aread(attribute, memory, &text) >= 0;
            snprintf(unit, sizeof unit, "%s", text ? text : "");
            H5free_memory(text);
            H5Tclose(memory);
        } else if (H5Tget_size(type) < sizeof unit) {
            read = H5Aread(attribute, type, unit) >= 0;
            unit[H5Tget_size(type)] = '\0';
        }
    }
    bool known = false;
    for (const char *at = spellings; read && *at;) {
        const size_t n = strcspn(at, ",");
        known = known || (strlen(unit) == n && strncmp(unit, at, n) == 0);
        at += n + (at[n] == ',');
    }
    snprintf(expected, sizeof expected, "%.*s", (int)strcspn(spellings, ","), spellings);
    if (!known)
        refuse(in, name, read ? unit : "units that cannot be read", expected);
    if (space >= 0)
        H5Sclose(space);
    if (type >= 0)
        H5Tclose(type);
    if (attribute >= 0)
        H5Aclose(attribute);
}

/* Opens a dataset and tells its shape; -1 (and a status) if it is none of numbers, or of another rank. */
static hid_t open_set(canopy_in *in, const char *name, int least_rank, int most_rank, hsize_t shape[], int *rank)
{
    if (!fine(in))
        return -1;
    const hid_t set = H5Lexists(in->file, name, H5P_DEFAULT) > 0 ? H5Dopen2(in->file, name, H5P_DEFAULT) : -1;
    if (set < 0) {
        refuse(in, name, "no such dataset", "one");
        return -1;
    }
    const hid_t space = H5Dget_space(set), type = H5Dget_type(set);
    const H5T_class_t class = type >= 0 ? H5Tget_class(type) : H5T_NO_CLASS;
    *rank = space >= 0 ? H5Sget_simple_extent_ndims(space) : -1;
    if (class != H5T_FLOAT && class != H5T_INTEGER)
        refuse(in, name, "no numbers", "numbers");
    else if (*rank < least_rank || *rank > most_rank)
        refuse(in, name, "another number of dimensions", most_rank == 1 ? "one" : "z, y, x, or row, z, y, x");
    else
        H5Sget_simple_extent_dims(space, shape, NULL);
    for (int i = 0; i < *rank && fine(in); i++)
        if (shape[i] == 0)
            refuse(in, name, "an empty dimension", "voxels");
    H5Tclose(type);
    H5Sclose(space);
    if (fine(in))
        return set;
    H5Dclose(set);
    return -1;
}

static double *read_axis(canopy_in *in, int axis, int64_t *n)
{
    hsize_t shape[MOST_RANK];
    int rank;
    *n = 0;
    const hid_t set = open_set(in, AXIS[axis], 1, 1, shape, &rank);
    if (set < 0)
        return NULL;
    check_unit(in, set, AXIS[axis], "m,metre,meter,metres,meters");
    double *place_m = NULL;
    if (fine(in) && (double)shape[0] > MOST_VOXELS)
        refuse(in, AXIS[axis], "too many places", "at most 200 million voxels");
    if (fine(in)) {
        place_m = malloc((size_t)shape[0] * sizeof *place_m);
        if (!place_m)
            in->status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", in->path);
        else if (H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, place_m) < 0)
            refuse(in, AXIS[axis], "numbers that cannot be read", "a whole file");
    }
    H5Dclose(set);
    const double least_m = axis == 0 ? -STORE_CANOPY_PLACE_MOST_M : 0.0;
    for (hsize_t i = 0; i < shape[0] && fine(in); i++)
        if (!(place_m[i] >= least_m && place_m[i] <= STORE_CANOPY_PLACE_MOST_M)) {
            char found[64], expected[64];
            snprintf(found, sizeof found, "%g at number %llu", place_m[i], (unsigned long long)i);
            snprintf(expected, sizeof expected, "places from %g m to %g m", least_m, STORE_CANOPY_PLACE_MOST_M);
            refuse(in, AXIS[axis], found, expected);
        }
    *n = (int64_t)shape[0];
    return place_m;
}

/* Where a dimension has a scale, the scale must be the axis that is meant. */
static void check_scales(canopy_in *in, hid_t set, const char *name, int rank)
{
    static const char *const order[MOST_RANK] = {"row", "z", "y", "x"};
    for (int i = 0; i < rank && fine(in); i++) {
        char found[64] = "";
        const char *wanted = order[MOST_RANK - rank + i];
        if (H5DSget_num_scales(set, (unsigned)i) < 1)
            continue;
        const hid_t axis = H5Dopen2(in->file, wanted, H5P_DEFAULT);
        if (axis < 0 || H5DSis_attached(set, axis, (unsigned)i) <= 0) {
            snprintf(found, sizeof found, "another dimension in place %d", i + 1);
            refuse(in, name, found, rank == MOST_RANK ? "the order row, z, y, x" : "the order z, y, x");
        }
        if (axis >= 0)
            H5Dclose(axis);
    }
}

/* The densities of a dataset on their places in the grid. @param index [axis] voxel of each place of the file */
static void place_densities(canopy_in *in, const char *name, const int64_t n[STORE_CANOPY_AXES],
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
            refuse(in, name, found, "a density from 0 to 100 m2/m3");
            return;
        }
        density[((row * m->nz + index[2][iz]) * m->ny + index[1][iy]) * m->nx + index[0][ix]] = read[i];
    }
}

/* Opens densities and checks that they fit the axes. @param n_rows 0: not known yet */
static hid_t open_density(canopy_in *in, const char *name, const int64_t n[STORE_CANOPY_AXES], int *n_rows)
{
    hsize_t shape[MOST_RANK];
    int rank = 0;
    const hid_t set = open_set(in, name, MOST_RANK - 1, MOST_RANK, shape, &rank);
    if (set < 0)
        return -1;
    const hsize_t *of = shape + rank - STORE_CANOPY_AXES, rows = rank == MOST_RANK ? shape[0] : 1;
    if (of[0] != (hsize_t)n[2] || of[1] != (hsize_t)n[1] || of[2] != (hsize_t)n[0]) {
        char found[160], expected[160];
        snprintf(found, sizeof found, "%llu x %llu x %llu numbers", (unsigned long long)of[0],
                 (unsigned long long)of[1], (unsigned long long)of[2]);
        snprintf(expected, sizeof expected, "%lld x %lld x %lld, as z, y and x have", (long long)n[2], (long long)n[1],
                 (long long)n[0]);
        refuse(in, name, found, expected);
    } else if (rows > SCENARIO_ROWS || (*n_rows > 0 && rows != (hsize_t)*n_rows)) {
        refuse(in, name, "another number of rows", *n_rows > 0 ? "as many as LAD has" : "at most 64");
    }
    check_unit(in, set, name, "m2/m3,m2 m-3,m^2/m^3,m^2 m^-3,m2.m-3,1/m,m-1,m^-1");
    check_scales(in, set, name, rank);
    *n_rows = (int)rows;
    return set;
}

static void read_density(canopy_in *in, hid_t set, const char *name, const int64_t n[STORE_CANOPY_AXES],
                         int *const index[STORE_CANOPY_AXES], const scenario_measured_canopy *m, float *density)
{
    float *read = fine(in) ? malloc((size_t)(m->n_rows * n[0] * n[1] * n[2]) * sizeof *read) : NULL;
    if (!read && fine(in))
        in->status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", in->path);
    else if (read && H5Dread(set, H5T_NATIVE_FLOAT, H5S_ALL, H5S_ALL, H5P_DEFAULT, read) < 0)
        refuse(in, name, "numbers that cannot be read", "a whole file");
    if (fine(in))
        place_densities(in, name, n, index, m, read, density);
    free(read);
}

/* Which voxel each place of an axis is; NULL after a failure. */
static int *index_axis(canopy_in *in, const store_canopy_grid *grid, int axis, int64_t n, const double *place_m)
{
    char found[64], expected[160];
    int *index = malloc((size_t)n * sizeof *index);
    bool *taken = calloc((size_t)grid->n[axis], sizeof *taken);
    if (!index || !taken)
        in->status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", in->path);
    for (int64_t i = 0; i < n && fine(in); i++) {
        index[i] = store_canopy_index(grid, axis, place_m[i]);
        snprintf(found, sizeof found, "%.6g at number %lld", place_m[i], (long long)i);
        store_canopy_expected(grid, axis, expected);
        if (index[i] < 0)
            refuse(in, AXIS[axis], found, expected);
        else if (taken[index[i]])
            refuse(in, AXIS[axis], found, "each place once");
        else
            taken[index[i]] = true;
    }
    free(taken);
    return index;
}

static void read_all(canopy_in *in, scenario_measured_canopy **canopy)
{
    int64_t n[STORE_CANOPY_AXES];
    double *place[STORE_CANOPY_AXES];
    int *index[STORE_CANOPY_AXES] = {NULL};
    int n_rows = 0;
    for (int axis = 0; axis < STORE_CANOPY_AXES; axis++)
        place[axis] = read_axis(in, axis, &n[axis]);
    const hid_t leaf = fine(in) ? open_density(in, "LAD", n, &n_rows) : -1;
    const bool has_wood = fine(in) && H5Lexists(in->file, "WAD", H5P_DEFAULT) > 0;
    const hid_t wood = has_wood ? open_density(in, "WAD", n, &n_rows) : -1;
    store_canopy_grid grid = {0};
    const char *fault = NULL;
    if (fine(in)) {
        const double *const of[STORE_CANOPY_AXES] = {place[0], place[1], place[2]};
        in->status = store_canopy_grid_find(n, of, &grid, &fault);
    }
    if (fault)
        refuse(in, "x", "no regular grid", fault);
    if (fine(in)) {
        in->status = store_canopy_create(&grid, n_rows, has_wood, MOST_VOXELS, canopy);
        if (in->status.code == DRUPELET_SCENARIO)
            in->status = base_error(DRUPELET_SCENARIO, "%s: /LAD: %s", in->path, in->status.message);
    }
    for (int axis = 0; axis < STORE_CANOPY_AXES && fine(in); axis++)
        index[axis] = index_axis(in, &grid, axis, n[axis], place[axis]);
    if (fine(in))
        read_density(in, leaf, "LAD", n, index, *canopy, (*canopy)->leaf_area_density_1_m);
    if (fine(in) && has_wood)
        read_density(in, wood, "WAD", n, index, *canopy, (*canopy)->wood_area_density_1_m);
    if (wood >= 0)
        H5Dclose(wood);
    if (leaf >= 0)
        H5Dclose(leaf);
    for (int axis = 0; axis < STORE_CANOPY_AXES; axis++) {
        free(index[axis]);
        free(place[axis]);
    }
}

drupelet_status store_canopy_read_hdf5(const char *path, scenario_measured_canopy **canopy)
{
    *canopy = NULL;
    const store_quiet before = store_quiet_begin();
    canopy_in in = {.path = path, .status = base_ok()};
    in.file = H5Fopen(path, H5F_ACC_RDONLY, H5P_DEFAULT);
    if (in.file < 0) {
        in.status = base_error(DRUPELET_SCENARIO, "%s: is damaged: HDF5 cannot open it", path);
    } else {
        read_all(&in, canopy);
        H5Fclose(in.file);
    }
    store_quiet_end(before);
    if (!fine(&in)) {
        scenario_measured_free(*canopy);
        *canopy = NULL;
    }
    return in.status;
}
