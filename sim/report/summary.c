/* sim/report/summary.c - the table that a run ends with, for people or as JSON.
 *
 * Amounts are litres of 100 L sprayed: the liquid whose active ingredient lies there, whether or not its water has
 * dried up. Left out: what needs a picture (the voxels, the ground by distance, the flux by height); the result file
 * has it. */
#include "report/summary.h"

#include <math.h>

#include "report/collectors.h"
#include "report/leaves.h"
#include "report/text.h"
#include "report/warn.h"
#include "tally/aloft.h"
#include "tally/drift.h"

static const char *const THIRD[TALLY_THIRDS] = {"bottom", "middle", "top"};

/* ---- for people ---- */

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
    print_percent(to, width, (tally_estimate){100.0 * e.share, 100.0 * e.error});
}

static void print_line(FILE *to, const char *what, tally_estimate e)
{
    print_percent_line(to, what, (tally_estimate){100.0 * e.share, 100.0 * e.error});
}

static void print_fates(FILE *to, const drupelet_result *r)
{
    fputs("\nWhere 100 L of spray went, L (+/- one standard error)\n", to);
    for (int f = 0; f <= TALLY_GROUND_UPWIND; f++)
        print_line(to, tally_fate_label((tally_fate)f), r->fate[f]);
    print_line(to, "airborne, left the simulated space", r->together[TALLY_AIRBORNE]);
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
}

static void print_rows(FILE *to, const drupelet_result *result)
{
    const int last = result->n_rows;
    fputs("\nOn leaves, L of 100 L (thirds of the crown's height)\n", to);
    fprintf(to, "  %-22s%18s%18s%18s%18s\n", "row", "top", "middle", "bottom", "together");
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

static void print_curve(FILE *to, const drupelet_result *r)
{
    fputs("\nDrift on the ground: deposit at a distance downwind of the block, % of the application rate\n", to);
    print_lack(to, r);
    for (int i = 0; i < SCENARIO_CURVE; i++) {
        char text[32];
        snprintf(text, sizeof text, "at %g m", r->curve_distance_m[i]);
        print_percent_line(to, text, r->curve_percent[i]);
    }
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
}

/* Fates that are drift, and that neither the curve nor the planes show. */
static const tally_fate ELSEWHERE[] = {TALLY_AIR_ABOVE, TALLY_AIR_UPWIND, TALLY_GROUND_UPWIND, TALLY_ALOFT};
enum { N_ELSEWHERE = sizeof ELSEWHERE / sizeof ELSEWHERE[0] };

static void print_elsewhere(FILE *to, const drupelet_result *r)
{
    fputs("\nDrift that is in neither, L of 100 L\n", to);
    for (int i = 0; i < N_ELSEWHERE; i++) {
        char text[64];
        if (ELSEWHERE[i] == TALLY_ALOFT)
            snprintf(text, sizeof text, "still aloft after %g s, place unknown", r->time_limit_s);
        else
            snprintf(text, sizeof text, "%s", tally_fate_label(ELSEWHERE[i]));
        print_line(to, text, r->fate[ELSEWHERE[i]]);
    }
}

static void print_sums(FILE *to, const drupelet_result *r)
{
    fputs("\nSum of what lies on the ground beyond a distance and what leaves downwind in the air, L of 100 L\n", to);
    for (int i = 0; i < SCENARIO_SUMS; i++) {
        char text[32];
        snprintf(text, sizeof text, "beyond %g m", r->drift_distance_m[i]);
        print_percent_line(to, text, r->drift_sum_percent[i]);
    }
}

static void print_tips(FILE *to, const drupelet_result *r)
{
    fputs("\nTips\n", to);
    if (r->worn_nozzles[0] != '\0')
        fprintf(to, "  %s\n", r->worn_nozzles);
    if (r->plugged_nozzles[0] != '\0')
        fprintf(to, "  %s\n", r->plugged_nozzles);
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
    if (!r->target_name)
        return;
    if (isfinite(r->target.error))
        fprintf(to, "%s is known to %.3g %% (relative standard error); %.3g %% was the target%s\n", r->target_name,
                100.0 * r->target.error, 100.0 * r->target_asked,
                r->target.reached ? "" : " and was NOT reached with the droplets allowed");
    else
        fprintf(to, "nothing got to %s: the target of %.3g %% was NOT reached with the droplets allowed\n",
                r->target_name, 100.0 * r->target_asked);
}

/* The warnings that a result holds, as a list. */
static run_warnings warnings_of(const drupelet_result *r)
{
    run_warnings w = {.n = r->n_warnings};
    for (int i = 0; i < w.n; i++) {
        const result_warning *from = &r->warning[i];
        w.of[i] = (run_warning){.name = from->name, .value = from->value, .bound = from->bound, .unit = from->unit};
        snprintf(w.of[i].sentence, sizeof w.of[i].sentence, "%s", from->sentence);
    }
    return w;
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
    print_aim(to, r);
    print_fates(to, r);
    print_rows(to, r);
    report_leaves_table(r, to);
    print_curve(to, r);
    print_planes(to, r);
    print_elsewhere(to, r);
    print_sums(to, r);
    report_collectors_table(r, to);
    fputs("\nWater, L of 100 L of the water sprayed (+/- one standard error)\n", to);
    print_line(to, "evaporated in flight", r->evaporated);
    print_tips(to, r);
    const run_warnings warnings = warnings_of(r);
    report_warnings_print(to, &warnings);
    fprintf(
        to,
        "\nStandard errors tell how much another sample of droplets would differ, not how far the model is off.\n%s\n",
        r->caution);
}

/* ---- JSON ---- */

static void json_number(base_json *j, const char *key, double value)
{
    base_json_number(j, key, value, REPORT_JSON_DIGITS);
}

/* A share of the output, told in percent. */
static void json_share(base_json *j, const char *key, tally_estimate e)
{
    report_json_estimate(j, key, (tally_estimate){100.0 * e.share, 100.0 * e.error});
}

static void json_rows(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "leaves_by_row_L_of_100_L", '[');
    for (int i = 0; i < r->n_rows; i++) {
        base_json_open(j, NULL, '{');
        base_json_whole(j, "row", (uint64_t)i + 1);
        for (int t = 0; t < TALLY_THIRDS; t++)
            json_share(j, THIRD[t], r->row[i].third[t]);
        json_share(j, "together", r->row[i].together);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
    base_json_open(j, "leaves_by_third_L_of_100_L", '{');
    for (int t = 0; t < TALLY_THIRDS; t++)
        json_share(j, THIRD[t], r->third_together[t]);
    base_json_close(j, '}');
}

static void json_tips(base_json *j, const drupelet_result *r)
{
    enum { DIGITS = 6 };
    base_json_open(j, "tips", '[');
    for (int i = 0; i < r->n_sprays; i++) {
        const result_spray *s = &r->spray[i];
        base_json_open(j, NULL, '{');
        base_json_words(j, "tip", s->tip);
        base_json_number(j, "pressure_bar", s->pressure_bar, DIGITS);
        base_json_number(j, "dv10_um", s->dv10_um, DIGITS);
        base_json_number(j, "dv50_um", s->dv50_um, DIGITS);
        base_json_number(j, "dv90_um", s->dv90_um, DIGITS);
        base_json_number(j, "volume_below_100_um_percent", 100.0 * s->share_below_100_um, DIGITS);
        base_json_number(j, "volume_below_150_um_percent", 100.0 * s->share_below_150_um, DIGITS);
        base_json_truth(j, "assumed", s->assumed);
        base_json_words(j, "note", s->note);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void json_aim(base_json *j, const drupelet_result *r)
{
    if (!r->target_name)
        return;
    base_json_open(j, "target", '{');
    base_json_words(j, "name", r->target_name);
    json_number(j, "error_wanted_percent", 100.0 * r->target_asked);
    json_number(j, "error_percent", 100.0 * r->target.error);
    base_json_truth(j, "reached", r->target.reached);
    base_json_whole(j, "rounds", (uint64_t)r->target_rounds);
    base_json_close(j, '}');
}

/* Numbers of drift of one kind, under their names. */
static void json_drift_of(base_json *j, scenario_drift_kind kind, const tally_estimate percent[], const char *key)
{
    const int n = scenario_drift_count(kind), first = scenario_drift_first(kind);
    base_json_open(j, key, '{');
    for (int i = 0; i < n; i++)
        report_json_estimate(j, scenario_drift_numbers[first + i].name, percent[i]);
    base_json_close(j, '}');
}

static void json_heights(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "airborne_by_height_percent_of_output", '[');
    for (int p = 0; p < TALLY_PLANES; p++)
        for (int i = 0; i < TALLY_BANDS; i++) {
            base_json_open(j, NULL, '{');
            json_number(j, "distance_m", r->plane_distance_m[p]);
            json_number(j, "from_m", r->band_from_m[i]);
            json_number(j, "to_m", i + 1 < TALLY_BANDS ? r->band_from_m[i + 1] : r->n_flux * TALLY_FLUX_STEP_M);
            report_json_estimate(j, "passes", r->band_percent[p][i]);
            base_json_close(j, '}');
        }
    base_json_close(j, ']');
}

static void json_drift(base_json *j, const drupelet_result *r)
{
    json_drift_of(j, SCENARIO_DRIFT_GROUND, r->curve_percent, "ground_percent_of_rate");
    json_drift_of(j, SCENARIO_DRIFT_AIRBORNE, r->flux_percent, "airborne_percent_of_output");
    json_heights(j, r);
    base_json_open(j, "drift_elsewhere_percent_of_output", '{');
    for (int i = 0; i < N_ELSEWHERE; i++)
        json_share(j, tally_fate_name(ELSEWHERE[i]), r->fate[ELSEWHERE[i]]);
    base_json_close(j, '}');
    json_drift_of(j, SCENARIO_DRIFT_SUM, r->drift_sum_percent, "drift_sum_percent_of_output");
}

static void print_json(const drupelet_result *r, FILE *to)
{
    base_json j = {.to = to, .lines = 2};
    const run_warnings warnings = warnings_of(r);
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "program_version", r->version);
    base_json_words(&j, "name", r->name);
    base_json_words(&j, "place", r->place);
    base_json_whole(&j, "seed", r->seed);
    base_json_whole(&j, "n_droplets", (uint64_t)r->n_droplets);
    base_json_whole(&j, "n_steps", (uint64_t)r->n_steps);
    json_aim(&j, r);
    json_number(&j, "time_limit_s", r->time_limit_s);
    json_number(&j, "application_rate_L_ha", r->application_rate_L_ha);
    json_number(&j, "treated_width_m", r->treated_width_m);
    json_number(&j, "emitted_L_per_100_m", r->emitted_L_per_100_m);
    base_json_open(&j, "fates_L_of_100_L", '{');
    for (int f = 0; f < TALLY_FATES; f++)
        json_share(&j, tally_fate_name((tally_fate)f), r->fate[f]);
    base_json_close(&j, '}');
    json_share(&j, "airborne_L_of_100_L", r->together[TALLY_AIRBORNE]);
    json_rows(&j, r);
    report_leaves_json(r, &j);
    json_drift(&j, r);
    json_share(&j, "evaporated_L_of_100_L_of_water", r->evaporated);
    report_collectors_json(r, &j);
    json_tips(&j, r);
    report_warnings_json(&j, &warnings);
    base_json_words(&j, "caution", r->caution);
    base_json_close(&j, '}');
}

void report_summary(const drupelet_result *result, FILE *to, bool json)
{
    if (json)
        print_json(result, to);
    else
        print_table(result, to);
}
