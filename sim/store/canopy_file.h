/* sim/store/canopy_file.h - canopies given voxel by voxel: the grid behind a list of places, and the two kinds of file
 * that hold one (docs/canopy-format.md). */
#ifndef STORE_CANOPY_FILE_H
#define STORE_CANOPY_FILE_H

#include "drupelet/status.h"
#include "scenario/scenario.h"

enum { STORE_CANOPY_AXES = 3 }; /* x across, y along, z up: 0, 1, 2 */

#define STORE_CANOPY_DENSITY_MOST 100.0 /* m2/m3; choice: the densest hedges have some 20 (memory) */
#define STORE_CANOPY_PLACE_MOST_M 200.0 /* choice: 100 m of row is the most that a scenario takes */

/** Grid of cubes (longer or shorter along the row) whose middles are at the given places. */
typedef struct {
    double edge_m, length_m;   /* across and up; of all along the row */
    int n[STORE_CANOPY_AXES];  /* voxels; across as many on either side of the row line, up from the ground */
} store_canopy_grid;

/** Finds the grid of middles.
 *  @param n      how many places each axis has  @param place  places along each axis in any order, also repeated, m
 *  @param fault  out: why there is none, such as "x and z that differ somewhere"; NULL when all went well
 *  @return DRUPELET_OK (see fault) or DRUPELET_MEMORY */
drupelet_status store_canopy_grid_find(const int64_t n[STORE_CANOPY_AXES], const double *const place[STORE_CANOPY_AXES],
                                       store_canopy_grid *grid, const char **fault);
/** Which voxel of an axis has its middle there, or -1. */
int store_canopy_index(const store_canopy_grid *grid, int axis, double place_m);
/** What is expected of a place that is no middle. */
void store_canopy_expected(const store_canopy_grid *grid, int axis, char text[160]);

/** An empty canopy of that grid. @return DRUPELET_OK, DRUPELET_SCENARIO (too many voxels; message without a file) or
 * DRUPELET_MEMORY */
drupelet_status store_canopy_create(const store_canopy_grid *grid, int n_rows, bool wood, double most,
                                    scenario_measured_canopy **canopy);

/** Reads a canopy; which kind of file it is shows in its first bytes.
 *  @param canopy out: the caller ends it with scenario_measured_free(); NULL on failure
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (with the place of the fault) or DRUPELET_MEMORY */
drupelet_status store_canopy_read(const char *path, scenario_measured_canopy **canopy);
drupelet_status store_canopy_read_csv(const char *path, scenario_measured_canopy **canopy);
drupelet_status store_canopy_read_hdf5(const char *path, scenario_measured_canopy **canopy);

#endif
