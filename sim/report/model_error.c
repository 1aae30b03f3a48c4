/* sim/report/model_error.c - reads model_error.csv, and says what it holds in words.
 *
 * Statistics: docs/model-error.md. One trial tells no spread, and where there is none nothing is known: both are said.
 * Left out: that some trials hang together (the page lists which). */
#include "report/model_error.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "report/text.h"
#include "scenario/drift.h"

extern const char report_model_error_csv[];

static const char *const NAME[REPORT_ERROR_KINDS] = {[REPORT_ERROR_GROUND_NEAR] = "ground_near",
                                                     [REPORT_ERROR_GROUND_FAR] = "ground_far",
                                                     [REPORT_ERROR_AIRBORNE] = "airborne",
                                                     [REPORT_ERROR_AIRBORNE_FALL] = "airborne_fall",
                                                     [REPORT_ERROR_ON_TREES] = "on_trees",
                                                     [REPORT_ERROR_BY_ZONE] = "by_zone",
                                                     [REPORT_ERROR_RATIO] = "ratio"};

static const char *text_of(const base_csv *csv, const char *column)
{
    return base_csv_text(csv, base_csv_column(csv, column));
}

static double number_of(const base_csv *csv, const char *column)
{
    const char *text = text_of(csv, column);
    return text[0] ? strtod(text, NULL) : NAN;
}

report_model_error report_model_error_of(report_error_kind kind)
{
    report_model_error e = {.n_trials = -1};
    base_csv csv;
    base_csv_embedded("model_error.csv", report_model_error_csv, &csv);
    while (base_csv_next(&csv)) {
        if (strcmp(text_of(&csv, "quantity"), NAME[kind]) != 0) continue;
        e = (report_model_error){.n_trials = (int)number_of(&csv, "trials"),
                                 .n_numbers = (int)number_of(&csv, "numbers"),
                                 .n_bounds_broken = (int)number_of(&csv, "bounds_broken"),
                                 .n_in_view = (int)number_of(&csv, "trials_in_view"),
                                 .bias = number_of(&csv, "bias"),
                                 .spread = number_of(&csv, "spread"),
                                 .mostly_within = number_of(&csv, "mostly_within"),
                                 .farthest = number_of(&csv, "farthest")};
        snprintf(e.name, sizeof e.name, "%s", NAME[kind]);
        snprintf(e.words, sizeof e.words, "%s", text_of(&csv, "words"));
        snprintf(e.trial_names, sizeof e.trial_names, "%s", text_of(&csv, "trial_names"));
    }
    assert(csv.status.code == DRUPELET_OK && e.n_trials >= 0); /* a test reads all kinds */
    base_csv_close(&csv);
    return e;
}

const char *report_model_error_text(report_error_kind kind, char text[REPORT_ERROR_TEXT])
{
    const report_model_error e = report_model_error_of(kind);
    int n;
    if (e.n_trials == 0)
        n = snprintf(text, REPORT_ERROR_TEXT, "no trial to compare with");
    else if (e.n_trials == 1)
        n = snprintf(text, REPORT_ERROR_TEXT,
                     "against 1 trial%s %s%.2g times the published, at most a factor of %.2g off; one trial tells no "
                     "spread",
                     e.n_in_view > 0 ? ", perhaps known when the scenario was chosen," : "",
                     e.n_numbers > 1 ? "on average " : "", e.bias, e.farthest);
    else
        n = snprintf(text, REPORT_ERROR_TEXT, "against %d trials mostly within a factor of %.2g", e.n_trials,
                     e.mostly_within);
    if (e.n_in_view > 0 && e.n_trials > 1)
        snprintf(text + n, (size_t)(REPORT_ERROR_TEXT - n), " (%d of them perhaps known when scenarios were chosen)",
                 e.n_in_view);
    return text;
}

const char *report_error_text(report_error_kind kind, tally_estimate number, const char *at,
                              char text[REPORT_ERROR_TEXT])
{
    char trials[REPORT_ERROR_TEXT], sampling[48] = "";
    const double percent = 100.0 * number.error / fabs(number.share);
    if (number.share != 0.0 && isfinite(percent) && percent > 0.0)
        snprintf(sampling, sizeof sampling, "sampling %.2g %%%s; ", percent, at);
    report_model_error_text(kind, trials);
    snprintf(text, REPORT_ERROR_TEXT, "%s%.*s", sampling, REPORT_ERROR_TEXT - (int)sizeof sampling, trials);
    return text;
}

report_error_kind report_error_of_ground(double distance_m)
{
    return distance_m <= REPORT_NEAR_M ? REPORT_ERROR_GROUND_NEAR : REPORT_ERROR_GROUND_FAR;
}

int report_error_of_column(const char *name)
{
    const int drift = scenario_drift_named(name);
    if (drift >= 0)
        return scenario_drift_numbers[drift].kind == SCENARIO_DRIFT_GROUND
                   ? (int)report_error_of_ground(scenario_drift_numbers[drift].distance_m)
                   : REPORT_ERROR_AIRBORNE; /* a sum is nearly all airborne */
    if (strcmp(name, tally_fate_name(TALLY_LEAF)) == 0 || strcmp(name, tally_fate_name(TALLY_WOOD)) == 0)
        return REPORT_ERROR_ON_TREES;
    return -1;
}

void report_model_error_print(FILE *to, const bool wanted[REPORT_ERROR_KINDS])
{
    fputs("How far the model was from field trials (docs/model-error.md)\n", to);
    for (int kind = 0; kind < REPORT_ERROR_KINDS; kind++) {
        char sentence[REPORT_ERROR_TEXT], line[REPORT_ERROR_TEXT + 80];
        if (!wanted[kind]) continue;
        snprintf(line, sizeof line, "%s: %s", report_model_error_of((report_error_kind)kind).words,
                 report_model_error_text((report_error_kind)kind, sentence));
        fputs("  ", to);
        report_wrapped(to, line, 4, 118);
    }
}

static void put(base_json *j, const char *key, double value)
{
    if (isnan(value))
        base_json_null(j, key);
    else
        base_json_number(j, key, value, REPORT_JSON_DIGITS);
}

void report_model_error_json(base_json *j)
{
    base_json_open(j, "model_error", '[');
    for (int kind = 0; kind < REPORT_ERROR_KINDS; kind++) {
        char text[REPORT_ERROR_TEXT];
        const report_model_error e = report_model_error_of((report_error_kind)kind);
        base_json_open(j, NULL, '{');
        base_json_words(j, "quantity", e.name);
        base_json_words(j, "of", e.words);
        base_json_whole(j, "trials", (uint64_t)e.n_trials);
        base_json_whole(j, "trials_in_view", (uint64_t)e.n_in_view);
        put(j, "bias", e.bias);
        put(j, "spread", e.spread);
        put(j, "mostly_within", e.mostly_within);
        put(j, "farthest", e.farthest);
        base_json_words(j, "sentence", report_model_error_text((report_error_kind)kind, text));
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}
