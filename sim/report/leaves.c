/* sim/report/leaves.c - how well the leaves are covered, beside the targets of advisers (common practice: labels to
 * read the numbers by, no measurements and no verdict). */
#include "report/leaves.h"

#include <math.h>

#include "report/text.h"
#include "tally/leaves.h"

/* 85 droplets per cm2 and 10 to 15 % cover for foliar sprays in orchards: advisers' rule, memory. */
static const char TARGETS[] =
    "  advisers aim at some 85 droplets per cm2 and 10 to 15 % cover, counted on cards (common practice)\n";

#define NONE 1e-6 /* of the output: no drop of it would be seen */

static tally_where all_of(int leaf_side)
{
    return (tally_where){-1, -1, -1, leaf_side};
}

static void amount(char *text, size_t size, double factor, tally_estimate e)
{
    report_amount(text, size, factor * e.share, factor * e.error, " +/- ");
}

static void print_side(FILE *to, const tally_coverage *c, const char *what, tally_where where)
{
    char cover[64], seen[64];
    amount(cover, sizeof cover, 100.0, tally_cover(c, where));
    amount(seen, sizeof seen, 1e-4, tally_seen_1_m2(c, where));
    fprintf(to, "  %-22s%20s %% covered%18s droplets per cm2\n", what, cover, seen);
}

void report_leaves_table(const drupelet_result *result, FILE *to)
{
    tally_coverage *c;
    char deposit[64], dripped[64];
    if (!result->accounts->leaves || tally_coverage_create(result->accounts, &c).code != DRUPELET_OK)
        return; /* the lines are a comfort: the result file tells where memory ends */
    if (result->sprayer.stands) {
        fputs("\nLeaves: no cover, droplets or deposit per area, since the sprayer stands still\n", to);
    } else if (tally_leaf_area_m2(c, all_of(-1)) > 0.0) {
        fputs("\nLeaves, mean over leaf area (droplets: with a stain of 50 um or more)\n", to);
        print_side(to, c, "upper sides", all_of(1));
        print_side(to, c, "lower sides", all_of(0));
        fputs(TARGETS, to);
        amount(deposit, sizeof deposit, 1e5, tally_leaf_deposit_m(c, all_of(-1)));
        amount(dripped, sizeof dripped, 100.0, tally_run_off(result->accounts));
        fprintf(to, "  deposit %s uL of spray per cm2 of leaf; leaves hold %g uL per cm2\n", deposit,
                1e5 * result->scenario->canopy.retention_m);
        if (tally_run_off(result->accounts).share < NONE)
            fputs("  no run-off\n", to);
        else
            fprintf(to, "  run-off %s L of 100 L, counted on the ground under the rows\n", dripped);
    }
    tally_coverage_free(c);
}

static void json_estimate(FILE *to, const char *key, double factor, tally_estimate e, const char *after)
{
    fprintf(to, "\"%s\": ", key);
    if (isfinite(e.share) && isfinite(e.error))
        fprintf(to, "{\"value\": %.9g, \"standard_error\": %.9g}%s", factor * e.share, factor * e.error, after);
    else
        fprintf(to, "null%s", after);
}

void report_leaves_json(const drupelet_result *result, FILE *to)
{
    tally_coverage *c;
    if (!result->accounts->leaves || tally_coverage_create(result->accounts, &c).code != DRUPELET_OK)
        return;
    static const char *const SIDE[2] = {"lower_side", "upper_side"};
    fputs("\"leaves\": {\n", to);
    for (int side = 1; side >= 0; side--) {
        fprintf(to, "    \"%s\": {", SIDE[side]);
        json_estimate(to, "covered_percent", 100.0, tally_cover(c, all_of(side)), ", ");
        json_estimate(to, "droplets_per_cm2", 1e-4, tally_droplets_1_m2(c, all_of(side)), ", ");
        json_estimate(to, "visible_droplets_per_cm2", 1e-4, tally_seen_1_m2(c, all_of(side)), "},\n");
    }
    fputs("    ", to);
    json_estimate(to, "deposit_uL_per_cm2", 1e5, tally_leaf_deposit_m(c, all_of(-1)), ",\n    ");
    json_estimate(to, "liquid_uL_per_cm2", 1e5, tally_leaf_liquid_m(c, all_of(-1)), ",\n    ");
    json_estimate(to, "normalised_deposit_ug_per_cm2_for_1_kg_per_ha", 10.0, tally_leaf_deposit_of_rate(c, all_of(-1)),
                  ",\n    ");
    json_estimate(to, "run_off_L_of_100_L", 100.0, tally_run_off(result->accounts), "\n  },\n  ");
    tally_coverage_free(c);
}
