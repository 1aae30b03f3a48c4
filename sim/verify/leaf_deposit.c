/* sim/verify/leaf_deposit.c - what leaves hold and how they are covered: retention, run-off, stains, cover and units,
 * through the same accounts that a run keeps. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "scenario/keys.h"
#include "tally/leaves.h"
#include "verify/checks.h"
#include "verify/table.h"

/* ---- retention ---- */

/* Leaves whose share is beyond a number of times the mean. */
static double leaves_above(double times_mean)
{
    const double k = 1.0 / (DROPLET_LEAF_VARIATION * DROPLET_LEAF_VARIATION);
    return droplet_gamma_above(k, k * times_mean);
}

/* Mean over the dose so that 95 % of the leaves have the dose. */
static double mean_for_95(void)
{
    double low = 1.0, high = 10.0;
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (low + high);
        if (leaves_above(1.0 / middle) < 0.95)
            low = middle;
        else
            high = middle;
    }
    return high;
}

drupelet_status verify_retention(verify_list *list)
{
    verify_table *t = NULL;
    drupelet_status status = verify_table_open("leaf_retention", &t);
    for (int i = 0; status.code == DRUPELET_OK && i < verify_table_rows(t); i++) {
        const char *what = verify_table_text(t, i, "what");
        const double low = verify_table_number(t, i, "low"), high = verify_table_number(t, i, "high");
        if (strcmp(what, "storage") == 0)
            verify_compare_range(list, "leaf_deposit.storage", low, high,
                                 strtod(scenario_key_of("canopy.retention")->otherwise, NULL), "retention by default");
        else if (strcmp(what, "lost_at_the_point") == 0)
            verify_compare_range(list, "leaf_deposit.at_the_point", low, high,
                                 droplet_run_off(1.0, DROPLET_LEAF_VARIATION).lost, "lost at the point of run-off");
        else if (strcmp(what, "mean_for_95") == 0)
            verify_compare(list, "leaf_deposit.peach", low, mean_for_95(), "mean over dose for 95 %% of the leaves");
        else if (strcmp(what, "above_the_mean") == 0)
            verify_compare_range(list, "leaf_deposit.half", low, high, leaves_above(1.0),
                                 "leaves with the mean or more");
    }
    verify_table_free(t);
    return status;
}

/* ---- cover and units ---- */

/* Accounts with one cell of leaves that all batches gave the same: a share of the output on one side of the leaves.
 * @param emitted_m volume emitted over leaf area */
static drupelet_status make_cell(double emitted_m, double ground_per_leaf, double share, double diameter_m,
                                 double spread, tally **accounts)
{
    const tally_shape shape = {.n_rows = 1, .edge_high_x_m = 1.0, .domain_high_x_m = 1.0, .downwind = 1, .n_ground = 1,
                               .n_flux = 1};
    const int64_t each = TALLY_PARTS / TALLY_BATCHES, parts = llround(share * (double)each);
    drupelet_status status = tally_create(&shape, accounts);
    if (status.code == DRUPELET_OK)
        status = tally_leaves_create(1, 1, 1, &(*accounts)->leaves);
    if (status.code != DRUPELET_OK)
        return status;
    tally_leaves *l = (*accounts)->leaves;
    l->area_m2[0] = 1.0;
    l->emitted_m3 = emitted_m;
    l->treated_m2 = ground_per_leaf;
    const tally_mark mark = tally_mark_of(parts, parts, diameter_m, diameter_m, spread);
    for (int b = 0; b < TALLY_BATCHES; b++) {
        (*accounts)->emitted[b][0] = each;
        tally_leaves_add(&l->cell[b], 1, parts, &mark);
    }
    return status;
}

static const tally_where UPPER = {-1, -1, -1, 1}, ALL = {-1, -1, -1, -1};

static drupelet_status compare_cover(verify_list *list, const verify_table *t)
{
    verify_worst numbers = verify_worst_of(list, "leaf_deposit.number"),
                 covers = verify_worst_of(list, "leaf_deposit.cover");
    drupelet_status status = base_ok();
    for (int i = 0; i < verify_table_rows(t) && status.code == DRUPELET_OK; i++) {
        const double d_um = verify_table_number(t, i, "d_um"), layer = verify_table_number(t, i, "deposit_uL_cm2"),
                     spread = verify_table_number(t, i, "spread_factor");
        tally *a = NULL;
        tally_coverage *c = NULL;
        status = make_cell(1e-5 * layer / 0.4, 1.0, 0.4, 1e-6 * d_um, spread, &a);
        if (status.code == DRUPELET_OK)
            status = tally_coverage_create(a, &c);
        if (status.code == DRUPELET_OK) {
            verify_worst_case(&numbers, verify_table_number(t, i, "droplets_per_cm2"),
                              1e-4 * tally_droplets_1_m2(c, UPPER).share, "%g um, %g uL/cm2", d_um, layer);
            verify_worst_case(&covers, verify_table_number(t, i, "coverage_fraction"), tally_cover(c, UPPER).share,
                              "%g um, %g uL/cm2, %g", d_um, layer, spread);
        }
        tally_coverage_free(c);
        tally_free(a);
    }
    verify_worst_compare(list, &numbers, "droplets");
    verify_worst_compare(list, &covers, "cover");
    return status;
}

static drupelet_status compare_units(verify_list *list, const verify_table *t)
{
    verify_worst deposits = verify_worst_of(list, "leaf_deposit.deposit"),
                 rates = verify_worst_of(list, "leaf_deposit.normalised");
    drupelet_status status = base_ok();
    for (int i = 0; i < verify_table_rows(t) && status.code == DRUPELET_OK; i++) {
        const double index = verify_table_number(t, i, "LAI_m2_m2"), rate = verify_table_number(t, i, "volume_L_ha"),
                     share = verify_table_number(t, i, "captured_share");
        tally *a = NULL;
        tally_coverage *c = NULL;
        status = make_cell(1e-7 * rate / index, 1.0 / index, share, 1e-4, 1.0, &a);
        if (status.code == DRUPELET_OK)
            status = tally_coverage_create(a, &c);
        if (status.code == DRUPELET_OK) {
            verify_worst_case(&deposits, verify_table_number(t, i, "deposit_uL_cm2_leaf"),
                              1e5 * tally_leaf_deposit_m(c, ALL).share, "%g L/ha, %g kept", rate, share);
            verify_worst_case(&rates, verify_table_number(t, i, "normalised_ug_cm2_per_kg_ha"),
                              10.0 * tally_leaf_deposit_of_rate(c, ALL).share, "index %g, %g kept", index, share);
        }
        tally_coverage_free(c);
        tally_free(a);
    }
    verify_worst_compare(list, &deposits, "leaf deposit");
    verify_worst_compare(list, &rates, "ug/cm2 for 1 kg/ha");
    return status;
}

static double spot(const verify_table *t, int row)
{
    return droplet_sessile_spread(verify_table_number(t, row, "contact_angle_deg") * BASE_DEGREE);
}

static const verify_model models[] = {{"spot", spot}};

drupelet_status verify_coverage(verify_list *list)
{
    verify_table *cover = NULL, *units = NULL;
    drupelet_status status = verify_columns(list, "leaf_deposit", models, sizeof models / sizeof models[0]);
    if (status.code == DRUPELET_OK) status = verify_table_open("random_cover", &cover);
    if (status.code == DRUPELET_OK) status = verify_table_open("leaf_deposit_units", &units);
    if (status.code == DRUPELET_OK) status = compare_cover(list, cover);
    if (status.code == DRUPELET_OK) status = compare_units(list, units);
    verify_table_free(units);
    verify_table_free(cover);
    return status;
}
