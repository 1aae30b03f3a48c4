/* sim/report/tradeoff.c - works out front, best settings, main effects and indices from the table of a sweep. */
#define _POSIX_C_SOURCE 200809L
#include "report/tradeoff.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

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
        .i_gain = STORE_OUT_FATE + TALLY_LEAF, .i_loss = store_output_named("ground_5_m"), .a = -1, .b = -1};
}

/* ---- limits ---- */

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
    limit->i_output = store_output_named(name);
    limit->at_least = *sign == '>';
    if (limit->i_output < 0) {
        int used = snprintf(reason, 240, "there is no output '%.30s'; some are", name);
        for (int i = 0; i < STORE_OUTPUTS && used < 200; i++)
            used += snprintf(reason + used, 240 - (size_t)used, " %s", store_output_of(i).name);
        return false;
    }
    const char *number = sign + 1 + (sign[1] == '=');
    number += strspn(number, " \t");
    if (!isdigit((unsigned char)*number) && *number != '.')
        return false;
    char *end;
    limit->value = strtod(number, &end);
    end += strspn(end, " \t");
    const char *units = store_output_of(limit->i_output).units;
    const bool percent = strcmp(units, "percent") == 0;
    if (*end == '\0' && percent) { /* 0.05 may be meant as 0.05 % or as 5 % */
        snprintf(reason, 240, "%s is in percent: write it with its %%", name);
        return false;
    }
    if (*end != '\0' && strcmp(end, units) != 0 && !(percent && strcmp(end, "%") == 0)) {
        snprintf(reason, 240, "%s is in %s", name, units);
        return false;
    }
    return isfinite(limit->value);
}

/* ---- the front ---- */

typedef struct { double gain, loss; int64_t point; } candidate;

static int by_loss(const void *a, const void *b)
{
    const candidate *x = a, *y = b;
    if (x->loss != y->loss)
        return x->loss < y->loss ? -1 : 1;
    if (x->gain != y->gain)
        return x->gain > y->gain ? -1 : 1;
    return (x->point > y->point) - (x->point < y->point);
}

/* The difference's error is at most the sum of the points' own, which spares most pairs the work. */
static bool within_noise(const report_column *c, int64_t a, int64_t b)
{
    const double apart = fabs(c->mean[a].share - c->mean[b].share);
    if (apart > REPORT_BEYOND_NOISE * (c->mean[a].error + c->mean[b].error))
        return false;
    const tally_estimate difference = report_difference(c, a, b);
    return fabs(difference.share) <= REPORT_BEYOND_NOISE * difference.error;
}

bool report_equal(const report_tradeoff *t, int64_t a, int64_t b)
{
    return within_noise(&t->gain, a, b) && within_noise(&t->loss, a, b);
}

void report_equals_letters(int group, char text[8])
{
    char backwards[8];
    int n = 0, length = 0;
    for (; group > 0 && n < 7; group = (group - 1) / 26)
        backwards[n++] = (char)('a' + (group - 1) % 26);
    while (n > 0)
        text[length++] = backwards[--n];
    text[length] = '\0';
}

/* Groups along the front in which every point is equal to every other. Being equal is no chain: of three points in a
 * row the outer two may differ, so a group ends where one does not fit its first members. */
static drupelet_status find_equals(report_tradeoff *t)
{
    t->equals = calloc((size_t)t->n_front + 1, sizeof *t->equals);
    if (!t->equals)
        return no_memory();
    int64_t first = 0;
    for (int64_t i = 1; i <= t->n_front; i++) {
        bool fits = i < t->n_front;
        for (int64_t k = first; k < i && fits; k++)
            fits = report_equal(t, t->front[k], t->front[i]);
        if (fits)
            continue;
        if (i - first > 1) {
            t->n_equals++;
            for (int64_t k = first; k < i; k++)
                t->equals[k] = t->n_equals;
        }
        first = i;
    }
    return base_ok();
}

static bool near_front(const report_tradeoff *t, int64_t p)
{
    for (int64_t i = 0; i < t->n_front; i++)
        if (report_equal(t, t->front[i], p))
            return true;
    return false;
}

static drupelet_status find_front(report_tradeoff *t)
{
    candidate *c = malloc((size_t)t->n_points * sizeof *c);
    t->front = malloc((size_t)t->n_points * sizeof *t->front);
    t->near = malloc((size_t)t->n_points * sizeof *t->near);
    if (!c || !t->front || !t->near) {
        free(c);
        return no_memory();
    }
    int64_t n = 0;
    for (int64_t p = 0; p < t->n_points; p++)
        if (isfinite(t->gain.mean[p].share) && isfinite(t->loss.mean[p].share))
            c[n++] = (candidate){t->gain.mean[p].share, t->loss.mean[p].share, p};
    t->n_known = n;
    qsort(c, (size_t)n, sizeof *c, by_loss);
    double most = -INFINITY;
    int64_t n_others = 0;
    for (int64_t i = 0; i < n; i++) {
        if (c[i].gain > most) {
            most = c[i].gain;
            t->front[t->n_front++] = c[i].point;
        } else {
            c[n_others++] = c[i];
        }
    }
    for (int64_t i = 0; i < n_others; i++)
        if (near_front(t, c[i].point))
            t->near[t->n_near++] = c[i].point;
    free(c);
    return find_equals(t);
}

/* ---- limits ---- */

static drupelet_status find_best(report_tradeoff *t)
{
    t->best = t->safest = -1;
    t->as_good = malloc((size_t)t->n_points * sizeof *t->as_good);
    if (!t->as_good)
        return no_memory();
    for (int64_t p = 0; p < t->n_points; p++) {
        bool holds = isfinite(t->gain.mean[p].share), safely = true;
        for (int i = 0; i < t->question.n_limits && holds; i++) {
            const report_limit *limit = &t->question.limit[i];
            const tally_estimate e = t->limited[i].mean[p];
            const double room = limit->at_least ? e.share - limit->value : limit->value - e.share;
            holds = room >= 0.0; /* also false where nothing is known */
            safely = safely && room >= REPORT_BEYOND_NOISE * e.error;
        }
        if (!holds)
            continue;
        t->as_good[t->n_within++] = p;
        if (t->best < 0 || t->gain.mean[p].share > t->gain.mean[t->best].share)
            t->best = p;
        if (safely && (t->safest < 0 || t->gain.mean[p].share > t->gain.mean[t->safest].share))
            t->safest = p;
    }
    for (int64_t i = 0; i < t->n_within; i++)
        if (t->as_good[i] != t->best && within_noise(&t->gain, t->best, t->as_good[i]))
            t->as_good[t->n_as_good++] = t->as_good[i];
    return base_ok();
}

/* ---- main effects ---- */

/* Points of each level of a factor: level_of[p] from 0, -1 where nothing is known of the point. */
typedef struct { int64_t n; int64_t *point; double *weight; int *level_of; candidate *order; } scratch;

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
        if (role && isfinite(t->gain.mean[p].share) && isfinite(t->loss.mean[p].share))
            s->order[n++] = (candidate){.loss = report_setting_number(sweep, p, f), .point = p};
    }
    qsort(s->order, (size_t)n, sizeof *s->order, by_loss);
    int64_t distinct = n > 0;
    for (int64_t i = 1; i < n; i++)
        distinct += s->order[i].loss != s->order[i - 1].loss;
    const bool stretches = factor->numeric && (distinct > REPORT_EFFECT_LEVELS || (t->drawn && 3 * distinct > n));
    const int most = stretches ? REPORT_BINS : REPORT_EFFECT_LEVELS;
    int level = 0;
    for (int64_t i = 0; i < n; i++) {
        if (stretches)
            level = (int)(i * most / n);
        else if (i > 0 && s->order[i].loss != s->order[i - 1].loss && level < most - 1)
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

static tally_estimate range_of(const report_tradeoff *t, const report_column *c, scratch *s, const report_effect *e,
                               bool gain)
{
    int low = 0, high = 0;
    for (int l = 1; l < e->n_levels; l++) {
        const double mean = gain ? e->level[l].gain.share : e->level[l].loss.share;
        if (mean < (gain ? e->level[low].gain.share : e->level[low].loss.share))
            low = l;
        if (mean > (gain ? e->level[high].gain.share : e->level[high].loss.share))
            high = l;
    }
    return low == high ? (tally_estimate){0.0, 0.0} : level_mean(t, c, s, e, high, low);
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
        for (int l = 0; l < e->n_levels; l++) {
            e->level[l].gain = level_mean(t, &t->gain, &s, e, l, -1);
            e->level[l].loss = level_mean(t, &t->loss, &s, e, l, -1);
        }
        e->gain_range = range_of(t, &t->gain, &s, e, true);
        e->loss_range = range_of(t, &t->loss, &s, e, false);
    }
    scratch_free(&s);
    return status;
}

drupelet_status report_level_difference(const report_tradeoff *t, int i_factor, int level, int less,
                                        tally_estimate *gain, tally_estimate *loss)
{
    scratch s;
    const drupelet_status status = scratch_create(t->n_points, &s);
    if (status.code != DRUPELET_OK)
        return status;
    report_effect e = {0}; /* the levels are worked out anew: which points they have is not kept */
    assign_levels(t, i_factor, &s, &e);
    if (gain) *gain = level == less ? (tally_estimate){0.0, 0.0} : level_mean(t, &t->gain, &s, &e, level, less);
    if (loss) *loss = level == less ? (tally_estimate){0.0, 0.0} : level_mean(t, &t->loss, &s, &e, level, less);
    scratch_free(&s);
    return status;
}

/* ---- sensitivity indices ---- */

static drupelet_status find_indices(report_tradeoff *t, const report_column *c, bool gain)
{
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
        *(gain ? &t->effect[f].gain_index : &t->effect[f].loss_index) = n > 1 ? index[f] : none;
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
    drupelet_status status = report_column_create(sweep, question->i_gain, &t->gain);
    if (status.code == DRUPELET_OK) status = report_column_create(sweep, question->i_loss, &t->loss);
    for (int i = 0; i < question->n_limits && status.code == DRUPELET_OK; i++)
        status = report_column_create(sweep, question->limit[i].i_output, &t->limited[i]);
    if (status.code == DRUPELET_OK) status = find_front(t);
    if (status.code == DRUPELET_OK && question->n_limits > 0) status = find_best(t);
    if (status.code == DRUPELET_OK) status = find_effects(t);
    if (status.code == DRUPELET_OK && sweep->head.indices) status = find_indices(t, &t->gain, true);
    if (status.code == DRUPELET_OK && sweep->head.indices) status = find_indices(t, &t->loss, false);
    if (status.code != DRUPELET_OK)
        report_tradeoff_free(t);
    return status;
}

void report_tradeoff_free(report_tradeoff *t)
{
    report_column_free(&t->gain);
    report_column_free(&t->loss);
    for (int i = 0; i < REPORT_LIMITS; i++)
        report_column_free(&t->limited[i]);
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
    drupelet_status status = store_draft_begin(path, overwrite, &draft);
    if (status.code != DRUPELET_OK)
        return status;
    FILE *to = fopen(draft.draft, "wb");
    int cause = to ? 0 : errno;
    if (to) {
        plot(t, to);
        if (ferror(to))
            cause = EIO;
        if (fclose(to) != 0 && cause == 0)
            cause = errno;
    }
    if (cause == 0)
        return store_draft_keep(&draft);
    status = base_error(DRUPELET_FILE, "%s: cannot be written: %s", path, strerror(cause));
    store_draft_drop(&draft);
    return status;
}
