/* sim/air/fan_settle.c - what follows from the speeds and the turbulence after a round: speed over the ground in the
 * cells, leaves that give way, what stands in the air, eddy viscosity. */
#include <math.h>

#include <omp.h>

#include "air/fan_state.h"
#include "air/passing_jet.h"
#include "base/machine.h"

/* Of level k of plane i. @param excess [3][row] room, what the fan adds */
BASE_WIDEST static fan_norm settle_row(fan_state *s, int i, int k, float *restrict excess)
{
    const ptrdiff_t at = fan_at(s, i, k), plane = s->level_count * s->row, row = s->row;
    const float *restrict u = s->u + at, *restrict east = u + plane, *restrict v = s->v + at, *restrict w = s->w + at;
    const float *restrict above = w + row;
    const float wind_u = 0.5f * (u[-1] + east[-1]), wind_v = v[-1], wind_w = 0.5f * (w[-1] + above[-1]);
    float *restrict speed = s->speed + at, *restrict across = excess, *restrict along = excess + row,
                    *restrict up = excess + 2 * row;
    const double *dy = s->mesh[FAN_Y].size_m;
    const int ny = s->mesh[FAN_Y].n;
    fan_norm sum = {0.0, 0.0};
    for (int j = 0; j < ny; j++) {
        const float a = 0.5f * (u[j] + east[j]), b = 0.5f * (v[j] + v[j + 1]), c = 0.5f * (w[j] + above[j]);
        const float now = sqrtf((a * a + b * b) + c * c);
        across[j] = a - wind_u;
        along[j] = b - wind_v;
        up[j] = c - wind_w;
        excess[3 * row + j] = now - speed[j];
        speed[j] = now;
    }
    for (int j = 0; j < ny; j++) {
        const double more = (double)(across[j] * across[j] + along[j] * along[j] + up[j] * up[j]);
        const double change = (double)excess[3 * row + j];
        sum.change += dy[j] * change * change;
        sum.fan += dy[j] * more;
    }
    return sum;
}

BASE_WIDEST static void settle_drag(fan_state *s, int i, int k, const float *excess)
{
    const ptrdiff_t at = fan_at(s, i, k);
    const size_t column = (size_t)i * (size_t)s->c->nz + (size_t)k;
    const float rigid = (float)s->c->drag_1_m[column], leaf = s->leaf[column];
    const int ny = s->mesh[FAN_Y].n;
    float *drag = s->drag + at, *given = s->given + at;
    const float *speed = s->speed + at;
    if (leaf > 0.0f && s->leaves_yield) {
        const float wind[3] = {0.5f * (s->u[at - 1] + s->u[at - 1 + s->level_count * s->row]), s->v[at - 1],
                               0.5f * (s->w[at - 1] + s->w[at - 1 + s->row])};
        air_given_along(&s->c->yielding, wind, s->stays, ny, excess, excess + s->row, excess + 2 * s->row, given);
    }
    for (int j = 0; j < ny; j++)
        drag[j] = (rigid + leaf * (1.0f - given[j])) * speed[j];
}

BASE_WIDEST static void settle_viscosity(fan_state *s, int i, int k)
{
    const ptrdiff_t at = fan_at(s, i, k);
    const float *restrict energy = s->k + at, *restrict e = s->e + at;
    float *restrict nu = s->nu + at;
    const int ny = s->mesh[FAN_Y].n;
    for (int j = -FAN_HALO; j < ny + FAN_HALO; j++)
        nu[j] = FAN_CMU * energy[j] * energy[j] / e[j];
}

fan_norm fan_settle(fan_state *s)
{
    const int nx = s->mesh[FAN_X].n, nz = s->mesh[FAN_Z].n;
    const double *dx = s->mesh[FAN_X].size_m, *dz = s->mesh[FAN_Z].size_m;
#pragma omp parallel for num_threads(s->n_threads) schedule(static)
    for (int i = 0; i < nx; i++) {
        s->sums[2 * i] = s->sums[2 * i + 1] = 0.0;
        for (int k = 0; k < nz; k++) {
            float *excess = s->room[omp_get_thread_num()] + FAN_HALO;
            const fan_norm of = settle_row(s, i, k, excess);
            const size_t column = (size_t)i * (size_t)nz + (size_t)k;
            s->sums[2 * i] += of.change * dx[i] * dz[k];
            s->sums[2 * i + 1] += of.fan * dx[i] * dz[k];
            if (s->c->drag_1_m[column] > 0.0 || s->leaf[column] > 0.0f) settle_drag(s, i, k, excess);
            if (s->options.viscosity_m2_s == 0.0) settle_viscosity(s, i, k);
        }
    }
    fan_norm all = {0.0, 0.0};
    for (int i = 0; i < nx; i++) { /* in this order, for any number of threads */
        all.change += s->sums[2 * i];
        all.fan += s->sums[2 * i + 1];
    }
    return all;
}
