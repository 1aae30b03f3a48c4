/* sim/report/sweep_table.c - means over replicates, and contrasts between points batch by batch.
 *
 * With the same seed, batch b of two cases holds the same random numbers; the differences of the batches' shares are 32
 * independent samples of the difference of the cases (common random numbers: common practice in simulation). Left out:
 * outputs without batches (cover, run-off), whose errors are added as if independent: too large for differences. */
#include "report/sweep_table.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"

drupelet_status report_column_create(const store_sweep *sweep, int i_output, report_column *c)
{
    drupelet_status status = base_ok();
    *c = (report_column){.sweep = sweep, .i_output = i_output, .output = result_column_of(i_output),
                         .n_points = sweep->head.n_cases / sweep->head.n_replicates};
    if (i_output < result_columns_batched())
        status = store_sweep_batches(sweep, i_output, &c->batch);
    if (status.code == DRUPELET_OK) {
        c->mean = malloc((size_t)c->n_points * sizeof *c->mean);
        if (!c->mean)
            status = base_error(DRUPELET_MEMORY, "no memory for the table of the sweep");
    }
    for (int64_t p = 0; p < c->n_points && status.code == DRUPELET_OK; p++)
        c->mean[p] = report_contrast(c, 1, &p, &(double){1.0});
    if (status.code != DRUPELET_OK)
        report_column_free(c);
    return status;
}

void report_column_free(report_column *c)
{
    free(c->mean);
    free(c->batch);
    *c = (report_column){0};
}

/* Of replicate r: the sum, and the variance of its mean over the batches. */
static tally_estimate of_replicate(const report_column *c, int r, int64_t n, const int64_t *point, const double *weight)
{
    const int replicates = c->sweep->head.n_replicates;
    double sum = 0.0, variance = 0.0, batch[TALLY_BATCHES] = {0.0};
    for (int64_t i = 0; i < n; i++) {
        const int64_t k = point[i] * replicates + r;
        sum += weight[i] * c->sweep->value[c->i_output][k];
        if (c->batch)
            for (int b = 0; b < TALLY_BATCHES; b++)
                batch[b] += weight[i] * (double)c->batch[k * TALLY_BATCHES + b];
        else
            variance += base_pow(weight[i] * c->sweep->error[c->i_output][k], 2.0);
    }
    if (c->batch) {
        double mean = 0.0, squares = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++)
            mean += batch[b] / TALLY_BATCHES;
        for (int b = 0; b < TALLY_BATCHES; b++)
            squares += (batch[b] - mean) * (batch[b] - mean);
        variance = squares / (TALLY_BATCHES - 1.0) / TALLY_BATCHES;
    }
    return (tally_estimate){sum, variance};
}

tally_estimate report_contrast(const report_column *c, int64_t n, const int64_t *point, const double *weight)
{
    const int replicates = c->sweep->head.n_replicates;
    double sum = 0.0, within = 0.0, mean = 0.0, squares = 0.0;
    for (int r = 0; r < replicates; r++) {
        const tally_estimate e = of_replicate(c, r, n, point, weight);
        const double off = e.share - mean;
        sum += e.share;
        within += e.error;
        mean += off / (r + 1);
        squares += off * (e.share - mean);
    }
    within /= (double)replicates * replicates;
    const double between = replicates > 1 ? squares / (replicates - 1.0) / replicates : 0.0;
    return (tally_estimate){sum / replicates, sqrt(fmax(within, between))};
}

tally_estimate report_difference(const report_column *c, int64_t a, int64_t b)
{
    return report_contrast(c, 2, (int64_t[]){a, b}, (double[]){1.0, -1.0});
}

double report_setting_number(const store_sweep *s, int64_t i_point, int i_factor)
{
    return s->setting[i_factor][i_point * s->head.n_replicates];
}

void report_setting(const store_sweep *s, int64_t i_point, int i_factor, char text[96])
{
    const store_sweep_factor *f = &s->head.factor[i_factor];
    const double number = report_setting_number(s, i_point, i_factor);
    if (f->numeric)
        snprintf(text, 96, "%.4g%s%s", number, f->units[0] ? " " : "", f->units);
    else
        snprintf(text, 96, "%s", f->level[(int)number]);
}
