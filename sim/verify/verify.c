/* sim/verify/verify.c - compares numbers, gathers the subjects and prints the table. */
#include "verify/verify.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "verify/checks.h"

/* What is no number agrees with nothing. */
static bool agrees(const verify_target *t, double published, double ours)
{
    switch (t->kind) {
    case VERIFY_RELATIVE:
        return fabs(ours - published) <= t->tolerance * fabs(published);
    case VERIFY_ABSOLUTE:
        return fabs(ours - published) <= t->tolerance;
    case VERIFY_FACTOR:
        return ours > 0.0 && ours <= t->tolerance * published && published <= t->tolerance * ours;
    }
    return false;
}

/* "5 %", "0.03", "x 2", "range" or "shown". */
static bool take_tolerance(const char *text, verify_target *t)
{
    char *end = NULL;
    t->kind = text[0] == 'x' ? VERIFY_FACTOR : VERIFY_ABSOLUTE;
    t->tolerance = strtod(text[0] == 'x' ? text + 1 : text, &end);
    if (strcmp(end, " %") == 0) {
        t->kind = VERIFY_RELATIVE;
        t->tolerance /= 100.0;
        return true;
    }
    if (strcmp(text, "shown") == 0) {
        t->kind = VERIFY_RELATIVE;
        t->informational = true;
        return true;
    }
    if (strcmp(text, "range") == 0)
        t->tolerance = NAN; /* that of the range is set when it is compared */
    return strcmp(text, "range") == 0 || (end > text && *end == '\0');
}

drupelet_status verify_begin(verify_list *list)
{
    list->n = list->n_targets = 0;
    list->tolerances = NULL;
    drupelet_status status = verify_table_create("tolerances.csv", verify_tolerances_csv, &list->tolerances);
    for (int row = 0; status.code == DRUPELET_OK && row < verify_table_rows(list->tolerances); row++) {
        const verify_table *t = list->tolerances;
        const char *allowed = verify_table_text(t, row, "allowed");
        verify_target *target = &list->target[row];
        *target = (verify_target){.name = verify_table_text(t, row, "name"),
                                  .subject = verify_table_text(t, row, "subject"),
                                  .source = verify_table_text(t, row, "source"),
                                  .unit = verify_table_text(t, row, "unit")};
        if (row + 1 >= VERIFY_TARGETS || !take_tolerance(allowed, target))
            status = base_error(DRUPELET_FILE, "tolerances.csv: %s: '%s' is no tolerance, or there are too many rows",
                                target->name, allowed);
        list->n_targets = row + 1;
    }
    return status;
}

void verify_end(verify_list *list)
{
    verify_table_free(list->tolerances);
    list->tolerances = NULL;
}

verify_target verify_target_of(const verify_list *list, const char *name)
{
    for (int i = 0; i < list->n_targets; i++)
        if (strcmp(list->target[i].name, name) == 0)
            return list->target[i];
    return (verify_target){name, "No tolerance", "none", "", VERIFY_ABSOLUTE, NAN, false};
}

static void add(verify_list *list, const verify_target *target, double published, double ours, const char *format,
                va_list arguments)
{
    assert(list->n < VERIFY_CHECKS);
    if (list->n == VERIFY_CHECKS)
        return;
    verify_check *check = &list->check[list->n++];
    *check = (verify_check){.target = *target, .published = published, .ours = ours,
                            .passes = target->informational || agrees(target, published, ours)};
    vsnprintf(check->what, sizeof check->what, format, arguments);
}

void verify_compare(verify_list *list, const char *name, double published, double ours, const char *format, ...)
{
    const verify_target target = verify_target_of(list, name);
    va_list arguments;
    va_start(arguments, format);
    add(list, &target, published, ours, format, arguments);
    va_end(arguments);
}

void verify_compare_by(verify_list *list, const verify_target *target, double published, double ours,
                       const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add(list, target, published, ours, format, arguments);
    va_end(arguments);
}

void verify_compare_range(verify_list *list, const char *name, double low, double high, double ours, const char *what)
{
    verify_target target = verify_target_of(list, name);
    target.tolerance = 0.5 * (high - low);
    verify_compare_by(list, &target, 0.5 * (low + high), ours, "%s, middle of the range", what);
}

verify_worst verify_worst_of(const verify_list *list, const char *name)
{
    return (verify_worst){.target = verify_target_of(list, name)};
}

void verify_worst_case(verify_worst *worst, double published, double ours, const char *format, ...)
{
    const double unit = worst->target.kind == VERIFY_RELATIVE ? fabs(published) : 1.0;
    const double off = fabs(ours - published), distance = off > 0.0 || isnan(off) ? off / unit : 0.0;
    if (worst->n++ > 0 && !(distance > worst->distance) && !isnan(distance))
        return;
    if (isnan(worst->distance))
        return; /* nothing is worse than no number */
    worst->published = published;
    worst->ours = ours;
    worst->distance = distance;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(worst->what, sizeof worst->what, format, arguments);
    va_end(arguments);
}

void verify_worst_compare(verify_list *list, const verify_worst *worst, const char *table)
{
    if (worst->n == 0)
        verify_compare_by(list, &worst->target, NAN, NAN, "%s: no case", table);
    else
        verify_compare_by(list, &worst->target, worst->published, worst->ours, "%s, worst of %d: %s", table,
                          worst->n, worst->what);
}

drupelet_status verify_run(verify_list *list)
{
    drupelet_status (*const subjects[])(verify_list *) = {
        verify_humid_air, verify_settling,  verify_evaporation,   verify_impaction,  verify_small_catch, verify_outcome,
        verify_crowns,    verify_retention, verify_coverage,  verify_flow,          verify_fan_air,    verify_fan_flow,
        verify_spray_air,
        verify_wind,      verify_computed_wind, verify_dispersion, verify_plumes,    verify_collectors};
    drupelet_status status = verify_begin(list);
    for (size_t i = 0; i < sizeof subjects / sizeof subjects[0] && status.code == DRUPELET_OK; i++)
        status = subjects[i](list);
    return status;
}

int verify_failures(const verify_list *list)
{
    int n = 0;
    for (int i = 0; i < list->n; i++)
        n += !list->check[i].passes;
    return n;
}

static void print_check(FILE *to, const verify_check *c, int i_source)
{
    const verify_target *t = &c->target;
    char differs[24] = "", allowed[24] = "";
    if (t->kind == VERIFY_RELATIVE && c->published != 0.0)
        snprintf(differs, sizeof differs, "%+.2f %%", 100.0 * (c->ours - c->published) / fabs(c->published));
    else if (t->kind == VERIFY_FACTOR)
        snprintf(differs, sizeof differs, "x %.3g", c->ours / c->published);
    else
        snprintf(differs, sizeof differs, "%+.2g", c->ours - c->published);
    if (t->informational)
        snprintf(allowed, sizeof allowed, "-");
    else if (t->kind == VERIFY_RELATIVE)
        snprintf(allowed, sizeof allowed, "%.3g %%", 100.0 * t->tolerance);
    else if (t->kind == VERIFY_FACTOR)
        snprintf(allowed, sizeof allowed, "x %.3g", t->tolerance);
    else
        snprintf(allowed, sizeof allowed, "%.3g", t->tolerance);
    fprintf(to, "  %-57s [%d] %-6s %9.4g %9.4g %10s %8s  %s\n", c->what, i_source, t->unit, c->published, c->ours,
            differs, allowed,
            t->informational ? "shown"
            : c->passes      ? "ok"
                             : "FAILS");
}

/* Checks first to last - 1 are of one subject. Sources are numbered in the order in which they turn up. */
static void print_subject(FILE *to, const verify_list *list, int first, int last)
{
    const char *source[VERIFY_CHECKS];
    int n_sources = 0;
    fprintf(to, "%s\n", list->check[first].target.subject);
    for (int i = first; i < last; i++) {
        int s = 0;
        while (s < n_sources && strcmp(source[s], list->check[i].target.source) != 0)
            s++;
        if (s == n_sources)
            source[n_sources++] = list->check[i].target.source;
        print_check(to, &list->check[i], s + 1);
    }
    for (int s = 0; s < n_sources; s++)
        fprintf(to, "  [%d] %s\n", s + 1, source[s]);
    fputc('\n', to);
}

void verify_print(FILE *to, const verify_list *list)
{
    int n_shown = 0;
    fprintf(to, "  %-61s %-6s %9s %9s %10s %8s\n\n", "The model beside published numbers", "", "published", "model",
            "differs", "allowed");
    for (int first = 0, last; first < list->n; first = last) {
        const char *subject = list->check[first].target.subject;
        for (last = first; last < list->n && strcmp(list->check[last].target.subject, subject) == 0; last++)
            n_shown += list->check[last].target.informational;
        print_subject(to, list, first, last);
    }
    const int n_failures = verify_failures(list);
    fprintf(to, "%d checks: %d within tolerance, %d outside; %d more shown without a verdict\n", list->n - n_shown,
            list->n - n_shown - n_failures, n_failures, n_shown);
}
