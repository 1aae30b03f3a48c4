/* sim/result/ground.c - deposit on the ground, strip by strip, and drift. */
#include "base/status.h"
#include "result/quantity.h"

enum { MOST_STRIPS = 1 << 16 }; /* choice: the largest domain has some thousand */

static const result_quantity QUANTITIES[] = {
    {"x", NULL, RESULT_DOUBLE, "m", "middle of a strip of ground, across the rows", RESULT_APART(ground_x_m),
     .count = offsetof(drupelet_result, n_ground), .mark = "X", .most = MOST_STRIPS},
    {"distance", "x", RESULT_DOUBLE, "m", "distance downwind of the block; negative inside it and upwind",
     RESULT_APART(ground_distance_m), RESULT_IN_PAGE | RESULT_ORDERED},
    {"percent_of_rate", "x", RESULT_SHARE, "percent",
     "deposit per ground area over volume emitted per treated area (percent of the application rate)",
     RESULT_APART(ground_percent_of_rate), RESULT_IN_PAGE | RESULT_MAY_BE_NONE, .high = 1e9,
     .note = {"coordinates", "distance"}},
    {"percent_of_output", "x", RESULT_SHARE, "percent", "deposit on the strip, percent of the output",
     RESULT_APART(ground_percent_of_output), .note = {"coordinates", "distance"}},
    {"strip_width", "", RESULT_DOUBLE, "m", "width of a strip (the last one ends with the domain)", RESULT_AT(strip_m)},
    {"block_low_x", "", RESULT_DOUBLE, "m", "edge of the block towards -x, half a row outside the trunks",
     RESULT_AT(block_low_x_m), RESULT_IN_PAGE},
    {"block_high_x", "", RESULT_DOUBLE, "m", "edge of the block towards +x, half a row outside the trunks",
     RESULT_AT(block_high_x_m), RESULT_IN_PAGE},
    {"treated_width", "", RESULT_DOUBLE, "m",
     "width of the treated ground, over which the application rate is reckoned", RESULT_AT(treated_width_m),
     RESULT_IN_PAGE | RESULT_IN_SUMMARY, .high = 1e5, .summary = {.rank = 30}},
    {"downwind", "", RESULT_DOUBLE, "1", "sign of x downwind: 1 or -1", RESULT_AT(downwind), RESULT_IN_PAGE,
     .low = -1.0, .high = 1.0},
    {"curve_distance", NULL, RESULT_DOUBLE, "m", "distance downwind of the block", RESULT_AT(curve_distance_m),
     RESULT_IN_PAGE, .length = SCENARIO_CURVE},
    {"curve", "curve_distance", RESULT_SHARE, "percent",
     "deposit on the ground at the distance, mean over 1 m, percent of the application rate", RESULT_AT(curve_percent),
     RESULT_IN_PAGE | RESULT_MAY_BE_NONE | RESULT_IN_SUMMARY, .high = 1e9,
     .summary = {.rank = 100, .key = "ground_percent_of_rate", .line = "at", .lacks_aloft = true,
                 .heading = "Drift on the ground: deposit at a distance downwind of the block, % of the application "
                            "rate"},
     .column = {.rank = 2, .batched = true, .target = SCENARIO_TARGET_DRIFT}},
    {"drift_distance", NULL, RESULT_DOUBLE, "m", "distance downwind of the block", RESULT_AT(drift_distance_m),
     RESULT_IN_PAGE, .length = SCENARIO_SUMS},
    {"drift_sum", "drift_distance", RESULT_SHARE, "percent",
     "sum: on the ground beyond the distance or airborne out of the domain downwind, percent of the output",
     RESULT_AT(drift_sum_percent), RESULT_IN_PAGE | RESULT_MAY_BE_NONE | RESULT_IN_SUMMARY,
     .summary = {.rank = 140, .key = "drift_sum_percent_of_output", .line = "beyond",
                 .heading = "Sum of what lies on the ground beyond a distance and what leaves downwind in the air, L "
                            "of 100 L"},
     .column = {.rank = 4, .batched = true, .target = SCENARIO_TARGET_DRIFT + SCENARIO_CURVE + SCENARIO_PLANES}},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    r->n_ground = o->accounts->shape.n_ground;
}

/* The numbers of one kind by which drift is told. */
static void fill_drift(const tally *a, scenario_drift_kind kind, double distance_m[], tally_estimate percent[])
{
    const int first = scenario_drift_first(kind);
    for (int i = 0; i < scenario_drift_count(kind); i++) {
        distance_m[i] = scenario_drift_numbers[first + i].distance_m;
        percent[i] = result_times(100.0, tally_drift(a, first + i));
    }
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const tally *a = o->accounts;
    const tally_shape *s = &a->shape;
    for (int i = 0; i < s->n_ground; i++) {
        const double low_m = tally_ground_edge_x_m(s, i, 0), high_m = tally_ground_edge_x_m(s, i, 1);
        const tally_estimate share = tally_share(a, &a->ground[i], s->n_ground);
        const double over = tally_rate_over_output(s, high_m - low_m);
        r->ground_x_m[i] = 0.5 * (low_m + high_m);
        r->ground_distance_m[i] = tally_distance_m(s, r->ground_x_m[i]);
        r->ground_percent_of_output[i] = result_times(100.0, share);
        r->ground_percent_of_rate[i] = result_times(100.0, result_times(over, share));
    }
    r->strip_m = TALLY_GROUND_STEP_M;
    r->block_low_x_m = s->edge_low_x_m;
    r->block_high_x_m = s->edge_high_x_m;
    r->treated_width_m = s->treated_width_m;
    r->downwind = s->downwind;
    fill_drift(a, SCENARIO_DRIFT_GROUND, r->curve_distance_m, r->curve_percent);
    fill_drift(a, SCENARIO_DRIFT_SUM, r->drift_distance_m, r->drift_sum_percent);
    return base_ok();
}

static const char *settle(drupelet_result *r, const char **found)
{
    *found = "a place that is not beyond block_low_x";
    return r->block_high_x_m > r->block_low_x_m ? NULL : "block_high_x";
}

const result_group result_ground = {
    "ground", "deposit on the ground and drift", QUANTITIES, RESULT_COUNT(QUANTITIES), count, fill, settle};
