/* sim/report/uncertain_print.c - the range of the headlines and what drives it, as text and as JSON. */
#include <math.h>
#include <string.h>

#include "report/model_error.h"
#include "report/text.h"
#include "report/uncertain.h"
#include "tally/drift.h"

enum { LAST_COLUMN = 118 };

/* Cases in which so much is aloft when the flight ends that their drift is not known: calm air must not look safe. */
static int64_t count_aloft(const store_sweep *s)
{
    int64_t n = 0;
    for (int64_t c = 0; c < s->head.n_cases; c++) {
        double percent[TALLY_FATES];
        for (int f = 0; f < TALLY_FATES; f++)
            percent[f] = s->value[result_column_named(tally_fate_name(f))][c];
        n += !s->failed[c] && tally_aloft_matters(percent);
    }
    return n;
}

/* ---- for people ---- */

static void print_inputs(const scenario_inputs *inputs, FILE *to)
{
    char line[640];
    fputs("\nWhat varies, all at once, and where its range comes from\n", to);
    for (int i = 0; i < inputs->n; i++) {
        const scenario_uncertain_input *f = &inputs->input[i];
        snprintf(line, sizeof line, "%s: %s to %s (%s)", f->key, f->low, f->high, f->source);
        fputs("  ", to);
        report_wrapped(to, line, 4, LAST_COLUMN);
    }
    for (int i = 0; i < inputs->n_certain; i++)
        fprintf(to, "  %s does not vary: %s\n", inputs->certain[i].key, inputs->certain[i].reason);
}

static void print_ranges(const report_spread spread[REPORT_HEADLINES], const tally_estimate *as_it_stands, FILE *to)
{
    fprintf(to, "\nRange of the headlines: 10 and 90 %% of the cases lie below\n  %-16s%24s%10s%10s%10s%22s\n", "",
            "as the scenario stands", "10 %", "median", "90 %", "of it by sampling");
    for (int h = 0; h < REPORT_HEADLINES; h++) {
        const report_spread *r = &spread[h];
        char text[64];
        report_amount(text, sizeof text, as_it_stands[h].share, as_it_stands[h].error, " +/- ");
        if (r->n < 2) {
            fprintf(to, "  %-16s%24s   not known\n", r->output.name, text);
            continue;
        }
        fprintf(to, "  %-16s%24s%10.3g%10.3g%10.3g", r->output.name, text, r->low, r->median, r->high);
        if (isfinite(r->sampling))
            fprintf(to, "%20.0f %%\n", 100.0 * r->sampling);
        else
            fprintf(to, "%22s\n", "-");
    }
    for (int h = 0; h < REPORT_HEADLINES; h++)
        fprintf(to, "  %-16s%s\n", spread[h].output.name, spread[h].output.long_name);
}

/* Inputs of a headline that are clear, those with the largest share first. @return how many */
static int sorted(const report_spread *r, int n_factors, int order[])
{
    int n = 0;
    for (int f = 0; f < n_factors; f++) {
        if (!r->driver[f].clear)
            continue;
        int at = n++;
        for (; at > 0 && fabs(r->driver[order[at - 1]].coefficient) < fabs(r->driver[f].coefficient); at--)
            order[at] = order[at - 1];
        order[at] = f;
    }
    return n;
}

static double share_of(report_driver d)
{
    return 100.0 * d.coefficient * d.coefficient;
}

static double error_of(report_driver d)
{
    return 100.0 * 2.0 * fabs(d.coefficient) * d.error;
}

static void print_drivers(const store_sweep *s, const scenario_inputs *inputs,
                          const report_spread spread[REPORT_HEADLINES], FILE *to)
{
    fprintf(to,
            "\nWhat drives it: share of the spread, %% (of ranks, +/- one standard error); inputs beyond %g errors\n",
            REPORT_CLEAR);
    for (int h = 0; h < REPORT_HEADLINES; h++) {
        const report_spread *r = &spread[h];
        int order[STORE_SWEEP_FACTORS];
        const int n = sorted(r, s->head.n_factors, order);
        fprintf(to, "  %s\n", r->output.name);
        if (isnan(r->explained)) {
            fputs("    it does not vary, or too few cases are known\n", to);
            continue;
        }
        for (int i = 0; i < n; i++) {
            const report_driver d = r->driver[order[i]];
            fprintf(to, "    %5.0f +/- %.0f  %s, %s\n", share_of(d), error_of(d),
                    inputs->input[order[i]].key, d.coefficient > 0.0 ? "rises with it" : "falls as it rises");
        }
        fprintf(to, "    %5.0f          all inputs together; the rest is what ranks do not show, and sampling\n",
                100.0 * r->explained);
    }
}

static void print_text(const store_sweep *s, const scenario_inputs *inputs,
                       const report_spread spread[REPORT_HEADLINES], const tally_estimate *as_it_stands, FILE *to)
{
    bool wanted[REPORT_ERROR_KINDS] = {false};
    int64_t n_failed = 0;
    for (int64_t c = 0; c < s->head.n_cases; c++)
        n_failed += s->failed[c];
    fprintf(to, "%s: %lld cases, %d inputs, %lld droplets in the first case\n", s->head.name,
            (long long)s->head.n_cases, s->head.n_factors, (long long)s->n_droplets[0]);
    if (n_failed > 0)
        fprintf(to, "%lld cases failed and are left out\n", (long long)n_failed);
    const int64_t n_aloft = count_aloft(s);
    if (n_aloft > 0)
        fprintf(to,
                "TOO LOW: in %lld cases so much is still aloft when the flight ends that their drift is not known and "
                "reads too low\n",
                (long long)n_aloft);
    print_inputs(inputs, to);
    print_ranges(spread, as_it_stands, to);
    print_drivers(s, inputs, spread, to);
    for (int h = 0; h < REPORT_HEADLINES; h++) {
        const int kind = report_error_of_column(spread[h].output.name);
        if (kind >= 0)
            wanted[kind] = true;
    }
    fputc('\n', to);
    report_model_error_print(to, wanted);
    fputs("\nThe range is that of the inputs alone. What the model itself gets wrong comes on top.\n", to);
    report_wrapped(to, s->head.caution, 0, LAST_COLUMN);
}

/* ---- for programs ---- */

static void put(base_json *j, const char *key, double value)
{
    if (isfinite(value))
        base_json_number(j, key, value, REPORT_JSON_DIGITS);
    else
        base_json_null(j, key);
}

static void put_spread(base_json *j, const store_sweep *s, const scenario_inputs *inputs, const report_spread *r,
                       tally_estimate as_it_stands)
{
    base_json_open(j, NULL, '{');
    base_json_words(j, "name", r->output.name);
    base_json_words(j, "unit", r->output.units);
    base_json_words(j, "meaning", r->output.long_name);
    base_json_whole(j, "cases", (uint64_t)r->n);
    put(j, "as_it_stands", as_it_stands.share);
    put(j, "as_it_stands_standard_error", as_it_stands.error);
    put(j, "percent_10", r->low);
    put(j, "median", r->median);
    put(j, "percent_90", r->high);
    put(j, "share_by_sampling", r->sampling);
    put(j, "explained", r->explained);
    base_json_open(j, "drivers", '[');
    for (int f = 0; f < s->head.n_factors; f++) {
        base_json_open(j, NULL, '{');
        base_json_words(j, "key", inputs->input[f].key);
        put(j, "rank_coefficient", r->driver[f].coefficient);
        put(j, "standard_error", r->driver[f].error);
        base_json_truth(j, "clear", r->driver[f].clear);
        put(j, "share_percent", r->driver[f].clear ? share_of(r->driver[f]) : 0.0);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
    base_json_close(j, '}');
}

static void print_json(const store_sweep *s, const scenario_inputs *inputs,
                       const report_spread spread[REPORT_HEADLINES], const tally_estimate *as_it_stands, FILE *to)
{
    base_json j = {.to = to, .lines = 3};
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "name", s->head.name);
    base_json_whole(&j, "cases", (uint64_t)s->head.n_cases);
    base_json_whole(&j, "cases_too_much_aloft", (uint64_t)count_aloft(s));
    base_json_open(&j, "inputs", '[');
    for (int i = 0; i < inputs->n; i++) {
        base_json_open(&j, NULL, '{');
        base_json_words(&j, "key", inputs->input[i].key);
        base_json_words(&j, "low", inputs->input[i].low);
        base_json_words(&j, "high", inputs->input[i].high);
        base_json_truth(&j, "logarithmic", inputs->input[i].logarithmic);
        base_json_words(&j, "source", inputs->input[i].source);
        base_json_close(&j, '}');
    }
    base_json_close(&j, ']');
    base_json_open(&j, "left_alone", '[');
    for (int i = 0; i < inputs->n_certain; i++) {
        base_json_open(&j, NULL, '{');
        base_json_words(&j, "key", inputs->certain[i].key);
        base_json_words(&j, "reason", inputs->certain[i].reason);
        base_json_close(&j, '}');
    }
    base_json_close(&j, ']');
    base_json_open(&j, "headlines", '[');
    for (int h = 0; h < REPORT_HEADLINES; h++)
        put_spread(&j, s, inputs, &spread[h], as_it_stands[h]);
    base_json_close(&j, ']');
    report_model_error_json(&j);
    base_json_words(&j, "caution", s->head.caution);
    base_json_close(&j, '}');
    fputc('\n', to);
}

void report_uncertain_print(const store_sweep *sweep, const scenario_inputs *inputs,
                            const report_spread spread[REPORT_HEADLINES], const tally_estimate *as_it_stands, FILE *to,
                            bool json)
{
    (json ? print_json : print_text)(sweep, inputs, spread, as_it_stands, to);
}
