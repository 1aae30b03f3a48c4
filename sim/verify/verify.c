/* sim/verify/verify.c - compares numbers, gathers the subjects and prints the table. */
#include "verify/verify.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/status.h"
#include "verify/checks.h"

/* No number agrees with nothing. */
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

static void add(verify_list *list, const verify_target *target, double published, double ours, const char *what)
{
    assert(list->n < VERIFY_CHECKS);
    if (list->n == VERIFY_CHECKS)
        return;
    verify_check *check = &list->check[list->n++];
    *check = (verify_check){.subject = target->subject, .source = target->source, .unit = target->unit,
                            .published = published, .ours = ours, .kind = target->kind, .tolerance = target->tolerance,
                            .informational = target->informational,
                            .passes = target->informational || agrees(target, published, ours)};
    snprintf(check->what, sizeof check->what, "%s", what);
}

void verify_compare(verify_list *list, const verify_target *target, double published, double ours, const char *format,
                    ...)
{
    char what[sizeof list->check[0].what];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(what, sizeof what, format, arguments);
    va_end(arguments);
    add(list, target, published, ours, what);
}

void verify_worst_case(verify_worst *worst, double published, double ours, const char *format, ...)
{
    const double unit = worst->target->kind == VERIFY_RELATIVE ? fabs(published) : 1.0;
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
        verify_compare(list, worst->target, NAN, NAN, "%s: no case", table);
    else
        verify_compare(list, worst->target, worst->published, worst->ours, "%s, worst of %d: %s", table, worst->n,
                       worst->what);
}

drupelet_status verify_run(verify_list *list)
{
    drupelet_status (*const subjects[])(verify_list *) = {verify_humid_air, verify_settling, verify_evaporation,
                                                          verify_impaction, verify_outcome,  verify_retention,
                                                          verify_coverage,  verify_flow,     verify_fan_air,
                                                          verify_fan_jets,
                                                          verify_wind,      verify_dispersion, verify_plumes,
                                                          verify_collectors};
    drupelet_status status = base_ok();
    list->n = 0;
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
    char differs[24] = "", allowed[24] = "";
    if (c->kind == VERIFY_RELATIVE && c->published != 0.0)
        snprintf(differs, sizeof differs, "%+.2f %%", 100.0 * (c->ours - c->published) / fabs(c->published));
    else if (c->kind == VERIFY_FACTOR)
        snprintf(differs, sizeof differs, "x %.3g", c->ours / c->published);
    else
        snprintf(differs, sizeof differs, "%+.2g", c->ours - c->published);
    if (c->informational)
        snprintf(allowed, sizeof allowed, "-");
    else if (c->kind == VERIFY_RELATIVE)
        snprintf(allowed, sizeof allowed, "%.3g %%", 100.0 * c->tolerance);
    else if (c->kind == VERIFY_FACTOR)
        snprintf(allowed, sizeof allowed, "x %.3g", c->tolerance);
    else
        snprintf(allowed, sizeof allowed, "%.3g", c->tolerance);
    fprintf(to, "  %-57s [%d] %-6s %9.4g %9.4g %10s %8s  %s\n", c->what, i_source, c->unit, c->published, c->ours,
            differs, allowed,
            c->informational ? "shown"
            : c->passes      ? "ok"
                             : "FAILS");
}

/* Checks first to last - 1 are of one subject. Sources are numbered in the order in which they turn up. */
static void print_subject(FILE *to, const verify_list *list, int first, int last)
{
    const char *source[VERIFY_CHECKS];
    int n_sources = 0;
    fprintf(to, "%s\n", list->check[first].subject);
    for (int i = first; i < last; i++) {
        int s = 0;
        while (s < n_sources && strcmp(source[s], list->check[i].source) != 0)
            s++;
        if (s == n_sources)
            source[n_sources++] = list->check[i].source;
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
        for (last = first; last < list->n && strcmp(list->check[last].subject, list->check[first].subject) == 0; last++)
            n_shown += list->check[last].informational;
        print_subject(to, list, first, last);
    }
    const int n_failures = verify_failures(list);
    fprintf(to, "%d checks: %d within tolerance, %d outside; %d more shown without a verdict\n", list->n - n_shown,
            list->n - n_shown - n_failures, n_failures, n_shown);
}
