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

/* Columns that are worked out together; sums of theirs stay in a register. */
typedef float columns __attribute__((vector_size(AIR_COSINE_LANES * sizeof(float)), aligned(sizeof(float)), may_alias));

/* out[r] = sum over i of matrix[r][i] in[i], rows of width floats. A step leads from one row to the next. */
BASE_WIDEST static void product(int n, const float *matrix, int width, const float *in, ptrdiff_t in_step, float *out,
                                ptrdiff_t out_step)
{
    const ptrdiff_t step = in_step / AIR_COSINE_LANES;
    for (int v = 0; v < width; v += AIR_COSINE_LANES)
        for (int r = 0; r < n; r++) {
            const float *f = matrix + (ptrdiff_t)r * n;
            const columns *a = (const columns *)(in + v);
            columns sum = {0.0f};
            int i = 0;
            for (; i + INPUTS <= n; i += INPUTS, f += INPUTS, a += INPUTS * step)
                sum += ((f[0] * a[0] + f[1] * a[step]) + (f[2] * a[2 * step] + f[3] * a[3 * step]))
                       + ((f[4] * a[4 * step] + f[5] * a[5 * step]) + (f[6] * a[6 * step] + f[7] * a[7 * step]));
            for (; i < n; i++, f++, a += step)
                sum += f[0] * a[0];
            *(columns *)(out + r * out_step + v) = sum;
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
