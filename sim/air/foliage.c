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

/* Places a quarter of a voxel apart; the box holds a whole number of them. */
air_foliage air_foliage_mean(const orchard_canopy *c, bool yields, const double x_m[2], const double z_m[2])
{
    air_foliage sum = {0.0, 0.0};
    if (z_m[0] >= c->nz * c->edge_m) return sum;
    const int nx = (int)ceil(4.0 * (x_m[1] - x_m[0]) / c->edge_m), nz = (int)ceil(4.0 * (z_m[1] - z_m[0]) / c->edge_m);
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz; k++) {
            const air_foliage here = air_foliage_at(c, yields, x_m[0] + (i + 0.5) / nx * (x_m[1] - x_m[0]),
                                                    z_m[0] + (k + 0.5) / nz * (z_m[1] - z_m[0]));
            sum.leaf_1_m += here.leaf_1_m;
            sum.stiff_1_m += here.stiff_1_m;
        }
    return (air_foliage){sum.leaf_1_m / ((double)nx * nz), sum.stiff_1_m / ((double)nx * nz)};
}
