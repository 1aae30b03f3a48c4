/* sim/air/excess.c - room for what the jets of a pass add to the ambient, and what they make of one another where they
 * overlap.
 *
 * Each jet puts |e| e into a node, e its excess velocity; the sum P becomes the velocity P / sqrt(sum e^2). A jet
 * alone is not changed. Jets that run along each other keep the sum of their fluxes of momentum, as measured behind
 * rows of nozzles (H. Reichardt, VDI-Forschungsheft 414 (1942): momentum flux superposes; memory). Where two cross,
 * their momentum along the common direction adds and that across it cancels; head on nothing is left. Since |sum |e|
 * e| <= sum e^2, no overlap gains momentum; a sum of velocities would turn a^2 + b^2 into (a + b)^2. Left out: that
 * jets which have met are turned for good (each line goes on behind the meeting), and that they draw one another
 * together before. */
#include "air/excess.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/machine.h"
#include "base/status.h"

enum { ARRAYS = 6 };

drupelet_status air_excess_create(const air_grid *grid, size_t room, air_excess *e)
{
    const size_t n = (size_t)grid->nx * (size_t)grid->ny * (size_t)grid->nz, all = room + ARRAYS * n;
    float *first = base_large_alloc(all * sizeof *first), *u = first ? first + room : NULL;
    *e = (air_excess){0};
    if (!first)
        return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    memset(first, 0, all * sizeof *first);
    *e = (air_excess){.n_nodes = n,
                      .u_m_s = u,
                      .v_m_s = u + n,
                      .w_m_s = u + 2 * n,
                      .squares_m2_s2 = u + 3 * n,
                      .variance_m2_s2 = u + 4 * n,
                      .dissipation_m2_s3 = u + 5 * n,
                      .room = first};
    return base_ok();
}

drupelet_status air_excess_with_level(air_excess *e)
{
    e->level_more_m2_s2 = base_large_alloc(e->n_nodes * sizeof *e->level_more_m2_s2);
    if (!e->level_more_m2_s2)
        return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    memset(e->level_more_m2_s2, 0, e->n_nodes * sizeof *e->level_more_m2_s2);
    return base_ok();
}

void air_excess_clear(air_excess *e, size_t first, size_t n)
{
    for (int a = 0; a < ARRAYS; a++)
        memset(e->u_m_s + (size_t)a * e->n_nodes + first, 0, n * sizeof *e->u_m_s); /* the others follow it */
    if (e->level_more_m2_s2)
        memset(e->level_more_m2_s2 + first, 0, n * sizeof *e->level_more_m2_s2);
}

void air_excess_free(air_excess *e)
{
    free(e->room); /* the arrays follow it */
    free(e->level_more_m2_s2);
    *e = (air_excess){0};
}

void air_momentum_add(air_excess *e, size_t i, double u_m_s, double v_m_s, double w_m_s)
{
    const double speed_m_s = sqrt(u_m_s * u_m_s + v_m_s * v_m_s + w_m_s * w_m_s);
    e->u_m_s[i] += (float)(speed_m_s * u_m_s);
    e->v_m_s[i] += (float)(speed_m_s * v_m_s);
    e->w_m_s[i] += (float)(speed_m_s * w_m_s);
    e->squares_m2_s2[i] += (float)(speed_m_s * speed_m_s);
}

BASE_WIDEST void air_momentum_to_velocity(air_excess *e, size_t first, size_t n)
{
    float *restrict u = e->u_m_s + first, *restrict v = e->v_m_s + first, *restrict w = e->w_m_s + first;
    const float *restrict squares = e->squares_m2_s2 + first;
    for (size_t i = 0; i < n; i++) {
        const float per_speed = squares[i] > 0.0f ? 1.0f / sqrtf(squares[i]) : 0.0f;
        u[i] *= per_speed;
        v[i] *= per_speed;
        w[i] *= per_speed;
    }
}
