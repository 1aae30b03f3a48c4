/* sim/report/compare_print.c - a comparison of results as text, as JSON and as a table of comma-separated values. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/csv.h"
#include "report/compare.h"
#include "report/model_error.h"
#include "report/text.h"
#include "report/tradeoff.h"
#include "store/store.h"

enum {
    NAME_WIDTH = 26,
    VALUE_WIDTH = 22,
    DIFFERENCE_WIDTH = 36,
    KEY_WIDTH = 36,
    SETTING_WIDTH = 24,
    LAST_COLUMN = 118
};
#define NOTHING 1e-12 /* of a percent or a uL/cm2: what rounding leaves of a sum that is 0 */
enum { ABREAST = 3 }; /* most results that stand side by side */

static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* Change in percent of the first result's number; NAN where that is 0. */
static double change_percent(const compare_number *n, int i)
{
    return n->value[0].share != 0.0 ? 100.0 * n->difference[i].share / fabs(n->value[0].share) : NAN;
}

/* ---- for people ---- */

static void print_results(const report_comparison *c, FILE *to)
{
    fprintf(to, "Results compared with %s, the first\n", name_of(c->path[0]));
    for (int i = 0; i < c->n; i++) {
        const drupelet_result *r = c->result[i];
        fprintf(to, "  %c  %s: %s; %lld droplets, seed %llu\n", report_letter(i), name_of(c->path[i]), r->name,
                (long long)r->n_droplets, (unsigned long long)r->seed);
    }
    for (int i = 1; i < c->n; i++)
        if (strcmp(c->result[i]->version, c->result[0]->version) != 0)
            fprintf(to,
                    "  %c was made by version %s of the program, A by %s: not all that differs comes from settings\n",
                    report_letter(i), c->result[i]->version, c->result[0]->version);
}

/* Does the value follow from others, in every result? Its mark says so. */
static bool is_given(const report_comparison *c, const compare_setting *s)
{
    for (int i = 0; i < c->n; i++) {
        const size_t n = s->value[i] ? strlen(s->value[i]) : 0;
        if (n > 0 && !report_setting_mark(s->key, s->value[i])) return true;
    }
    return false;
}

static bool fits_a_line(const report_comparison *c, const compare_setting *s)
{
    for (int i = 0; i < c->n; i++)
        if (s->value[i] && strlen(s->value[i]) >= SETTING_WIDTH) return false;
    return c->n <= ABREAST && strlen(s->key) < KEY_WIDTH;
}

static void print_setting(const report_comparison *c, const compare_setting *s, FILE *to)
{
    if (fits_a_line(c, s)) {
        fprintf(to, "  %-*s", KEY_WIDTH, s->key);
        for (int i = 0; i < c->n; i++)
            fprintf(to, "%c  %-*s", report_letter(i), i + 1 < c->n ? SETTING_WIDTH : 0,
                    s->value[i] ? s->value[i] : "-");
        fputc('\n', to);
        return;
    }
    fprintf(to, "  %s\n", s->key);
    for (int i = 0; i < c->n; i++) {
        fprintf(to, "    %c  ", report_letter(i));
        report_wrapped(to, s->value[i] ? s->value[i] : "-", 7, LAST_COLUMN);
    }
}

static void print_settings(const report_comparison *c, FILE *to)
{
    int n_given = 0;
    fputs("\nSettings that differ\n", to);
    for (int k = 0; k < c->n_settings; k++)
        if (is_given(c, &c->setting[k])) {
            print_setting(c, &c->setting[k], to);
            n_given++;
        }
    if (n_given == 0) fputs("  none\n", to);
    if (n_given < c->n_settings)
        fprintf(to, "  and %d value%s that follow%s from settings, in JSON and in the table\n", c->n_settings - n_given,
                c->n_settings - n_given > 1 ? "s" : "", c->n_settings - n_given > 1 ? "" : "s");
}

/* As report_amount(), but numbers that six decimals do not show keep their digits. */
static void amount_text(double value, double error, char text[64])
{
    if (fabs(value) < NOTHING && error < NOTHING)
        snprintf(text, 64, "0");
    else if (error > 0.0 && error < 5e-6)
        snprintf(text, 64, "%.3g +/- %.1g", value, error);
    else
        report_amount(text, 64, value, error, " +/- ");
}

/* "+1.23 +/- 0.04 (+5 %) *" */
static void difference_text(const compare_number *n, int i, char text[96])
{
    const tally_estimate d = n->difference[i];
    char amount[64], change[24] = "";
    if (!isfinite(d.share)) {
        snprintf(text, 96, "unknown");
        return;
    }
    amount_text(fabs(d.share), d.error, amount);
    const double percent = change_percent(n, i);
    if (isfinite(percent) && d.share != 0.0)
        snprintf(change, sizeof change, " (%+.*f %%)", fabs(percent) < 10.0 ? 1 : 0, percent);
    snprintf(text, 96, "%s%s%s%s",
             d.share < 0.0   ? "-"
             : d.share > 0.0 ? "+"
                             : "",
             amount, change, report_beyond_noise(d) ? " *" : "");
}

/* The first result and how much more the others have, on one line. */
static void print_abreast(const report_comparison *c, const compare_number *n, FILE *to)
{
    char text[96];
    amount_text(n->value[0].share, n->value[0].error, text);
    fprintf(to, "  %-*s%-*s", NAME_WIDTH, n->name, VALUE_WIDTH, text);
    for (int i = 1; i < c->n; i++) {
        difference_text(n, i, text);
        fprintf(to, "%-*s", i + 1 < c->n ? DIFFERENCE_WIDTH : 0, text);
    }
    fputs(n->paired ? "\n" : " ~\n", to);
}

/* A line for each result. */
static void print_below(const report_comparison *c, const compare_number *n, FILE *to)
{
    fprintf(to, "  %s%s\n", n->name, n->paired ? "" : " ~");
    for (int i = 0; i < c->n; i++) {
        char text[96];
        amount_text(n->value[i].share, n->value[i].error, text);
        fprintf(to, "    %c  %-*s", report_letter(i), i > 0 ? VALUE_WIDTH : 0, text);
        difference_text(n, i, text);
        fprintf(to, "%s\n", i > 0 ? text : "");
    }
}

static void print_numbers(const report_comparison *c, FILE *to)
{
    fprintf(to, "\nResults, with one standard error; * more than %g errors of the difference\n", REPORT_BEYOND_NOISE);
    if (c->n <= ABREAST) {
        fprintf(to, "  %-*s%-*s", NAME_WIDTH, "", VALUE_WIDTH, "A");
        for (int i = 1; i < c->n; i++)
            fprintf(to, "%c less A%-*s", report_letter(i), i + 1 < c->n ? DIFFERENCE_WIDTH - 8 : 0, "");
        fputc('\n', to);
    } else {
        fprintf(to, "  beside the value of each: less that of A\n");
    }
    const char *heading = "";
    for (int k = 0; k < c->n_numbers; k++) {
        const compare_number *n = &c->number[k];
        if (strcmp(heading, n->meaning) != 0) fprintf(to, "%s [%s]\n", heading = n->meaning, n->unit);
        (c->n <= ABREAST ? print_abreast : print_below)(c, n, to);
    }
}

/* More often than by chance alone, which puts one value of twenty so far off (normal distribution)? */
static bool often(const compare_elsewhere *e, int i)
{
    return e->n_differ[i] < 0 || 20 * e->n_differ[i] > e->n;
}

static void print_elsewhere(const report_comparison *c, FILE *to)
{
    int n_told = 0;
    for (int k = 0; k < c->n_elsewhere; k++) {
        const compare_elsewhere *e = &c->elsewhere[k];
        bool tell = false;
        for (int i = 1; i < c->n; i++)
            tell = tell || often(e, i);
        if (!tell) continue;
        if (n_told++ == 0)
            fputs("\nElsewhere in the results: values that differ so from A, where more than one of twenty does ~\n",
                  to);
        fprintf(to, "  %-36s", e->name);
        for (int i = 1; i < c->n; i++) {
            char text[48] = "other shape";
            if (e->n_differ[i] >= 0) snprintf(text, sizeof text, "%d of %d", e->n_differ[i], e->n);
            fprintf(to, "  %c  %-*s", report_letter(i), i + 1 < c->n ? 14 : 0, text);
        }
        fputc('\n', to);
    }
}

static void print_model_error(const report_comparison *c, FILE *to)
{
    bool wanted[REPORT_ERROR_KINDS] = {[REPORT_ERROR_RATIO] = true};
    for (int k = 0; k < c->n_numbers; k++) {
        const int kind = report_error_of_column(c->number[k].name);
        if (kind >= 0)
            wanted[kind] = true;
    }
    fputc('\n', to);
    report_model_error_print(to, wanted);
}

void report_comparison_print(const report_comparison *c, FILE *to)
{
    print_results(c, to);
    print_settings(c, to);
    print_numbers(c, to);
    print_elsewhere(c, to);
    print_model_error(c, to);
    fputc('\n', to);
    report_wrapped(to,
                   "Errors are those of the sampling of droplets, not of the model. They are taken batch by batch of "
                   "the two runs, so that what chance does to both alike drops out where the seeds are equal; "
                   "~ where this is not known they are added as if independent, which with equal seeds is too much.",
                   0, LAST_COLUMN);
    report_wrapped(to, c->result[0]->caution, 0, LAST_COLUMN);
}

/* ---- for programs ---- */

static void put_results(const report_comparison *c, base_json *j)
{
    base_json_open(j, "results", '[');
    for (int i = 0; i < c->n; i++) {
        base_json_open(j, NULL, '{');
        base_json_words(j, "file", name_of(c->path[i]));
        base_json_words(j, "name", c->result[i]->name);
        base_json_whole(j, "seed", c->result[i]->seed);
        base_json_whole(j, "droplets", (uint64_t)c->result[i]->n_droplets);
        base_json_words(j, "version", c->result[i]->version);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void put_settings(const report_comparison *c, base_json *j)
{
    base_json_open(j, "settings", '[');
    for (int k = 0; k < c->n_settings; k++) {
        base_json_open(j, NULL, '{');
        base_json_words(j, "key", c->setting[k].key);
        base_json_open(j, "values", '[');
        for (int i = 0; i < c->n; i++) {
            if (c->setting[k].value[i])
                base_json_words(j, NULL, c->setting[k].value[i]);
            else
                base_json_null(j, NULL);
        }
        base_json_close(j, ']');
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void put_difference(const compare_number *n, int i, base_json *j)
{
    base_json_open(j, NULL, '{');
    base_json_number(j, "amount", n->difference[i].share, REPORT_JSON_DIGITS);
    base_json_number(j, "standard_error", n->difference[i].error, REPORT_JSON_DIGITS);
    base_json_number(j, "percent", change_percent(n, i), REPORT_JSON_DIGITS);
    base_json_truth(j, "beyond_noise", report_beyond_noise(n->difference[i]));
    base_json_close(j, '}');
}

static void put_numbers(const report_comparison *c, base_json *j)
{
    base_json_open(j, "numbers", '[');
    for (int k = 0; k < c->n_numbers; k++) {
        const compare_number *n = &c->number[k];
        base_json_open(j, NULL, '{');
        base_json_words(j, "name", n->name);
        base_json_words(j, "unit", n->unit);
        base_json_words(j, "meaning", n->meaning);
        base_json_truth(j, "paired", n->paired);
        base_json_open(j, "values", '[');
        for (int i = 0; i < c->n; i++)
            report_json_estimate(j, NULL, n->value[i]);
        base_json_close(j, ']');
        base_json_open(j, "less_the_first", '[');
        for (int i = 1; i < c->n; i++)
            put_difference(n, i, j);
        base_json_close(j, ']');
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void put_elsewhere(const report_comparison *c, base_json *j)
{
    base_json_open(j, "elsewhere", '[');
    for (int k = 0; k < c->n_elsewhere; k++) {
        const compare_elsewhere *e = &c->elsewhere[k];
        base_json_open(j, NULL, '{');
        base_json_words(j, "quantity", e->name);
        base_json_whole(j, "values", (uint64_t)e->n);
        base_json_open(j, "differ", '[');
        for (int i = 1; i < c->n; i++) {
            if (e->n_differ[i] >= 0)
                base_json_whole(j, NULL, (uint64_t)e->n_differ[i]);
            else
                base_json_null(j, NULL);
        }
        base_json_close(j, ']');
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

void report_comparison_json(const report_comparison *c, FILE *to)
{
    base_json j = {.to = to, .lines = 3};
    base_json_open(&j, NULL, '{');
    put_results(c, &j);
    put_settings(c, &j);
    put_numbers(c, &j);
    put_elsewhere(c, &j);
    report_model_error_json(&j);
    base_json_words(&j, "caution", c->result[0]->caution);
    base_json_close(&j, '}');
    fputc('\n', to);
}

static void put_table(const report_comparison *c, FILE *to)
{
    fprintf(to, "# Results compared with %s\n", name_of(c->path[0]));
    fputs("# paired: the error of the difference is that of the differences batch by batch; no: added as if "
          "independent\n",
          to);
    fprintf(to, "# %s\nkind,name,unit,result,value,standard_error,less_the_first,error_of_difference,paired\n",
            c->result[0]->caution);
    for (int k = 0; k < c->n_settings; k++)
        for (int i = 0; i < c->n; i++) {
            fputs("setting,", to);
            base_csv_put_text(to, c->setting[k].key);
            fputs(",,", to);
            base_csv_put_text(to, name_of(c->path[i]));
            fputc(',', to);
            base_csv_put_text(to, c->setting[k].value[i] ? c->setting[k].value[i] : "");
            fputs(",,,,\n", to);
        }
    for (int k = 0; k < c->n_numbers; k++)
        for (int i = 0; i < c->n; i++) {
            const compare_number *n = &c->number[k];
            fputs("result,", to);
            base_csv_put_text(to, n->name);
            fprintf(to, ",%s,", n->unit);
            base_csv_put_text(to, name_of(c->path[i]));
            const double value[] = {n->value[i].share, n->value[i].error, i > 0 ? n->difference[i].share : NAN,
                                    i > 0 ? n->difference[i].error : NAN};
            for (int v = 0; v < 4; v++) {
                fputc(',', to);
                base_csv_put_number(to, value[v]);
            }
            fprintf(to, ",%s\n", i == 0 ? "" : n->paired ? "yes" : "no");
        }
}

drupelet_status report_comparison_csv(const report_comparison *c, const char *path, bool overwrite)
{
    store_draft draft;
    FILE *to;
    const drupelet_status status = store_text_begin(path, overwrite, &draft, &to);
    if (!to) return status;
    put_table(c, to);
    return store_text_end(&draft, to, status);
}
