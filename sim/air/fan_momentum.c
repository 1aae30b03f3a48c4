/* sim/air/fan_momentum.c - what changes the speeds in a step besides what the air carries: pressure, what stands in the
 * air, the ground, and air blown out. */
#include <math.h>

#include "air/fan_state.h"
#include "air/wind.h"
#include "base/machine.h"

static inline float ground_1_s(const fan_state *s, float k, float beside)
{
    return (float)AIR_VON_KARMAN * FAN_CMU_1_4 * sqrtf(0.5f * (k + beside)) * s->mesh[FAN_Z].cells.per_size[0] / s->law;
}

float fan_ground_1_s(const fan_state *s, float k, float beside)
{
    return ground_1_s(s, k, beside);
}

/* Unknowns between two rows of cells: before and here. */
static inline void between_rows(const fan_state *s, const float *value, ptrdiff_t at, ptrdiff_t before, float low,
                                float high, float pull, int n, bool lowest, float *restrict source,
                                float *restrict sink)
{
    const float *restrict p = s->p + at, *restrict p_before = s->p + before, *restrict drag = s->drag + at;
    const float *restrict drag_before = s->drag + before, *restrict of = value + at;
    const float *restrict k = s->k + at, *restrict k_before = s->k + before;
    if (lowest)
        for (int j = 0; j < n; j++) {
            const float back = (low * drag_before[j] + high * drag[j]) + ground_1_s(s, k[j], k_before[j]);
            sink[j] = back;
            source[j] = -pull * (p[j] - p_before[j]) - back * of[j];
        }
    else
#pragma omp simd
        for (int j = 0; j < n; j++) {
            const float back = low * drag_before[j] + high * drag[j];
            sink[j] = back;
            source[j] = -pull * (p[j] - p_before[j]) - back * of[j];
        }
}

BASE_WIDEST static void balance_u(const fan_state *s, int i, float *source, float *sink)
{
    const fan_mesh *m = &s->mesh[FAN_X];
    const int ny = s->mesh[FAN_Y].n, nz = s->mesh[FAN_Z].n;
    for (int k = 0; k < nz; k++)
        between_rows(s, s->u, fan_at(s, i, k), fan_at(s, i - 1, k), m->cells.low[i], m->cells.high[i], m->pull[i], ny,
                     k == 0 && s->law > 0.0f, source + k * s->row, sink + k * s->row);
    fan_add_blown(s, &s->blown[0], i, s->u, source, sink);
}

BASE_WIDEST static void balance_w(const fan_state *s, int i, float *source, float *sink)
{
    const fan_mesh *m = &s->mesh[FAN_Z];
    const int ny = s->mesh[FAN_Y].n, nz = m->n;
    for (int k = 1; k <= nz; k++)
        between_rows(s, s->w, fan_at(s, i, k), fan_at(s, i, k - 1), m->cells.low[k], m->cells.high[k], m->pull[k], ny,
                     false, source + k * s->row, sink + k * s->row);
    fan_add_blown(s, &s->blown[2], i, s->w, source, sink);
}

BASE_WIDEST static void balance_v(const fan_state *s, int i, float *source, float *sink)
{
    const fan_mesh *m = &s->mesh[FAN_Y];
    const int ny = m->n, nz = s->mesh[FAN_Z].n;
    const float *restrict low = m->cells.low, *restrict high = m->cells.high, *restrict pull = m->pull;
    for (int k = 0; k < nz; k++) {
        const ptrdiff_t at = fan_at(s, i, k);
        const float *restrict p = s->p + at, *restrict drag = s->drag + at, *restrict v = s->v + at;
        const float *restrict energy = s->k + at;
        float *restrict to = source + k * s->row, *restrict back = sink + k * s->row;
        for (int j = 0; j <= ny; j++)
            back[j] = low[j] * drag[j - 1] + high[j] * drag[j];
        if (k == 0 && s->law > 0.0f)
            for (int j = 0; j <= ny; j++)
                back[j] += ground_1_s(s, energy[j - 1], energy[j]);
        for (int j = 0; j <= ny; j++)
            to[j] = -pull[j] * (p[j] - p[j - 1]) - back[j] * v[j];
    }
    fan_add_blown(s, &s->blown[1], i, s->v, source, sink);
}

void fan_step_momentum(fan_state *s)
{
    /* In the air of the round before, each: u, v and w carry themselves and each other. */
    const fan_equation u = {.place = FAN_U, .left = 0, .spread = 1.0f, .value = s->u, .balance = balance_u};
    const fan_equation v = {.place = FAN_V, .left = 1, .spread = 1.0f, .value = s->v, .balance = balance_v};
    const fan_equation w = {.place = FAN_W, .left = 2, .spread = 1.0f, .value = s->w, .balance = balance_w};
    fan_step(s, &u);
    fan_step(s, &w);
    fan_step(s, &v);
}
