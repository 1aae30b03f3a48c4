/* sim/orchard/canopy.c - voxels of leaf and wood area from crown shapes.
 *
 * Each voxel is filled by the share of its inner points that lie in a crown, varied from tree to tree and from bough to
 * bough (texture.c); then all are scaled so that the block has the leaf area that the scenario says. Wood: wood.c.
 * Random numbers are keyed by row and tree or bough. */
#include "orchard/orchard.h"

#include <math.h>
#include <stdlib.h>

#include "base/random.h"
#include "base/status.h"
#include "orchard/measured.h"
#include "orchard/texture.h"
#include "orchard/wood.h"

enum { POINTS = 4 }; /* inner points along each edge of a voxel */
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
 * overlap a point belongs to the one in which it lies deepest (of equals the first): that crown shades it.
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
        int of = 0;
        double density = 0.0;
        for (int t = 0; t < n_near; t++) {
            const double d = orchard_crown_density(&s->canopy, s->orchard.tree_spacing_m, across_m, near[t].off_m,
                                                   height_m);
            if (d > 0.0 && (density == 0.0 || d < density)) {
                of = near[t].i_tree;
                density = d;
            }
        }
        of_tree[of] += density / (POINTS * POINTS * POINTS);
    }
}

/* False where there is area to place and no voxel to hold it. */
bool orchard_scale(float *density, int64_t n, double wanted_m2, double voxel_m3)
{
    double sum = 0.0;
    for (int64_t v = 0; v < n; v++)
        sum += (double)density[v];
    for (int64_t v = 0; v < n && sum > 0.0; v++)
        density[v] = (float)((double)density[v] * wanted_m2 / (sum * voxel_m3));
    return sum > 0.0 || wanted_m2 == 0.0;
}

/* What the rows' voxels are grown from. */
typedef struct {
    const drupelet_scenario *scenario;
    orchard_canopy *canopy;
    const double *vigour; /* [row][tree] */
    const orchard_texture *texture;
} growth;

/* The same voxel of every row: alike but for vigour and boughs. @param of_tree [tree], from fill_of() */
static void grow_voxels(const growth *g, int ix, int iy, int iz, const double *of_tree)
{
    orchard_canopy *c = g->canopy;
    const int n_trees = g->scenario->orchard.n_trees;
    for (int r = 0; r < c->n_rows; r++) {
        const int64_t v = (((int64_t)r * c->nz + iz) * c->ny + iy) * c->nx + ix;
        double fill = 0.0;
        for (int t = 0; t < n_trees; t++)
            fill += of_tree[t] * g->vigour[r * n_trees + t];
        c->leaf_area_density_1_m[v] =
            fill > 0.0 ? (float)(fill * orchard_texture_of(g->texture, r, iz, iy, ix)) : 0.0f;
        c->wood_area_density_1_m[v] = (float)orchard_branches(g->scenario, c, ix, fill);
    }
}

/* All rows' voxels at one place along them. @return is there memory for it? */
static bool grow_slice(const growth *g, int iy)
{
    const drupelet_scenario *s = g->scenario;
    const orchard_canopy *c = g->canopy;
    const int n_near = 2 * reach_of(s) + 1;
    double *of_tree = malloc((size_t)s->orchard.n_trees * sizeof *of_tree);
    neighbour *tree = malloc((size_t)(POINTS * n_near) * sizeof *tree);
    const bool enough = of_tree && tree;
    for (int p = 0; p < POINTS && enough; p++)
        find_neighbours(s, (iy + (p + 0.5) / POINTS) * c->edge_y_m, tree + p * n_near);
    for (int iz = 0; iz < c->nz && enough; iz++)
        for (int ix = 0; ix < c->nx; ix++) {
            fill_of(s, c, ix, iz, n_near, tree, of_tree);
            grow_voxels(g, ix, iy, iz, of_tree);
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
    orchard_texture *texture = NULL;
    drupelet_status status = orchard_texture_create(s, c, &texture);
    if (status.code != DRUPELET_OK || !trunk || !vigour) {
        orchard_texture_free(texture);
        free(vigour);
        free(trunk);
        return status.code != DRUPELET_OK ? status : base_error(DRUPELET_MEMORY, "no memory for the trees");
    }
    const growth g = {s, c, vigour, texture};
    for (int r = 0; r < c->n_rows; r++)
        for (int t = 0; t < n_trees; t++)
            vigour[r * n_trees + t] = tree_vigour(s, r, t);
    bool enough = true;
#pragma omp taskgroup
    for (int iy = 0; iy < c->ny; iy++)
#pragma omp task shared(enough)
        if (!grow_slice(&g, iy)) {
#pragma omp atomic write
            enough = false;
        }
    bool placed = true;
    for (int r = 0; r < c->n_rows; r++)
        placed = orchard_finish_wood(s, c, c->wood_area_density_1_m + r * per_row, trunk) && placed;
    const double leaf_m2 = s->canopy.leaf_area_index * ground_m2 * c->n_rows;
    placed = orchard_scale(c->leaf_area_density_1_m, n, leaf_m2, voxel_m3) && placed;
    orchard_texture_free(texture);
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
