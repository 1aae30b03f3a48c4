/* sim/orchard/measured.c - a canopy from voxels that a file gives: one row that all repeat, or each its own. Where the
 * file has no wood, branches stand where any voxel of the row's section has leaves, and trunks as in a grown canopy. */
#include "orchard/measured.h"

#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "orchard/wood.h"

void orchard_measured_shape(const scenario_measured_canopy *m, orchard_canopy *c)
{
    c->nx = m->nx;
    c->ny = m->ny;
    c->nz = m->nz;
    c->edge_m = m->edge_m;
}

/* Branches of a row without wood in the file: a gap in the leaves is no gap in the tree, so a place across and up has
 * branches all along the row if it has leaves anywhere along it. */
static void place_branches(const drupelet_scenario *s, const orchard_canopy *c, const float *leaf, float *wood)
{
    for (int iz = 0; iz < c->nz; iz++)
        for (int ix = 0; ix < c->nx; ix++) {
            double fill = 0.0;
            for (int iy = 0; iy < c->ny; iy++)
                fill += (double)leaf[((int64_t)iz * c->ny + iy) * c->nx + ix];
            for (int iy = 0; iy < c->ny; iy++)
                wood[((int64_t)iz * c->ny + iy) * c->nx + ix] = (float)orchard_branches(s, c, ix, fill);
        }
}

drupelet_status orchard_fill_measured(const drupelet_scenario *s, orchard_canopy *c)
{
    const scenario_measured_canopy *m = s->canopy.measured;
    const size_t n = (size_t)m->nz * (size_t)m->ny * (size_t)m->nx;
    float *trunk = calloc(n, sizeof *trunk);
    if (!trunk)
        return base_error(DRUPELET_MEMORY, "no memory for the trees");
    bool placed = true;
    for (int r = 0; r < c->n_rows; r++) {
        const size_t from = m->n_rows > 1 ? (size_t)r * n : 0;
        float *leaf = c->leaf_area_density_1_m + (size_t)r * n, *wood = c->wood_area_density_1_m + (size_t)r * n;
        memcpy(leaf, m->leaf_area_density_1_m + from, n * sizeof *leaf);
        if (m->wood_area_density_1_m) {
            memcpy(wood, m->wood_area_density_1_m + from, n * sizeof *wood);
        } else {
            place_branches(s, c, leaf, wood);
            placed = orchard_finish_wood(s, c, wood, trunk) && placed;
        }
    }
    free(trunk);
    return placed ? base_ok()
                  : base_error(DRUPELET_SCENARIO, "canopy.wood_area_index: found %g, expected 0 or a canopy file with "
                                                  "the wood: no voxel of some row holds branches or trunk",
                               s->canopy.wood_area_index);
}
