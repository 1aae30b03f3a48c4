/* sim/report/front.c - which points of a sweep are best: the trade-off front, the best settings under limits, what
 * noise does not tell apart, and what is no candidate because its drift is not known. */
#include "report/tradeoff.h"

#include <math.h>
#include <stdlib.h>

#include "base/status.h"
#include "tally/drift.h"

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the answers from the sweep");
}

/* ---- points whose drift is not known ---- */

/* Means of a point's fates over its replicates; not numbers where one failed. */
static void fates_of(const store_sweep *s, int64_t point, double percent[TALLY_FATES])
{
    const int replicates = s->head.n_replicates;
    for (int f = 0; f < TALLY_FATES; f++) {
        const double *value = s->value[result_column_named(tally_fate_name(f))];
        percent[f] = 0.0;
        for (int r = 0; r < replicates; r++)
            percent[f] += value[point * replicates + r] / replicates;
    }
}

double report_aloft_percent(const store_sweep *sweep, int64_t point)
{
    double percent[TALLY_FATES];
    fates_of(sweep, point, percent);
    return percent[TALLY_ALOFT];
}

static bool asks_for_drift(const report_question *question)
{
    bool asks = result_column_of(question->output[REPORT_GAIN]).is_drift
                || result_column_of(question->output[REPORT_LOSS]).is_drift;
    for (int i = 0; i < question->n_limits; i++)
        asks = asks || result_column_of(question->limit[i].i_output).is_drift;
    return asks;
}

drupelet_status report_find_aloft(report_tradeoff *t)
{
    t->aloft = malloc((size_t)t->n_points * sizeof *t->aloft);
    if (!t->aloft)
        return no_memory();
    for (int64_t p = 0; p < t->n_points; p++) {
        double percent[TALLY_FATES];
        fates_of(t->sweep, p, percent);
        if (tally_aloft_matters(percent))
            t->aloft[t->n_aloft++] = p;
    }
    t->n_left_out = asks_for_drift(&t->question) ? t->n_aloft : 0;
    return base_ok();
}

/* The list rises. */
static bool left_out(const report_tradeoff *t, int64_t point)
{
    int64_t low = 0, high = t->n_left_out;
    while (low < high) {
        const int64_t middle = low + (high - low) / 2;
        if (t->aloft[middle] < point)
            low = middle + 1;
        else
            high = middle;
    }
    return low < t->n_left_out && t->aloft[low] == point;
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
    return within_noise(&t->of[REPORT_GAIN], a, b) && within_noise(&t->of[REPORT_LOSS], a, b);
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

drupelet_status report_find_front(report_tradeoff *t)
{
    candidate *c = malloc((size_t)t->n_points * sizeof *c);
    t->front = malloc((size_t)t->n_points * sizeof *t->front);
    t->near = malloc((size_t)t->n_points * sizeof *t->near);
    if (!c || !t->front || !t->near) {
        free(c);
        return no_memory();
    }
    const tally_estimate *gain = t->of[REPORT_GAIN].mean, *loss = t->of[REPORT_LOSS].mean;
    int64_t n = 0;
    for (int64_t p = 0; p < t->n_points; p++) {
        const bool known = isfinite(gain[p].share) && isfinite(loss[p].share);
        t->n_known += known;
        if (known && !left_out(t, p))
            c[n++] = (candidate){gain[p].share, loss[p].share, p};
    }
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

drupelet_status report_find_best(report_tradeoff *t)
{
    const report_column *gain = &t->of[REPORT_GAIN];
    t->best = t->safest = -1;
    t->as_good = malloc((size_t)t->n_points * sizeof *t->as_good);
    if (!t->as_good)
        return no_memory();
    for (int64_t p = 0; p < t->n_points; p++) {
        bool holds = isfinite(gain->mean[p].share) && !left_out(t, p), safely = true;
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
        if (t->best < 0 || gain->mean[p].share > gain->mean[t->best].share)
            t->best = p;
        if (safely && (t->safest < 0 || gain->mean[p].share > gain->mean[t->safest].share))
            t->safest = p;
    }
    for (int64_t i = 0; i < t->n_within; i++)
        if (t->as_good[i] != t->best && within_noise(gain, t->best, t->as_good[i]))
            t->as_good[t->n_as_good++] = t->as_good[i];
    return base_ok();
}
