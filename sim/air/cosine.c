/* sim/air/cosine.c - cosine transforms of the columns of a matrix, as matrix products.
 *
 * cos(pi m (i + 1/2) / n) is even about the middle for even m and odd for odd m: sums of the two places as far from the
 * middle give the even wave numbers, differences the odd ones, and half of the products are saved. At the lengths of an
 * air grid (some 70, often a prime) the products cost no more than a fast transform would, need no library and give the
 * same bits everywhere. */
#include "air/cosine.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"
#include "base/widest.h"

enum { INPUTS = 8 }; /* rows that are added to an output at a time: their factors stay in registers */

drupelet_status air_cosine_create(int n, air_cosine *c)
{
    const double pi = BASE_PI;
    const size_t n_even = (size_t)(n + 1) / 2, n_odd = (size_t)n / 2;
    *c = (air_cosine){.n = n};
    c->even = malloc(2 * (n_even * n_even + n_odd * n_odd) * sizeof *c->even);
    if (!c->even)
        return base_error(DRUPELET_MEMORY, "no memory for the air around the sprayer");
    c->even_back = c->even + n_even * n_even;
    c->odd = c->even_back + n_even * n_even;
    c->odd_back = c->odd + n_odd * n_odd;
    for (size_t m = 0; m < (size_t)n; m++) {
        const size_t half = m % 2 ? n_odd : n_even, a = m / 2;
        for (size_t i = 0; i < half; i++) {
            const double value = sqrt((m > 0 ? 2.0 : 1.0) / n) * base_cos(pi * (double)m * ((double)i + 0.5) / n);
            (m % 2 ? c->odd : c->even)[a * half + i] = (float)value;
            (m % 2 ? c->odd_back : c->even_back)[i * half + a] = (float)value;
        }
    }
    return base_ok();
}

void air_cosine_free(air_cosine *c)
{
    free(c->even);
    *c = (air_cosine){0};
}

/* out[r] = sum over i of matrix[r][i] in[i], rows of width floats. A step leads from one row to the next. */
BASE_WIDEST static void product(int n, const float *matrix, int width, const float *in, ptrdiff_t in_step, float *out,
                                ptrdiff_t out_step)
{
    for (int r = 0; r < n; r++) {
        const float *factor = matrix + (ptrdiff_t)r * n;
        float *restrict sum = out + r * out_step;
        for (int v = 0; v < width; v++)
            sum[v] = 0.0f;
        int i = 0;
        for (; i + INPUTS <= n; i += INPUTS) {
            const float f0 = factor[i], f1 = factor[i + 1], f2 = factor[i + 2], f3 = factor[i + 3];
            const float f4 = factor[i + 4], f5 = factor[i + 5], f6 = factor[i + 6], f7 = factor[i + 7];
            const float *a = in + i * in_step;
            for (int v = 0; v < width; v++)
                sum[v] += ((f0 * a[v] + f1 * a[v + in_step]) + (f2 * a[v + 2 * in_step] + f3 * a[v + 3 * in_step]))
                          + ((f4 * a[v + 4 * in_step] + f5 * a[v + 5 * in_step])
                             + (f6 * a[v + 6 * in_step] + f7 * a[v + 7 * in_step]));
        }
        for (; i < n; i++)
            for (int v = 0; v < width; v++)
                sum[v] += factor[i] * in[v + i * in_step];
    }
}

/* Rows as far from the middle as each other become their sum (the nearer to the start) and their difference. */
BASE_WIDEST static void fold(int n, int width, float *rows)
{
    for (int i = 0; i < n / 2; i++) {
        float *restrict near = rows + (ptrdiff_t)i * width, *restrict far = rows + (ptrdiff_t)(n - 1 - i) * width;
        for (int v = 0; v < width; v++) {
            const float sum = near[v] + far[v], difference = near[v] - far[v];
            near[v] = sum;
            far[v] = difference;
        }
    }
}

void air_cosine_forward(const air_cosine *c, int width, float *in, float *out)
{
    const ptrdiff_t row = width, last = (ptrdiff_t)(c->n - 1) * width;
    fold(c->n, width, in);
    product((c->n + 1) / 2, c->even, width, in, row, out, 2 * row);
    product(c->n / 2, c->odd, width, in + last, -row, out + row, 2 * row);
}

void air_cosine_back(const air_cosine *c, int width, const float *in, float *out)
{
    const ptrdiff_t row = width, last = (ptrdiff_t)(c->n - 1) * width;
    product((c->n + 1) / 2, c->even_back, width, in, 2 * row, out, row);
    product(c->n / 2, c->odd_back, width, in + row, 2 * row, out + last, -row);
    fold(c->n, width, out);
}
