/* sim/orchard/light.c - what a ray meets on its way out of the trees: leaf and wood area density summed up in steps of
 * a third of a voxel. Left out: the rims of crowns so wide that voxels of two rows overlap (the nearer row counts). */
#include <math.h>

#include "orchard/orchard.h"

#define STEPS_A_VOXEL 3.0

orchard_layers orchard_layers_along(const orchard_canopy *c, const double from_m[3], const double towards[3],
                                    double far_m)
{
    const double size = sqrt(towards[0] * towards[0] + towards[1] * towards[1] + towards[2] * towards[2]);
    const double step_m = c->edge_m / STEPS_A_VOXEL, top_m = c->nz * c->edge_m;
    orchard_layers sum = {0.0, 0.0};
    for (double way_m = 0.5 * step_m; way_m < far_m; way_m += step_m) {
        const double x_m = from_m[0] + towards[0] / size * way_m, y_m = from_m[1] + towards[1] / size * way_m,
                     z_m = from_m[2] + towards[2] / size * way_m;
        if (z_m >= top_m || z_m < 0.0) break;
        const int row = (int)floor(0.5 - x_m / c->row_spacing_m);
        const double across_m = x_m + row * c->row_spacing_m + c->half_width_m;
        if (row < 0 || row >= c->n_rows || across_m < 0.0 || across_m >= 2.0 * c->half_width_m) continue;
        const double along_m = y_m - c->period_m * floor(y_m / c->period_m);
        const int ix = (int)fmin(across_m / c->edge_m, c->nx - 1.0), iy = (int)fmin(along_m / c->edge_y_m, c->ny - 1.0),
                  iz = (int)(z_m / c->edge_m);
        const int64_t v = (((int64_t)row * c->nz + iz) * c->ny + iy) * c->nx + ix;
        sum.leaf += step_m * (double)c->leaf_area_density_1_m[v];
        sum.wood += step_m * (double)c->wood_area_density_1_m[v];
    }
    return sum;
}
