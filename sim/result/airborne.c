/* sim/result/airborne.c - what goes through upright planes downwind of the block. */
#include "base/status.h"
#include "result/quantity.h"

enum { MOST_BINS = 1 << 16 }; /* of height; choice: the highest domain has some hundred */

static const result_quantity QUANTITIES[] = {
    {"plane", NULL, RESULT_DOUBLE, "m", "distance of the plane downwind of the block", RESULT_AT(plane_distance_m),
     RESULT_IN_PAGE, .length = TALLY_PLANES},
    {"z", NULL, RESULT_DOUBLE, "m", "height of the bin's middle above the ground", RESULT_APART(flux_z_m),
     RESULT_IN_PAGE, .count = offsetof(drupelet_result, n_flux), .mark = "Z", .most = MOST_BINS},
    {"net_flux", "plane z", RESULT_SHARE, "percent/m",
     "active ingredient through the plane, downwind minus back, percent of the output per metre of height",
     RESULT_APART(flux_percent_per_m), RESULT_IN_PAGE | RESULT_MAY_BE_NONE, .low = -1e9, .high = 1e9},
    {"net_flux_all_heights", "plane", RESULT_SHARE, "percent",
     "active ingredient through the plane, downwind minus back, percent of the output", RESULT_AT(flux_percent),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE | RESULT_IN_SUMMARY, .low = -1e9, .high = 1e9,
     .summary = {.rank = 110, .key = "airborne_percent_of_output"},
     .column = {.rank = 3, .batched = true, .target = SCENARIO_TARGET_DRIFT + SCENARIO_CURVE}},
    {"band", NULL, RESULT_DOUBLE, "m", "lower end of a band of height; the last is open at the top",
     RESULT_AT(band_from_m), .length = TALLY_BANDS},
    {"net_flux_by_band", "plane band", RESULT_SHARE, "percent",
     "active ingredient through the plane in the band, downwind minus back, percent of the output",
     RESULT_AT(band_percent), RESULT_IN_PAGE | RESULT_MAY_BE_NONE, .low = -1e9, .high = 1e9},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    r->n_flux = o->accounts->shape.n_flux;
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const tally *a = o->accounts;
    const int n = TALLY_PLANES * r->n_flux;
    for (int p = 0; p < TALLY_PLANES; p++) {
        r->plane_distance_m[p] = a->shape.plane_distance_m[p];
        r->flux_percent[p] = result_times(100.0, tally_plane(a, p, 0, r->n_flux));
    }
    for (int i = 0; i < TALLY_BANDS; i++) {
        r->band_from_m[i] = tally_band_from_m(i);
        for (int p = 0; p < TALLY_PLANES; p++)
            r->band_percent[p][i] = result_times(100.0, tally_band(a, p, i));
    }
    for (int i = 0; i < r->n_flux; i++)
        r->flux_z_m[i] = (i + 0.5) * TALLY_FLUX_STEP_M;
    for (int i = 0; i < n; i++)
        r->flux_percent_per_m[i] = result_times(100.0 / TALLY_FLUX_STEP_M, tally_share(a, &a->flux[i], n));
    return base_ok();
}

const result_group result_airborne = {"airborne", "what goes through upright planes downwind of the block",
                                      QUANTITIES, RESULT_COUNT(QUANTITIES),
                                      count,      fill,
                                      NULL};
