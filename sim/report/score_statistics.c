/* sim/report/score_statistics.c - fraction within a factor of two, biases and scatter of simulated values. */
#include "report/score_statistics.h"

#include <math.h>

#include "base/elementary.h"


static double floored(double value, double floor)
{
    return value > floor ? value : floor;
}

int report_score_counts(const score_values *p)
{
    return p->measured > p->floor || p->simulated > p->floor;
}

double report_score_ratio(const score_values *p)
{
    const double o = floored(p->measured, p->floor), s = floored(p->simulated, p->floor);
    return o > 0.0 ? s / o : s > 0.0 ? INFINITY : NAN;
}

int report_score_within(const score_values *p)
{
    const double ratio = report_score_ratio(p);
    return ratio >= 1.0 / SCORE_FACTOR && ratio <= SCORE_FACTOR;
}

/* Share of a normal distribution below t standard deviations. */
static double normal_below(double t)
{
    return 0.5 * base_erfc(-t / sqrt(2.0));
}

/* Chance that the simulated value, drawn anew, is within the factor. */
static double chance_within(const score_values *p)
{
    const double o = floored(p->measured, p->floor), low = o / SCORE_FACTOR, high = o * SCORE_FACTOR;
    if (!(p->error > 0.0))
        return report_score_within(p);
    if (!(o > 0.0))
        return 0.0;
    const double below_high = normal_below((high - p->simulated) / p->error);
    return p->floor >= low ? below_high : below_high - normal_below((low - p->simulated) / p->error);
}

static void take_means(int n, const score_values *pair, score_statistics *s)
{
    double o = 0.0, p = 0.0, square = 0.0, within = 0.0, within_error = 0.0, error = 0.0;
    for (int i = 0; i < n; i++) {
        if (!report_score_counts(&pair[i]))
            continue;
        const double off = pair[i].measured - pair[i].simulated, chance = chance_within(&pair[i]);
        o += pair[i].measured;
        p += pair[i].simulated;
        square += off * off;
        error += pair[i].error * pair[i].error;
        within += report_score_within(&pair[i]);
        within_error += chance * (1.0 - chance);
    }
    const double count = s->n;
    o /= count;
    p /= count;
    square /= count;
    s->fac2 = (score_number){within / count, sqrt(within_error) / count};
    /* dFB/dp_i = -4 mean o / (mean o + mean p)^2 / n */
    if (o + p > 0.0)
        s->fb = (score_number){2.0 * (o - p) / (o + p), 4.0 * fabs(o) / ((o + p) * (o + p)) * sqrt(error) / count};
    if (!(o > 0.0 && p > 0.0))
        return;
    /* dNMSE/dp_i = (-2 (o_i - p_i) - mean (o - p)^2 / mean p) / (n mean o mean p) */
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        const double off = pair[i].measured - pair[i].simulated;
        const double part = (2.0 * off + square / p) / (count * o * p) * pair[i].error;
        sum += report_score_counts(&pair[i]) ? part * part : 0.0;
    }
    s->nmse = (score_number){square / (o * p), sqrt(sum)};
}

static void take_logarithms(int n, const score_values *pair, score_statistics *s)
{
    double sum = 0.0, square = 0.0, sum_error = 0.0, square_error = 0.0;
    for (int i = 0; i < n; i++) {
        const double o = floored(pair[i].measured, pair[i].floor), p = floored(pair[i].simulated, pair[i].floor);
        if (!report_score_counts(&pair[i]) || !(o > 0.0 && p > 0.0))
            continue;
        const double off = base_log(o / p), relative = pair[i].simulated > pair[i].floor ? pair[i].error / p : 0.0;
        s->n_log++;
        sum += off;
        square += off * off;
        sum_error += relative * relative;
        square_error += 4.0 * off * off * relative * relative;
    }
    if (s->n_log == 0)
        return;
    const double mg = base_exp(sum / s->n_log), vg = base_exp(square / s->n_log);
    s->mg = (score_number){mg, mg * sqrt(sum_error) / s->n_log};
    s->vg = (score_number){vg, vg * sqrt(square_error) / s->n_log};
}

score_statistics report_score_statistics(int n, const score_values *pair)
{
    const score_number unknown = {NAN, NAN};
    score_statistics s = {.fac2 = unknown, .fb = unknown, .nmse = unknown, .mg = unknown, .vg = unknown};
    for (int i = 0; i < n; i++)
        s.n += report_score_counts(&pair[i]);
    s.n_below = n - s.n;
    if (s.n > 0) {
        take_means(n, pair, &s);
        take_logarithms(n, pair, &s);
    }
    return s;
}
