/* sim/sweep/draw.c - Latin hypercube without memory, and quantiles.
 *
 * The random order is a Feistel network of four rounds over the next power of four, walked until it lands within the
 * range (M. Luby, C. Rackoff, SIAM J. Comput. 17 (1988) 373; J. Black, P. Rogaway, CT-RSA 2002, LNCS 2271, 114;
 * memory): the place of one point is known without those of the others. */
#include "sweep/draw.h"

#include <math.h>

#include "base/elementary.h"
#include "base/random.h"

enum {
    ROUNDS = 4,
    JITTER = 16,
    ORDER = 17
}; /* purposes of random numbers; the high bit of their dimension keeps them apart from those of sobol.c */

static void block(uint64_t seed, int dimension, int purpose, uint64_t id, uint32_t out[4])
{
    base_random_block(seed, BASE_STREAM_DESIGN, id, 0x80000000u | (uint32_t)purpose << 16 | (uint32_t)dimension, out);
}

int64_t sweep_shuffled(int64_t i, int64_t n, int dimension, uint64_t seed)
{
    int half = 1;
    while (half < 31 && ((int64_t)1 << (2 * half)) < n)
        half++;
    const uint64_t mask = ((uint64_t)1 << half) - 1;
    uint64_t at = (uint64_t)i;
    do {
        uint64_t left = at >> half, right = at & mask;
        for (int round = 0; round < ROUNDS; round++) {
            uint32_t random[4];
            block(seed, dimension, ORDER + round, right, random);
            const uint64_t next = left ^ (random[0] & mask);
            left = right;
            right = next;
        }
        at = left << half | right;
    } while (at >= (uint64_t)n);
    return (int64_t)at;
}

double sweep_latin(int64_t i, int64_t n, int dimension, uint64_t seed)
{
    uint32_t random[4];
    block(seed, dimension, JITTER, (uint64_t)i, random);
    return ((double)sweep_shuffled(i, n, dimension, seed) + base_uniform(random[0])) / (double)n;
}

double sweep_quantile(const sweep_distribution *d, double u)
{
    const double width = d->high - d->low;
    double mean = d->mean, deviation = d->deviation, low = d->low, high = d->high;
    switch (d->form) {
    case SWEEP_UNIFORM: return d->low + u * width;
    case SWEEP_LOG_UNIFORM: return d->low * base_pow(d->high / d->low, u);
    case SWEEP_TRIANGULAR:
        return u * width < d->mode - d->low ? d->low + sqrt(u * width * (d->mode - d->low))
                                            : d->high - sqrt((1.0 - u) * width * (d->high - d->mode));
    case SWEEP_NORMAL: break;
    case SWEEP_LOG_NORMAL:
        deviation = sqrt(base_log1p(base_pow(d->deviation / d->mean, 2.0)));
        mean = base_log(d->mean) - 0.5 * deviation * deviation;
        low = d->low > 0.0 ? base_log(d->low) : -INFINITY;
        high = base_log(d->high);
        break;
    }
    const double below = base_normal_share((low - mean) / deviation),
                 up_to = base_normal_share((high - mean) / deviation);
    const double value = mean + deviation * base_normal_quantile(below + u * (up_to - below));
    const double held = fmin(fmax(value, low), high); /* where the normal share has run out of digits */
    return d->form == SWEEP_LOG_NORMAL ? base_exp(held) : held;
}
