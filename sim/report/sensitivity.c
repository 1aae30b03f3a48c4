/* sim/report/sensitivity.c - variance-based sensitivity indices and their confidence.
 *
 * First order: mean of f(B) (f(A with i of B) - f(A)) over V (A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259,
 * table 2 (b)); total: half the mean of (f(A) - f(A with i of B))^2 over V (M. J. W. Jansen, Comput. Phys. Commun. 117
 * (1999) 35). V is the variance over A and B; f is taken from its mean, which lessens the scatter of the first. What
 * the sampling of droplets adds to V and to the squared differences is known from the batches, and taken off.
 * Intervals: percentiles of a bootstrap over the samples (B. Efron, Ann. Stat. 7 (1979) 1; G. E. B. Archer, A.
 * Saltelli, I. M. Sobol', J. Stat. Comput. Simul. 58 (1997) 99). */
#include "report/sensitivity.h"

#include <math.h>
#include <stdlib.h>

#include "base/order.h"
#include "base/random.h"
#include "base/status.h"

typedef struct {
    int64_t n;
    int k;
    const double *a, *b, *ab, *noise, *noise_ab;
} samples;

/* Indices of a choice of samples (NULL: all as they are). */
static void estimate(const samples *s, const int64_t *pick, double *first, double *total)
{
    double mean = 0.0, variance = 0.0, noise = 0.0;
    for (int64_t j = 0; j < s->n; j++) {
        const int64_t i = pick ? pick[j] : j;
        mean += s->a[i] + s->b[i];
        noise += s->noise ? s->noise[i] : 0.0;
    }
    mean /= 2.0 * (double)s->n;
    for (int64_t j = 0; j < s->n; j++) {
        const int64_t i = pick ? pick[j] : j;
        variance += (s->a[i] - mean) * (s->a[i] - mean) + (s->b[i] - mean) * (s->b[i] - mean);
    }
    variance = variance / (2.0 * (double)s->n - 1.0) - noise / (double)s->n;
    for (int f = 0; f < s->k; f++) {
        const double *ab = s->ab + f * s->n, *off = s->noise_ab ? s->noise_ab + f * s->n : NULL;
        double product = 0.0, square = 0.0;
        for (int64_t j = 0; j < s->n; j++) {
            const int64_t i = pick ? pick[j] : j;
            product += (s->b[i] - mean) * (ab[i] - s->a[i]);
            square += (s->a[i] - ab[i]) * (s->a[i] - ab[i]) - (off ? off[i] : 0.0);
        }
        first[f] = variance > 0.0 ? product / (double)s->n / variance : NAN;
        total[f] = variance > 0.0 ? 0.5 * square / (double)s->n / variance : NAN;
    }
}

static void interval(double *value, int n, double *low, double *high)
{
    int known = 0;
    for (int i = 0; i < n; i++)
        if (isfinite(value[i]))
            value[known++] = value[i];
    *low = *high = NAN;
    if (known < 2)
        return;
    base_sort(value, (size_t)known);
    *low = base_quantile(value, (size_t)known, 0.025);
    *high = base_quantile(value, (size_t)known, 0.975);
}

drupelet_status report_indices(int64_t n, int k, const double *a, const double *b, const double *ab,
                               const double *noise, const double *noise_ab, int n_resamples, uint64_t seed,
                               report_index *index)
{
    const samples s = {n, k, a, b, ab, noise, noise_ab};
    const size_t resamples = (size_t)n_resamples;
    int64_t *pick = malloc((size_t)n * sizeof *pick);
    double *value = malloc(((size_t)k * (resamples + 1)) * 2 * sizeof *value); /* [first, total][factor][resample] */
    double *one = malloc(2 * (size_t)k * sizeof *one);
    if (!pick || !value || !one) {
        free(pick);
        free(value);
        free(one);
        return base_error(DRUPELET_MEMORY, "no memory for the sensitivity indices");
    }
    estimate(&s, NULL, one, one + k);
    for (int f = 0; f < k; f++) {
        index[f].first = one[f];
        index[f].total = one[k + f];
    }
    for (int r = 0; r < n_resamples; r++) {
        for (int64_t j = 0; j < n; j++) {
            uint32_t random[4];
            base_random_block(seed, BASE_STREAM_RESAMPLE, (uint64_t)j, (uint32_t)r, random);
            pick[j] = (int64_t)(base_uniform(random[0]) * (double)n);
        }
        estimate(&s, pick, one, one + k);
        for (int f = 0; f < 2 * k; f++)
            value[(size_t)f * resamples + (size_t)r] = one[f];
    }
    for (int f = 0; f < k; f++) {
        interval(value + (size_t)f * resamples, n_resamples, &index[f].first_low, &index[f].first_high);
        interval(value + (size_t)(k + f) * resamples, n_resamples, &index[f].total_low, &index[f].total_high);
    }
    free(one);
    free(value);
    free(pick);
    return base_ok();
}
