/* sim/report/score_canopy.c - measurements on parts of the canopy, beside the voxels and accounts of a result.
 *
 * Standard errors of sums are those of independent parts: a droplet lies on one leaf, so the parts of a sum hardly
 * share any. The layers of a canopy have no error of their own in a result; a layer takes that of its third, with the
 * square of the error in proportion to the deposit.
 *
 * A table can have hundreds of thousands of lines and a result as many voxels, so voxels are summed up to layers
 * once. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "report/score_cells.h"
#include "result/columns.h"

/* -1: all rows (from 0), thirds, sides, layers. */
typedef struct {
    int row, third, side, layer;
} part;

static int third_of_layer(const drupelet_result *r, int iz)
{
    return tally_third(r->z_m[iz], r->canopy_base_m, r->canopy_height_m);
}

/* Sums voxels up to layers where no line before has asked for it. */
static void need_leaves(score_reading *in)
{
    const drupelet_result *r = in->r;
    const double voxel_m3 = r->voxel_m * r->voxel_m * r->voxel_y_m;
    if (in->leaves || !score_fine(in)) return;
    in->leaves = calloc((size_t)r->n_rows * (size_t)r->nz * TALLY_SIDES + 1, sizeof *in->leaves);
    if (!in->leaves) {
        in->csv.status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", in->csv.path);
        return;
    }
    size_t v = 0;
    score_leaves *layer = in->leaves;
    for (size_t i = 0; i < (size_t)r->n_rows * (size_t)r->nz; i++, layer += TALLY_SIDES)
        for (int iy = 0; iy < r->ny; iy++)
            for (int ix = 0; ix < r->nx; ix++, v++) {
                score_leaves *leaves = &layer[2 * ix + 1 > r->nx];
                leaves->deposit += r->leaf_deposit[v];
                leaves->area_m2 += voxel_m3 * (double)r->leaf_area_density_1_m[v];
            }
}

static score_leaves leaves_of(const score_reading *in, part p)
{
    const drupelet_result *r = in->r;
    const score_leaves *leaves = in->leaves;
    score_leaves sum = {0.0, 0.0};
    for (int row = 0; row < r->n_rows; row++)
        for (int iz = 0; iz < r->nz; iz++)
            for (int side = 0; side < TALLY_SIDES; side++, leaves++) {
                if ((p.row >= 0 && p.row != row) || (p.side >= 0 && p.side != side) || (p.layer >= 0 && p.layer != iz)
                    || (p.third >= 0 && p.third != third_of_layer(r, iz)))
                    continue;
                sum.deposit += leaves->deposit;
                sum.area_m2 += leaves->area_m2;
            }
    return sum;
}

/* Deposit by the accounts that have standard errors, share of the output. */
static score_number booked(const drupelet_result *r, part p)
{
    double sum = 0.0, square = 0.0;
    if (p.row < 0 && p.third < 0 && p.side < 0)
        return (score_number){r->fate[TALLY_LEAF].share, r->fate[TALLY_LEAF].error};
    for (int row = 0; row < r->n_rows; row++)
        for (int t = 0; t < TALLY_THIRDS; t++)
            for (int s = 0; s < TALLY_SIDES; s++)
                if ((p.row < 0 || p.row == row) && (p.third < 0 || p.third == t) && (p.side < 0 || p.side == s)) {
                    sum += r->row[row].leaf[t][s].share;
                    square += r->row[row].leaf[t][s].error * r->row[row].leaf[t][s].error;
                }
    return (score_number){sum, sqrt(square)};
}

/* Deposit on the leaves of a part: share of the output. */
static score_number deposit_of(const score_reading *in, part p, const score_leaves *leaves)
{
    if (p.layer < 0) return booked(in->r, p);
    const part third = {p.row, third_of_layer(in->r, p.layer), p.side, -1};
    const double third_deposit = leaves_of(in, third).deposit;
    return (score_number){leaves->deposit, third_deposit > 0.0
                                               ? booked(in->r, third).error * sqrt(leaves->deposit / third_deposit)
                                               : 0.0};
}

/* Words for a part. */
static void name_part(const score_reading *in, part p, double height_m, char place[SCORE_PLACE])
{
    int n = p.row < 0 ? snprintf(place, SCORE_PLACE, "all rows") : snprintf(place, SCORE_PLACE, "row %d", p.row + 1);
    if (p.layer >= 0)
        n += snprintf(place + n, (size_t)(SCORE_PLACE - n), ", %g m high", height_m);
    else if (p.third >= 0)
        n += snprintf(place + n, (size_t)(SCORE_PLACE - n), ", %s", result_third_name(p.third));
    if (p.side >= 0) snprintf(place + n, (size_t)(SCORE_PLACE - n), ", %s", score_text(in, SCORE_SIDE));
}

static int read_side(score_reading *in)
{
    static const char *const wind[] = {"upwind", "downwind"};
    const char *text = score_text(in, SCORE_SIDE);
    const drupelet_result *r = in->r;
    const bool rises = r->n_ground < 2 || r->ground_distance_m[1] > r->ground_distance_m[0]; /* distance with x */
    for (int i = 0; i < 2; i++)
        if (strcmp(text, wind[i]) == 0) return rises ? i : 1 - i;
    return score_word_or(in, SCORE_SIDE, result_side_name, "towards_minus_x, towards_plus_x, upwind or downwind");
}

void score_read_canopy(score_reading *in, bool of_output, score_pair *pair)
{
    static const score_column unused[] = {SCORE_DISTANCE, SCORE_SPAN, SCORE_COLLECTOR_NAME};
    const drupelet_result *r = in->r;
    score_leave_empty(in, "canopy", 3, unused);
    part p = {-1, -1, -1, -1};
    const double row = score_number_or(in, SCORE_ROW, 1, r->n_rows, "the number of a row", 0.0);
    if (row > floor(row)) score_refuse(in, SCORE_ROW, "a whole number from 1 to %d", r->n_rows);
    p.row = (int)row - 1;
    p.third = score_word_or(in, SCORE_THIRD, result_third_name, "bottom, middle or top");
    p.side = read_side(in);
    const double height_m =
        score_number_or(in, SCORE_HEIGHT, 0, r->nz * r->voxel_m, "a height in m inside the canopy", -1.0);
    if (height_m >= 0.0 && p.third >= 0) score_refuse(in, SCORE_HEIGHT, "nothing: either third or height_m");
    need_leaves(in);
    if (!score_fine(in)) return;
    if (height_m >= 0.0) p.layer = (int)fmin(height_m / r->voxel_m, r->nz - 1);
    const score_leaves leaves = leaves_of(in, p);
    const score_number share = deposit_of(in, p, &leaves);
    name_part(in, p, height_m, pair->place);
    if (!(leaves.area_m2 > 0.0)) {
        score_refuse(in, SCORE_KIND, "a part of the canopy with leaves");
        return;
    }
    const double emitted_uL = 1e6 * 0.01 * r->emitted_L_per_100_m * r->ny * r->voxel_y_m; /* over one period */
    const double factor = of_output ? 100.0 : emitted_uL / (1e4 * leaves.area_m2);
    pair->value.simulated = factor * share.value;
    pair->value.error = factor * share.error;
}
