/* sim/report/summary.c - the table that a run ends with, for people or as JSON.
 *
 * Amounts are litres of 100 L sprayed: the liquid whose active ingredient lies there, whether or not its water has
 * dried up. Left out: what needs a picture (the voxels, the ground by distance, the flux by height); the result file
 * has it. */
#include "report/summary.h"

#include <math.h>

#include "report/collectors.h"
#include "report/leaves.h"
#include "report/nozzle_names.h"
#include "report/text.h"
#include "report/warn.h"
#include "tally/aloft.h"
#include "tally/drift.h"

static const char *const THIRD[TALLY_THIRDS] = {"bottom", "middle", "top"};

/* Fates that are lines of their own; airborne ones come together. */
static tally_estimate airborne(const tally *a)
{
    int64_t parts[TALLY_BATCHES];
    for (int b = 0; b < TALLY_BATCHES; b++)
        parts[b] = a->fate[b][TALLY_AIR_DOWNWIND] + a->fate[b][TALLY_AIR_ABOVE] + a->fate[b][TALLY_AIR_UPWIND];
    return tally_share(a, parts, 1);
}

static tally_estimate fate_share(const tally *a, tally_fate fate)
{
    return tally_share(a, &a->fate[0][fate], TALLY_FATES);
}

/* ---- for people ---- */

/* "12.34 +/- 0.12": the error with two digits, the amount with as many decimals. */
static void print_amount(FILE *to, int width, tally_estimate e)
{
    char text[64];
    report_amount(text, sizeof text, 100.0 * e.share, 100.0 * e.error, " +/- ");
    fprintf(to, "%*s", width, text);
}

static void print_line(FILE *to, const char *what, tally_estimate e)
{
    fprintf(to, "  %-44s", what);
    print_amount(to, 20, e);
    fputc('\n', to);
}

static void print_fates(FILE *to, const tally *a)
{
    fputs("\nWhere 100 L of spray went, L (+/- one standard error)\n", to);
    for (int f = 0; f <= TALLY_GROUND_UPWIND; f++)
        print_line(to, tally_fate_label((tally_fate)f), fate_share(a, (tally_fate)f));
    print_line(to, "airborne, left the simulated space", airborne(a));
    for (int f = TALLY_AIR_DOWNWIND; f <= TALLY_AIR_UPWIND; f++) {
        char text[64];
        snprintf(text, sizeof text, "  of it %s",
                 f == TALLY_AIR_DOWNWIND ? "downwind"
                 : f == TALLY_AIR_ABOVE  ? "above"
                                         : "upwind");
        print_line(to, text, fate_share(a, (tally_fate)f));
    }
    print_line(to, tally_fate_label(TALLY_ALOFT), fate_share(a, TALLY_ALOFT));
    double all = 0.0;
    for (int f = 0; f < TALLY_FATES; f++)
        all += 100.0 * fate_share(a, (tally_fate)f).share;
    fprintf(to, "  %-44s%20.2f\n", "together", all);
}

static void print_rows(FILE *to, const drupelet_result *result)
{
    const tally *a = result->accounts;
    const int last = a->shape.n_rows;
    fputs("\nOn leaves, L of 100 L (thirds of the crown's height)\n", to);
    fprintf(to, "  %-22s%18s%18s%18s%18s\n", "row", "top", "middle", "bottom", "together");
    for (int r = -1; r < last; r++) {
        char name[32];
        if (r < 0)
            snprintf(name, sizeof name, "all rows");
        else
            snprintf(name, sizeof name, "%d%s", r + 1,
                     last > 1 && r == (a->shape.downwind > 0 ? 0 : last - 1) ? " (most downwind)" : "");
        fprintf(to, "  %-22s", name);
        for (int t = TALLY_THIRDS - 1; t >= -1; t--)
            print_amount(to, 18, tally_row(a, r, t, -1));
        fputc('\n', to);
    }
}

/* Under a heading: what the numbers below lack. */
static void print_lack(FILE *to, const tally *a)
{
    double percent[TALLY_FATES];
    for (int f = 0; f < TALLY_FATES; f++)
        percent[f] = 100.0 * fate_share(a, (tally_fate)f).share;
    if (tally_aloft_matters(percent))
        fprintf(to, "  TOO LOW: %.3g L of 100 L are still aloft and in none of these (see the warnings)\n",
                percent[TALLY_ALOFT]);
}

static void print_curve(FILE *to, const tally *a)
{
    fputs("\nDrift on the ground: deposit at a distance downwind of the block, % of the application rate\n", to);
    print_lack(to, a);
    for (int i = 0; i < SCENARIO_CURVE; i++) {
        char text[32];
        snprintf(text, sizeof text, "at %g m", tally_drift_number_at(i)->distance_m);
        print_line(to, text, tally_drift(a, i));
    }
}

static void print_planes(FILE *to, const tally *a)
{
    fputs("\nDrift in the air: what passes a distance downwind of the block, by height, L of 100 L\n", to);
    print_lack(to, a);
    fprintf(to, "  %-8s", "at");
    for (int i = 0; i < TALLY_BANDS; i++) {
        char text[32];
        if (i + 1 < TALLY_BANDS)
            snprintf(text, sizeof text, "%g to %g m", tally_band_from_m(i), tally_band_from_m(i + 1));
        else
            snprintf(text, sizeof text, "above %g m", tally_band_from_m(i));
        fprintf(to, "%18s", text);
    }
    fprintf(to, "%18s\n", "all heights");
    for (int p = 0; p < TALLY_PLANES; p++) {
        fprintf(to, "  %2g m    ", a->shape.plane_distance_m[p]);
        for (int i = 0; i < TALLY_BANDS; i++)
            print_amount(to, 18, tally_band(a, p, i));
        print_amount(to, 18, tally_drift(a, tally_drift_first(TALLY_DRIFT_AIRBORNE) + p));
        fputc('\n', to);
    }
}

/* Fates that are drift, and that neither the curve nor the planes show. */
static const tally_fate ELSEWHERE[] = {TALLY_AIR_ABOVE, TALLY_AIR_UPWIND, TALLY_GROUND_UPWIND, TALLY_ALOFT};
enum { N_ELSEWHERE = sizeof ELSEWHERE / sizeof ELSEWHERE[0] };

static void print_elsewhere(FILE *to, const drupelet_result *result)
{
    const tally *a = result->accounts;
    fputs("\nDrift that is in neither, L of 100 L\n", to);
    for (int i = 0; i < N_ELSEWHERE; i++) {
        char text[64];
        if (ELSEWHERE[i] == TALLY_ALOFT)
            snprintf(text, sizeof text, "still aloft after %g s, place unknown", result->scenario->run.time_limit_s);
        else
            snprintf(text, sizeof text, "%s", tally_fate_label(ELSEWHERE[i]));
        print_line(to, text, fate_share(a, ELSEWHERE[i]));
    }
}

static void print_sums(FILE *to, const tally *a)
{
    fputs("\nSum of what lies on the ground beyond a distance and what leaves downwind in the air, L of 100 L\n", to);
    for (int i = 0; i < SCENARIO_SUMS; i++) {
        const int number = tally_drift_first(TALLY_DRIFT_SUM) + i;
        char text[32];
        snprintf(text, sizeof text, "beyond %g m", tally_drift_number_at(number)->distance_m);
        print_line(to, text, tally_drift(a, number));
    }
}

static void print_tips(FILE *to, const drupelet_result *result)
{
    static const char *const state[] = {[REPORT_WORN_NOZZLES] = "worn so far that they should be replaced",
                                        [REPORT_PLUGGED_NOZZLES] = "plugged"};
    char names[200];
    fputs("\nTips\n", to);
    for (int fault = 0; fault < 2; fault++) {
        const int n = report_nozzle_names(result->scenario, (report_nozzle_fault)fault, names, sizeof names);
        if (n > 0)
            fprintf(to, "  %d of %d nozzles %s: %s\n", n, result->scenario->sprayer.n_nozzles, state[fault], names);
    }
    for (int i = 0; i < result->sprayer.n_sprays; i++) {
        const sprayer_spray *s = &result->sprayer.spray[i];
        fprintf(to,
                "  %s at %.3g bar: Dv10 %.0f, Dv50 %.0f, Dv90 %.0f um; %.1f %% of the volume below 100 um, %.1f %% "
                "below 150 um\n",
                result->scenario->tip[s->i_tip].name, 1e-5 * s->pressure_Pa, 1e6 * s->dv10_m, 1e6 * s->dv50_m,
                1e6 * s->dv90_m, 100.0 * s->share_below_100_um, 100.0 * s->share_below_150_um);
        fprintf(to, "    %s\n", s->note);
    }
}

static void print_aim(FILE *to, const drupelet_result *result)
{
    const run_aim *aim = &result->aim;
    if (!aim->wanted)
        return;
    const char *name = run_target_name(result->scenario->run.target);
    if (isfinite(aim->error))
        fprintf(to, "%s is known to %.3g %% (relative standard error); %.3g %% was the target%s\n", name,
                100.0 * aim->error, 100.0 * aim->asked,
                aim->reached ? "" : " and was NOT reached with the droplets allowed");
    else
        fprintf(to, "nothing got to %s: the target of %.3g %% was NOT reached with the droplets allowed\n", name,
                100.0 * aim->asked);
}

static void print_table(const drupelet_result *result, FILE *to)
{
    const drupelet_scenario *s = result->scenario;
    fprintf(to, "%s%s%s\n", s->name, s->place[0] != '\0' ? " - " : "", s->place);
    if (result->sprayer.stands)
        fprintf(to, "The sprayer stands still: no rate per area (-), shares of the output only; %d rows; ",
                result->accounts->shape.n_rows);
    else
        fprintf(to, "%.0f L/ha on %.4g m of treated width (%d rows), %.1f L over 100 m of row length; ",
                1e7 * result->sprayer.application_rate_m, result->sprayer.treated_width_m,
                result->accounts->shape.n_rows, 1e5 * result->sprayer.emitted_per_length_m2);
    fprintf(to, "%lld droplets followed, seed %llu\n", (long long)result->n_droplets,
            (unsigned long long)result->seed);
    print_aim(to, result);
    print_fates(to, result->accounts);
    print_rows(to, result);
    report_leaves_table(result, to);
    print_curve(to, result->accounts);
    print_planes(to, result->accounts);
    print_elsewhere(to, result);
    print_sums(to, result->accounts);
    report_collectors_table(result, to);
    fputs("\nWater, L of 100 L of the water sprayed (+/- one standard error)\n", to);
    print_line(to, "evaporated in flight", tally_evaporated(result->accounts));
    print_tips(to, result);
    run_warnings warnings = {0};
    run_warnings_of(result, &warnings);
    report_warnings_print(to, &warnings);
    fprintf(
        to,
        "\nStandard errors tell how much another sample of droplets would differ, not how far the model is off.\n%s\n",
        drupelet_caution());
}

/* ---- JSON ---- */

static void json_number(FILE *to, double value)
{
    if (isfinite(value))
        fprintf(to, "%.9g", value);
    else
        fputs("null", to);
}

static void json_amount(FILE *to, const char *key, tally_estimate e, const char *after)
{
    fprintf(to, "\"%s\": {\"amount\": ", key);
    json_number(to, 100.0 * e.share);
    fputs(", \"standard_error\": ", to);
    json_number(to, 100.0 * e.error);
    fprintf(to, "}%s", after);
}

static void json_text(FILE *to, const char *key, const char *text)
{
    fprintf(to, "\"%s\": ", key);
    report_json_text(to, text);
    fputs(",\n", to);
}

static void json_rows(FILE *to, const tally *a)
{
    fputs("  \"leaves_by_row_L_of_100_L\": [\n", to);
    for (int r = 0; r < a->shape.n_rows; r++) {
        fprintf(to, "    {\"row\": %d, ", r + 1);
        for (int t = 0; t < TALLY_THIRDS; t++)
            json_amount(to, THIRD[t], tally_row(a, r, t, -1), ", ");
        json_amount(to, "together", tally_row(a, r, -1, -1), r + 1 < a->shape.n_rows ? "},\n" : "}\n");
    }
    fputs("  ],\n  \"leaves_by_third_L_of_100_L\": {", to);
    for (int t = 0; t < TALLY_THIRDS; t++)
        json_amount(to, THIRD[t], tally_row(a, -1, t, -1), t + 1 < TALLY_THIRDS ? ", " : "},\n");
}

static void json_tips(FILE *to, const drupelet_result *result)
{
    const int n = result->sprayer.n_sprays;
    fputs("  \"tips\": [\n", to);
    for (int i = 0; i < n; i++) {
        const sprayer_spray *s = &result->sprayer.spray[i];
        fputs("    {\"tip\": ", to);
        report_json_text(to, result->scenario->tip[s->i_tip].name);
        fprintf(
            to,
            ", \"pressure_bar\": %.6g, \"dv10_um\": %.6g, \"dv50_um\": %.6g, \"dv90_um\": %.6g, "
            "\"volume_below_100_um_percent\": %.6g, \"volume_below_150_um_percent\": %.6g, \"assumed\": %s, \"note\": ",
            1e-5 * s->pressure_Pa, 1e6 * s->dv10_m, 1e6 * s->dv50_m, 1e6 * s->dv90_m, 100.0 * s->share_below_100_um,
            100.0 * s->share_below_150_um, s->assumed ? "true" : "false");
        report_json_text(to, s->note);
        fputs(i + 1 < n ? "},\n" : "}\n", to);
    }
    fputs("  ],\n", to);
}

static void json_aim(const drupelet_result *result, FILE *to)
{
    const run_aim *aim = &result->aim;
    if (!aim->wanted)
        return;
    fprintf(to, "  \"target\": {\"name\": \"%s\", \"error_wanted_percent\": ",
            run_target_name(result->scenario->run.target));
    json_number(to, 100.0 * aim->asked);
    fputs(", \"error_percent\": ", to);
    json_number(to, 100.0 * aim->error);
    fprintf(to, ", \"reached\": %s, \"rounds\": %d},\n", aim->reached ? "true" : "false", aim->n_rounds);
}

/* Numbers of drift of one kind, under their names. */
static void json_drift_of(FILE *to, const tally *a, tally_drift_kind kind, const char *key)
{
    const int n = tally_drift_count(kind), first = tally_drift_first(kind);
    fprintf(to, "\"%s\": {\n", key);
    for (int i = 0; i < n; i++) {
        fputs("    ", to);
        json_amount(to, tally_drift_number_at(first + i)->name, tally_drift(a, first + i), i + 1 < n ? ",\n" : "\n");
    }
    fputs("  },\n  ", to);
}

static void json_drift(FILE *to, const tally *a)
{
    json_drift_of(to, a, TALLY_DRIFT_GROUND, "ground_percent_of_rate");
    json_drift_of(to, a, TALLY_DRIFT_AIRBORNE, "airborne_percent_of_output");
    fputs("\"airborne_by_height_percent_of_output\": [\n", to);
    for (int p = 0; p < TALLY_PLANES; p++)
        for (int i = 0; i < TALLY_BANDS; i++) {
            fprintf(to, "    {\"distance_m\": %g, \"from_m\": %g, \"to_m\": ", a->shape.plane_distance_m[p],
                    tally_band_from_m(i));
            json_number(to, i + 1 < TALLY_BANDS ? tally_band_from_m(i + 1) : a->shape.n_flux * TALLY_FLUX_STEP_M);
            fputs(", ", to);
            json_amount(to, "passes", tally_band(a, p, i),
                        p + 1 < TALLY_PLANES || i + 1 < TALLY_BANDS ? "},\n" : "}\n");
        }
    fputs("  ],\n  \"drift_elsewhere_percent_of_output\": {\n", to);
    for (int i = 0; i < N_ELSEWHERE; i++) {
        fputs("    ", to);
        json_amount(to, tally_fate_name(ELSEWHERE[i]), fate_share(a, ELSEWHERE[i]), i + 1 < N_ELSEWHERE ? ",\n" : "\n");
    }
    fputs("  },\n  ", to);
    json_drift_of(to, a, TALLY_DRIFT_SUM, "drift_sum_percent_of_output");
}

static void print_json(const drupelet_result *result, FILE *to)
{
    const tally *a = result->accounts;
    fputs("{\n  ", to);
    json_text(to, "program_version", drupelet_version());
    fputs("  ", to);
    json_text(to, "name", result->scenario->name);
    fputs("  ", to);
    json_text(to, "place", result->scenario->place);
    fprintf(to, "  \"seed\": %llu,\n  \"n_droplets\": %lld,\n  \"n_steps\": %lld,\n",
            (unsigned long long)result->seed, (long long)result->n_droplets, (long long)result->n_steps);
    json_aim(result, to);
    fprintf(to, "  \"time_limit_s\": %.9g,\n", result->scenario->run.time_limit_s);
    fputs("  \"application_rate_L_ha\": ", to);
    json_number(to, 1e7 * result->sprayer.application_rate_m);
    fputs(",\n  \"treated_width_m\": ", to);
    json_number(to, result->sprayer.treated_width_m);
    fputs(",\n  \"emitted_L_per_100_m\": ", to);
    json_number(to, 1e5 * result->sprayer.emitted_per_length_m2);
    fputs(",\n", to);
    fputs("  \"fates_L_of_100_L\": {\n", to);
    for (int f = 0; f < TALLY_FATES; f++) {
        fputs("    ", to);
        json_amount(to, tally_fate_name((tally_fate)f), fate_share(a, (tally_fate)f),
                    f + 1 < TALLY_FATES ? ",\n" : "\n");
    }
    fputs("  },\n  ", to);
    json_amount(to, "airborne_L_of_100_L", airborne(a), ",\n");
    json_rows(to, a);
    fputs("  ", to);
    report_leaves_json(result, to);
    json_drift(to, a);
    fputs("  ", to);
    json_amount(to, "evaporated_L_of_100_L_of_water", tally_evaporated(a), ",\n");
    report_collectors_json(result, to);
    json_tips(to, result);
    run_warnings warnings = {0};
    run_warnings_of(result, &warnings);
    fputs("  \"warnings\": ", to);
    report_warnings_json(to, &warnings);
    fputs(",\n  \"caution\": ", to);
    report_json_text(to, drupelet_caution());
    fputs("\n}\n", to);
}

void report_summary(const drupelet_result *result, FILE *to, bool json)
{
    if (json)
        print_json(result, to);
    else
        print_table(result, to);
}
