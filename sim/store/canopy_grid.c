/* sim/store/canopy_grid.c - the regular grid behind the middles of voxels, as a file lists them.
 *
 * The edge across and up is the usual distance between neighbours; the row line and the ground lie on faces of
 * voxels. Along the row the first and the last middle are half a voxel from the ends of what repeats. Places may be
 * rounded by up to a twentieth of an edge; the edge follows from the farthest places, to nine digits. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/order.h"
#include "base/status.h"
#include "store/apart.h"
#include "store/canopy_file.h"

#define SAME_M 1e-4      /* places that are closer are one */
#define SLACK 0.05       /* of an edge */
#define ALIKE 1.1        /* gaps that differ by less are one gap, rounded */
#define EDGE_LEAST_M 0.02 /* choices: what droplets' steps and memory are made for */
#define EDGE_MOST_M 1.0

/* Places along an axis, and the gaps between neighbours that differ. */
typedef struct {
    double first_m, last_m;
    int64_t n_gaps;
    double *gap_m; /* memory of the caller's */
} span;

/* @param room [n] */
static drupelet_status span_of(int64_t n, const double *place, double *room, span *s)
{
    double *sorted = malloc((size_t)n * sizeof *sorted);
    if (!sorted)
        return base_error(DRUPELET_MEMORY, "no memory for the canopy");
    memcpy(sorted, place, (size_t)n * sizeof *sorted);
    base_sort(sorted, (size_t)n);
    *s = (span){sorted[0], sorted[n - 1], 0, room};
    for (int64_t i = 1; i < n; i++)
        if (sorted[i] - sorted[i - 1] > SAME_M)
            room[s->n_gaps++] = sorted[i] - sorted[i - 1];
    free(sorted);
    return base_ok();
}

/* The gap that most neighbours have, so that one misplaced voxel does not spoil the grid: mean of those that are alike;
 * of gaps equally many the least. 0 without gaps. Sorts them. */
static double usual_gap_m(int64_t n, double *gap_m)
{
    int64_t most = 0;
    double usual_m = 0.0;
    base_sort(gap_m, (size_t)n);
    for (int64_t i = 0; i < n;) {
        double sum_m = 0.0;
        int64_t k = i;
        while (k < n && gap_m[k] <= ALIKE * gap_m[i])
            sum_m += gap_m[k++];
        if (k - i > most) {
            most = k - i;
            usual_m = sum_m / (double)most;
        }
        i = k;
    }
    return usual_m;
}

/* Decimal edges come back as they were written. */
static double nine_digits(double value)
{
    char text[32];
    snprintf(text, sizeof text, "%.9g", value);
    return strtod(text, NULL);
}

/* @param gap_m usual gaps: across and up together, and along */
static const char *grid_of(const span s[STORE_CANOPY_AXES], const double gap_m[2], store_canopy_grid *grid)
{
    const span *across = &s[0], *along = &s[1], *up = &s[2];
    if (gap_m[0] == 0.0)
        return "voxels that differ in x or z, so that their edge is known";
    const double span_m = fmax(across->last_m - across->first_m, up->last_m - up->first_m);
    const double n_gaps = round(span_m / gap_m[0]);
    const bool whole = n_gaps >= 1.0 && fabs(span_m / gap_m[0] - n_gaps) < 0.25; /* the longer the span, the finer */
    grid->edge_m = nine_digits(whole ? span_m / n_gaps : gap_m[0]);
    if (grid->edge_m < EDGE_LEAST_M || grid->edge_m > EDGE_MOST_M)
        return "voxels with an edge of 0.02 m to 1 m (x and z may be rounded, but all in the same way)";
    grid->length_m = nine_digits(along->first_m + along->last_m);
    if (along->first_m <= 0.0)
        return "y above 0: the middle of the first voxel is half an edge from where the pattern begins";
    const double half = fmax(fabs(across->first_m), fabs(across->last_m)) / grid->edge_m;
    grid->n[0] = (int)fmax(2.0, 2.0 * floor(half + 0.5 + SLACK));
    grid->n[1] = gap_m[1] > 0.0 ? (int)fmax(1.0, round(grid->length_m / gap_m[1])) : 1;
    grid->n[2] = (int)fmax(1.0, floor(fmax(up->last_m, 0.0) / grid->edge_m + 0.5 + SLACK));
    const double edge_y_m = grid->length_m / grid->n[1];
    if (gap_m[1] > 0.0 && (edge_y_m < EDGE_LEAST_M || edge_y_m > EDGE_MOST_M))
        return "voxels 0.02 m to 1 m long along the row";
    return NULL;
}

drupelet_status store_canopy_grid_find(const int64_t n[STORE_CANOPY_AXES], const double *const place[STORE_CANOPY_AXES],
                                       store_canopy_grid *grid, const char **fault)
{
    span s[STORE_CANOPY_AXES];
    *fault = NULL;
    double *room = malloc((size_t)(n[0] + n[1] + n[2]) * sizeof *room);
    drupelet_status status = room ? span_of(n[0], place[0], room, &s[0])
                                  : base_error(DRUPELET_MEMORY, "no memory for the canopy");
    if (status.code == DRUPELET_OK) /* gaps across and up stand together */
        status = span_of(n[2], place[2], room + s[0].n_gaps, &s[2]);
    if (status.code == DRUPELET_OK)
        status = span_of(n[1], place[1], room + s[0].n_gaps + s[2].n_gaps, &s[1]);
    if (status.code == DRUPELET_OK) {
        const double gap_m[2] = {usual_gap_m(s[0].n_gaps + s[2].n_gaps, room), usual_gap_m(s[1].n_gaps, s[1].gap_m)};
        *fault = grid_of(s, gap_m, grid);
    }
    free(room);
    return status;
}

static double edge_of(const store_canopy_grid *grid, int axis)
{
    return axis == 1 ? grid->length_m / grid->n[1] : grid->edge_m;
}

int store_canopy_index(const store_canopy_grid *grid, int axis, double place_m)
{
    const double first = axis == 0 ? 0.5 * grid->n[0] : 0.0;
    const double index = place_m / edge_of(grid, axis) + first - 0.5;
    const double whole = round(index);
    return fabs(index - whole) <= SLACK && whole >= 0.0 && whole < grid->n[axis] ? (int)whole : -1;
}

void store_canopy_expected(const store_canopy_grid *grid, int axis, char text[160])
{
    static const char *const from[STORE_CANOPY_AXES] = {"the row line", "the start of the pattern", "the ground"};
    snprintf(text, 160, "the middle of a voxel: half an edge and whole edges of %.6g m from %s", edge_of(grid, axis),
             from[axis]);
}

drupelet_status store_canopy_create(const store_canopy_grid *grid, int n_rows, bool wood, double most,
                                    scenario_measured_canopy **canopy)
{
    *canopy = NULL;
    const double n = (double)n_rows * grid->n[0] * grid->n[1] * grid->n[2];
    if (n > most)
        return base_error(DRUPELET_SCENARIO, "found a grid of %.0f million voxels, expected at most %.0f million",
                          1e-6 * n, 1e-6 * most);
    scenario_measured_canopy *m = calloc(1, sizeof *m);
    if (m) {
        *m = (scenario_measured_canopy){.n_rows = n_rows, .nx = grid->n[0], .ny = grid->n[1], .nz = grid->n[2],
                                        .edge_m = grid->edge_m, .length_m = grid->length_m};
        m->leaf_area_density_1_m = calloc((size_t)n, sizeof *m->leaf_area_density_1_m);
        m->wood_area_density_1_m = wood ? calloc((size_t)n, sizeof *m->wood_area_density_1_m) : NULL;
        if (m->leaf_area_density_1_m && (m->wood_area_density_1_m || !wood)) {
            *canopy = m;
            return base_ok();
        }
    }
    scenario_measured_free(m);
    return base_error(DRUPELET_MEMORY, "no memory for %.0f voxels of trees", n);
}

static drupelet_status look(const char *path)
{
    scenario_measured_canopy *canopy;
    return store_canopy_read_hdf5(path, &canopy);
}

drupelet_status store_canopy_read(const char *path, scenario_measured_canopy **canopy)
{
    char first[4] = "";
    *canopy = NULL;
    FILE *file = fopen(path, "rb");
    const size_t n = file ? fread(first, 1, sizeof first, file) : 0;
    if (file)
        fclose(file);
    if (n == sizeof first && memcmp(first, "CDF", 3) == 0)
        return base_error(DRUPELET_SCENARIO, "%s: is a netCDF file of the classic format, expected netCDF-4 (HDF5) or "
                                             "comma-separated values", path);
    const bool hdf5 = n == sizeof first && memcmp(first, "\x89HDF", 4) == 0;
    drupelet_status status = hdf5 ? store_try(path, look) : store_canopy_read_csv(path, canopy);
    if (hdf5 && status.code == DRUPELET_OK) status = store_canopy_read_hdf5(path, canopy);
    if (status.code == DRUPELET_OK)
        snprintf((*canopy)->file, sizeof (*canopy)->file, "%s", path);
    return status;
}
