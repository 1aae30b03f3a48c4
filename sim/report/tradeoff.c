/* sim/report/tradeoff.c - reads limits, and works out main effects and indices from the table of a sweep; front and
 * best settings are in front.c. */
#define _POSIX_C_SOURCE 200809L
#include "report/tradeoff.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/spelling.h"
#include "base/status.h"
#include "store/store.h"

enum { RESAMPLES = 1000, SEED = 1 };

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the answers from the sweep");
}

report_question report_question_usual(void)
{
    return (report_question){
        .output = {result_column_named("leaf"), result_column_named("ground_5_m")}, .a = -1, .b = -1};
}

void report_question_tell_beside(report_question *question)
{
    const int loss = scenario_drift_named(result_column_of(question->output[REPORT_LOSS]).name);
    question->tells_beside = false;
    if (loss < 0)
        return;
    const scenario_drift_number *of = &scenario_drift_numbers[loss];
    const scenario_drift_kind kind =
        of->kind == SCENARIO_DRIFT_AIRBORNE ? SCENARIO_DRIFT_GROUND : SCENARIO_DRIFT_AIRBORNE;
    const int first = scenario_drift_first(kind);
    int nearest = first;
    for (int i = first; i < first + scenario_drift_count(kind); i++)
        if (fabs(scenario_drift_numbers[i].distance_m - of->distance_m)
            < fabs(scenario_drift_numbers[nearest].distance_m - of->distance_m))
            nearest = i;
    question->output[REPORT_BESIDE] = result_column_named(scenario_drift_numbers[nearest].name);
    question->tells_beside = question->output[REPORT_BESIDE] != question->output[REPORT_GAIN];
}

/* ---- limits ---- */

static const char *name_of_output(const void *unused, int i, int *n)
{
    (void)unused;
    if (i >= result_columns_all())
        return NULL;
    *n = (int)strlen(result_column_of(i).name);
    return result_column_of(i).name;
}

int report_output_named(const char *name, char reason[240])
{
    const int i = result_column_named(name), near = i < 0 ? base_meant(name, name_of_output, NULL) : i;
    if (i < 0 && near >= 0)
        snprintf(reason, 240, "there is no output '%.60s'; did you mean '%s'? --outputs lists all", name,
                 result_column_of(near).name);
    else if (i < 0)
        snprintf(reason, 240, "there is no output '%.60s'; --outputs lists all", name);
    return i;
}

bool report_limit_read(const char *text, report_limit *limit, char reason[240])
{
    char name[64];
    const char *sign = text + strcspn(text, "<>");
    size_t n = (size_t)(sign - text);
    while (n > 0 && isspace((unsigned char)text[n - 1]))
        n--;
    snprintf(reason, 240, "expected NAME < NUMBER %%, such as 'ground_5_m < 2 %%'");
    if (*sign == '\0' || n == 0 || n >= sizeof name)
        return false;
    memcpy(name, text, n);
    name[n] = '\0';
    limit->at_least = *sign == '>';
    limit->i_output = result_column_named(name);
    if (limit->i_output < 0) {
        report_output_named(name, reason);
        return false;
    }
    const char *number = sign + 1 + (sign[1] == '=');
    const char *end = base_number(number + strspn(number, " \t"), &limit->value);
    if (!end)
        return false;
    end += strspn(end, " \t");
    const char *units = result_column_of(limit->i_output).units;
    const bool percent = strcmp(units, "percent") == 0;
    if (*end == '\0' && percent) { /* 0.05 may be meant as 0.05 % or as 5 % */
        snprintf(reason, 240, "%s is in percent: write it with its %%", name);
        return false;
    }
    if (*end != '\0' && strcmp(end, units) != 0 && !(percent && strcmp(end, "%") == 0)) {
        snprintf(reason, 240, "%s is in %s", name, units);
        return false;
    }
    return true;
}

/* ---- main effects ---- */

typedef struct { double setting; int64_t point; } placed;

static int by_setting(const void *a, const void *b)
{
    const placed *x = a, *y = b;
    if (x->setting != y->setting)
        return x->setting < y->setting ? -1 : 1;
    return (x->point > y->point) - (x->point < y->point);
}

/* Points of each level of a factor: level_of[p] from 0, -1 where nothing is known of the point. */
typedef struct { int64_t n; int64_t *point; double *weight; int *level_of; placed *order; } scratch;

/* Levels of a list as they stand; of many numbers, stretches with as many points each. */
static void assign_levels(const report_tradeoff *t, int f, scratch *s, report_effect *e)
{
    const store_sweep *sweep = t->sweep;
    const store_sweep_factor *factor = &sweep->head.factor[f];
    int64_t n = 0;
    for (int64_t p = 0; p < t->n_points; p++) {
        const bool role =
            !sweep->head.indices || p % (sweep->head.n_factors + 2) == 0
            || p % (sweep->head.n_factors + 2) == sweep->head.n_factors + 1; /* A and B alone are drawn freely */
        s->level_of[p] = -1;
        if (role && isfinite(t->of[REPORT_GAIN].mean[p].share) && isfinite(t->of[REPORT_LOSS].mean[p].share))
            s->order[n++] = (placed){report_setting_number(sweep, p, f), p};
    }
    qsort(s->order, (size_t)n, sizeof *s->order, by_setting);
    int64_t distinct = n > 0;
    for (int64_t i = 1; i < n; i++)
        distinct += s->order[i].setting != s->order[i - 1].setting;
    const bool stretches = factor->numeric && (distinct > REPORT_EFFECT_LEVELS || (t->drawn && 3 * distinct > n));
    const int most = stretches ? REPORT_BINS : REPORT_EFFECT_LEVELS;
    int level = 0;
    for (int64_t i = 0; i < n; i++) {
        if (stretches)
            level = (int)(i * most / n);
        else if (i > 0 && s->order[i].setting != s->order[i - 1].setting && level < most - 1)
            level++; /* words beyond the last place are taken together with it */
        s->level_of[s->order[i].point] = level;
        e->n_levels = level + 1;
    }
    for (int l = 0; l < e->n_levels; l++) {
        double low = INFINITY, high = -INFINITY, sum = 0.0;
        int64_t any = -1;
        report_level *r = &e->level[l];
        for (int64_t p = 0; p < t->n_points; p++)
            if (s->level_of[p] == l) {
                const double x = report_setting_number(sweep, p, f);
                low = fmin(low, x);
                high = fmax(high, x);
                sum += x;
                any = p;
                r->n++;
            }
        r->number = sum / (double)r->n;
        if (stretches)
            snprintf(r->label, sizeof r->label, "%.3g to %.3g%s%s", low, high, factor->units[0] ? " " : "",
                     factor->units);
        else if (low < high)
            snprintf(r->label, sizeof r->label, "all others");
        else
            report_setting(sweep, any, f, r->label);
    }
}

/* Mean over a level, less the mean over another (-1: none). */
static tally_estimate level_mean(const report_tradeoff *t, const report_column *c, scratch *s, const report_effect *e,
                                 int l, int other)
{
    int64_t n = 0;
    for (int64_t p = 0; p < t->n_points; p++) {
        const int level = s->level_of[p];
        if (level < 0 || (level != l && level != other))
            continue;
        s->point[n] = p;
        s->weight[n++] = (level == l ? 1.0 : -1.0) / (double)e->level[level].n;
    }
    tally_estimate mean = report_contrast(c, n, s->point, s->weight);
    if (!t->drawn)
        return mean;
    double variance = 0.0; /* the other factors were drawn: their scatter counts, and has the sampling's in it */
    for (int k = 0; k < 2; k++) {
        const int level = k == 0 ? l : other;
        double middle = 0.0, squares = 0.0;
        int64_t m = 0;
        for (int64_t i = 0; i < n; i++)
            if (level >= 0 && s->level_of[s->point[i]] == level) {
                const double off = c->mean[s->point[i]].share - middle;
                middle += off / (double)++m;
                squares += off * (c->mean[s->point[i]].share - middle);
            }
        variance += m > 1 ? squares / ((double)m - 1.0) / (double)m : 0.0;
    }
    mean.error = fmax(mean.error, sqrt(variance));
    return mean;
}

/* Means of the levels and their range. */
static void take_means(const report_tradeoff *t, report_role role, scratch *s, report_effect *e)
{
    const report_column *c = &t->of[role];
    int low = 0, high = 0;
    for (int l = 0; l < e->n_levels; l++) {
        const double mean = (e->level[l].mean[role] = level_mean(t, c, s, e, l, -1)).share;
        if (mean < e->level[low].mean[role].share)
            low = l;
        if (mean > e->level[high].mean[role].share)
            high = l;
    }
    e->range[role] = low == high ? (tally_estimate){0.0, 0.0} : level_mean(t, c, s, e, high, low);
}

static void scratch_free(scratch *s)
{
    free(s->point);
    free(s->weight);
    free(s->level_of);
    free(s->order);
}

static drupelet_status scratch_create(int64_t n_points, scratch *s)
{
    const size_t n = (size_t)n_points;
    *s = (scratch){.point = malloc(n * sizeof *s->point), .weight = malloc(n * sizeof *s->weight),
                   .level_of = malloc(n * sizeof *s->level_of), .order = malloc(n * sizeof *s->order)};
    if (s->point && s->weight && s->level_of && s->order)
        return base_ok();
    scratch_free(s);
    return no_memory();
}

static drupelet_status find_effects(report_tradeoff *t)
{
    scratch s;
    const drupelet_status status = scratch_create(t->n_points, &s);
    if (status.code != DRUPELET_OK)
        return status;
    for (int f = 0; f < t->sweep->head.n_factors; f++) {
        report_effect *e = &t->effect[f];
        assign_levels(t, f, &s, e);
        for (int role = 0; role < t->n_told; role++)
            take_means(t, (report_role)role, &s, e);
    }
    scratch_free(&s);
    return status;
}

drupelet_status report_level_difference(const report_tradeoff *t, int i_factor, int level, int less,
                                        tally_estimate difference[REPORT_BESIDE])
{
    scratch s;
    const drupelet_status status = scratch_create(t->n_points, &s);
    if (status.code != DRUPELET_OK)
        return status;
    report_effect e = {0}; /* the levels are worked out anew: which points they have is not kept */
    assign_levels(t, i_factor, &s, &e);
    for (int role = 0; role < REPORT_BESIDE; role++)
        difference[role] =
            level == less ? (tally_estimate){0.0, 0.0} : level_mean(t, &t->of[role], &s, &e, level, less);
    scratch_free(&s);
    return status;
}

/* ---- sensitivity indices ---- */

static drupelet_status find_indices(report_tradeoff *t, report_role role)
{
    const report_column *c = &t->of[role];
    const int k = t->sweep->head.n_factors, roles = k + 2;
    const int64_t samples = t->n_points / roles;
    const size_t room = (size_t)samples;
    double *a = malloc(room * sizeof *a), *b = malloc(room * sizeof *b), *noise = malloc(room * sizeof *noise);
    double *ab = malloc(room * (size_t)k * sizeof *ab), *noise_ab = malloc(room * (size_t)k * sizeof *noise_ab);
    report_index *index = malloc((size_t)k * sizeof *index);
    int64_t *whole = malloc(room * sizeof *whole), n = 0;
    drupelet_status status = a && b && noise && ab && noise_ab && index && whole ? base_ok() : no_memory();
    for (int64_t j = 0; j < samples && status.code == DRUPELET_OK; j++) { /* one failed point spoils its sample */
        bool known = true;
        for (int m = 0; m < roles; m++)
            known = known && isfinite(c->mean[j * roles + m].share);
        if (known)
            whole[n++] = j;
    }
    for (int64_t i = 0; i < n; i++) {
        const int64_t first = whole[i] * roles;
        a[i] = c->mean[first].share;
        b[i] = c->mean[first + k + 1].share;
        noise[i] = c->mean[first].error * c->mean[first].error;
        for (int f = 0; f < k; f++) {
            const tally_estimate d = report_difference(c, first, first + 1 + f);
            ab[f * n + i] = c->mean[first + 1 + f].share;
            noise_ab[f * n + i] = d.error * d.error;
        }
    }
    if (status.code == DRUPELET_OK && n > 1)
        status = report_indices(n, k, a, b, ab, noise, noise_ab, RESAMPLES, SEED, index);
    for (int f = 0; f < k && status.code == DRUPELET_OK; f++) {
        const report_index none = {NAN, NAN, NAN, NAN, NAN, NAN};
        t->effect[f].index[role] = n > 1 ? index[f] : none;
    }
    free(a);
    free(b);
    free(noise);
    free(ab);
    free(noise_ab);
    free(index);
    free(whole);
    return status;
}

/* ---- all of it ---- */

drupelet_status report_tradeoff_create(const store_sweep *sweep, const report_question *question, report_tradeoff *t)
{
    *t = (report_tradeoff){.sweep = sweep, .question = *question, .best = -1, .safest = -1};
    t->n_points = sweep->head.n_cases / sweep->head.n_replicates;
    t->drawn = strcmp(sweep->head.design, "latin_hypercube") == 0 || strcmp(sweep->head.design, "sobol") == 0;
    t->n_told = question->tells_beside ? REPORT_ROLES : REPORT_BESIDE;
    drupelet_status status = base_ok();
    for (int role = 0; role < t->n_told && status.code == DRUPELET_OK; role++)
        status = report_column_create(sweep, question->output[role], &t->of[role]);
    for (int i = 0; i < question->n_limits && status.code == DRUPELET_OK; i++)
        status = report_column_create(sweep, question->limit[i].i_output, &t->limited[i]);
    if (status.code == DRUPELET_OK) status = report_find_aloft(t);
    if (status.code == DRUPELET_OK) status = report_find_front(t);
    if (status.code == DRUPELET_OK && question->n_limits > 0) status = report_find_best(t);
    if (status.code == DRUPELET_OK) status = find_effects(t);
    for (int role = 0; role < REPORT_BESIDE && status.code == DRUPELET_OK && sweep->head.indices; role++)
        status = find_indices(t, (report_role)role);
    if (status.code != DRUPELET_OK)
        report_tradeoff_free(t);
    return status;
}

void report_tradeoff_free(report_tradeoff *t)
{
    for (int role = 0; role < REPORT_ROLES; role++)
        report_column_free(&t->of[role]);
    for (int i = 0; i < REPORT_LIMITS; i++)
        report_column_free(&t->limited[i]);
    free(t->aloft);
    free(t->front);
    free(t->equals);
    free(t->near);
    free(t->as_good);
    *t = (report_tradeoff){0};
}

drupelet_status report_plot_to(const report_tradeoff *t, void (*plot)(const report_tradeoff *, FILE *),
                               const char *path, bool overwrite)
{
    store_draft draft;
    FILE *to;
    const drupelet_status status = store_text_begin(path, overwrite, &draft, &to);
    if (!to)
        return status;
    plot(t, to);
    return store_text_end(&draft, to, status);
}
