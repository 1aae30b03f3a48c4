/* sim/verify/leaf_deposit.c - what leaves hold and how they are covered: retention, run-off, stains, cover and units,
 * through the same accounts that a run keeps. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "drupelet/scenario.h"
#include "run/run.h"
#include "scenario/keys.h"
#include "tally/unlike.h"
#include "verify/checks.h"
#include "verify/table.h"

/* ---- retention ---- */

/* Standard deviation over the mean of leaves within one region of a peach tree, such that 95 % of them have half the
 * mean (twice the mean brings them to the dose); and what they then lose at the point of run-off. */
static double deviation_for(double times_mean)
{
    double low = 0.05, high = 3.0;
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (low + high), k = 1.0 / (middle * middle);
        if (droplet_gamma_above(k, k / times_mean) > 0.95)
            low = middle;
        else
            high = middle;
    }
    return high;
}

/* Round trees, 4 m high, sprayed from both sides: the trial with peaches names neither trees nor sprayer. */
static const char TREES[] =
    "orchard: {rows: 3, row_spacing: 5.5 m, tree_spacing: 4.5 m, trees: 3}\n"
    "canopy: {crown: globe, height: 4 m, base: 0.7 m, width: 4 m, leaf_area_index: 2, voxel: 0.25 m}\n"
    "tips: {cone: {kind: hollow_cone, size: 04}}\n"
    "sprayer:\n"
    "  travel_speed: 4 km/h\n"
    "  fan: {reference_speed: 540 rpm, reference_flow: 10 m3/s, reference_power: 25 kW}\n"
    "  outlets: [{kind: arc, side: both, centre_height: 1 m, radius: 0.5 m, from: -5 deg, to: 70 deg, slot: 150 mm}]\n"
    "  pressure: 10 bar\n"
    "  nozzles: [{side: both, tip: cone, offset: 0.5 m, height: 1 m, angle: 5 deg},\n"
    "            {side: both, tip: cone, offset: 0.45 m, height: 1.2 m, angle: 20 deg},\n"
    "            {side: both, tip: cone, offset: 0.4 m, height: 1.35 m, angle: 35 deg},\n"
    "            {side: both, tip: cone, offset: 0.3 m, height: 1.45 m, angle: 55 deg}]\n"
    "weather: {temperature: 20 degC, relative_humidity: 60 %, wind_speed: 2 m/s, wind_angle: 0 deg}\n"
    "run: {wind: profiles}\n";
enum { DROPLETS = 16000 };

/* How the leaves of a region differ in a run, by leaf area: variance over the mean squared. */
static drupelet_status unlike_in_trees(double *unlike2)
{
    drupelet_scenario *s = NULL;
    run_outcome *o = NULL;
    drupelet_status status = drupelet_scenario_read_text("round trees", TREES, sizeof TREES - 1, NULL, 0, &s);
    if (status.code == DRUPELET_OK)
        status = run_in_air(s, &(drupelet_run_options){.n_droplets = DROPLETS}, NULL, &o);
    *unlike2 = status.code == DRUPELET_OK ? tally_unlike_both(&o->accounts->leaves->unlike_all) : 0.0;
    run_outcome_free(o);
    drupelet_scenario_free(s);
    return status;
}

drupelet_status verify_retention(verify_list *list)
{
    verify_table *t = NULL;
    double unlike2 = 0.0;
    drupelet_status status = verify_table_open("leaf_retention", &t);
    if (status.code == DRUPELET_OK) status = unlike_in_trees(&unlike2);
    const double deviation = sqrt(unlike2), k = unlike2 > 0.0 ? 1.0 / unlike2 : 1.0;
    for (int i = 0; status.code == DRUPELET_OK && i < verify_table_rows(t); i++) {
        const char *what = verify_table_text(t, i, "what");
        const double low = verify_table_number(t, i, "low"), high = verify_table_number(t, i, "high");
        if (strcmp(what, "storage") == 0)
            verify_compare_range(list, "leaf_deposit.storage", low, high,
                                 strtod(scenario_key_of("canopy.retention")->otherwise, NULL), "retention by default");
        else if (strcmp(what, "lost_at_the_point") == 0)
            verify_compare(list, "leaf_deposit.at_the_point", 0.5 * (low + high), droplet_run_off(1.0, deviation).lost,
                           "lost at the point of run-off, one region");
        else if (strcmp(what, "mean_for_95") == 0)
            verify_compare(list, "leaf_deposit.peach", deviation_for(low), deviation,
                           "leaf to leaf in a region, deviation over mean");
        else if (strcmp(what, "above_the_mean") == 0)
            verify_compare_range(list, "leaf_deposit.half", low, high, droplet_gamma_above(k, k),
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
        status = tally_leaves_create(1, 1, 1, 1, &(*accounts)->leaves);
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
