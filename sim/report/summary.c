/* sim/report/summary.c - the table that a run ends with, for people; as JSON it is in summary_json.c.
 *
 * Amounts are litres of 100 L sprayed: the liquid whose active ingredient lies there, whether or not its water has
 * dried up. Left out: what needs a picture (the voxels, the ground by distance, the flux by height); the result file
 * has it. */
#include "report/summary.h"

#include <math.h>

#include "report/model_error.h"
#include "report/text.h"
#include "result/quantity.h"
#include "tally/drift.h"

/* "12.34 +/- 0.12": the error with two digits, the amount with as many decimals. */
static void print_percent(FILE *to, int width, tally_estimate e)
{
    char text[64];
    report_amount(text, sizeof text, e.share, e.error, " +/- ");
    fprintf(to, "%*s", width, text);
}

static void print_percent_line(FILE *to, const char *what, tally_estimate e)
{
    fprintf(to, "  %-44s", what);
    print_percent(to, 20, e);
    fputc('\n', to);
}

/* The same of shares. */
static void print_amount(FILE *to, int width, tally_estimate e)
{
    print_percent(to, width, result_times(100.0, e));
}

static void print_line(FILE *to, const char *what, tally_estimate e)
{
    print_percent_line(to, what, result_times(100.0, e));
}

/* Below numbers: how well they are known, in two ways. */
static void print_error(FILE *to, const char *of, report_error_kind kind, tally_estimate number, const char *at)
{
    char error[REPORT_ERROR_TEXT], text[REPORT_ERROR_TEXT + 64];
    snprintf(text, sizeof text, "%s: %s", of, report_error_text(kind, number, at, error));
    fputs("  ", to);
    report_wrapped(to, text, 4, 118);
}

static void print_fates(FILE *to, const drupelet_result *r)
{
    fputs("\nWhere 100 L of spray went, L (+/- one standard error)\n", to);
    for (int f = 0; f <= TALLY_GROUND_UPWIND; f++)
        print_line(to, tally_fate_label(f), r->fate[f]);
    print_line(to, tally_group_label(TALLY_AIRBORNE), r->together[TALLY_AIRBORNE]);
    for (int f = TALLY_AIR_DOWNWIND; f <= TALLY_AIR_UPWIND; f++) {
        char text[64];
        snprintf(text, sizeof text, "  of it %s",
                 f == TALLY_AIR_DOWNWIND ? "downwind"
                 : f == TALLY_AIR_ABOVE  ? "above"
                                         : "upwind");
        print_line(to, text, r->fate[f]);
    }
    print_line(to, tally_fate_label(TALLY_ALOFT), r->fate[TALLY_ALOFT]);
    double all = 0.0;
    for (int f = 0; f < TALLY_FATES; f++)
        all += 100.0 * r->fate[f].share;
    fprintf(to, "  %-44s%20.2f\n", "together", all);
    print_error(to, "leaves and wood together", REPORT_ERROR_ON_TREES, r->together[TALLY_TREES], "");
}

/* Below the ground curve, which the table of quantities prints. */
static void print_ground_errors(FILE *to, const drupelet_result *r)
{
    int near = 0, far = SCENARIO_CURVE - 1; /* the last that is near, the last of all */
    for (int i = 0; i < SCENARIO_CURVE; i++)
        near = report_error_of_ground(r->curve_distance_m[i]) == REPORT_ERROR_GROUND_NEAR ? i : near;
    char of[32], at[32];
    snprintf(of, sizeof of, "to %g m", r->curve_distance_m[near]);
    snprintf(at, sizeof at, " at %g m", r->curve_distance_m[near]);
    print_error(to, of, REPORT_ERROR_GROUND_NEAR, r->curve_percent[near], at);
    snprintf(at, sizeof at, " at %g m", r->curve_distance_m[far]);
    print_error(to, "beyond", REPORT_ERROR_GROUND_FAR, r->curve_percent[far], at);
}

static void print_rows(FILE *to, const drupelet_result *result)
{
    const int last = result->n_rows;
    fputs("\nOn leaves, L of 100 L (thirds of the crown's height)\n", to);
    fprintf(to, "  %-22s", "row");
    for (int t = TALLY_THIRDS - 1; t >= 0; t--)
        fprintf(to, "%18s", result_third_name(t));
    fprintf(to, "%18s\n", "together");
    for (int r = -1; r < last; r++) {
        char name[32];
        if (r < 0)
            snprintf(name, sizeof name, "all rows");
        else
            snprintf(name, sizeof name, "%d%s", r + 1,
                     last > 1 && r == (result->downwind > 0.0 ? 0 : last - 1) ? " (most downwind)" : "");
        fprintf(to, "  %-22s", name);
        const tally_estimate *third = r < 0 ? result->third_together : result->row[r].third;
        for (int t = TALLY_THIRDS - 1; t >= 0; t--)
            print_amount(to, 18, third[t]);
        print_amount(to, 18, r < 0 ? result->leaves_together : result->row[r].together);
        fputc('\n', to);
    }
    print_error(to, "ratios of zones, such as top over bottom", REPORT_ERROR_BY_ZONE, (tally_estimate){0.0, 0.0}, "");
}

/* Under a heading: what the numbers below lack. */
static void print_lack(FILE *to, const drupelet_result *r)
{
    double percent[TALLY_FATES];
    for (int f = 0; f < TALLY_FATES; f++)
        percent[f] = 100.0 * r->fate[f].share;
    if (tally_aloft_matters(percent))
        fprintf(to, "  TOO LOW: %.3g L of 100 L are still aloft and in none of these (see the warnings)\n",
                percent[TALLY_ALOFT]);
}

static void print_planes(FILE *to, const drupelet_result *r)
{
    fputs("\nDrift in the air: what passes a distance downwind of the block, by height, L of 100 L\n", to);
    print_lack(to, r);
    fprintf(to, "  %-8s", "at");
    for (int i = 0; i < TALLY_BANDS; i++) {
        char text[32];
        if (i + 1 < TALLY_BANDS)
            snprintf(text, sizeof text, "%g to %g m", r->band_from_m[i], r->band_from_m[i + 1]);
        else
            snprintf(text, sizeof text, "above %g m", r->band_from_m[i]);
        fprintf(to, "%18s", text);
    }
    fprintf(to, "%18s\n", "all heights");
    for (int p = 0; p < TALLY_PLANES; p++) {
        fprintf(to, "  %2g m    ", r->plane_distance_m[p]);
        for (int i = 0; i < TALLY_BANDS; i++)
            print_percent(to, 18, r->band_percent[p][i]);
        print_percent(to, 18, r->flux_percent[p]);
        fputc('\n', to);
    }
    char at[32];
    snprintf(at, sizeof at, " at %g m", r->plane_distance_m[0]);
    print_error(to, "all heights together", REPORT_ERROR_AIRBORNE, r->flux_percent[0], at);
    print_error(to, "their fall with the distance", REPORT_ERROR_AIRBORNE_FALL, (tally_estimate){0.0, 0.0}, "");
}

const int report_elsewhere[REPORT_ELSEWHERE] = {TALLY_AIR_ABOVE, TALLY_AIR_UPWIND, TALLY_GROUND_UPWIND, TALLY_ALOFT};

static void print_elsewhere(FILE *to, const drupelet_result *r)
{
    fputs("\nDrift that is in neither, L of 100 L\n", to);
    for (int i = 0; i < REPORT_ELSEWHERE; i++) {
        char text[64];
        if (report_elsewhere[i] == TALLY_ALOFT)
            snprintf(text, sizeof text, "still aloft after %g s, place unknown", r->time_limit_s);
        else
            snprintf(text, sizeof text, "%s", tally_fate_label(report_elsewhere[i]));
        print_line(to, text, r->fate[report_elsewhere[i]]);
    }
}

static void print_tips(FILE *to, const drupelet_result *r)
{
    fputs("\nTips\n", to);
    if (r->worn_nozzles[0] != '\0') fprintf(to, "  %s\n", r->worn_nozzles);
    if (r->plugged_nozzles[0] != '\0') fprintf(to, "  %s\n", r->plugged_nozzles);
    for (int i = 0; i < r->n_sprays; i++) {
        const result_spray *s = &r->spray[i];
        fprintf(to,
                "  %s at %.3g bar: Dv10 %.0f, Dv50 %.0f, Dv90 %.0f um; %.1f %% of the volume below 100 um, %.1f %% "
                "below 150 um\n",
                s->tip, s->pressure_bar, s->dv10_um, s->dv50_um, s->dv90_um, 100.0 * s->share_below_100_um,
                100.0 * s->share_below_150_um);
        fprintf(to, "    %s\n", s->note);
    }
}

static void print_aim(FILE *to, const drupelet_result *r)
{
    if (!r->target_name) return;
    if (isfinite(r->target.error))
        fprintf(to, "%s is known to %.3g %% (relative standard error); %.3g %% was the target%s\n", r->target_name,
                100.0 * r->target.error, 100.0 * r->target_asked,
                r->target.reached ? "" : " and was NOT reached with the droplets allowed");
    else
        fprintf(to, "nothing got to %s: the target of %.3g %% was NOT reached with the droplets allowed\n",
                r->target_name, 100.0 * r->target_asked);
}

run_warnings report_warnings_of(const drupelet_result *r)
{
    run_warnings w = {.n = r->n_warnings};
    for (int i = 0; i < w.n; i++) {
        const result_warning *from = &r->warning[i];
        w.of[i] = (run_warning){.name = from->name, .value = from->value, .bound = from->bound, .unit = from->unit};
        snprintf(w.of[i].sentence, sizeof w.of[i].sentence, "%s", from->sentence);
    }
    return w;
}

/* The values of a quantity, one a line. */
static void print_quantity(FILE *to, const drupelet_result *r, const result_group *group, const result_quantity *q)
{
    const result_quantity *axis = result_axis_of(group, q, 0);
    const size_t n = result_size(r, group, q);
    const double factor = q->summary.factor > 0.0 ? q->summary.factor : 1.0;
    if (q->summary.heading) fprintf(to, "\n%s\n", q->summary.heading);
    if (q->summary.lacks_aloft) print_lack(to, r);
    for (size_t i = 0; i < n; i++) {
        char what[64];
        const void *at = result_value(r, group, q, i);
        if (axis && axis->unit)
            snprintf(what, sizeof what, "%s %g %s", q->summary.line,
                     result_number(axis, result_value(r, group, axis, i), i), axis->unit);
        else
            snprintf(what, sizeof what, "%s%s%s", q->summary.line, axis ? " " : "", axis ? axis->word((int)i) : "");
        if (q->type == RESULT_SHARE)
            print_percent_line(to, what, result_times(factor, *(const tally_estimate *)at));
        else
            fprintf(to, "  %-44s%20.4g\n", what, factor * result_number(q, at, i));
    }
}

/* What has a shape of its own, before quantities of that rank and above. */
static const struct {
    int rank;
    void (*print)(FILE *to, const drupelet_result *r);
} SHAPED[] = {{50, print_fates},   {70, print_rows},       {90, report_leaves_table},      {101, print_ground_errors},
              {110, print_planes}, {130, print_elsewhere}, {145, report_collectors_table}, {170, print_tips}};
enum { N_SHAPED = sizeof SHAPED / sizeof SHAPED[0] };

/* The alleys that share each flow. */
static void print_fan_air(FILE *to, const drupelet_result *r)
{
    int n_flows = 0;
    for (int p = 0; p < r->n_passes; p++)
        n_flows = r->pass[p].fan_flow > n_flows ? r->pass[p].fan_flow : n_flows;
    fprintf(to, "air of the fan: resolved, %d flow%s", n_flows, n_flows == 1 ? "" : "s");
    for (int f = 1; f <= n_flows; f++) {
        int n = 0;
        for (int p = 0; p < r->n_passes; p++) {
            if (r->pass[p].fan_flow != f) continue;
            if (n == 0)
                fprintf(to, "%s alley %d", f == 1 ? ":" : ";", r->pass[p].alley);
            else
                fprintf(to, ", %d", r->pass[p].alley);
            n++;
        }
    }
    fputs("\n", to);
}

static void print_table(const drupelet_result *r, FILE *to)
{
    fprintf(to, "%s%s%s\n", r->name, r->place[0] != '\0' ? " - " : "", r->place);
    if (isnan(r->application_rate_L_ha))
        fprintf(to, "The sprayer stands still: no rate per area (-), shares of the output only; %d rows; ", r->n_rows);
    else
        fprintf(to, "%.0f L/ha on %.4g m of treated width (%d rows), %.1f L over 100 m of row length; ",
                r->application_rate_L_ha, r->treated_width_m, r->n_rows, r->emitted_L_per_100_m);
    fprintf(to, "%lld droplets followed, seed %llu\n", (long long)r->n_droplets, (unsigned long long)r->seed);
    if (r->wind_speed_m_s > 0.0)
        fprintf(to, "wind around the block: %s\n",
                r->computed_wind ? "computed, row by row" : "assumed profiles (run.wind: computed solves for it)");
    if (r->resolved_fan_air) print_fan_air(to, r);
    print_aim(to, r);
    for (int rank = 1; rank <= RESULT_LAST_RANK; rank++) {
        for (int i = 0; i < N_SHAPED; i++)
            if (SHAPED[i].rank == rank) SHAPED[i].print(to, r);
        for (int g = 0; g < result_n_groups; g++)
            for (int k = 0; k < result_groups[g]->n; k++)
                if (result_groups[g]->quantity[k].summary.rank == rank && result_groups[g]->quantity[k].summary.line)
                    print_quantity(to, r, result_groups[g], &result_groups[g]->quantity[k]);
    }
    const run_warnings warnings = report_warnings_of(r);
    report_warnings_print(to, &warnings);
    fprintf(
        to,
        "\nStandard errors, and what \"sampling\" says, tell how much another sample of droplets would differ. What "
        "stands behind\nit tells how far the model was from field trials (docs/model-error.md). Ratios of two settings "
        "have an error of\ntheir own: drupelet compare.\n%s\n",
        r->caution);
}

void report_summary(const drupelet_result *result, FILE *to, bool json)
{
    if (json)
        report_summary_json(result, to);
    else
        print_table(result, to);
}
