/* sim/air/flow_pressure.c - the pressure equation of a stretched section, solved at once.
 *
 * The cells are products of two axes, so the equation separates: the eigenvectors of the part along z turn it into one
 * tridiagonal system along x for each of them (R. E. Lynch, J. R. Rice, D. H. Thomas, Numer. Math. 6 (1964) 185;
 * memory). */
#include "air/flow_pressure.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "air/eigen.h"
#include "base/machine.h"
#include "base/status.h"

struct air_flow_pressure {
    int nx, nz;
    double *vector; /* [nz][nz] level, wave: component of a wave at a level over the root of the level's depth */
    double *back;   /* [nz][nz] wave, level: the same */
    double *along;  /* [nx] conductance over the face behind a column, per depth; [0]: none */
    double *factor, *per_pivot; /* [nx][nz] of the elimination along x, wave by wave */
    double *wave;               /* [nx][nz] room */
};

drupelet_status air_flow_pressure_create(const air_flow_mesh *mesh, air_flow_pressure **result)
{
    const ptrdiff_t nx = mesh->nx, nz = mesh->nz;
    const size_t cells = (size_t)(nx * nz), square = (size_t)(nz * nz);
    air_flow_pressure *p = calloc(1, sizeof *p);
    double *value = malloc(2 * (size_t)nz * sizeof *value), *link = value + nz;
    *result = p;
    if (p)
        *p = (air_flow_pressure){mesh->nx,
                                 mesh->nz,
                                 malloc(square * sizeof(double)),
                                 calloc(square, sizeof(double)),
                                 malloc((size_t)nx * sizeof(double)),
                                 malloc(cells * sizeof(double)),
                                 malloc(cells * sizeof(double)),
                                 malloc(cells * sizeof(double))};
    if (!value || !p || !p->vector || !p->back || !p->along || !p->factor || !p->per_pivot || !p->wave) {
        free(value);
        air_flow_pressure_free(p);
        *result = NULL;
        return base_error(DRUPELET_MEMORY, "no memory for the wind");
    }
    /* Along z, made symmetric by the roots of the depths: nothing passes the ground and the top. */
    for (ptrdiff_t k = 0; k < nz; k++) {
        const double below = k > 0 ? 1.0 / mesh->z.gap[k] : 0.0, above = k + 1 < nz ? 1.0 / mesh->z.gap[k + 1] : 0.0;
        value[k] = -(below + above) / mesh->z.size[k];
        link[k] = k + 1 < nz ? above / sqrt(mesh->z.size[k] * mesh->z.size[k + 1]) : 0.0;
        p->back[k * nz + k] = 1.0;
    }
    const bool found = air_diagonalise(nz, value, link, p->back);
    for (ptrdiff_t m = 0; m < nz; m++)
        for (ptrdiff_t k = 0; k < nz; k++) {
            p->back[m * nz + k] /= sqrt(mesh->z.size[k]);
            p->vector[k * nz + m] = p->back[m * nz + k];
        }
    for (ptrdiff_t i = 0; i < nx; i++)
        p->along[i] = i > 0 ? 1.0 / mesh->x.gap[i] : 0.0;
    for (ptrdiff_t i = 0; i < nx; i++)
        for (ptrdiff_t m = 0; m < nz; m++) {
            const ptrdiff_t at = i * nz + m;
            const double behind = p->along[i], ahead = 1.0 / mesh->x.gap[i + 1];
            const double pivot =
                -(behind + ahead) + value[m] * mesh->x.size[i] - (i > 0 ? behind * p->factor[at - nz] : 0.0);
            p->per_pivot[at] = 1.0 / pivot;
            p->factor[at] = i + 1 < nx ? ahead / pivot : 0.0;
        }
    free(value);
    return found ? base_ok() : base_error(DRUPELET_BALANCE, "the pressure of the wind has no eigenvectors");
}

void air_flow_pressure_free(air_flow_pressure *p)
{
    if (!p) return;
    free(p->vector);
    free(p->back);
    free(p->along);
    free(p->factor);
    free(p->per_pivot);
    free(p->wave);
    free(p);
}

/* out[m] = sum over k of in[k] matrix[k][m] */
BASE_WIDEST static void multiply(ptrdiff_t n, const double *restrict matrix, const double *restrict in,
                                 double *restrict out)
{
    memset(out, 0, (size_t)n * sizeof *out);
    for (ptrdiff_t k = 0; k + 1 < n; k += 2) {
        const double one = in[k], two = in[k + 1];
        const double *row = matrix + k * n, *next = row + n;
#pragma omp simd
        for (ptrdiff_t m = 0; m < n; m++)
            out[m] += one * row[m] + two * next[m];
    }
    if (n % 2)
        for (ptrdiff_t m = 0; m < n; m++)
            out[m] += in[n - 1] * matrix[(n - 1) * n + m];
}

BASE_WIDEST static void eliminate(const air_flow_pressure *p)
{
    const ptrdiff_t nx = p->nx, nz = p->nz;
    for (ptrdiff_t i = 0; i < nx; i++) {
        double *here = p->wave + i * nz;
        const double *before = i > 0 ? here - nz : here, *per_pivot = p->per_pivot + i * nz;
        const double behind = p->along[i];
        for (ptrdiff_t m = 0; m < nz; m++)
            here[m] = (here[m] - behind * before[m]) * per_pivot[m];
    }
    for (ptrdiff_t i = nx - 2; i >= 0; i--) {
        double *here = p->wave + i * nz;
        const double *after = here + nz, *factor = p->factor + i * nz;
        for (ptrdiff_t m = 0; m < nz; m++)
            here[m] -= factor[m] * after[m];
    }
}

void air_flow_pressure_solve(const air_flow_pressure *p, double *source, double *phi)
{
    for (ptrdiff_t i = 0; i < p->nx; i++)
        multiply(p->nz, p->vector, source + i * p->nz, p->wave + i * p->nz);
    eliminate(p);
    for (ptrdiff_t i = 0; i < p->nx; i++)
        multiply(p->nz, p->back, p->wave + i * p->nz, phi + i * p->nz);
}
