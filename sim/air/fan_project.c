/* sim/air/fan_project.c - the pressure that makes the air that flows out of each cell what is blown out in it. */
#include "air/fan_state.h"
#include "base/machine.h"

BASE_WIDEST void fan_find_divergence(const fan_state *s, int i, int k, float per_step, float *to)
{
    const ptrdiff_t at = fan_at(s, i, k), plane = s->level_count * s->row, row = s->row;
    const float *restrict west = s->u + at, *restrict east = west + plane, *restrict v = s->v + at;
    const float *restrict below = s->w + at, *restrict above = below + row;
    const float *still = s->still + at;
    const float *restrict per_y = s->mesh[FAN_Y].cells.per_size;
    const float per_x = s->mesh[FAN_X].cells.per_size[i], per_z = s->mesh[FAN_Z].cells.per_size[k];
    const int ny = s->mesh[FAN_Y].n;
#pragma omp simd
    for (int j = 0; j < ny; j++)
        to[j] =
            ((((east[j] - west[j]) * per_x + (v[j + 1] - v[j]) * per_y[j]) + (above[j] - below[j]) * per_z) - still[j])
            * per_step;
}

/* What phi changes: the speeds on the faces below, west and south of the cells of a row, and beyond its last cell. */
BASE_WIDEST static void follow(fan_state *s, int i, int k, float step_s)
{
    const ptrdiff_t at = fan_at(s, i, k), plane = s->level_count * s->row, row = s->row;
    const float *restrict phi = s->phi + at, *restrict pull_y = s->mesh[FAN_Y].pull;
    const fan_mesh *m = s->mesh;
    const int nx = m[FAN_X].n, ny = m[FAN_Y].n, nz = m[FAN_Z].n;
    float *restrict u = s->u + at, *restrict v = s->v + at, *restrict w = s->w + at, *restrict p = s->p + at;
    const bool in_x = i < nx, in_z = k < nz;
    if (in_z && i >= m[FAN_X].faces.first && i <= m[FAN_X].faces.last) {
        const float pull = step_s * m[FAN_X].pull[i];
        for (int j = 0; j < ny; j++)
            u[j] -= pull * (phi[j] - phi[j - plane]);
    }
    if (in_x && k >= m[FAN_Z].faces.first && k <= m[FAN_Z].faces.last) {
        const float pull = step_s * m[FAN_Z].pull[k];
        for (int j = 0; j < ny; j++)
            w[j] -= pull * (phi[j] - phi[j - row]);
    }
    if (!in_x || !in_z) return;
    for (int j = m[FAN_Y].faces.first; j <= m[FAN_Y].faces.last; j++)
        v[j] -= step_s * pull_y[j] * (phi[j] - phi[j - 1]);
    for (int j = 0; j < ny; j++)
        p[j] += phi[j];
}

void fan_project(fan_state *s)
{
    const int nx = s->mesh[FAN_X].n, nz = s->mesh[FAN_Z].n;
    const ptrdiff_t plane = s->level_count * s->row;
    const float per_step = (float)(1.0 / s->step_s), step_s = (float)s->step_s;
    const double *dx = s->mesh[FAN_X].size_m, *dy = s->mesh[FAN_Y].size_m, *dz = s->mesh[FAN_Z].size_m;
#pragma omp parallel for num_threads(s->n_threads) schedule(static)
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz; k++)
            fan_find_divergence(s, i, k, per_step, s->phi + fan_at(s, i, k));
    for (int n = 0; n < s->c->n_sources; n++) {
        const air_fan_source *of = &s->c->source[n];
        s->phi[fan_at(s, of->i, of->k) + of->j] -=
            (float)(of->flow_m3_s / (dx[of->i] * dy[of->j] * dz[of->k] * s->step_s));
    }
    fan_pressure_solve(s->pressure, s->phi + fan_at(s, 0, 0), plane, s->row);
#pragma omp parallel for num_threads(s->n_threads) schedule(static)
    for (int i = 0; i <= nx; i++)
        for (int k = 0; k <= nz; k++)
            follow(s, i, k, step_s);
}
