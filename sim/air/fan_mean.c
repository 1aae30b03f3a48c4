/* sim/air/fan_mean.c - means over rounds of a flow that goes on wandering, and how well they are known.
 *
 * Two jets in still air push each other aside by turns for ever: what is found at one moment is one of many. The mean
 * over many rounds is what droplets meet that are sprayed over many such turns. Speeds, pressure, k and epsilon are
 * averaged; a mean of flows without divergence has none either, and what follows from them (leaves that give way,
 * viscosity) is found from the means. Two means are kept, one after the other: half their difference tells how well the
 * mean of both is known. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/fan_state.h"
#include "base/machine.h"
#include "base/status.h"

static void fields_of(const fan_state *s, float *field[FAN_MEANS])
{
    float *const all[FAN_MEANS] = {s->u, s->v, s->w, s->k, s->e, s->p};
    memcpy(field, all, sizeof all);
}

drupelet_status fan_mean_create(const fan_state *s, fan_mean *m)
{
    const size_t floats = 2 * FAN_MEANS * s->n_values;
    *m = (fan_mean){.memory = base_large_alloc(floats * sizeof *m->memory)};
    if (!m->memory) return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    memset(m->memory, 0, floats * sizeof *m->memory);
    for (int half = 0; half < 2; half++)
        for (int n = 0; n < FAN_MEANS; n++)
            m->value[half][n] = m->memory + (size_t)(half * FAN_MEANS + n) * s->n_values;
    return base_ok();
}

void fan_mean_free(fan_mean *m)
{
    free(m->memory);
    *m = (fan_mean){0};
}

BASE_WIDEST static void approach(const float *restrict value, float share, ptrdiff_t n, float *restrict mean)
{
#pragma omp simd
    for (ptrdiff_t at = 0; at < n; at++)
        mean[at] += (value[at] - mean[at]) * share;
}

void fan_mean_add(const fan_state *s, int half, fan_mean *m)
{
    float *field[FAN_MEANS];
    const ptrdiff_t plane = s->level_count * s->row, planes = (ptrdiff_t)s->n_values / plane;
    const float share = 1.0f / (float)++m->n_rounds[half];
    fields_of(s, field);
#pragma omp parallel for num_threads(s->n_threads) schedule(static)
    for (ptrdiff_t i = 0; i < planes; i++)
        for (int n = 0; n < FAN_MEANS; n++)
            approach(field[n] + i * plane, share, plane, m->value[half][n] + i * plane);
}

/* Middle of a cell of a speed's array. */
static double between(const float *speed, ptrdiff_t at, ptrdiff_t step)
{
    return 0.5 * ((double)speed[at] + (double)speed[at + step]);
}

double fan_mean_take(fan_state *s, fan_mean *m)
{
    float *field[FAN_MEANS];
    fields_of(s, field);
    for (int n = 0; n < FAN_MEANS; n++)
        for (size_t at = 0; at < s->n_values; at++) {
            float *first = &m->value[0][n][at];
            field[n][at] = 0.5f * (*first + m->value[1][n][at]);
            *first -= field[n][at]; /* half the difference */
        }
    const ptrdiff_t step[FAN_AXES] = {s->level_count * s->row, 1, s->row};
    double unsure = 0.0, fan = 0.0;
    for (int i = 0; i < s->c->nx; i++)
        for (int k = 0; k < s->c->nz; k++) {
            const ptrdiff_t at = fan_at(s, i, k);
            const double area_m2 = s->mesh[FAN_X].size_m[i] * s->mesh[FAN_Z].size_m[k];
            for (int j = 0; j < s->c->ny; j++)
                for (int a = 0; a < FAN_AXES; a++) {
                    const double wind = a == FAN_Y ? (double)field[a][at - 1] : between(field[a], at - 1, step[a]);
                    const double more = between(field[a], at + j, step[a]) - wind,
                                 half = between(m->value[0][a], at + j, step[a]);
                    unsure += area_m2 * s->mesh[FAN_Y].size_m[j] * half * half;
                    fan += area_m2 * s->mesh[FAN_Y].size_m[j] * more * more;
                }
        }
    fan_settle(s);
    return sqrt(unsure / fan);
}
