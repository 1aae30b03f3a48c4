/* sim/tally/unlike.h - how much the leaves of one place differ in what they get, and how much all leaves do. */
#ifndef TALLY_UNLIKE_H
#define TALLY_UNLIKE_H

#include "tally/leaves.h"

/** What it depends on beside the deposits. */
typedef struct {
    const float *leaf_area_density_1_m; /* [n_voxels] as the accounts have them; borrowed */
    double voxel_m3;
    int ny;                             /* voxels along the row */
    double kind_share[DROPLET_LEAF_KINDS]; /* of leaf area, by the way that leaves face */
    double cover_1;                     /* area shown to droplets over one-sided leaf area: clumping times projection */
    double leaf_width_m;
} tally_foliage;

/** Fills l->unlike and l->leaf_to_leaf from what lies on the leaves; before run-off. */
void tally_leaves_differ(tally_leaves *l, const tally_foliage *foliage);

/** Variance over the mean squared of what the leaves of a place get, both sides together, or one leaf side. */
double tally_unlike_both(const tally_unlike *u);
double tally_unlike_side(const tally_unlike *u, int leaf_side);

#endif
