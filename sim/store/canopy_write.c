/* sim/store/canopy_write.c - writes a canopy voxel by voxel, in the form that canopy.measured reads back. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "drupelet/run.h"
#include "store/out.h"
#include "store/store.h"

static bool ends_with(const char *path, const char *ending)
{
    const size_t n = strlen(path), n_ending = strlen(ending);
    return n > n_ending && strcmp(path + n - n_ending, ending) == 0;
}

store_canopy_form store_canopy_form_of(const char *path)
{
    return ends_with(path, ".csv")                            ? STORE_CANOPY_CSV
           : ends_with(path, ".h5") || ends_with(path, ".nc") ? STORE_CANOPY_HDF5
                                                              : STORE_CANOPY_UNKNOWN;
}

static size_t row_size(const orchard_canopy *c)
{
    return (size_t)c->nz * (size_t)c->ny * (size_t)c->nx;
}

/* Are all rows alike? Then one stands for all. */
static bool one_for_all(const orchard_canopy *c)
{
    const size_t n = row_size(c);
    for (int r = 1; r < c->n_rows; r++)
        if (memcmp(c->leaf_area_density_1_m, c->leaf_area_density_1_m + (size_t)r * n, n * sizeof(float)) != 0
            || memcmp(c->wood_area_density_1_m, c->wood_area_density_1_m + (size_t)r * n, n * sizeof(float)) != 0)
            return false;
    return true;
}

static double across_m(const orchard_canopy *c, int ix)
{
    return (ix - c->nx / 2 + 0.5) * c->edge_m;
}

static void describe(const drupelet_scenario *s, char *text, size_t room)
{
    if (s->canopy.measured)
        snprintf(text, room, "measured canopy of the scenario '%s'", s->name);
    else
        snprintf(text, room, "grown by drupelet %s from the scenario '%s', seed %llu: not measured", drupelet_version(),
                 s->name, (unsigned long long)s->run.seed);
}

/* ---- comma-separated values ---- */

static void print_csv(FILE *to, const drupelet_scenario *s, const orchard_canopy *c)
{
    char source[SCENARIO_TEXT + 96];
    const int n_rows = one_for_all(c) ? 1 : c->n_rows;
    describe(s, source, sizeof source);
    fprintf(to, "# Canopy, one voxel a line: %s.\n", source);
    fputs("# x, y, z: middle of the voxel across from the row line, along the row and up from the ground, m.\n"
          "# LAD: one-sided leaf area per volume, m2/m3. WAD: half the wood's surface per volume, m2/m3.\n",
          to);
    fputs(n_rows > 1 ? "# row: from 1, the one at x = 0 of the orchard.\n" : "# All rows are alike.\n", to);
    fprintf(to, "# %s\n%sx,y,z,LAD,WAD\n", drupelet_caution(), n_rows > 1 ? "row," : "");
    const int64_t n = (int64_t)n_rows * (int64_t)row_size(c);
    for (int64_t v = 0; v < n; v++) {
        const int ix = (int)(v % c->nx), iy = (int)(v / c->nx % c->ny);
        const int iz = (int)(v / ((int64_t)c->nx * c->ny) % c->nz);
        if (n_rows > 1)
            fprintf(to, "%d,", (int)(v / (int64_t)row_size(c)) + 1);
        fprintf(to, "%.9g,%.9g,%.9g,%.9g,%.9g\n", across_m(c, ix), (iy + 0.5) * c->edge_y_m, (iz + 0.5) * c->edge_m,
                (double)c->leaf_area_density_1_m[v], (double)c->wood_area_density_1_m[v]);
    }
}

static drupelet_status write_csv(const drupelet_scenario *s, const orchard_canopy *c, const char *path, bool overwrite)
{
    store_draft draft;
    FILE *to;
    const drupelet_status status = store_text_begin(path, overwrite, &draft, &to);
    if (!to)
        return status;
    print_csv(to, s, c);
    return store_text_end(&draft, to, status);
}

/* ---- HDF5 ---- */

static void put_places(store_out *out, const char *name, int n, double first_m, double edge_m, const char *axis,
                       const char *long_name)
{
    double *place_m = store_out_memory(out, (size_t)n, sizeof *place_m);
    for (int i = 0; i < n && place_m; i++)
        place_m[i] = (first_m / edge_m + i + 0.5) * edge_m;
    if (place_m)
        store_out_axis(out, name, STORE_DOUBLE, (hsize_t)n, place_m, "m", axis, long_name);
    free(place_m);
}

static void put_canopy(store_out *out, const drupelet_scenario *s, const orchard_canopy *c)
{
    char source[SCENARIO_TEXT + 96];
    int32_t row[SCENARIO_ROWS];
    const bool alike = one_for_all(c);
    const char *dimensions = alike ? "z y x" : "row z y x";
    describe(s, source, sizeof source);
    store_out_note(out, NULL, "Conventions", "drupelet-canopy-1");
    store_out_note(out, NULL, "title", "Canopy, voxel by voxel");
    store_out_note(out, NULL, "source", source);
    store_out_note(out, NULL, "caution", drupelet_caution());
    store_out_note(out, NULL, "frame", alike ? "x across from the row line, y along the row, z up; all rows are alike"
                                             : "x across from the row's own line, y along the row, z up");
    for (int r = 0; r < c->n_rows; r++)
        row[r] = r + 1;
    if (!alike)
        store_out_axis(out, "row", STORE_INT32, (hsize_t)c->n_rows, row, "1", NULL,
                       "row, counted from the one at x = 0 of the orchard");
    put_places(out, "z", c->nz, 0.0, c->edge_m, "Z", "height of the voxel's middle above the ground");
    put_places(out, "y", c->ny, 0.0, c->edge_y_m, "Y",
               "the voxel's middle along the row; the pattern repeats after the last");
    put_places(out, "x", c->nx, -0.5 * c->nx * c->edge_m, c->edge_m, "X",
               "the voxel's middle across, from the row line");
    store_out_put(out, "LAD", dimensions, STORE_FLOAT, c->leaf_area_density_1_m, "m2/m3",
                  "one-sided leaf area per volume");
    store_out_put(out, "WAD", dimensions, STORE_FLOAT, c->wood_area_density_1_m, "m2/m3",
                  "half the wood's surface per volume");
}

static drupelet_status write_hdf5(const drupelet_scenario *s, const orchard_canopy *c, const char *path, bool overwrite)
{
    store_out out;
    const drupelet_status status = store_out_begin(path, overwrite, &out);
    if (status.code != DRUPELET_OK)
        return status;
    put_canopy(&out, s, c);
    return store_out_end(&out, true);
}

drupelet_status store_canopy_write(const drupelet_scenario *s, const orchard_canopy *c, const char *path,
                                   bool overwrite)
{
    return store_canopy_form_of(path) == STORE_CANOPY_HDF5 ? write_hdf5(s, c, path, overwrite)
                                                           : write_csv(s, c, path, overwrite);
}
