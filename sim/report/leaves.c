/* sim/report/leaves.c - how well the leaves are covered, beside the targets of advisers (common practice: labels to
 * read the numbers by, no measurements and no verdict). */
#include <math.h>

#include "report/summary.h"
#include "report/text.h"

/* 85 droplets per cm2 and 10 to 15 % cover for foliar sprays in orchards: advisers' rule, memory. */
static const char TARGETS[] =
    "  advisers aim at some 85 droplets per cm2 and 10 to 15 % cover, counted on cards (common practice)\n";

#define NONE 1e-6 /* of the output: no drop of it would be seen */

static void amount(char *text, size_t size, double factor, tally_estimate e)
{
    report_amount(text, size, factor * e.share, factor * e.error, " +/- ");
}

static void print_side(FILE *to, const drupelet_result *r, const char *what, int side)
{
    char cover[64], seen[64];
    amount(cover, sizeof cover, 1.0, r->cover_percent[side]);
    amount(seen, sizeof seen, 1.0, r->droplets_1_cm2[side]);
    fprintf(to, "  %-22s%20s %% covered%18s droplets per cm2\n", what, cover, seen);
}

static bool has_leaves(const drupelet_result *r)
{
    double area = 0.0;
    for (int i = 0; i < r->n_rows; i++)
        for (int t = 0; t < TALLY_THIRDS; t++)
            for (int s = 0; s < TALLY_SIDES; s++)
                area += r->row[i].leaf_area_m2_m[t][s];
    return area > 0.0;
}

/* How single leaves differ, over the mean of all; what makes them differ at one place. */
static void print_unlike(FILE *to, const drupelet_result *r)
{
    const double *by = r->unlike_all_percent;
    fprintf(to,
            "  from leaf to leaf the deposit differs by %.0f %% (standard deviation over the mean)\n"
            "  at one height and depth by %.0f %% along the row, %.0f %% by the way leaves face, %.0f %% by leaves in "
            "front\n",
            r->leaf_to_leaf_percent, by[0], by[1], by[2]);
    if (r->leaf_side[0].share > 0.0)
        fprintf(to, "  upper sides get %.1f times the deposit of lower sides\n",
                r->leaf_side[1].share / r->leaf_side[0].share);
}

void report_leaves_table(FILE *to, const drupelet_result *r)
{
    char deposit[64], dripped[64];
    if (isnan(r->application_rate_L_ha)) {
        fputs("\nLeaves: no cover, droplets or deposit per area, since the sprayer stands still\n", to);
    } else if (has_leaves(r)) {
        fputs("\nLeaves, mean over leaf area (droplets: with a stain of 50 um or more)\n", to);
        print_side(to, r, "upper sides", 1);
        print_side(to, r, "lower sides", 0);
        fputs(TARGETS, to);
        amount(deposit, sizeof deposit, 1.0, r->deposit_uL_cm2);
        amount(dripped, sizeof dripped, 100.0, r->run_off);
        fprintf(to, "  deposit %s uL of spray per cm2 of leaf; leaves hold %g uL per cm2\n", deposit,
                1e2 * r->retention_L_m2);
        if (isfinite(r->leaf_to_leaf_percent)) /* not in older files */
            print_unlike(to, r);
        if (r->run_off.share < NONE)
            fputs("  no run-off\n", to);
        else
            fprintf(to, "  run-off %s L of 100 L, counted on the ground under the rows\n", dripped);
    }
    if (!(r->wood_run_off.share > NONE)) return; /* small, none, or not in the file */
    amount(dripped, sizeof dripped, 100.0, r->wood_run_off);
    fprintf(to, "\nWood\n  run-off %s L of 100 L, counted on the ground under the rows\n", dripped);
}
