/* sim/store/read_canopy.c - the canopy of a result file: its voxels, and what lies on the leaves by row and place. */
#include <stdlib.h>
#include <string.h>

#include "scenario/measured.h"
#include "scenario/scenario.h"
#include "store/read.h"

enum { CELLS = TALLY_THIRDS * TALLY_SIDES };

static void read_voxels(store_in *in, store_result *r)
{
    static const store_range edge_m = {1e-3, 1e3, false}; /* choice: above 0; a row's pattern may be one voxel long */
    hsize_t rows[1] = {(hsize_t)r->n_rows}, z[1] = {0}, y[1] = {0}, x[1] = {0};
    double *y_m = store_read_axis(in, "canopy/y", y, SCENARIO_VOXELS_MOST);
    r->z_m = store_read_axis(in, "canopy/z", z, SCENARIO_VOXELS_MOST);
    r->x_m = store_read_axis(in, "canopy/x", x, SCENARIO_VOXELS_MOST);
    r->voxel_m = store_in_number(in, "canopy/voxel_edge", edge_m);
    r->voxel_y_m = store_in_number(in, "canopy/voxel_edge_along", edge_m);
    hsize_t field[4] = {rows[0], z[0], y[0], x[0]};
    r->leaf_deposit = store_read_numbers(in, "canopy/leaf_deposit", 4, field, STORE_SHARE);
    r->leaf_area_density_1_m = store_read_floats(in, "canopy/leaf_area_density", 4, field, STORE_AMOUNT);
    r->wood_area_density_1_m = store_read_floats(in, "canopy/wood_area_density", 4, field, STORE_AMOUNT);
    r->nz = store_in_size(in, "canopy/z", z[0], SCENARIO_VOXELS_MOST);
    r->ny = store_in_size(in, "canopy/y", y[0], SCENARIO_VOXELS_MOST);
    r->nx = store_in_size(in, "canopy/x", x[0], SCENARIO_VOXELS_MOST);
    free(y_m);
}

static void read_rows(store_in *in, store_result *r)
{
    hsize_t rows[1] = {0};
    double *row_x_m = store_read_axis(in, "canopy/row_x", rows, SCENARIO_ROWS);
    r->row = store_in_memory(in, (size_t)rows[0], sizeof *r->row);
    for (size_t i = 0; i < rows[0] && r->row; i++)
        r->row[i].x_m = row_x_m[i];
    r->n_rows = store_in_size(in, "canopy/row_x", rows[0], SCENARIO_ROWS);
    free(row_x_m);
}

/* What lies on the leaves of each row, by third, side of the row and side of the leaf. */
static void read_places(store_in *in, store_result *r)
{
    const size_t n = (size_t)r->n_rows;
    const hsize_t rows[1] = {n}, halves[3] = {n, TALLY_THIRDS, TALLY_SIDES},
                  sides[4] = {n, TALLY_THIRDS, TALLY_SIDES, 2};
    tally_estimate *room = store_in_memory(in, n * CELLS * 2, sizeof *room);
    if (!room)
        return;
    store_read_estimates(in, "canopy/row_deposit", 3, halves, STORE_SHARE, room);
    for (size_t i = 0; i < n; i++)
        memcpy(r->row[i].leaf, room + i * CELLS, sizeof r->row[i].leaf);
    store_read_estimates_or_none(in, "canopy/deposit_of_row", 1, rows, STORE_SHARE, room);
    for (size_t i = 0; i < n; i++)
        r->row[i].together = room[i];
    store_read_estimates_or_none(in, "canopy/coverage", 4, sides, STORE_PERCENT_OR_NONE, room);
    for (size_t i = 0; i < n; i++)
        memcpy(r->row[i].cover_percent, room + i * CELLS * 2, sizeof r->row[i].cover_percent);
    store_read_estimates_or_none(in, "canopy/visible_droplet_density", 4, sides, STORE_AMOUNT_OR_NONE, room);
    for (size_t i = 0; i < n; i++)
        memcpy(r->row[i].droplets_1_cm2, room + i * CELLS * 2, sizeof r->row[i].droplets_1_cm2);
    store_read_estimates_or_none(in, "canopy/deposit_per_leaf_area", 3, halves, STORE_AMOUNT_OR_NONE, room);
    for (size_t i = 0; i < n; i++)
        memcpy(r->row[i].deposit_uL_cm2, room + i * CELLS, sizeof r->row[i].deposit_uL_cm2);
    free(room);
}

/* All leaves together. */
static void read_whole(store_in *in, store_result *r)
{
    const hsize_t sides[1] = {2}, parts[2] = {TALLY_THIRDS, TALLY_SIDES};
    store_read_estimates(in, "canopy/leaf_side_deposit", 1, sides, STORE_SHARE, r->leaf_side);
    store_read_estimates_or_none(in, "canopy/deposit_of_third", 2, parts, STORE_SHARE, r->third[0]);
    store_read_estimates_or_none(in, "canopy/coverage_all", 1, sides, STORE_PERCENT_OR_NONE, r->cover_percent);
    store_read_estimates_or_none(in, "canopy/visible_droplet_density_all", 1, sides, STORE_AMOUNT_OR_NONE,
                                 r->droplets_1_cm2);
    store_read_estimates_or_none(in, "canopy/deposit_per_leaf_area_all", 0, NULL, STORE_AMOUNT_OR_NONE,
                                 &r->deposit_uL_cm2);
    store_read_estimates_or_none(in, "canopy/run_off", 0, NULL, STORE_SHARE_OR_NONE, &r->run_off);
}

void store_read_canopy(store_in *in, store_result *r)
{
    read_rows(in, r);
    read_voxels(in, r);
    read_places(in, r);
    read_whole(in, r);
}
