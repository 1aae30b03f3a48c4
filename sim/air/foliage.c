/* sim/air/foliage.c - what the rows do to the air at a place. */
#include "air/foliage.h"

#include <math.h>

air_foliage air_foliage_at(const orchard_canopy *c, bool yields, double x_m, double z_m)
{
    const double row = floor(-x_m / c->row_spacing_m + 0.5);
    if (row < 0.0 || row >= c->n_rows || z_m < 0.0) return (air_foliage){0.0, 0.0};
    const int i = (int)floor((x_m + row * c->row_spacing_m + c->half_width_m) / c->edge_m), k = (int)(z_m / c->edge_m);
    if (i < 0 || i >= c->nx || k >= c->nz) return (air_foliage){0.0, 0.0};
    const double all_1_m = c->drag_1_m[k * c->nx + i];
    const double leaf_1_m = yields ? c->leaf_drag_1_m[k * c->nx + i] : 0.0;
    return (air_foliage){leaf_1_m, all_1_m - leaf_1_m};
}

/* The end of the piece that begins at a place and lies in one voxel, or between two rows. A row's voxels are counted
 * from its side, and its own places end half way to the next row. */
static double end_across(const orchard_canopy *c, double from_m, double to_m)
{
    const double nearly = from_m + 1e-6 * c->edge_m; /* rounding must not keep it where it is */
    const double row = floor(-nearly / c->row_spacing_m + 0.5), side_m = -row * c->row_spacing_m - c->half_width_m;
    const double border_m = side_m + (floor((nearly - side_m) / c->edge_m) + 1.0) * c->edge_m;
    return fmin(fmin(border_m, (0.5 - row) * c->row_spacing_m), to_m);
}

static double end_up(const orchard_canopy *c, double from_m, double to_m)
{
    return fmin((floor(from_m / c->edge_m + 1e-6) + 1.0) * c->edge_m, to_m);
}

/* Piece by piece of the voxels that the box has parts of. */
air_foliage air_foliage_mean(const orchard_canopy *c, bool yields, const double x_m[2], const double z_m[2])
{
    air_foliage sum = {0.0, 0.0};
    const double top_m = fmin(z_m[1], c->nz * c->edge_m), per_area = 1.0 / ((x_m[1] - x_m[0]) * (z_m[1] - z_m[0]));
    for (double x = x_m[0], x_end; x < x_m[1]; x = x_end) {
        x_end = end_across(c, x, x_m[1]);
        for (double z = z_m[0], z_end; z < top_m; z = z_end) {
            z_end = end_up(c, z, top_m);
            const air_foliage here = air_foliage_at(c, yields, 0.5 * (x + x_end), 0.5 * (z + z_end));
            const double share = (x_end - x) * (z_end - z) * per_area;
            sum.leaf_1_m += share * here.leaf_1_m;
            sum.stiff_1_m += share * here.stiff_1_m;
        }
    }
    return sum;
}
