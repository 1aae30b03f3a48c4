/* sim/report/uncertain.c - quantiles of the headlines over a sweep, and which input drives them.
 *
 * Standardised rank regression: the ranks of a headline as a linear law of the ranks of the inputs, by least squares
 * (A. Saltelli, J. Marivoet, Reliab. Eng. Syst. Saf. 28 (1990) 229; memory). For inputs drawn apart from one another
 * the square of a coefficient is the share of the ranks' variance that the input explains, and what the law explains
 * in all is their sum. Ranks find whatever rises or falls throughout. Left out: effects that turn round, and those of
 * two inputs together; they are in what the law does not explain, with the sampling of droplets. */
#include "report/uncertain.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/order.h"
#include "base/status.h"

/* Both kinds of drift, near and far, and what the trees hold (choice). */
static const char *const HEADLINE[REPORT_HEADLINES] = {"leaf",        "wood",         "ground_5_m",
                                                       "ground_20_m", "airborne_5_m", "airborne_50_m"};

/* ---- ranks ---- */

typedef struct { double value; int64_t i; } placed;

static int by_value(const void *a, const void *b)
{
    const placed *p = a, *q = b;
    if (p->value != q->value)
        return p->value < q->value ? -1 : 1;
    return (p->i > q->i) - (p->i < q->i);
}

/* Ranks with mean 0 and variance 1; equal values share theirs. @return false where all are equal */
static bool rank(int64_t n, const double *value, placed *room, double *standard)
{
    double squares = 0.0;
    for (int64_t i = 0; i < n; i++)
        room[i] = (placed){value[i], i};
    qsort(room, (size_t)n, sizeof *room, by_value);
    for (int64_t i = 0, end; i < n; i = end) {
        for (end = i + 1; end < n && !(room[end].value > room[i].value); end++) {}
        for (int64_t k = i; k < end; k++)
            standard[room[k].i] = 0.5 * (double)(i + end - n);
    }
    for (int64_t i = 0; i < n; i++)
        squares += standard[i] * standard[i];
    for (int64_t i = 0; i < n && squares > 0.0; i++)
        standard[i] /= sqrt(squares / (double)n);
    return squares > 0.0;
}

/* ---- least squares ---- */

/* Cholesky's factors of a matrix of k rows, in place. @return false where it has none: inputs go together */
static bool factorise(int k, double *a)
{
    for (int i = 0; i < k; i++)
        for (int j = 0; j <= i; j++) {
            double sum = a[i * k + j];
            for (int m = 0; m < j; m++)
                sum -= a[i * k + m] * a[j * k + m];
            if (i == j && !(sum > 1e-9))
                return false;
            a[i * k + j] = i == j ? sqrt(sum) : sum / a[j * k + j];
        }
    return true;
}

/* Solves with the factors: b becomes the solution. */
static void solve(int k, const double *a, double *b)
{
    for (int i = 0; i < k; i++) {
        for (int m = 0; m < i; m++)
            b[i] -= a[i * k + m] * b[m];
        b[i] /= a[i * k + i];
    }
    for (int i = k - 1; i >= 0; i--) {
        for (int m = i + 1; m < k; m++)
            b[i] -= a[m * k + i] * b[m];
        b[i] /= a[i * k + i];
    }
}

/* @param rank_x [k][n]  @return share of the variance that is explained; NAN where it cannot be told */
static double fit(int64_t n, int k, const double *rank_x, const double *rank_y, report_driver driver[])
{
    double a[STORE_SWEEP_FACTORS * STORE_SWEEP_FACTORS], b[STORE_SWEEP_FACTORS], left = 0.0;
    for (int i = 0; i < k; i++) {
        b[i] = 0.0;
        for (int64_t c = 0; c < n; c++)
            b[i] += rank_x[i * n + c] * rank_y[c] / (double)n;
        for (int j = 0; j < k; j++) {
            a[i * k + j] = 0.0;
            for (int64_t c = 0; c < n; c++)
                a[i * k + j] += rank_x[i * n + c] * rank_x[j * n + c] / (double)n;
        }
    }
    if (!factorise(k, a))
        return NAN;
    solve(k, a, b);
    for (int64_t c = 0; c < n; c++) {
        double off = rank_y[c];
        for (int i = 0; i < k; i++)
            off -= b[i] * rank_x[i * n + c];
        left += off * off / (double)n;
    }
    for (int i = 0; i < k; i++) {
        double unit[STORE_SWEEP_FACTORS] = {0.0};
        unit[i] = 1.0;
        solve(k, a, unit);
        const double error = sqrt(left * unit[i] / (double)(n - k - 1));
        driver[i] = (report_driver){b[i], error, fabs(b[i]) > REPORT_CLEAR * error};
    }
    return 1.0 - left;
}

drupelet_status report_rank_law(int64_t n, int n_x, const double *const x[], const double *y, report_driver driver[],
                                double *explained)
{
    *explained = NAN;
    for (int i = 0; i < n_x; i++)
        driver[i] = (report_driver){NAN, NAN, false};
    if (n < n_x + 3 || n_x > STORE_SWEEP_FACTORS)
        return base_ok();
    placed *room = malloc((size_t)n * sizeof *room);
    double *ranks = malloc((size_t)(n_x + 1) * (size_t)n * sizeof *ranks);
    drupelet_status status = room && ranks ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the ranks");
    bool vary = true;
    for (int i = 0; i <= n_x && status.code == DRUPELET_OK; i++)
        vary = rank(n, i < n_x ? x[i] : y, room, ranks + i * n) && vary;
    if (status.code == DRUPELET_OK && vary)
        *explained = fit(n, n_x, ranks, ranks + n_x * n, driver);
    free(ranks);
    free(room);
    return status;
}

/* ---- headlines ---- */

/* Columns of the cases in which an output is known. @param known [n_factors + 2][n_cases] out: settings, value, error
 * @return how many */
static int64_t take_known(const store_sweep *s, int i_output, double *known)
{
    const int64_t n_cases = s->head.n_cases;
    const int k = s->head.n_factors;
    int64_t n = 0;
    for (int64_t c = 0; c < n_cases; c++) {
        if (s->failed[c] || !isfinite(s->value[i_output][c]))
            continue;
        for (int f = 0; f < k; f++)
            known[f * n_cases + n] = s->setting[f][c];
        known[k * n_cases + n] = s->value[i_output][c];
        known[(k + 1) * n_cases + n] = s->error[i_output][c];
        n++;
    }
    return n;
}

static void find_range(report_spread *r, double *value, const double *error)
{
    double mean = 0.0, squares = 0.0, noise = 0.0;
    for (int64_t i = 0; i < r->n; i++) {
        const double off = value[i] - mean;
        mean += off / (double)(i + 1);
        squares += off * (value[i] - mean);
        noise += error[i] * error[i] / (double)r->n;
    }
    const double variance = squares / (double)(r->n - 1);
    r->sampling = variance > 0.0 ? fmin(1.0, noise / variance) : NAN;
    base_sort(value, (size_t)r->n);
    r->low = base_quantile(value, (size_t)r->n, 0.1);
    r->median = base_quantile(value, (size_t)r->n, 0.5);
    r->high = base_quantile(value, (size_t)r->n, 0.9);
}

drupelet_status report_spread_of(const store_sweep *s, report_spread spread[REPORT_HEADLINES])
{
    const int64_t n_cases = s->head.n_cases;
    const int k = s->head.n_factors;
    double *known = malloc((size_t)(k + 2) * (size_t)n_cases * sizeof *known);
    drupelet_status status = known ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the headlines");
    for (int h = 0; h < REPORT_HEADLINES && status.code == DRUPELET_OK; h++) {
        const double *x[STORE_SWEEP_FACTORS];
        report_spread *r = &spread[h];
        *r = (report_spread){.low = NAN, .median = NAN, .high = NAN, .sampling = NAN, .explained = NAN};
        r->i_output = result_column_named(HEADLINE[h]);
        r->output = result_column_of(r->i_output);
        r->n = take_known(s, r->i_output, known);
        for (int f = 0; f < k; f++)
            x[f] = known + f * n_cases;
        status = report_rank_law(r->n, k, x, known + k * n_cases, r->driver, &r->explained);
        if (status.code == DRUPELET_OK && r->n > 1)
            find_range(r, known + k * n_cases, known + (k + 1) * n_cases);
    }
    free(known);
    return status;
}
