/* sim/report/collectors.c - what the virtual collectors caught. Left out of the table: a line's pieces, the liquid left
 * at impact and the net flux; JSON and the result file have them. */
#include <math.h>

#include "report/summary.h"
#include "report/text.h"
#include "run/collect.h"

static void print_estimate(FILE *to, int width, tally_estimate e)
{
    char text[64];
    report_amount(text, sizeof text, e.share, e.error, " +/- ");
    fprintf(to, " %*s", width - 1, isnan(e.share) ? "" : text);
}

static void print_place(FILE *to, const result_collector *c)
{
    char height[32];
    if (c->top_m > c->height_m)
        snprintf(height, sizeof height, "%g-%g", c->height_m, c->top_m);
    else
        snprintf(height, sizeof height, "%g", c->height_m);
    fprintf(to, "  %-20.20s %-4s %8.4g %7s", c->name, scenario_collector_kind_name(c->kind), c->distance_m, height);
}

void report_collectors_table(FILE *to, const drupelet_result *r)
{
    const tally_estimate none = {NAN, NAN}; /* a dish lets pass what it catches */
    if (r->n_collectors == 0)
        return;
    if (isnan(r->application_rate_L_ha)) {
        fputs("\nCollectors: nothing is known per area, since the sprayer stands still\n", to);
        return;
    }
    fputs("\nCollectors (+/- one standard error). Caught: spray as emitted, uL/cm2; a line's area is its height times "
          "its diameter.\n"
          "Passed: the same with perfect catch. Distance downwind of the block\n",
          to);
    fprintf(to, "  %-20s %-4s %8s %7s%22s%22s%19s%19s%14s\n", "", "", "at, m", "height", "caught", "passed",
            "% of the rate", "droplets/cm2", "covered, %");
    for (int i = 0; i < r->n_collectors; i++) {
        const result_collector *c = &r->collector[i];
        print_place(to, c);
        print_estimate(to, 22, c->measured.of[RUN_CAUGHT]);
        print_estimate(to, 22, run_collector_kinds[c->kind].lets_pass ? c->measured.of[RUN_PASSED] : none);
        print_estimate(to, 19, c->measured.of[RUN_PERCENT_OF_RATE]);
        print_estimate(to, 19, c->measured.of[RUN_DROPLETS]);
        print_estimate(to, 14, c->measured.of[RUN_COVERAGE]);
        fputc('\n', to);
    }
}
