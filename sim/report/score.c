/* sim/report/score.c - prints measurements beside the result, with their statistics, and writes them to files. */
#define _POSIX_C_SOURCE 200809L
#include "report/score.h"

#include <math.h>
#include <string.h>

#include "base/status.h"
#include "drupelet/run.h"
#include "report/model_error.h"
#include "report/text.h"

typedef struct { const char *short_name, *label, *note; } statistic;
static const statistic STATISTIC[5] = {
    {"FAC2", "within a factor of two (FAC2)", "share; 1 is perfect"},
    {"FB", "fractional bias (FB)", "0 is perfect; above 0: simulated too low"},
    {"NMSE", "normalised mean square error (NMSE)", "0 is perfect"},
    {"MG", "geometric mean bias (MG)", "1 is perfect; above 1: simulated too low"},
    {"VG", "geometric variance (VG)", "1 is perfect"},
};

static score_number number_of(const score_statistics *s, int i)
{
    const score_number all[5] = {s->fac2, s->fb, s->nmse, s->mg, s->vg};
    return all[i];
}

bool report_score_tells(const score_statistics *s, int i)
{
    return (i < 3 ? s->n : s->n_log) >= 2;
}

static bool is_empty(const score_statistics *s)
{
    return s->n + s->n_below == 0;
}

static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

#define NEXT_TO_NOTHING 5e-5 /* of a value, or of 1 */

void report_score_amount(char *text, size_t size, score_number n, const char *between)
{
    if (isfinite(n.value) && !(n.error > NEXT_TO_NOTHING * fmax(1.0, fabs(n.value))))
        snprintf(text, size, "%.4g", n.value);
    else
        report_amount(text, size, n.value, n.error, between);
}

static void amount(char *text, size_t size, score_number n)
{
    report_score_amount(text, size, n, " +/- ");
}

/* ---- for people ---- */

static const char *verdict(const score_pair *p)
{
    return !report_score_counts(&p->value)  ? "both at or below the floor"
           : report_score_within(&p->value) ? "yes"
                                            : "no";
}

static void print_pairs(FILE *to, const score_report *s, int i_group)
{
    fprintf(to, "  %4s  %-34s%14s%24s%10s  %s\n", "line", "place", "measured", "simulated", "ratio",
            "within a factor of two");
    for (int i = 0; i < s->list->n; i++) {
        const score_pair *p = &s->list->pair[i];
        char simulated[64], ratio[32] = "-";
        if (p->i_group != i_group)
            continue;
        amount(simulated, sizeof simulated, (score_number){p->value.simulated, p->value.error});
        const bool known = report_score_counts(&p->value) && isfinite(report_score_ratio(&p->value));
        if (known)
            snprintf(ratio, sizeof ratio, "%.3g", report_score_ratio(&p->value));
        fprintf(to, "  %4d  %-34s%14.5g%24s%10s  %s\n", p->line, p->place, p->value.measured, simulated,
                ratio, verdict(p));
    }
}

static void print_group(FILE *to, const score_report *s, int i_group)
{
    const score_statistics *g = &s->statistics[i_group];
    fprintf(to, "\n%s\n", report_score_group_of(i_group).title);
    print_pairs(to, s, i_group);
    fprintf(to, "\n  %-44s%24d\n", "pairs that count", g->n);
    if (g->n_below > 0)
        fprintf(to, "  %-44s%24d\n", "left out, both at or below the floor", g->n_below);
    if (g->n < 2)
        fputs("  one pair alone makes no statistics\n", to);
    for (int i = 0; i < 5; i++) {
        char text[64];
        if (!report_score_tells(g, i))
            continue;
        amount(text, sizeof text, number_of(g, i));
        fprintf(to, "  %-44s%24s  %s\n", STATISTIC[i].label, text, STATISTIC[i].note);
    }
    if (g->n_log < g->n && g->n > 1)
        fprintf(to, "  MG and VG leave out %d pair%s with a 0 and no floor\n", g->n - g->n_log,
                g->n - g->n_log > 1 ? "s" : "");
}

/* How far other trials were, of what was measured here. */
static void print_model_error(FILE *to, const score_report *s)
{
    bool wanted[REPORT_ERROR_KINDS] = {false};
    for (int g = 0; g < SCORE_GROUPS; g++) {
        const int kind = report_score_group_of(g).kind;
        if (is_empty(&s->statistics[g]))
            continue;
        if (kind == SCORE_GROUND || kind == SCORE_COLLECTOR + SCENARIO_DISH)
            wanted[REPORT_ERROR_GROUND_NEAR] = wanted[REPORT_ERROR_GROUND_FAR] = true;
        else if (kind == SCORE_AIRBORNE || kind == SCORE_COLLECTOR + SCENARIO_LINE)
            wanted[REPORT_ERROR_AIRBORNE] = wanted[REPORT_ERROR_AIRBORNE_FALL] = true;
        else
            wanted[REPORT_ERROR_ON_TREES] = wanted[REPORT_ERROR_BY_ZONE] = true;
    }
    fputc('\n', to);
    report_model_error_print(to, wanted);
}

static void print_report(FILE *to, const score_report *s)
{
    fprintf(to, "%s: %s beside the result %s\n", s->r->name, name_of(s->measured), name_of(s->result));
    for (int g = 0; g < SCORE_GROUPS; g++)
        if (!is_empty(&s->statistics[g]))
            print_group(to, s, g);
    print_model_error(to, s);
    fprintf(to,
            "\nAfter +/- stands one standard error from the sampling of droplets in the simulation; what the model\n"
            "gets wrong and how well the trial was measured is not in it. Definitions: Chang and Hanna (2004).\n%s\n",
            drupelet_caution());
}

/* ---- the table ---- */

static void number_cell(FILE *to, double value)
{
    if (isfinite(value))
        fprintf(to, "%.9g", value);
}

static void write_table(FILE *to, const score_report *s)
{
    fprintf(to, "# Measured and simulated values: %s beside %s\n", name_of(s->measured), name_of(s->result));
    for (int g = 0; g < SCORE_GROUPS; g++) {
        if (is_empty(&s->statistics[g]))
            continue;
        fprintf(to, "# %s: %d pairs count, %d left out", report_score_group_of(g).title, s->statistics[g].n,
                s->statistics[g].n_below);
        for (int i = 0; i < 5; i++) {
            char text[64];
            if (!report_score_tells(&s->statistics[g], i))
                continue;
            amount(text, sizeof text, number_of(&s->statistics[g], i));
            fprintf(to, "; %s %s", STATISTIC[i].short_name, text);
        }
        fputc('\n', to);
    }
    fprintf(to, "# standard_error: of the simulated value, from the sampling of droplets only. ratio: simulated over "
                "measured, after the floor.\n# %s\n"
                "line,kind,place,measured,measured_error,simulated,standard_error,unit,floor,ratio,within_factor_two\n",
            drupelet_caution());
    for (int i = 0; i < s->list->n; i++) {
        const score_pair *p = &s->list->pair[i];
        const score_group g = report_score_group_of(p->i_group);
        fprintf(to, "%d,%s,\"%s\",%.9g,", p->line, g.kind_name, p->place, p->value.measured);
        number_cell(to, p->measured_error > 0.0 ? p->measured_error : NAN);
        fprintf(to, ",%.9g,%.9g,%s,%.9g,", p->value.simulated, p->value.error, g.unit, p->value.floor);
        number_cell(to, report_score_counts(&p->value) ? report_score_ratio(&p->value) : NAN);
        fprintf(to, ",%s\n", !report_score_counts(&p->value) ? "" : report_score_within(&p->value) ? "yes" : "no");
    }
}

/* ---- the whole ---- */

static drupelet_status write_draft(const store_draft *draft, const score_report *s,
                                   void (*write)(FILE *to, const score_report *s))
{
    FILE *to;
    const drupelet_status status = store_text_open(draft, &to);
    if (to)
        write(to, s);
    return store_text_close(draft, to, status);
}

/* Both files are drafts until both are whole. */
static drupelet_status write_files(const score_report *s, const char *table_path, const char *svg_path, bool overwrite)
{
    store_draft table = {0}, svg = {0};
    drupelet_status status = base_ok();
    if (table_path)
        status = store_draft_begin(table_path, overwrite, &table);
    if (status.code == DRUPELET_OK && svg_path)
        status = store_draft_begin(svg_path, overwrite, &svg);
    if (status.code == DRUPELET_OK && table_path)
        status = write_draft(&table, s, write_table);
    if (status.code == DRUPELET_OK && svg_path)
        status = write_draft(&svg, s, report_score_plot);
    if (status.code == DRUPELET_OK && table_path)
        status = store_draft_keep(&table);
    if (status.code == DRUPELET_OK && svg_path)
        status = store_draft_keep(&svg);
    if (table.draft)
        store_draft_drop(&table);
    if (svg.draft)
        store_draft_drop(&svg);
    return status;
}

drupelet_status report_score(const char *result_path, const char *measured_path, const char *table_path,
                             const char *svg_path, bool overwrite, FILE *to)
{
    drupelet_result *result;
    score_list list = {0};
    drupelet_status status = store_read(result_path, &result);
    if (status.code != DRUPELET_OK)
        return status;
    score_report s = {.result = result_path, .measured = measured_path, .r = result, .list = &list};
    status = report_score_read(measured_path, result, &list);
    for (int g = 0; g < SCORE_GROUPS && status.code == DRUPELET_OK; g++)
        status = report_score_group(&list, g, &s.statistics[g]);
    if (status.code == DRUPELET_OK)
        status = write_files(&s, table_path, svg_path, overwrite);
    if (status.code == DRUPELET_OK)
        print_report(to, &s);
    report_score_free(&list);
    drupelet_result_free(result);
    return status;
}
