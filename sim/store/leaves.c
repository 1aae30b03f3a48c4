/* sim/store/leaves.c - what lies on the leaves, by row, third of the crown, side of the row and side of the leaf. */
#include "store/leaves.h"

#include <stdio.h>
#include <stdlib.h>

#include "tally/leaves.h"

#define UL_CM2_A_METRE 1e5           /* a layer of 1 m is 1e9 uL over 1e4 cm2 */
#define UG_CM2_A_KG_HA 10.0          /* 1 kg/ha is 10 ug/cm2 of ground */

typedef tally_estimate (*leaf_measure)(const tally_coverage *coverage, tally_where where);

/* One measure in every place, and of all leaves under the name with the ending _all. */
typedef struct {
    const char *name, *units, *long_name;
    leaf_measure measure;
    double factor;
    bool by_leaf_side;
} leaf_dataset;

static const leaf_dataset DATASETS[] = {
    {"coverage", "percent", "leaf area covered by stains, of the area of that side of the leaves", tally_cover, 100.0,
     true},
    {"droplet_density", "1/cm2", "droplets that left a stain, over the area of that side of the leaves",
     tally_droplets_1_m2, 1e-4, true},
    {"visible_droplet_density", "1/cm2", "droplets whose stain is 50 um across or more, over the area of that side",
     tally_seen_1_m2, 1e-4, true},
    {"deposit_per_leaf_area", "uL/cm2",
     "volume of spray as emitted that the leaves hold the active ingredient of, over their one-sided area",
     tally_leaf_deposit_m, UL_CM2_A_METRE, false},
    {"liquid_per_leaf_area", "uL/cm2", "liquid that arrived on the leaves and stayed, over their one-sided area",
     tally_leaf_liquid_m, UL_CM2_A_METRE, false},
    {"normalised_deposit", "ug/cm2/(kg/ha)",
     "active ingredient over one-sided leaf area, for 1 kg/ha emitted over the treated area",
     tally_leaf_deposit_of_rate, UG_CM2_A_KG_HA, false},
};

static void put(store_out *out, const char *name, const char *dimensions, const double *value, const double *error,
                const char *units, const char *long_name)
{
    char error_name[96], error_long_name[192];
    snprintf(error_name, sizeof error_name, "%s_standard_error", name);
    snprintf(error_long_name, sizeof error_long_name, "standard error of: %s", long_name);
    store_out_put(out, name, dimensions, STORE_DOUBLE, value, units, long_name);
    store_out_put(out, error_name, dimensions, STORE_DOUBLE, error, units, error_long_name);
}

static tally_where place_of(int i, bool by_leaf_side)
{
    const int place = by_leaf_side ? i / 2 : i;
    return (tally_where){place / (TALLY_THIRDS * TALLY_SIDES), place / TALLY_SIDES % TALLY_THIRDS, place % TALLY_SIDES,
                         by_leaf_side ? i % 2 : -1};
}

/* @param room twice [row][third][side][leaf_side] */
static void write_dataset(store_out *out, const tally_coverage *coverage, int n_rows, const leaf_dataset *d,
                          double *room)
{
    const int n = n_rows * TALLY_THIRDS * TALLY_SIDES * (d->by_leaf_side ? 2 : 1), n_all = d->by_leaf_side ? 2 : 1;
    double *value = room, *error = room + n;
    char name[64], long_name[160];
    for (int i = 0; i < n; i++) {
        const tally_estimate e = d->measure(coverage, place_of(i, d->by_leaf_side));
        value[i] = d->factor * e.share;
        error[i] = d->factor * e.error;
    }
    put(out, d->name, d->by_leaf_side ? "row third side leaf_side" : "row third side", value, error, d->units,
        d->long_name);
    for (int i = 0; i < n_all; i++) {
        const tally_estimate e = d->measure(coverage, (tally_where){-1, -1, -1, d->by_leaf_side ? i : -1});
        value[i] = d->factor * e.share;
        error[i] = d->factor * e.error;
    }
    snprintf(name, sizeof name, "%s_all", d->name);
    snprintf(long_name, sizeof long_name, "all leaves: %s", d->long_name);
    put(out, name, d->by_leaf_side ? "leaf_side" : "", value, error, d->units, long_name);
}

void store_write_leaves(store_out *out, const drupelet_result *result)
{
    const tally *a = result->accounts;
    const int n_rows = a->leaves->n_rows, n = n_rows * TALLY_THIRDS * TALLY_SIDES;
    tally_coverage *coverage = NULL;
    double *room = store_out_memory(out, 4 * (size_t)n, sizeof *room);
    const drupelet_status status = tally_coverage_create(a, &coverage);
    if (out->status.code == DRUPELET_OK)
        out->status = status;
    if (room && coverage) {
        for (int i = 0; i < n; i++)
            room[i] = tally_leaf_area_m2(coverage, place_of(i, false)) / result->canopy->period_m;
        store_out_put(out, "leaf_area", "row third side", STORE_DOUBLE, room, "m2/m",
                      "one-sided leaf area per length of row");
        for (size_t k = 0; k < sizeof DATASETS / sizeof DATASETS[0]; k++)
            write_dataset(out, coverage, n_rows, &DATASETS[k], room);
        const tally_estimate run_off = tally_run_off(a);
        const double retention = 1e3 * result->scenario->canopy.retention_m;
        put(out, "run_off", "", &run_off.share, &run_off.error, "1",
            "share of the output that dripped from leaves (it lies on the ground under the rows)");
        store_out_put(out, "retention", "", STORE_DOUBLE, &retention, "L/m2",
                      "liquid that leaves hold, over their one-sided area");
        store_out_put(out, "spread_at_rest", "leaf_side", STORE_DOUBLE, a->leaves->spread, "1",
                      "diameter of the stain of a droplet set down gently, over that of the droplet");
    }
    tally_coverage_free(coverage);
    free(room);
}
