/* sim/sweep/dispatch.c - cases sorted by group, and who is in which. */
#include "sweep/dispatch.h"

#include <assert.h>
#include <stdlib.h>

#include "base/status.h"

struct sweep_dispatch {
    int64_t *order;                 /* wanted cases, by group and then by number */
    int64_t *first, *next, *end;    /* of each group in order */
    int32_t n_groups, fresh;        /* fresh: first group that nobody has begun */
    int32_t *of_worker;             /* group, or -1 */
    int n_workers;
    int64_t left;
};

drupelet_status sweep_dispatch_create(int64_t n_cases, const int32_t *group, int32_t n_groups, const bool *wanted,
                                      int n_workers, sweep_dispatch **dispatch)
{
    *dispatch = NULL;
    sweep_dispatch *d = calloc(1, sizeof *d);
    if (!d)
        return base_error(DRUPELET_MEMORY, "no memory for the queue of cases");
    d->order = malloc(((size_t)n_cases + 1) * sizeof *d->order);
    d->first = calloc((size_t)n_groups + 1, sizeof *d->first);
    d->next = calloc((size_t)n_groups + 1, sizeof *d->next);
    d->end = calloc((size_t)n_groups + 1, sizeof *d->end);
    d->of_worker = malloc((size_t)n_workers * sizeof *d->of_worker);
    if (!d->order || !d->first || !d->next || !d->end || !d->of_worker) {
        sweep_dispatch_free(d);
        return base_error(DRUPELET_MEMORY, "no memory for the queue of cases");
    }
    d->n_groups = n_groups;
    d->n_workers = n_workers;
    for (int w = 0; w < n_workers; w++)
        d->of_worker[w] = -1;
    for (int64_t c = 0; c < n_cases; c++)
        if (wanted[c]) {
            d->end[group[c]]++;
            d->left++;
        }
    int64_t at = 0;
    for (int32_t g = 0; g < n_groups; g++) {
        const int64_t n = d->end[g];
        d->first[g] = d->next[g] = d->end[g] = at;
        at += n;
    }
    for (int64_t c = 0; c < n_cases; c++)
        if (wanted[c])
            d->order[d->end[group[c]]++] = c;
    *dispatch = d;
    return base_ok();
}

void sweep_dispatch_free(sweep_dispatch *d)
{
    if (!d)
        return;
    free(d->order);
    free(d->first);
    free(d->next);
    free(d->end);
    free(d->of_worker);
    free(d);
}

static int32_t fullest(const sweep_dispatch *d)
{
    int32_t best = -1;
    for (int w = 0; w < d->n_workers; w++) { /* what is begun is somebody's */
        const int32_t g = d->of_worker[w];
        if (g >= 0 && d->next[g] < d->end[g] && (best < 0 || d->end[g] - d->next[g] > d->end[best] - d->next[best]))
            best = g;
    }
    return best;
}

int64_t sweep_dispatch_next(sweep_dispatch *d, int worker)
{
    assert(worker >= 0 && worker < d->n_workers);
    int32_t g = d->of_worker[worker];
    if (g < 0 || d->next[g] == d->end[g]) {
        while (d->fresh < d->n_groups && d->next[d->fresh] == d->end[d->fresh])
            d->fresh++;
        g = d->fresh < d->n_groups ? d->fresh++ : fullest(d);
        d->of_worker[worker] = g;
        if (g < 0)
            return -1;
    }
    d->left--;
    return d->order[d->next[g]++];
}

int64_t sweep_dispatch_left(const sweep_dispatch *d) { return d->left; }
int64_t sweep_dispatch_left_in(const sweep_dispatch *d, int32_t group) { return d->end[group] - d->next[group]; }
int64_t sweep_dispatch_size(const sweep_dispatch *d, int32_t group) { return d->end[group] - d->first[group]; }
