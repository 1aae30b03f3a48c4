/* sim/droplet/kernel_drying.h - what a step of the kernel leaves out of drying: a droplet that is not yet at its steady
 * temperature, and air that the spray itself has made moister. Included by kernel_flight.c; runs after the step and
 * only where the scenario asks for it.
 *
 * Temperature: the excess over the steady one follows d(excess)/dt = -k excess (1 + b excess), k = cool V(Re) /
 * (density d^2), which has a closed form for a whole step. Of the heat that goes with it a share leaves as vapour, a
 * share that rises evenly with the excess: what is lost depends on the excess at both ends of the step alone. The
 * numbers are those of the heat balance (kernel.c). A droplet colder than the dew point takes on water and may so grow
 * beyond the size it was sprayed with.
 * Humidity: what the step took off d^2, less a share by the age of the spray (humidity.h). */
#ifndef DROPLET_KERNEL_DRYING_H
#define DROPLET_KERNEL_DRYING_H

#include <math.h>

#include "base/vector_math.h"
#include "droplet/kernel.h"

typedef struct { /* a batch before a step */
    alignas(64) float diameter_m[DROPLET_LANES], time_s[DROPLET_LANES];
    alignas(64) float u_m_s[DROPLET_LANES], v_m_s[DROPLET_LANES], w_m_s[DROPLET_LANES];
} drying_memory;

/* A table by the age of the spray: it runs over age / (age + 1 s). */
static inline float at_age(const float *restrict table, float age_s)
{
    const float at = age_s / (age_s + DROPLET_AGE_SCALE_S) * (float)DROPLET_AGES;
    const int32_t k_raw = (int32_t)at, k = k_raw < DROPLET_AGES - 1 ? k_raw : DROPLET_AGES - 1;
    return table[k] + (at - (float)k) * (table[k + 1] - table[k]);
}

static void remember_drying(const droplet_batch *restrict b, drying_memory *restrict m)
{
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        m->diameter_m[i] = b->diameter_m[i];
        m->time_s[i] = b->time_s[i];
        m->u_m_s[i] = b->u_m_s[i];
        m->v_m_s[i] = b->v_m_s[i];
        m->w_m_s[i] = b->w_m_s[i];
    }
}

static void correct_drying(const droplet_setting *restrict s, const drying_memory *restrict m,
                           droplet_batch *restrict b)
{
    const float *restrict moister = s->moister;
    const float re_per_size = s->air_density_kg_m3 / s->air_viscosity_Pa_s, nonvolatile_root = s->nonvolatile_root;
    const float cool = s->cool_kg_m_s, bend = s->cool_bend_1_K, extra_1 = s->extra_1, extra_2 = s->extra_2;
    const float vent_base = s->vent_base, vent_moving = s->vent_moving, vent_square = s->vent_square,
                split = s->drying_split;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float d_0 = m->diameter_m[i], d_1 = b->diameter_m[i], dt = b->time_s[i] - m->time_s[i];
        const float smallest = b->whole_m[i] * nonvolatile_root, wet = d_0 > 1.001f * smallest ? 1.0f : 0.0f;

        /* its temperature: slip and size are the means over the step */
        const float u_0 = m->u_m_s[i] - b->air_u_m_s[i], v_0 = m->v_m_s[i] - b->air_v_m_s[i],
                    w_0 = m->w_m_s[i] - b->air_w_m_s[i];
        const float u_1 = b->u_m_s[i] - b->air_u_m_s[i], v_1 = b->v_m_s[i] - b->air_v_m_s[i],
                    w_1 = b->w_m_s[i] - b->air_w_m_s[i];
        const float slip_m_s =
            0.5f * (sqrtf(u_0 * u_0 + v_0 * v_0 + w_0 * w_0) + sqrtf(u_1 * u_1 + v_1 * v_1 + w_1 * w_1));
        const float re = re_per_size * slip_m_s * d_0, root_re = sqrtf(re);
        const float vent = root_re < split ? 1.0f + vent_square * re : vent_base + vent_moving * root_re;
        const float mean_d2 = 0.5f * (d_0 * d_0 + d_1 * d_1), rate_1_s = cool * vent / (b->density_kg_m3[i] * mean_d2);
        const float excess_0 = b->excess_K[i], gone = 1.0f - base_expf(-rate_1_s * dt);
        const float excess_1 = excess_0 * (1.0f - gone) / (1.0f + bend * excess_0 * gone);
        const float more_m2 = b->density_kg_m3[i] * mean_d2
                              * (extra_1 + extra_2 * (excess_0 + excess_1)) * (excess_0 - excess_1);

        const float moist = at_age(moister, m->time_s[i] + 0.5f * dt);
        const float lost_m2 = (d_0 * d_0 - d_1 * d_1) * (1.0f - moist) + more_m2 * wet;
        const float left_m2 = d_0 * d_0 - lost_m2, least = smallest < d_0 ? smallest : d_0;
        const float shrunk = sqrtf(left_m2 > 0.0f ? left_m2 : 0.0f), d = shrunk > least ? shrunk : least;
        const float per_whole = 1.0f / b->whole_m[i], before = d_1 * per_whole, after = d * per_whole;
        b->evaporated[i] += (before - after) * (before * before + before * after + after * after);
        b->diameter_m[i] = d;
        b->excess_K[i] = excess_1;
    }
}

#endif
