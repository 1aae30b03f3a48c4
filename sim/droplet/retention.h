/* sim/droplet/retention.h - how much of the liquid that lands on leaves stays there, and how much drips. */
#ifndef DROPLET_RETENTION_H
#define DROPLET_RETENTION_H

/** Standard deviation of the deposit of single leaves within one place of a tree, over their mean. Set by two published
 *  statements (retention.c). */
#define DROPLET_LEAF_VARIATION 0.35

/** Regularised incomplete gamma function Q(a, x), the upper part; a above 0, x 0 or more. */
double droplet_gamma_above(double a, double x);

/** What drips when the mean deposit of unlike leaves is so many times what a leaf holds; they differ as a gamma
 *  distribution. */
typedef struct {
    double lost;     /* share of the liquid that drips: mean of the excess over the mean deposit */
    double marginal; /* share that drips of the next little bit added to every leaf in proportion */
} droplet_runoff;
/** @param filling mean deposit over retention, 0 or more  @param variation standard deviation over mean, 0 or more */
droplet_runoff droplet_run_off(double filling, double variation);

#endif
