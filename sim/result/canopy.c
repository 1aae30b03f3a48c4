/* sim/result/canopy.c - leaves and what is on them: by voxel; by row, third of the crown and side; of all leaves. */
#include <math.h>
#include <string.h>

#include "base/status.h"
#include "result/quantity.h"
#include "scenario/scenario.h"
#include "tally/leaves.h"

#define UG_CM2_A_KG_HA 10.0 /* 1 kg/ha is 10 ug/cm2 of ground */

const char *result_third_name(int i)
{
    static const char *const NAME[TALLY_THIRDS] = {"bottom", "middle", "top"};
    return i < TALLY_THIRDS ? NAME[i] : NULL;
}

const char *result_side_name(int i)
{
    static const char *const NAME[TALLY_SIDES] = {"towards_minus_x", "towards_plus_x"};
    return i < TALLY_SIDES ? NAME[i] : NULL;
}

static const char *leaf_side_name(int i)
{
    static const char *const NAME[2] = {"lower", "upper"};
    return NAME[i];
}

static const char *unlike_name(int i)
{
    static const char *const NAME[RESULT_UNLIKE] = {"place", "angle", "shade"};
    return NAME[i];
}

#define ROW(name) RESULT_FIELD(row, result_row, name)
#define COVER "leaf area covered by stains, of the area of that side of the leaves"
#define DROPLETS "droplets that left a stain, over the area of that side of the leaves"
#define VISIBLE "droplets whose stain is 50 um across or more, over the area of that side"
#define DEPOSIT "volume of spray as emitted that the leaves hold the active ingredient of, over their one-sided area"
#define LIQUID "liquid that arrived on the leaves and stayed, over their one-sided area"
#define NORMALISED "active ingredient over one-sided leaf area, for 1 kg/ha emitted over the treated area"

static const result_quantity QUANTITIES[] = {
    {"row", NULL, RESULT_INT32, "1", "row, counted from the one at x = 0", .place.none = true, .use = RESULT_IN_SUMMARY,
     .summary = {.rank = 70, .key = "leaves_by_row_L_of_100_L", .own_key = "row"},
     .count = offsetof(drupelet_result, n_rows), .first = 1, .most = SCENARIO_ROWS},
    {"z", NULL, RESULT_DOUBLE, "m", "height of the voxel's middle above the ground", RESULT_APART(z_m),
     .count = offsetof(drupelet_result, nz), .mark = "Z", .most = SCENARIO_VOXELS_MOST},
    {"y", NULL, RESULT_DOUBLE, "m", "the voxel's middle along the row; the pattern repeats after the last",
     RESULT_APART(y_m), .count = offsetof(drupelet_result, ny), .mark = "Y", .most = SCENARIO_VOXELS_MOST},
    {"x", NULL, RESULT_DOUBLE, "m", "the voxel's middle across, from the row line", RESULT_APART(x_m),
     .count = offsetof(drupelet_result, nx), .mark = "X", .most = SCENARIO_VOXELS_MOST},
    {"row_x", "row", RESULT_DOUBLE, "m", "place of the row line across", ROW(x_m), RESULT_IN_PAGE | RESULT_ORDERED},
    {"voxel_edge", "", RESULT_DOUBLE, "m", "edge of a voxel across the row and up", RESULT_AT(voxel_m)},
    {"voxel_edge_along", "", RESULT_DOUBLE, "m", "edge of a voxel along the row", RESULT_AT(voxel_y_m)},
    {"leaf_deposit", "row z y x", RESULT_DOUBLE, "1", "deposit on the leaves of a voxel, share of the output",
     RESULT_APART(leaf_deposit), .high = 1.0 + 1e-4},
    {"leaf_deposit_per_leaf_area", "row z y x", RESULT_FLOAT, "uL/cm2",
     "volume of spray as emitted that the leaves of a voxel hold the active ingredient of, over their one-sided area; "
     "not a number where there are no leaves",
     RESULT_APART(leaf_deposit_uL_cm2), RESULT_MAY_BE_NONE, .high = 1e9},
    {"leaf_area_density", "row z y x", RESULT_FLOAT, "m2/m3", "one-sided leaf area per volume",
     RESULT_APART(leaf_area_density_1_m), .high = 1e9},
    {"wood_area_density", "row z y x", RESULT_FLOAT, "m2/m3", "half the wood's surface per volume",
     RESULT_APART(wood_area_density_1_m), .high = 1e9},
    {"third", NULL, RESULT_TEXT, NULL, "third of the crown's height", .length = TALLY_THIRDS, .word = result_third_name,
     .place.none = true},
    {"side", NULL, RESULT_TEXT, NULL, "half of the row", .length = TALLY_SIDES, .word = result_side_name,
     .place.none = true},
    {"row_deposit", "row third side", RESULT_SHARE, "1", "deposit on leaves, share of the output", ROW(leaf),
     RESULT_IN_PAGE},
    {"deposit_of_row_by_third", "row third", RESULT_SHARE, "1", "deposit on leaves of both sides, share of the output",
     ROW(third), RESULT_IN_SUMMARY, .summary = {.factor = 100.0}},
    {"deposit_by_third", "third", RESULT_SHARE, "1", "deposit on leaves of all rows, both sides, share of the output",
     RESULT_AT(third_together), RESULT_IN_SUMMARY,
     .summary = {.rank = 80, .key = "leaves_by_third_L_of_100_L", .factor = 100.0}},
    {"deposit_on_leaves", "", RESULT_SHARE, "1", "deposit on leaves, share of the output", RESULT_AT(leaves_together)},
    {"leaf_side", NULL, RESULT_TEXT, NULL, "side of the leaf", .length = 2, .word = leaf_side_name, .place.none = true},
    {"leaf_side_deposit", "leaf_side", RESULT_SHARE, "1", "deposit on leaves, share of the output",
     RESULT_AT(leaf_side), RESULT_IN_PAGE},
    {"deposit_of_row", "row", RESULT_SHARE, "1", "deposit on leaves of the row, share of the output", ROW(together),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_IN_SUMMARY, .summary = {.key = "together", .factor = 100.0}},
    {"deposit_of_third", "third side", RESULT_SHARE, "1", "deposit on leaves of all rows, share of the output",
     RESULT_AT(third), RESULT_IN_PAGE | RESULT_MAY_LACK},
    {"leaf_area", "row third side", RESULT_DOUBLE, "m2/m", "one-sided leaf area per length of row", ROW(leaf_area_m2_m),
     RESULT_MAY_LACK},
    {"coverage", "row third side leaf_side", RESULT_SHARE, "percent", COVER, ROW(cover_percent),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"coverage_all", "leaf_side", RESULT_SHARE, "percent", "all leaves: " COVER, RESULT_AT(cover_percent),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE,
     .column = {.rank = 7, .name = {"cover_lower", "cover_upper"},
                .meaning = {"lower sides of leaves under stains, percent of their area",
                            "upper sides of leaves under stains, percent of their area"}}},
    {"droplet_density", "row third side leaf_side", RESULT_SHARE, "1/cm2", DROPLETS, ROW(all_droplets_1_cm2),
     RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"droplet_density_all", "leaf_side", RESULT_SHARE, "1/cm2", "all leaves: " DROPLETS, RESULT_AT(all_droplets_1_cm2),
     RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"visible_droplet_density", "row third side leaf_side", RESULT_SHARE, "1/cm2", VISIBLE, ROW(droplets_1_cm2),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"visible_droplet_density_all", "leaf_side", RESULT_SHARE, "1/cm2", "all leaves: " VISIBLE,
     RESULT_AT(droplets_1_cm2), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"deposit_per_leaf_area", "row third side", RESULT_SHARE, "uL/cm2", DEPOSIT, ROW(deposit_uL_cm2),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"deposit_per_leaf_area_all", "", RESULT_SHARE, "uL/cm2", "all leaves: " DEPOSIT, RESULT_AT(deposit_uL_cm2),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE,
     .column = {.rank = 8, .name = {"deposit_per_leaf_area"},
                .meaning = {"spray as emitted over one-sided leaf area"}}},
    {"liquid_per_leaf_area", "row third side", RESULT_SHARE, "uL/cm2", LIQUID, ROW(liquid_uL_cm2),
     RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"liquid_per_leaf_area_all", "", RESULT_SHARE, "uL/cm2", "all leaves: " LIQUID, RESULT_AT(liquid_uL_cm2),
     RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"normalised_deposit", "row third side", RESULT_SHARE, "ug/cm2/(kg/ha)", NORMALISED, ROW(normalised_ug_cm2),
     RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"normalised_deposit_all", "", RESULT_SHARE, "ug/cm2/(kg/ha)", "all leaves: " NORMALISED,
     RESULT_AT(normalised_ug_cm2), RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"run_off", "", RESULT_SHARE, "1",
     "share of the output that dripped from leaves (it lies on the ground under the rows)", RESULT_AT(run_off),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE,
     .column = {.rank = 6, .name = {"run_off"},
                .meaning = {"dripped from leaves (part of ground_row), percent of the output"}}},
    {"wood_run_off", "", RESULT_SHARE, "1",
     "share of the output that dripped from wood (it lies on the ground under the rows)", RESULT_AT(wood_run_off),
     RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"unlike_by", NULL, RESULT_TEXT, NULL,
     "why leaves of one place differ: their place along the row, the way they face, leaves right in front",
     .length = RESULT_UNLIKE, .word = unlike_name, .place.none = true, .use = RESULT_MAY_LACK},
    {"leaf_to_leaf", "", RESULT_DOUBLE, "percent",
     "deposit of single leaves, all of them, before run-off: standard deviation over the mean, without the noise of "
     "few droplets",
     RESULT_AT(leaf_to_leaf_percent), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e6},
    {"leaf_to_leaf_within", "third side unlike_by", RESULT_DOUBLE, "percent",
     "the same of leaves at one height and place across, by its cause", RESULT_AT(unlike_percent),
     RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e6},
    {"leaf_to_leaf_by", "unlike_by", RESULT_DOUBLE, "percent", "the same of all leaves, weighted by deposit",
     RESULT_AT(unlike_all_percent), RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e6},
    {"retention", "", RESULT_DOUBLE, "L/m2", "liquid that leaves hold, over their one-sided area",
     RESULT_AT(retention_L_m2), RESULT_MAY_LACK},
    {"spread_at_rest", "leaf_side", RESULT_DOUBLE, "1",
     "diameter of the stain of a droplet set down gently, over that of the droplet", RESULT_AT(spread_at_rest),
     RESULT_MAY_LACK},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    r->n_rows = o->canopy->n_rows;
    r->nz = o->canopy->nz;
    r->ny = o->canopy->ny;
    r->nx = o->canopy->nx;
}

static void fill_middles(int n, double first, double step, double *middle)
{
    for (int i = 0; i < n; i++)
        middle[i] = first + (i + 0.5) * step;
}

static void fill_voxels(const run_outcome *o, drupelet_result *r)
{
    const orchard_canopy *c = o->canopy;
    const int64_t n = orchard_voxels(c);
    const double emitted_m3 = o->sprayer.emitted_per_length_m2 * c->period_m;
    const double voxel_m3 = c->edge_m * c->edge_m * c->edge_y_m;
    for (int64_t i = 0; i < n; i++) {
        const double leaf_m2 = (double)c->leaf_area_density_1_m[i] * voxel_m3;
        r->leaf_deposit[i] = (double)o->accounts->voxel[i] / (double)o->accounts->to_emit;
        r->leaf_deposit_uL_cm2[i] =
            leaf_m2 > 0.0 ? (float)(RESULT_UL_CM2_A_METRE * r->leaf_deposit[i] * emitted_m3 / leaf_m2) : NAN;
    }
    memcpy(r->leaf_area_density_1_m, c->leaf_area_density_1_m, (size_t)n * sizeof(float));
    memcpy(r->wood_area_density_1_m, c->wood_area_density_1_m, (size_t)n * sizeof(float));
}

/* The deposits of row i. */
static void fill_row(const run_outcome *o, const tally_coverage *coverage, int i, result_row *row)
{
    const orchard_canopy *c = o->canopy;
    row->x_m = i == 0 ? 0.0 : -i * c->row_spacing_m;
    row->together = tally_row(o->accounts, i, -1, -1);
    for (int t = 0; t < TALLY_THIRDS; t++)
        row->third[t] = tally_row(o->accounts, i, t, -1);
    for (int t = 0; t < TALLY_THIRDS; t++)
        for (int s = 0; s < TALLY_SIDES; s++) {
            const tally_where here = {i, t, s, -1};
            row->leaf[t][s] = tally_row(o->accounts, i, t, s);
            row->leaf_area_m2_m[t][s] = tally_leaf_area_m2(coverage, here) / c->period_m;
            row->deposit_uL_cm2[t][s] = result_times(RESULT_UL_CM2_A_METRE, tally_leaf_deposit_m(coverage, here));
            row->liquid_uL_cm2[t][s] = result_times(RESULT_UL_CM2_A_METRE, tally_leaf_liquid_m(coverage, here));
            row->normalised_ug_cm2[t][s] = result_times(UG_CM2_A_KG_HA, tally_leaf_deposit_of_rate(coverage, here));
            for (int l = 0; l < 2; l++) {
                const tally_where side = {i, t, s, l};
                row->cover_percent[t][s][l] = result_times(100.0, tally_cover(coverage, side));
                row->all_droplets_1_cm2[t][s][l] = result_times(1e-4, tally_droplets_1_m2(coverage, side));
                row->droplets_1_cm2[t][s][l] = result_times(1e-4, tally_seen_1_m2(coverage, side));
            }
        }
}

static void put_unlike(const tally_leaves *leaves, const tally_unlike *u, double percent[RESULT_UNLIKE])
{
    const double by[RESULT_UNLIKE] = {u->place2, u->angle2[2], u->shade2};
    for (int k = 0; k < RESULT_UNLIKE; k++)
        percent[k] = isnan(leaves->leaf_to_leaf) ? (double)NAN : 100.0 * sqrt(by[k]);
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const orchard_canopy *c = o->canopy;
    const tally *a = o->accounts;
    const tally_where all = {-1, -1, -1, -1};
    tally_coverage *coverage = NULL;
    const drupelet_status status = tally_coverage_create(a, &coverage);
    if (status.code != DRUPELET_OK) return status;
    fill_middles(c->nz, 0.0, c->edge_m, r->z_m);
    fill_middles(c->ny, 0.0, c->edge_y_m, r->y_m);
    fill_middles(c->nx, -c->half_width_m, c->edge_m, r->x_m);
    r->voxel_m = c->edge_m;
    r->voxel_y_m = c->edge_y_m;
    fill_voxels(o, r);
    for (int i = 0; i < c->n_rows; i++)
        fill_row(o, coverage, i, &r->row[i]);
    r->leaves_together = tally_row(a, -1, -1, -1);
    for (int t = 0; t < TALLY_THIRDS; t++) {
        r->third_together[t] = tally_row(a, -1, t, -1);
        for (int s = 0; s < TALLY_SIDES; s++)
            r->third[t][s] = tally_row(a, -1, t, s);
    }
    for (int l = 0; l < 2; l++) {
        const tally_where side = {-1, -1, -1, l};
        r->leaf_side[l] = tally_share(a, &a->leaf_side[0][l], 2);
        r->cover_percent[l] = result_times(100.0, tally_cover(coverage, side));
        r->all_droplets_1_cm2[l] = result_times(1e-4, tally_droplets_1_m2(coverage, side));
        r->droplets_1_cm2[l] = result_times(1e-4, tally_seen_1_m2(coverage, side));
        r->spread_at_rest[l] = a->leaves->spread[l];
    }
    r->deposit_uL_cm2 = result_times(RESULT_UL_CM2_A_METRE, tally_leaf_deposit_m(coverage, all));
    r->liquid_uL_cm2 = result_times(RESULT_UL_CM2_A_METRE, tally_leaf_liquid_m(coverage, all));
    r->normalised_ug_cm2 = result_times(UG_CM2_A_KG_HA, tally_leaf_deposit_of_rate(coverage, all));
    r->run_off = tally_run_off(a);
    r->wood_run_off = tally_wood_run_off(a);
    r->leaf_to_leaf_percent = 100.0 * a->leaves->leaf_to_leaf;
    for (int t = 0; t < TALLY_THIRDS; t++)
        for (int s = 0; s < TALLY_SIDES; s++)
            put_unlike(a->leaves, &a->leaves->unlike[t][s], r->unlike_percent[t][s]);
    put_unlike(a->leaves, &a->leaves->unlike_all, r->unlike_all_percent);
    r->retention_L_m2 = 1e3 * o->scenario->canopy.retention_m;
    tally_coverage_free(coverage);
    return base_ok();
}

static const char *settle(drupelet_result *r, const char **found)
{
    *found = "an edge that is not above 0 m";
    return !(r->voxel_m > 0.0) ? "voxel_edge" : !(r->voxel_y_m > 0.0) ? "voxel_edge_along" : NULL;
}

const result_group result_canopy = {
    "canopy", "leaves and what is on them", QUANTITIES, RESULT_COUNT(QUANTITIES), count, fill, settle};
