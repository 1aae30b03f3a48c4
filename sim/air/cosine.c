/* sim/air/cosine.c - cosine transforms of the columns or the rows of a matrix, as matrix products.
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
#include "base/machine.h"
#include "base/status.h"

enum { INPUTS = 8 }; /* rows that are added to an output at a time: their factors stay in registers */

drupelet_status air_cosine_create(int n, air_cosine *c)
{
    const double pi = BASE_PI;
    const int n_even = (n + 1) / 2, n_odd = n / 2;
    *c = (air_cosine){.n = n, .even_row = air_cosine_padded(n_even), .odd_row = air_cosine_padded(n_odd)};
    const size_t of_even = (size_t)n_even * (size_t)c->even_row, of_odd = (size_t)n_odd * (size_t)c->odd_row;
    c->even = calloc(2 * (of_even + of_odd), sizeof *c->even);
    if (!c->even)
        return base_error(DRUPELET_MEMORY, "no memory for the air around the sprayer");
    c->even_back = c->even + of_even;
    c->odd = c->even_back + of_even;
    c->odd_back = c->odd + of_odd;
    for (int m = 0; m < n; m++) {
        const int a = m / 2, row = m % 2 ? c->odd_row : c->even_row;
        float *const to = m % 2 ? c->odd : c->even, *const back = m % 2 ? c->odd_back : c->even_back;
        for (int i = 0; i < (m % 2 ? n_odd : n_even); i++)
            to[a * row + i] = back[i * row + a] =
                (float)(sqrt((m > 0 ? 2.0 : 1.0) / n) * base_cos(pi * m * (i + 0.5) / n));
    }
    return base_ok();
}

void air_cosine_free(air_cosine *c)
{
    free(c->even);
    *c = (air_cosine){0};
}

/* Numbers that are worked out together; their sums stay in a register. */
typedef float lanes __attribute__((vector_size(AIR_COSINE_LANES * sizeof(float)), aligned(sizeof(float)), may_alias));

/* out[r] = sum over n of factor[r][i] in[i], rows of width floats. A step leads from one row to the next. */
BASE_WIDEST static void product(int n_rows, int n, const float *factor, ptrdiff_t factor_step, int width,
                                const float *in, ptrdiff_t in_step, float *out, ptrdiff_t out_step)
{
    const ptrdiff_t step = in_step / AIR_COSINE_LANES;
    for (int v = 0; v < width; v += AIR_COSINE_LANES)
        for (int r = 0; r < n_rows; r++) {
            const float *f = factor + r * factor_step;
            const lanes *a = (const lanes *)(in + v);
            lanes sum = {0.0f};
            int i = 0;
            for (; i + INPUTS <= n; i += INPUTS, f += INPUTS, a += INPUTS * step)
                sum += ((f[0] * a[0] + f[1] * a[step]) + (f[2] * a[2 * step] + f[3] * a[3 * step]))
                       + ((f[4] * a[4 * step] + f[5] * a[5 * step]) + (f[6] * a[6 * step] + f[7] * a[7 * step]));
            for (; i < n; i++, f++, a += step)
                sum += f[0] * a[0];
            *(lanes *)(out + r * out_step + v) = sum;
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
    const int n_even = (c->n + 1) / 2, n_odd = c->n / 2;
    fold(c->n, width, in);
    product(n_even, n_even, c->even, c->even_row, width, in, row, out, 2 * row);
    product(n_odd, n_odd, c->odd, c->odd_row, width, in + last, -row, out + row, 2 * row);
}

void air_cosine_back(const air_cosine *c, int width, const float *in, float *out)
{
    const ptrdiff_t row = width, last = (ptrdiff_t)(c->n - 1) * width;
    const int n_even = (c->n + 1) / 2, n_odd = c->n / 2;
    product(n_even, n_even, c->even_back, c->even_row, width, in, 2 * row, out, row);
    product(n_odd, n_odd, c->odd_back, c->odd_row, width, in + row, 2 * row, out + last, -row);
    fold(c->n, width, out);
}

BASE_WIDEST static void fold_rows(const air_cosine *c, int n_rows, int row, const float *in, float *folded)
{
    const int n = c->n, half = n / 2;
    for (int r = 0; r < n_rows; r++) {
        const float *restrict near = in + (ptrdiff_t)r * row, *far = near + n - 1;
        float *restrict even = folded + (ptrdiff_t)r * air_cosine_waves(c), *restrict odd = even + c->even_row;
        for (int i = 0; i < half; i++) {
            even[i] = near[i] + far[-i];
            odd[i] = near[i] - far[-i];
        }
        if (n % 2)
            even[half] = near[half];
    }
}

BASE_WIDEST static void unfold_rows(const air_cosine *c, int n_rows, int row, const float *folded, float *out)
{
    const int n = c->n, half = n / 2;
    for (int r = 0; r < n_rows; r++) {
        float *restrict near = out + (ptrdiff_t)r * row, *far = near + n - 1;
        const float *restrict even = folded + (ptrdiff_t)r * air_cosine_waves(c), *restrict odd = even + c->even_row;
        for (int i = 0; i < half; i++) {
            near[i] = even[i] + odd[i];
            far[-i] = even[i] - odd[i];
        }
        if (n % 2)
            near[half] = even[half];
    }
}

void air_cosine_forward_rows(const air_cosine *c, int n_rows, int row, const float *in, float *folded, float *out)
{
    const int n_even = (c->n + 1) / 2, n_odd = c->n / 2, waves = air_cosine_waves(c);
    fold_rows(c, n_rows, row, in, folded);
    product(n_rows, n_even, folded, waves, c->even_row, c->even_back, c->even_row, out, waves);
    product(n_rows, n_odd, folded + c->even_row, waves, c->odd_row, c->odd_back, c->odd_row, out + c->even_row, waves);
}

void air_cosine_back_rows(const air_cosine *c, int n_rows, int row, const float *in, float *folded, float *out)
{
    const int n_even = (c->n + 1) / 2, n_odd = c->n / 2, waves = air_cosine_waves(c);
    product(n_rows, n_even, in, waves, c->even_row, c->even, c->even_row, folded, waves);
    product(n_rows, n_odd, in + c->even_row, waves, c->odd_row, c->odd, c->odd_row, folded + c->even_row, waves);
    unfold_rows(c, n_rows, row, folded, out);
}
