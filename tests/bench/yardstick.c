/* tests/bench/yardstick.c - trilinear reads; compiled once for each vector width (YARDSTICK_FUNCTION). */
#include "yardstick.h"

static inline float held(float value, float low, float high)
{
    value = value > low ? value : low;
    return value < high ? value : high;
}

void YARDSTICK_FUNCTION(const yardstick_grids *restrict g, const yardstick_visits *restrict visits,
                        float *restrict sum)
{
    const float *restrict node = g->node;
    const int32_t far_first = g->far_first;
    const int32_t near_nx = g->nx[0], near_ny = g->ny[0], near_nz = g->nz[0];
    const int32_t far_nx = g->nx[1], far_ny = g->ny[1], far_nz = g->nz[1];
    for (int64_t block = 0; block < visits->n; block += YARDSTICK_LANES) {
        const int32_t *restrict first_of = visits->first + block;
        const float *restrict x = visits->x + block, *restrict y = visits->y + block, *restrict z = visits->z + block;
#pragma omp simd
        for (int i = 0; i < YARDSTICK_LANES; i++) {
            const int32_t first = first_of[i];
            const int far = first == far_first;
            const int32_t nx = far ? far_nx : near_nx, ny = far ? far_ny : near_ny, nz = far ? far_nz : near_nz;
            const float hx = held(x[i], 0.0f, (float)nx - 1.01f), hy = held(y[i], 0.0f, (float)ny - 1.01f);
            const float hz = held(z[i], 0.0f, (float)nz - 1.01f);
            const int32_t ix = (int32_t)hx, iy = (int32_t)hy, iz = (int32_t)hz;
            const float fx = hx - (float)ix, fy = hy - (float)iy, fz = hz - (float)iz;
            const int32_t row = YARDSTICK_VALUES * ny, plane = row * nx;
            const int32_t at = first + iz * plane + ix * row + iy * YARDSTICK_VALUES;
            const float ex = 1.0f - fx, ey = 1.0f - fy, ez = 1.0f - fz;
            const float w00 = ex * ey, w01 = ex * fy, w10 = fx * ey, w11 = fx * fy;
#define LAYER(value, offset)                                                                                           \
    (w00 * node[at + (offset) + (value)] + w01 * node[at + (offset) + YARDSTICK_VALUES + (value)]                      \
     + w10 * node[at + (offset) + row + (value)] + w11 * node[at + (offset) + row + YARDSTICK_VALUES + (value)])
#define READ(value) sum[(value) * YARDSTICK_LANES + i] += ez * LAYER(value, 0) + fz * LAYER(value, plane)
            READ(0);
            READ(1);
            READ(2);
            READ(3);
            READ(4);
#undef READ
#undef LAYER
        }
    }
}
