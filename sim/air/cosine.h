/* sim/air/cosine.h - cosine transforms (type II, orthonormal, and its inverse) of many columns or rows at once. */
#ifndef AIR_COSINE_H
#define AIR_COSINE_H

#include "drupelet/status.h"

enum { AIR_COSINE_LANES = 16 }; /* rows are as long as multiples of so many floats */

/** The transform of a length: its matrix, halved by symmetry. */
typedef struct {
    int n, even_row, odd_row;
    float *even, *odd;           /* [(n + 1) / 2][even_row] and [n / 2][odd_row]: wave number, place */
    float *even_back, *odd_back; /* the same, transposed */
} air_cosine;

/** The caller ends it with air_cosine_free(). */
drupelet_status air_cosine_create(int n, air_cosine *cosine);
void air_cosine_free(air_cosine *cosine); /* one that is all 0 is allowed */

/** Number of floats a row of n numbers takes. */
static inline int air_cosine_padded(int n)
{
    return (n + AIR_COSINE_LANES - 1) / AIR_COSINE_LANES * AIR_COSINE_LANES;
}

/** Number of floats that a row's wave numbers take: the even ones from 0 on, the odd ones from even_row on. */
static inline int air_cosine_waves(const air_cosine *cosine)
{
    return cosine->even_row + cosine->odd_row;
}

/** Transforms every column. @param in [n][width], used up  @param out [n][width], other memory than in  @param width a
 *  multiple of AIR_COSINE_LANES */
void air_cosine_forward(const air_cosine *cosine, int width, float *in, float *out);
void air_cosine_back(const air_cosine *cosine, int width, const float *in, float *out);

/** Transforms every row: numbers in rows of row floats, their waves in rows of air_cosine_waves().
 *  @param folded room for the waves of all rows */
void air_cosine_forward_rows(const air_cosine *cosine, int n_rows, int row, const float *in, float *folded, float *out);
void air_cosine_back_rows(const air_cosine *cosine, int n_rows, int row, const float *in, float *folded, float *out);

#endif
