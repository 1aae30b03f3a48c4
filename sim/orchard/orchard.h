/* sim/orchard/orchard.h - where the leaves and the wood are: area densities on a grid of voxels, row by row.
 * The door of the module. Rows lie at x = -i_row * spacing; the pattern repeats along y after period_m. */
#ifndef ORCHARD_ORCHARD_H
#define ORCHARD_ORCHARD_H

#include <stdint.h>

#include "drupelet/status.h"
#include "scenario/scenario.h"

/** Drag coefficient of branches on half their surface, in the convention force = rho Cd a U^2. The force on a cylinder
 *  is rho / 2 times 1.1 times its frontal area times U^2 (S. F. Hoerner, Fluid-Dynamic Drag, 1965; memory; 1.0 to 1.2
 *  for twigs and branches in wind). Across the wind the frontal area is 2 / pi of half the surface, so that Cd is 0.35.
 *  Of a slanting cylinder only the component of the wind across it counts: over all directions the mean of sin^3 is
 *  3 pi / 16, and Cd 0.21. Trunks and the branches along a trellis stand across the wind, shoots in all directions; 0.3
 *  is between (choice), known to a quarter. */
#define ORCHARD_WOOD_DRAG 0.3

/** Drag coefficient times area density: what the air feels of leaves (one side, m2/m3) and wood (half its surface). */
static inline double orchard_drag_1_m(const scenario_canopy *canopy, double leaf_1_m, double wood_1_m)
{
    return canopy->drag_coefficient * leaf_1_m + ORCHARD_WOOD_DRAG * wood_1_m;
}

typedef struct {
    int n_rows;
    double row_spacing_m, period_m;
    int nx, ny, nz;                   /* voxels of one row: across, along, up */
    double edge_m, edge_y_m;          /* edge across and up; edge along the row (divides the period evenly) */
    double half_width_m;              /* nx * edge_m / 2: voxels lie within this distance of the row line */
    float *leaf_area_density_1_m;     /* [row][nz][ny][nx], one side of the leaf, m2/m3 */
    float *wood_area_density_1_m;     /* same shape, half of the wood's surface */
    double *drag_1_m;                 /* [nz][nx], drag coefficient times area density of leaves and of wood, mean along
                                         all rows: what slow air feels */
    double *leaf_drag_1_m;            /* [nz][nx], that of the leaves, which give way (air/yielding.h) */
} orchard_canopy;

/** Grows the canopy from crown shape, profile, gaps and tree-to-tree variation; the leaf area index of the whole block
 *  is met exactly (to rounding), wood likewise row by row. The same seed gives the same trees. The caller ends it with
 *  orchard_free().
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (too many voxels, or none that holds leaves) or DRUPELET_MEMORY */
drupelet_status orchard_create(const drupelet_scenario *scenario, orchard_canopy **canopy);
void orchard_free(orchard_canopy *canopy); /* NULL is allowed */

static inline int64_t orchard_voxels(const orchard_canopy *canopy)
{
    return (int64_t)canopy->n_rows * canopy->nz * canopy->ny * canopy->nx;
}

/** Leaf and wood area density summed up along a ray from a place to the top of the trees, area over area across it.
 *  Rows lie at x = 0, -spacing, ...; the pattern repeats along y. A ray that never gets there ends after far_m. */
typedef struct { double leaf, wood; } orchard_layers;
orchard_layers orchard_layers_along(const orchard_canopy *canopy, const double from_m[3], const double towards[3],
                                    double far_m);

/** Share of a crown's volume-weighted leaf area at a place: relative density (0 outside the crown).
 *  @param across_m from the row line  @param along_m from the tree's own centre  @param height_m above the ground */
double orchard_crown_density(const scenario_canopy *canopy, double tree_spacing_m, double across_m, double along_m,
                             double height_m);

#endif
