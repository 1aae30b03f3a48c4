/* sim/sweep/draw.h - places in the unit interval and values of distributions: what designs of experiments draw from. */
#ifndef SWEEP_DRAW_H
#define SWEEP_DRAW_H

#include <stdint.h>

/** Coordinate of point i of n of a Latin hypercube: each n-th of the interval holds one point (M. D. McKay, R. J.
 *  Beckman, W. J. Conover, Technometrics 21 (1979) 239). */
double sweep_latin(int64_t i, int64_t n, int dimension, uint64_t seed);
/** Where i goes in a random order of 0 to n - 1. */
int64_t sweep_shuffled(int64_t i, int64_t n, int dimension, uint64_t seed);

enum { SWEEP_SOBOL_DIMENSIONS = 64 };

/** Coordinate of a point of the Sobol' sequence, in units of 2^-32 (index by binary digits, not by Gray code).
 *  @param dimension from 0 */
uint32_t sweep_sobol_bits(uint32_t index, int dimension);
/** The same scrambled by a seed; in the open interval (0, 1). */
double sweep_sobol(uint32_t index, int dimension, uint64_t seed);

typedef enum { SWEEP_UNIFORM, SWEEP_LOG_UNIFORM, SWEEP_TRIANGULAR, SWEEP_NORMAL, SWEEP_LOG_NORMAL } sweep_form;

/** A distribution. Uniform ones and the triangle lie between low and high; the normal ones are cut there, which may be
 *  infinite. Log-normal: mean and deviation are those of the value itself, not of its logarithm. */
typedef struct {
    sweep_form form;
    double low, high, mode, mean, deviation;
} sweep_distribution;

/** The value below which a share u of the distribution lies, u in (0, 1). */
double sweep_quantile(const sweep_distribution *distribution, double u);

#endif
