/* sim/tally/unlike.c - leaves of one place differ in their deposit: by their own place along the row, by the way they
 * face, and by the leaves that stand right in front of them.
 *
 * Each is the variance of a factor of mean 1, and the three are taken as independent. Place: deposits of the voxels of
 * a cell. Angle: deposits by the way that the leaves met were facing, over the leaf area that faces so. Both are known
 * from few droplets, whose noise is no difference between leaves. So a square is never taken of one sum: it is the
 * product of that of the even and that of the odd batches, which are independent samples, and its noise is 0 on the
 * mean. Shade: leaves stand at random (Poisson), and those so near that their shadow still has its edge, one leaf width
 * over the spread of the droplets' directions away, cover a leaf or not: of two points of a leaf with the share o of
 * shadows in common both are free with exp(-tau (2 - o)), and over a leaf the variance is exp(tau <o>) - 1 to first
 * order, <o> = 0.46 for equal discs. Left out: sizes of leaves, that what is in front hides less of what flows round
 * it, differences within a voxel that are no shade, leaves that turn in the jet towards one another. */
#include "tally/unlike.h"

#include <math.h>

#include "base/elementary.h"

#define OVERLAP 0.46     /* mean share of two equal discs of leaf in common, over two points of a third one */
#define SHADOW_MOST 10.0 /* leaf widths that a shadow keeps its edge, at most; choice */
#define MOST 9.0         /* a variance that no estimate exceeds: of a handful of droplets */

/* An estimate may come out below 0 by its noise; only a mean of many may do so. */
static double estimate(double above, double below)
{
    return below > 0.0 ? above / below - 1.0 : 0.0;
}

static double limited(double variance)
{
    return fmin(fmax(variance, 0.0), MOST);
}

/* Of one third and side: sums over voxels and over cells of what even and odd batches left, over leaf area. */
typedef struct { double voxels, cells, even, odd, area_m2, area_density; } sums;

static void add_cell(sums *to, const tally_leaves *l, const tally_foliage *f, int64_t first, int ny)
{
    const int64_t n = l->n_voxels;
    double cell[2] = {0.0, 0.0}, area_m2 = 0.0;
    for (int iy = 0; iy < ny; iy++) {
        const int64_t v = first + (int64_t)iy * l->nx;
        const double here_m2 = (double)f->leaf_area_density_1_m[v] * f->voxel_m3;
        const double even = (double)l->place[v] / (double)TALLY_PARTS,
                     odd = (double)l->place[n + v] / (double)TALLY_PARTS;
        if (!(here_m2 > 0.0)) continue;
        to->voxels += even * odd / here_m2;
        to->area_density += here_m2 * (double)f->leaf_area_density_1_m[v];
        cell[0] += even;
        cell[1] += odd;
        area_m2 += here_m2;
    }
    if (!(area_m2 > 0.0)) return;
    to->cells += cell[0] * cell[1] / area_m2;
    to->even += cell[0];
    to->odd += cell[1];
    to->area_m2 += area_m2;
}

/* Deposits by the way that leaves face: of one leaf side, or of both (2). */
static double angle2(const tally_facing half[2], int leaf_side, const tally_foliage *f)
{
    double product = 0.0, all[2] = {0.0, 0.0};
    for (int k = 0; k < DROPLET_LEAF_KINDS; k++) {
        double on[2];
        for (int h = 0; h < 2; h++) {
            on[h] = leaf_side < 2 ? (double)half[h].on[leaf_side][k]
                                  : (double)half[h].on[0][k] + (double)half[h].on[1][k];
            all[h] += on[h];
        }
        product += on[0] * on[1] / f->kind_share[k];
    }
    return estimate(product, all[0] * all[1]);
}

static double shade2(const tally_facing half[2], const tally_foliage *f, double leaf_1_m)
{
    double sum = 0.0, towards2 = 0.0;
    for (int k = 0; k < DROPLET_LEAF_KINDS; k++)
        for (int h = 0; h < 2; h++)
            sum += (double)half[h].on[0][k] + (double)half[h].on[1][k];
    for (int c = 0; c < 3; c++) {
        const double towards = (double)half[0].towards[c] + (double)half[1].towards[c];
        towards2 += sum > 0.0 ? towards / sum * (towards / sum) : 0.0;
    }
    const double spread = sqrt(fmax(1.0 - towards2, 0.0)); /* of the directions, as a sine */
    const double widths = spread * SHADOW_MOST > 1.0 ? 1.0 / spread : SHADOW_MOST;
    return sum > 0.0 ? base_expm1(OVERLAP * f->cover_1 * leaf_1_m * widths * f->leaf_width_m) : 0.0;
}

void tally_leaves_differ(tally_leaves *l, const tally_foliage *f)
{
    sums of[TALLY_THIRDS][TALLY_SIDES] = {0};
    for (int64_t layer = 0; layer < (int64_t)l->n_rows * l->nz; layer++)
        for (int ix = 0; ix < l->nx; ix++)
            add_cell(&of[l->third[layer % l->nz]][tally_leaves_side(l, ix)], l, f, layer * f->ny * l->nx + ix, f->ny);
    double squares = 0.0, voxels = 0.0, cells = 0.0, even = 0.0, odd = 0.0, area_m2 = 0.0;
    tally_unlike all = {0};
    for (int t = 0; t < TALLY_THIRDS; t++)
        for (int s = 0; s < TALLY_SIDES; s++) {
            const sums *here = &of[t][s];
            const tally_facing half[2] = {l->facing[0][t][s], l->facing[1][t][s]};
            tally_unlike *u = &l->unlike[t][s];
            u->place2 = limited(estimate(here->voxels, here->cells));
            u->shade2 = here->area_m2 > 0.0 ? shade2(half, f, here->area_density / here->area_m2) : 0.0;
            const double weight = here->even + here->odd;
            for (int side = 0; side < 3; side++) {
                const double raw = angle2(half, side, f);
                all.angle2[side] += weight * raw;
                u->angle2[side] = limited(raw);
                if (side == 2) squares += here->voxels * (1.0 + raw) * (1.0 + u->shade2);
            }
            all.shade2 += weight * u->shade2;
            voxels += here->voxels;
            cells += here->cells;
            even += here->even;
            odd += here->odd;
            area_m2 += here->area_m2;
        }
    for (int side = 0; side < 3; side++)
        all.angle2[side] = even + odd > 0.0 ? limited(all.angle2[side] / (even + odd)) : 0.0;
    all.shade2 = even + odd > 0.0 ? all.shade2 / (even + odd) : 0.0;
    all.place2 = limited(estimate(voxels, cells));
    l->unlike_all = all;
    l->leaf_to_leaf = even * odd > 0.0 ? sqrt(limited(estimate(squares * area_m2, even * odd))) : NAN;
}

double tally_unlike_both(const tally_unlike *u)
{
    return (1.0 + u->place2) * (1.0 + u->angle2[2]) * (1.0 + u->shade2) - 1.0;
}

double tally_unlike_side(const tally_unlike *u, int leaf_side)
{
    return (1.0 + u->place2) * (1.0 + u->angle2[leaf_side]) * (1.0 + u->shade2) - 1.0;
}
