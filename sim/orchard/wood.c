/* sim/orchard/wood.c - voxels of wood: branches where the crown is, a trunk that carries it, by height as in felled
 * trees.
 *
 * Heights: the mean of seven trees that were felled and measured (M. R. Brym, S. K. M. Ernest, PeerJ (2018), data file
 * TreeReconstruction; tests/data/wood_by_height.csv), half by the area of trunk and branches and half by the length of
 * twigs, which may hold as much area (their diameters were not measured). Half of it is below 0.44 of the height. Left
 * out: that old trees have theirs higher (the cherry: at 0.5) than young apples; vines, of which none was measured. */
#include "orchard/wood.h"

#include <math.h>

#define TRUNK_SHARE 0.1 /* of the wood's surface; choice */

/* Tenths of the height, from the ground; mean of the trees in the file above (test_crowns compares). */
static const double TENTH[] = {0.045, 0.191, 0.209, 0.159, 0.136, 0.101, 0.086, 0.043, 0.017, 0.013};
enum { TENTHS = sizeof TENTH / sizeof TENTH[0] };

double orchard_wood_below(double height)
{
    double below = 0.0;
    for (int i = 0; i < TENTHS; i++)
        below += TENTH[i] * fmin(1.0, fmax(0.0, TENTHS * height - i));
    return below;
}

/* Branches: where the crown is, twice as dense at the row line as at its edge. */
double orchard_branches(const drupelet_scenario *s, const orchard_canopy *c, int ix, double fill)
{
    const double off_m = fabs((ix + 0.5) * c->edge_m - c->half_width_m);
    return fill > 0.0 ? fmax(1.0, 2.0 - off_m / (0.5 * s->canopy.width_m)) : 0.0;
}

static double trunk_top_m(const drupelet_scenario *s)
{
    return 0.5 * (s->canopy.base_m + s->canopy.height_m);
}

/* Trunk: the voxels around each tree's place up to the middle of the crown. Its bark catches like the branches': one
 * wood diameter serves all wood. */
static double trunk_of(const drupelet_scenario *s, const orchard_canopy *c, int ix, int iy, int iz)
{
    const double off_m = fabs((ix + 0.5) * c->edge_m - c->half_width_m), spacing_m = s->orchard.tree_spacing_m;
    const double along_m = (iy + 0.5) * c->edge_y_m, tree_m = (floor(along_m / spacing_m) + 0.5) * spacing_m;
    const int here = off_m <= 0.51 * c->edge_m && fabs(along_m - tree_m) <= 0.51 * c->edge_y_m;
    return here && (iz + 0.5) * c->edge_m < trunk_top_m(s) ? 1.0 : 0.0;
}

/* Scales every layer's branches and trunk to what a measured tree has there: the trunk its even share, at most all;
 * the branches the rest. A layer with neither stays empty, and the others make up for it. */
static void share_by_height(const drupelet_scenario *s, const orchard_canopy *c, float *wood, float *trunk)
{
    const int64_t n = (int64_t)c->ny * c->nx;
    for (int iz = 0; iz < c->nz; iz++) {
        float *branch_of = wood + iz * n, *trunk_of_layer = trunk + iz * n;
        double branches = 0.0, trunks = 0.0;
        for (int64_t v = 0; v < n; v++) {
            branches += (double)branch_of[v];
            trunks += (double)trunk_of_layer[v];
        }
        const double all = orchard_wood_below((iz + 1) * c->edge_m / s->canopy.height_m)
                           - orchard_wood_below(iz * c->edge_m / s->canopy.height_m);
        const double even = fmin(all, TRUNK_SHARE * c->edge_m / trunk_top_m(s));
        const double on_trunk = trunks > 0.0 ? branches > 0.0 ? even : all : 0.0;
        for (int64_t v = 0; v < n; v++) {
            branch_of[v] = branches > 0.0 ? (float)((double)branch_of[v] * (all - on_trunk) / branches) : 0.0f;
            branch_of[v] += trunks > 0.0 ? (float)((double)trunk_of_layer[v] * on_trunk / trunks) : 0.0f;
        }
    }
}

bool orchard_finish_wood(const drupelet_scenario *s, const orchard_canopy *c, float *wood, float *trunk)
{
    const double voxel_m3 = c->edge_m * c->edge_m * c->edge_y_m;
    const double wood_m2 = s->canopy.wood_area_index * c->row_spacing_m * c->period_m;
    const int64_t n = (int64_t)c->nz * c->ny * c->nx;
    for (int64_t v = 0; v < n; v++)
        trunk[v] =
            (float)trunk_of(s, c, (int)(v % c->nx), (int)(v / c->nx % c->ny), (int)(v / ((int64_t)c->nx * c->ny)));
    if (s->canopy.wood_by_height) {
        share_by_height(s, c, wood, trunk);
        return orchard_scale(wood, n, wood_m2, voxel_m3);
    }
    const bool branches_placed = orchard_scale(wood, n, (1.0 - TRUNK_SHARE) * wood_m2, voxel_m3);
    const bool trunk_placed = orchard_scale(trunk, n, TRUNK_SHARE * wood_m2, voxel_m3);
    for (int64_t v = 0; v < n; v++)
        wood[v] += trunk[v];
    return branches_placed && trunk_placed;
}
