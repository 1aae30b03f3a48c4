/* sim/air/fan_pressure.c - the pressure equation of a box that is stretched along all axes, solved at once.
 *
 * The cells are products of three axes, so the equation separates, as flow_pressure.c has it: the eigenvectors along y
 * and along z leave one tridiagonal system along x for each pair of them. Open sides have no pressure, nothing passes
 * the others. Single precision: what it leaves of a divergence, some 1e-6 of it, goes in the next round. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <omp.h>

#include "air/eigen.h"
#include "air/fan_state.h"
#include "base/machine.h"
#include "base/status.h"

enum { LANES = 16, LINE = 64 };
typedef float lanes __attribute__((vector_size(64), aligned(4)));

struct fan_pressure {
    int nx, ny, nz, n_threads;
    ptrdiff_t waves;              /* ny, up to whole vectors */
    float *to_y, *from_y;         /* [ny][waves] */
    float *to_z, *from_z;         /* [nz][nz] */
    float *behind, *ahead, *size; /* [nx] */
    float *per_pivot, *spectrum;  /* [nx][nz][waves] */
    float *work;                  /* [n_threads][2][nz][waves] */
};

static float *room(size_t n)
{
    float *of = aligned_alloc(LINE, (n * sizeof(float) + LINE - 1) / LINE * LINE);
    if (of) memset(of, 0, n * sizeof *of);
    return of;
}

/* Conductance over faces f of an axis, per area. */
static double over_face(const fan_mesh *m, const fan_side side[2], int f)
{
    if (f > 0 && f < m->n) return 1.0 / (m->centre_m[f] - m->centre_m[f - 1]);
    if (side[f > 0] != FAN_OPEN) return 0.0;
    return 2.0 / m->size_m[f > 0 ? m->n - 1 : 0];
}

/* @param value [n] the eigenvalues  @param to [wave][point] or transposed, from the other way round */
static bool waves_of(const fan_mesh *m, const fan_side side[2], double *value, float *to, ptrdiff_t to_wave,
                     ptrdiff_t to_point, float *from, ptrdiff_t from_wave, ptrdiff_t from_point)
{
    const ptrdiff_t n = m->n;
    double *link = malloc((size_t)n * sizeof *link), *vector = calloc((size_t)(n * n), sizeof *vector);
    bool found = link && vector;
    for (int i = 0; found && i < n; i++) {
        const double low = over_face(m, side, i), high = over_face(m, side, i + 1);
        value[i] = -(low + high) / m->size_m[i];
        link[i] = i + 1 < n ? high / sqrt(m->size_m[i] * m->size_m[i + 1]) : 0.0;
        vector[i * n + i] = 1.0;
    }
    found = found && air_diagonalise(n, value, link, vector);
    for (ptrdiff_t w = 0; found && w < n; w++)
        for (ptrdiff_t i = 0; i < n; i++) {
            const double root = sqrt(m->size_m[i]), of = vector[w * n + i];
            to[w * to_wave + i * to_point] = (float)(of * root);
            from[w * from_wave + i * from_point] = (float)(of / root);
        }
    free(link);
    free(vector);
    return found;
}

static void eliminate_once(fan_pressure *p, const double *value_y, const double *value_z, double pinned)
{
    const ptrdiff_t plane = p->nz * p->waves;
    for (ptrdiff_t i = 0; i < p->nx; i++)
        for (ptrdiff_t q = 0; q < p->nz; q++)
            for (ptrdiff_t m = 0; m < p->ny; m++) {
                const ptrdiff_t at = i * plane + q * p->waves + m;
                const double behind = (double)p->behind[i], ahead = (double)p->ahead[i];
                const double own = -(behind + ahead) + (value_y[m] + value_z[q] - pinned) * (double)p->size[i];
                const double before = i > 0 ? behind * (double)p->ahead[i - 1] * (double)p->per_pivot[at - plane] : 0.0;
                p->per_pivot[at] = (float)(1.0 / (own - before));
            }
}

drupelet_status fan_pressure_create(const fan_mesh mesh[FAN_AXES], const fan_side side[FAN_AXES][2], int n_threads,
                                    fan_pressure **result)
{
    const int nx = mesh[FAN_X].n, ny = mesh[FAN_Y].n, nz = mesh[FAN_Z].n;
    const ptrdiff_t waves = (ny + LANES - 1) / LANES * LANES;
    const size_t cells = (size_t)nx * (size_t)nz * (size_t)waves;
    fan_pressure *p = *result = calloc(1, sizeof *p);
    double *value = malloc((size_t)(ny + nz) * sizeof *value);
    if (p)
        *p = (fan_pressure){nx,
                            ny,
                            nz,
                            n_threads,
                            waves,
                            room((size_t)(ny * waves)),
                            room((size_t)(ny * waves)),
                            room((size_t)(nz * nz)),
                            room((size_t)(nz * nz)),
                            room((size_t)nx),
                            room((size_t)nx),
                            room((size_t)nx),
                            room(cells),
                            room(cells),
                            room((size_t)(2 * n_threads * nz) * (size_t)waves)};
    if (!value || !p || !p->to_y || !p->from_y || !p->to_z || !p->from_z || !p->behind || !p->ahead || !p->size
        || !p->per_pivot || !p->spectrum || !p->work) {
        free(value);
        fan_pressure_free(p);
        *result = NULL;
        return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    }
    for (int i = 0; i < nx; i++) {
        p->behind[i] = (float)over_face(&mesh[FAN_X], side[FAN_X], i);
        p->ahead[i] = (float)over_face(&mesh[FAN_X], side[FAN_X], i + 1);
        p->size[i] = (float)mesh[FAN_X].size_m[i];
    }
    const bool found = waves_of(&mesh[FAN_Y], side[FAN_Y], value, p->to_y, 1, waves, p->from_y, waves, 1)
                       && waves_of(&mesh[FAN_Z], side[FAN_Z], value + ny, p->to_z, nz, 1, p->from_z, 1, nz);
    bool closed = true;
    double least = 0.0;
    for (int a = 0; a < FAN_AXES; a++) {
        const double length_m = mesh[a].face_m[mesh[a].n] - mesh[a].face_m[0];
        closed = closed && side[a][0] != FAN_OPEN && side[a][1] != FAN_OPEN;
        least = fmax(least, 1.0 / (length_m * length_m));
    }
    if (found) eliminate_once(p, value, value + ny, closed ? 1e-4 * least : 0.0); /* the mean is free: pin it */
    free(value);
    return found ? base_ok() : base_error(DRUPELET_BALANCE, "the pressure of the fan's air has no eigenvectors");
}

void fan_pressure_free(fan_pressure *p)
{
    if (!p) return;
    free(p->to_y);
    free(p->from_y);
    free(p->to_z);
    free(p->from_z);
    free(p->behind);
    free(p->ahead);
    free(p->size);
    free(p->per_pivot);
    free(p->spectrum);
    free(p->work);
    free(p);
}

/* c[m][n] = sum over k of a[m][k] b[k][n], n a multiple of LANES. */
BASE_WIDEST static void multiply(ptrdiff_t nm, ptrdiff_t nk, ptrdiff_t nn, const float *restrict a, ptrdiff_t a_row,
                                 const float *restrict b, float *restrict c)
{
    for (ptrdiff_t m = 0; m < nm; m += 4) {
        const float *a0 = a + m * a_row, *a1 = m + 1 < nm ? a0 + a_row : a0, *a2 = m + 2 < nm ? a1 + a_row : a1,
                    *a3 = m + 3 < nm ? a2 + a_row : a2;
        float *c0 = c + m * nn;
        for (ptrdiff_t n = 0; n < nn; n += LANES) {
            lanes s0 = {0.0f}, s1 = s0, s2 = s0, s3 = s0;
            for (ptrdiff_t k = 0; k < nk; k++) {
                const lanes of = *(const lanes *)(const void *)(b + k * nn + n);
                s0 += a0[k] * of;
                s1 += a1[k] * of;
                s2 += a2[k] * of;
                s3 += a3[k] * of;
            }
            *(lanes *)(void *)(c0 + n) = s0;
            if (m + 1 < nm) *(lanes *)(void *)(c0 + nn + n) = s1;
            if (m + 2 < nm) *(lanes *)(void *)(c0 + 2 * nn + n) = s2;
            if (m + 3 < nm) *(lanes *)(void *)(c0 + 3 * nn + n) = s3;
        }
    }
}

/* Level q of all planes. */
BASE_WIDEST static void eliminate(const fan_pressure *p, ptrdiff_t q)
{
    const ptrdiff_t plane = p->nz * p->waves, waves = p->waves;
    for (ptrdiff_t i = 0; i < p->nx; i++) {
        float *here = p->spectrum + i * plane + q * waves;
        const float *before = i > 0 ? here - plane : here, *per_pivot = p->per_pivot + i * plane + q * waves;
        const float behind = i > 0 ? p->behind[i] : 0.0f, size = p->size[i];
#pragma omp simd
        for (ptrdiff_t m = 0; m < waves; m++)
            here[m] = (here[m] * size - behind * before[m]) * per_pivot[m];
    }
    for (ptrdiff_t i = p->nx - 2; i >= 0; i--) {
        float *here = p->spectrum + i * plane + q * waves;
        const float *after = here + plane, *per_pivot = p->per_pivot + i * plane + q * waves, ahead = p->ahead[i];
#pragma omp simd
        for (ptrdiff_t m = 0; m < waves; m++)
            here[m] -= ahead * per_pivot[m] * after[m];
    }
}

void fan_pressure_solve(const fan_pressure *p, float *phi, ptrdiff_t plane, ptrdiff_t row)
{
    const ptrdiff_t each = p->nz * p->waves;
#pragma omp parallel num_threads(p->n_threads)
    {
        float *work = p->work + 2 * each * omp_get_thread_num(), *half = work + each;
#pragma omp for schedule(static)
        for (int i = 0; i < p->nx; i++) {
            multiply(p->nz, p->ny, p->waves, phi + i * plane, row, p->to_y, half);
            multiply(p->nz, p->nz, p->waves, p->to_z, p->nz, half, p->spectrum + i * each);
        }
#pragma omp for schedule(static)
        for (int q = 0; q < p->nz; q++)
            eliminate(p, q);
#pragma omp for schedule(static)
        for (int i = 0; i < p->nx; i++) {
            multiply(p->nz, p->nz, p->waves, p->from_z, p->nz, p->spectrum + i * each, half);
            multiply(p->nz, p->ny, p->waves, half, p->waves, p->from_y, work);
            for (int k = 0; k < p->nz; k++)
                memcpy(phi + i * plane + k * row, work + k * p->waves, (size_t)p->ny * sizeof *phi);
        }
    }
}
