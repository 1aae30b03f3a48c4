/* sim/tally/leaves.h - what lies on the leaves, cell by cell: amount, liquid, stains and droplets, and the cover and
 * densities that follow; and what lies on the wood there, which drips as well.
 *
 * A cell is all voxels of a row at one place across and one height, pooled along the row, since droplets are too few to
 * tell single voxels apart. Like the other accounts these are whole numbers of parts that add up in any order. */
#ifndef TALLY_LEAVES_H
#define TALLY_LEAVES_H

#include <stddef.h>
#include <stdint.h>

#include "droplet/droplet.h"
#include "tally/tally.h"

/** Diameter that stains and numbers of droplets are counted in; see tally_mark_of(). Keeps both inside 64 bits for all
 *  sizes, and their rounding below a percent up to some 1e10 droplets a run. */
#define TALLY_STAIN_M 20e-6
#define TALLY_STAIN_LEAST_M 2e-6 /* smaller droplets count as this */
/** Stains that a count by eye or scanner finds: choice. Many droplets are smaller, but hold little of the spray. */
#define TALLY_SEEN_M 50e-6

/** Each [leaf side: 0 lower, 1 upper]. */
typedef struct {
    int64_t active[2]; /* parts of the active ingredient */
    int64_t liquid[2]; /* parts of the volume emitted that arrives: water that evaporated on the way is gone */
    int64_t stain[2];  /* area of all stains, the sum over droplets: times 1.5 emitted volume / TALLY_STAIN_M */
    int64_t number[2]; /* of droplets: times emitted volume / volume of a sphere of TALLY_STAIN_M */
    int64_t seen[2];   /* the same of droplets whose stain is TALLY_SEEN_M across or more */
} tally_cell;

/** Of the wood of a cell, in the same parts. */
typedef struct { int64_t active, liquid; } tally_wood;

/** Of a third and side of all rows: deposit by leaf side and kind of leaf, and the sum over it of the directions that
 *  droplets came in. */
typedef struct { int64_t on[2][DROPLET_LEAF_KINDS], towards[3]; } tally_facing;

/** How leaves of one place differ: variances over the mean squared, of factors that go together (unlike.h). */
typedef struct {
    double place2;    /* by place along the row */
    double angle2[3]; /* by the way that they face: lower side, upper side, both together */
    double shade2;    /* by the leaves right in front */
} tally_unlike;

struct tally_leaves {
    int n_rows, nz, nx;
    int64_t n_voxels;
    int64_t *place;       /* [2][n_voxels] deposit of even and of odd batches, before run-off; shared by threads */
    tally_facing facing[2][TALLY_THIRDS][TALLY_SIDES]; /* the same halves; shared too */
    tally_unlike unlike[TALLY_THIRDS][TALLY_SIDES];    /* 0 until it is worked out */
    tally_unlike unlike_all; /* of all thirds and sides together, by deposit; less noise than a mean of the former */
    double leaf_to_leaf;  /* standard deviation of what all leaves get, over the mean; before run-off */
    tally_cell *cell;  /* [TALLY_BATCHES][n_rows][nz][nx], shared by threads */
    tally_wood *wood;  /* the same shape, shared too */
    double *area_m2;   /* [n_rows][nz][nx] leaf area, one side, over the length of row that the run stands for */
    double *wood_area_m2; /* the same of wood, half of its surface */
    int *third;        /* [nz] of the crown's height, 0 to TALLY_THIRDS - 1 */
    double emitted_m3, treated_m2; /* of the same length of all rows */
    double nonvolatile; /* share of the liquid's volume that does not evaporate */
    double spread[2];  /* diameter of a stain over that of a droplet set down gently, by leaf side; for the reader */
    int64_t run_off[TALLY_BATCHES]; /* parts that dripped from leaves and lie on the ground now */
    double run_off_error;           /* standard error of their share of what was emitted */
    int64_t wood_run_off[TALLY_BATCHES]; /* the same of wood */
    double wood_run_off_error;
};

/** Accounts of no deposit, areas 0, all in the bottom third. The caller ends it with tally_leaves_free(); NULL after a
 *  failure. */
drupelet_status tally_leaves_create(int n_rows, int nz, int ny, int nx, tally_leaves **leaves);
void tally_leaves_free(tally_leaves *leaves); /* NULL is allowed */
/** What droplets fill while they fly, as numbers that add up: array number i from 0; NULL beyond the last.
 *  @param n out: numbers in it, all batches */
int64_t *tally_leaves_array(const tally_leaves *leaves, int i, int64_t *n);
/** Adds what lies on the second to the first, of the same orchard; before run-off. */
void tally_leaves_merge(tally_leaves *sum, const tally_leaves *more);
static inline int64_t tally_leaves_cells(const tally_leaves *leaves) /* of one batch */
{
    return (int64_t)leaves->n_rows * leaves->nz * leaves->nx;
}
/** Side of the row that a cell lies on, 0 towards -x. */
static inline int tally_leaves_side(const tally_leaves *leaves, int ix)
{
    return 2 * ix + 1 > leaves->nx;
}

/** Liquid, in parts of the volume emitted, of parts that stay. @param whole_m, arrives_m as in tally_mark_of() */
int64_t tally_liquid_of(int64_t kept, double whole_m, double arrives_m);
/** What an impact leaves on a leaf, in parts. */
typedef struct { int64_t liquid, stain, number, seen; } tally_mark;
/** @param before    parts of the droplets that meet the leaf  @param kept parts that stay, each droplet the same share
 *  @param whole_m   diameter of the liquid in one droplet had nothing evaporated
 *  @param arrives_m diameter of the liquid in one droplet as it arrives; above whole_m where it took on water
 *  @param spread    diameter of the stain over that of the liquid that stays */
tally_mark tally_mark_of(int64_t before, int64_t kept, double whole_m, double arrives_m, double spread);
/** Adds what stays on wood. Many threads may add to one cell. @param liquid of it that arrives, in parts */
void tally_wood_add(tally_wood *wood, int64_t kept, int64_t liquid);
/** Adds it. Many threads may add to one cell; the sums do not depend on the order. */
void tally_leaves_add(tally_cell *cell, int leaf_side, int64_t kept, const tally_mark *mark);

/** Adds the same droplets to the accounts of how leaves differ. @param towards direction they came in, length 1 */
void tally_leaves_face(tally_leaves *leaves, int i_batch, int64_t voxel, int third, int side, int leaf_side, int kind,
                       const float towards[3], int64_t kept);

/** Share of an area that is covered by stains that lie at random: layers is their summed area over that area, on the
 *  mean of leaves that differ in it as a gamma distribution does. @param unlike2 variance over the mean squared */
double tally_covered(double layers, double unlike2);

/** Sums over the cells of each row, third, side and leaf side. */
typedef struct tally_coverage tally_coverage;
/** Works them out from accounts with leaves. The caller ends it with tally_coverage_free(); it borrows the accounts. */
drupelet_status tally_coverage_create(const tally *accounts, tally_coverage **coverage);
void tally_coverage_free(tally_coverage *coverage); /* NULL is allowed */

/** What is asked for: a row from 0, a third, a side of the row, a leaf side; -1 stands for all. Both leaf sides
 *  together count on the area of one side for volumes, and as the mean of the two for cover and number. */
typedef struct { int row, third, side, leaf_side; } tally_where;

double tally_leaf_area_m2(const tally_coverage *coverage, tally_where where); /* one side */
/** Share of leaf area covered: the mean over leaf area of what tally_covered() gives in each cell. Value and standard
 *  error by the jackknife over batches. NAN without leaves, as below. */
tally_estimate tally_cover(const tally_coverage *coverage, tally_where where);
/** Droplets that left a stain, over leaf area, 1/m2. */
tally_estimate tally_droplets_1_m2(const tally_coverage *coverage, tally_where where);
/** Those of them whose stain is TALLY_SEEN_M across or more. */
tally_estimate tally_seen_1_m2(const tally_coverage *coverage, tally_where where);
/** Spray as emitted that holds the active ingredient found on the leaves, over leaf area, m. */
tally_estimate tally_leaf_deposit_m(const tally_coverage *coverage, tally_where where);
/** Liquid that arrived on leaves and stayed, over leaf area, m. */
tally_estimate tally_leaf_liquid_m(const tally_coverage *coverage, tally_where where);
/** Active ingredient on leaves over leaf area, over active ingredient emitted over treated ground. */
tally_estimate tally_leaf_deposit_of_rate(const tally_coverage *coverage, tally_where where);
/** Share of everything emitted that dripped from leaves. */
tally_estimate tally_run_off(const tally *accounts);
tally_estimate tally_wood_run_off(const tally *accounts); /* the same from wood */

#endif
