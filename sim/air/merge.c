/* sim/air/merge.c - what jets make of one another where they overlap.
 *
 * Each jet puts |e| e into a node, e its excess velocity; the sum P becomes the velocity P / sqrt(sum e^2). Alone a jet
 * is what it was. Jets that run along each other keep the sum of their fluxes of momentum, as measured behind rows of
 * nozzles (H. Reichardt, VDI-Forschungsheft 414 (1942): momentum flux superposes; memory); where two cross, what they
 * carry along their common direction adds, and what points apart cancels; head on nothing is left. Since |sum |e| e| <=
 * sum e^2, no overlap gains momentum; adding velocities would make (a + b)^2 of a^2 + b^2.
 * Left out: that jets which have met are turned for good (each line goes on behind the meeting), and that they draw
 * one another together before. */
#include "air/merge.h"

#include <math.h>

void air_momentum_add(float *node, double u_m_s, double v_m_s, double w_m_s)
{
    const double speed_m_s = sqrt(u_m_s * u_m_s + v_m_s * v_m_s + w_m_s * w_m_s);
    node[AIR_U] += (float)(speed_m_s * u_m_s);
    node[AIR_V] += (float)(speed_m_s * v_m_s);
    node[AIR_W] += (float)(speed_m_s * w_m_s);
    node[AIR_JET_SQUARES] += (float)(speed_m_s * speed_m_s);
}

void air_momentum_to_velocity(const air_grid *g, float *node)
{
    const int64_t n_nodes = (int64_t)g->nx * g->ny * g->nz;
    for (int64_t i = 0; i < n_nodes; i++) {
        float *n = node + AIR_VALUES * i;
        const float per_speed = n[AIR_JET_SQUARES] > 0.0f ? 1.0f / sqrtf(n[AIR_JET_SQUARES]) : 0.0f;
        n[AIR_U] *= per_speed;
        n[AIR_V] *= per_speed;
        n[AIR_W] *= per_speed;
        n[AIR_JET_SQUARES] = 0.0f;
    }
}
