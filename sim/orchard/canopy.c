/* sim/orchard/canopy.c - voxels of leaf and wood area from crown shapes.
 *
 * Each voxel is filled by the share of its inner points that lie in a crown, thinned by gaps and varied from tree to
 * tree; then all are scaled so that the block has the leaf and wood area that the scenario says. Branches fill the
 * crown, denser towards the row line; a trunk carries it. Random numbers are keyed by row and tree or voxel. */
#include "orchard/orchard.h"

#include <math.h>
#include <stdlib.h>

#include "base/random.h"
#include "base/status.h"
#include "orchard/measured.h"

enum { POINTS = 4 }; /* inner points along each edge of a voxel */
#define TRUNK_SHARE 0.1 /* of the wood's surface; choice */
#define LEAST_TREE 0.2  /* of the mean leaf area */

/* Leaf area of a tree over the mean one. */
static double tree_vigour(const drupelet_scenario *s, int i_row, int i_tree)
{
    uint32_t bits[4];
    double normals[2];
    base_random_block(s->run.seed, BASE_STREAM_CANOPY, (uint64_t)i_row << 32 | (uint32_t)i_tree, 0, bits);
    base_normal_pair(bits[0], bits[1], normals);
    return fmax(LEAST_TREE, 1.0 + s->canopy.tree_variation * normals[0]);
}

/* The trees whose crowns may reach a place along a row, in their order. */
typedef struct { double off_m; int i_tree; } neighbour;

static int reach_of(const drupelet_scenario *s)
{
    return (int)ceil(0.5 * s->canopy.width_m / s->orchard.tree_spacing_m);
}

/* @param tree [2 reach + 1] */
static void find_neighbours(const drupelet_scenario *s, double along_m, neighbour *tree)
{
    const double spacing_m = s->orchard.tree_spacing_m;
    const int near = (int)floor(along_m / spacing_m), reach = reach_of(s), n_trees = s->orchard.n_trees;
    for (int t = near - reach; t <= near + reach; t++)
        *tree++ = (neighbour){along_m - (t + 0.5) * spacing_m, ((t % n_trees) + n_trees) % n_trees};
}

/* What each tree gives to a voxel of any row, before its vigour: mean over the voxel's inner points. Where crowns
 * overlap a point belongs to the first: at one height all are equally dense.
 * @param tree [POINTS][n_near], the neighbours of the voxel's points along the row */
static void fill_of(const drupelet_scenario *s, const orchard_canopy *c, int ix, int iz, int n_near,
                    const neighbour *tree, double *of_tree)
{
    for (int t = 0; t < s->orchard.n_trees; t++)
        of_tree[t] = 0.0;
    for (int p = 0; p < POINTS * POINTS * POINTS; p++) {
        const double fx = (p % POINTS + 0.5) / POINTS, fz = (p / (POINTS * POINTS) + 0.5) / POINTS;
        const double across_m = (ix + fx) * c->edge_m - c->half_width_m, height_m = (iz + fz) * c->edge_m;
        const neighbour *near = tree + p / POINTS % POINTS * n_near;
        for (int t = 0; t < n_near; t++) {
            const double d = orchard_crown_density(&s->canopy, s->orchard.tree_spacing_m, across_m, near[t].off_m,
                                                   height_m);
            if (d > 0.0) {
                of_tree[near[t].i_tree] += d / (POINTS * POINTS * POINTS);
                break;
            }
        }
    }
}

/* Branches: where the crown is, twice as dense at the row line as at its edge. */
double orchard_branches(const drupelet_scenario *s, const orchard_canopy *c, int ix, double fill)
{
    const double off_m = fabs((ix + 0.5) * c->edge_m - c->half_width_m);
    return fill > 0.0 ? fmax(1.0, 2.0 - off_m / (0.5 * s->canopy.width_m)) : 0.0;
}

/* Trunk: the voxels around each tree's place up to the middle of the crown. Its bark catches like the branches': one
 * wood diameter serves all wood. */
static double trunk_of(const drupelet_scenario *s, const orchard_canopy *c, int ix, int iy, int iz)
{
    const double off_m = fabs((ix + 0.5) * c->edge_m - c->half_width_m), spacing_m = s->orchard.tree_spacing_m;
    const double along_m = (iy + 0.5) * c->edge_y_m, tree_m = (floor(along_m / spacing_m) + 0.5) * spacing_m;
    const double top_m = 0.5 * (s->canopy.base_m + s->canopy.height_m);
    const int here = off_m <= 0.51 * c->edge_m && fabs(along_m - tree_m) <= 0.51 * c->edge_y_m;
    return here && (iz + 0.5) * c->edge_m < top_m ? 1.0 : 0.0;
}

/* False where there is area to place and no voxel to hold it. */
static bool scale(float *density, int64_t n, double wanted_m2, double voxel_m3)
{
    double sum = 0.0;
    for (int64_t v = 0; v < n; v++)
        sum += (double)density[v];
    for (int64_t v = 0; v < n && sum > 0.0; v++)
        density[v] = (float)((double)density[v] * wanted_m2 / (sum * voxel_m3));
    return sum > 0.0 || wanted_m2 == 0.0;
}

/* The same voxel of every row: alike but for vigour and gaps.
 * @param of_tree [tree], from fill_of()  @param vigour [row][tree] */
static void grow_voxels(const drupelet_scenario *s, orchard_canopy *c, int ix, int iy, int iz, const double *of_tree,
                        const double *vigour)
{
    const int n_trees = s->orchard.n_trees;
    for (int r = 0; r < c->n_rows; r++) {
        const int64_t v = (((int64_t)r * c->nz + iz) * c->ny + iy) * c->nx + ix;
        double fill = 0.0;
        for (int t = 0; t < n_trees; t++)
            fill += of_tree[t] * vigour[r * n_trees + t];
        uint32_t bits[4];
        base_random_block(s->run.seed, BASE_STREAM_CANOPY, (uint64_t)v, 1, bits);
        const bool gap = base_uniform(bits[0]) < s->canopy.gap_fraction;
        c->leaf_area_density_1_m[v] = gap ? 0.0f : (float)fill;
        c->wood_area_density_1_m[v] = (float)orchard_branches(s, c, ix, fill);
    }
}

/* Scales a row's branches and adds its trunks. */
bool orchard_finish_wood(const drupelet_scenario *s, const orchard_canopy *c, float *wood, float *trunk)
{
    const double voxel_m3 = c->edge_m * c->edge_m * c->edge_y_m;
    const double wood_m2 = s->canopy.wood_area_index * c->row_spacing_m * c->period_m;
    const int64_t n = (int64_t)c->nz * c->ny * c->nx;
    for (int64_t v = 0; v < n; v++)
        trunk[v] = (float)trunk_of(s, c, (int)(v % c->nx), (int)(v / c->nx % c->ny),
                                   (int)(v / ((int64_t)c->nx * c->ny)));
    const bool branches_placed = scale(wood, n, (1.0 - TRUNK_SHARE) * wood_m2, voxel_m3);
    const bool trunk_placed = scale(trunk, n, TRUNK_SHARE * wood_m2, voxel_m3);
    for (int64_t v = 0; v < n; v++)
        wood[v] += trunk[v];
    return branches_placed && trunk_placed;
}

/* All rows' voxels at one place along them. @return is there memory for it? */
static bool grow_slice(const drupelet_scenario *s, orchard_canopy *c, int iy, const double *vigour)
{
    const int n_near = 2 * reach_of(s) + 1;
    double *of_tree = malloc((size_t)s->orchard.n_trees * sizeof *of_tree);
    neighbour *tree = malloc((size_t)(POINTS * n_near) * sizeof *tree);
    const bool enough = of_tree && tree;
    for (int p = 0; p < POINTS && enough; p++)
        find_neighbours(s, (iy + (p + 0.5) / POINTS) * c->edge_y_m, tree + p * n_near);
    for (int iz = 0; iz < c->nz && enough; iz++)
        for (int ix = 0; ix < c->nx; ix++) {
            fill_of(s, c, ix, iz, n_near, tree, of_tree);
            grow_voxels(s, c, ix, iy, iz, of_tree, vigour);
        }
    free(tree);
    free(of_tree);
    return enough;
}

static drupelet_status grow(const drupelet_scenario *s, orchard_canopy *c)
{
    const int64_t n = orchard_voxels(c), per_row = n / c->n_rows;
    const double voxel_m3 = c->edge_m * c->edge_m * c->edge_y_m, ground_m2 = c->row_spacing_m * c->period_m;
    const int n_trees = s->orchard.n_trees;
    float *trunk = calloc((size_t)per_row, sizeof *trunk);
    double *vigour = calloc((size_t)c->n_rows * (size_t)n_trees, sizeof *vigour);
    if (!trunk || !vigour) {
        free(vigour);
        free(trunk);
        return base_error(DRUPELET_MEMORY, "no memory for the trees");
    }
    for (int r = 0; r < c->n_rows; r++)
        for (int t = 0; t < n_trees; t++)
            vigour[r * n_trees + t] = tree_vigour(s, r, t);
    bool enough = true;
#pragma omp taskgroup
    for (int iy = 0; iy < c->ny; iy++)
#pragma omp task shared(enough)
        if (!grow_slice(s, c, iy, vigour)) {
#pragma omp atomic write
            enough = false;
        }
    bool placed = true;
    for (int r = 0; r < c->n_rows; r++)
        placed = orchard_finish_wood(s, c, c->wood_area_density_1_m + r * per_row, trunk) && placed;
    placed = scale(c->leaf_area_density_1_m, n, s->canopy.leaf_area_index * ground_m2 * c->n_rows, voxel_m3) && placed;
    free(vigour);
    free(trunk);
    if (!enough)
        return base_error(DRUPELET_MEMORY, "no memory for the trees");
    return placed ? base_ok()
                  : base_error(DRUPELET_SCENARIO,
                               "canopy.voxel: found %g m, expected smaller: no voxel of the crown holds leaves",
                               c->edge_m);
}

/* What slow air feels of the voxels, and what of it gives way. */
static void add_drag(const drupelet_scenario *s, orchard_canopy *c)
{
    const int64_t n = orchard_voxels(c);
    for (int64_t v = 0; v < n; v++) {
        const int ix = (int)(v % c->nx), iz = (int)(v / ((int64_t)c->nx * c->ny) % c->nz);
        const double leaf_1_m = (double)c->leaf_area_density_1_m[v], n_columns = (double)c->n_rows * c->ny;
        c->drag_1_m[iz * c->nx + ix] +=
            orchard_drag_1_m(&s->canopy, leaf_1_m, (double)c->wood_area_density_1_m[v]) / n_columns;
        c->leaf_drag_1_m[iz * c->nx + ix] += orchard_drag_1_m(&s->canopy, leaf_1_m, 0.0) / n_columns;
    }
}

drupelet_status orchard_create(const drupelet_scenario *s, orchard_canopy **canopy)
{
    *canopy = NULL;
    orchard_canopy *c = calloc(1, sizeof *c);
    if (!c) return base_error(DRUPELET_MEMORY, "no memory for the orchard");
    c->n_rows = s->orchard.n_rows;
    c->row_spacing_m = s->orchard.row_spacing_m;
    c->period_m = s->orchard.n_trees * s->orchard.tree_spacing_m;
    c->edge_m = s->canopy.voxel_m;
    /* even: each voxel lies on one side of the row line */
    c->nx = 2 * (int)ceil(0.5 * s->canopy.width_m / c->edge_m - 1e-9);
    c->ny = (int)fmax(1.0, floor(c->period_m / c->edge_m + 0.5));
    c->nz = (int)ceil(s->canopy.height_m / c->edge_m - 1e-9);
    if (s->canopy.measured)
        orchard_measured_shape(s->canopy.measured, c);
    c->edge_y_m = c->period_m / c->ny;
    c->half_width_m = 0.5 * c->nx * c->edge_m;
    const int64_t n = orchard_voxels(c);
    drupelet_status status = base_ok();
    if (n > INT32_MAX) { /* the kernel counts voxels in 32 bits */
        status = base_error(DRUPELET_SCENARIO,
                            "canopy.voxel: found %g m, expected larger: the orchard would have %lld voxels", c->edge_m,
                            (long long)n);
    } else {
        c->leaf_area_density_1_m = calloc((size_t)n, sizeof *c->leaf_area_density_1_m);
        c->wood_area_density_1_m = calloc((size_t)n, sizeof *c->wood_area_density_1_m);
        c->drag_1_m = calloc((size_t)c->nz * (size_t)c->nx, sizeof *c->drag_1_m);
        c->leaf_drag_1_m = calloc((size_t)c->nz * (size_t)c->nx, sizeof *c->leaf_drag_1_m);
        status = c->leaf_area_density_1_m && c->wood_area_density_1_m && c->drag_1_m && c->leaf_drag_1_m
                     ? s->canopy.measured ? orchard_fill_measured(s, c) : grow(s, c)
                     : base_error(DRUPELET_MEMORY, "no memory for %lld voxels of trees", (long long)n);
    }
    if (status.code == DRUPELET_OK)
        add_drag(s, c);
    if (status.code == DRUPELET_OK)
        *canopy = c;
    else
        orchard_free(c);
    return status;
}

void orchard_free(orchard_canopy *c)
{
    if (!c) return;
    free(c->leaf_drag_1_m);
    free(c->drag_1_m);
    free(c->wood_area_density_1_m);
    free(c->leaf_area_density_1_m);
    free(c);
}
