/* sim/air/excess.h - what the jets of a pass add to the ambient while the pass is worked out: one array a quantity, so
 * that the loops over nodes become vector code, and small enough to stay in a core's cache. */
#ifndef AIR_EXCESS_H
#define AIR_EXCESS_H

#include <stddef.h>

#include "air/air.h"

/** Arrays [nz][nx][ny] of a pass's grid. Until the jets are merged u, v and w hold momentum, m2/s2. */
typedef struct {
    size_t n_nodes;
    float *u_m_s, *v_m_s, *w_m_s;  /* velocity over the ambient: across, along the travel, up */
    float *squares_m2_s2;          /* sum of the squares of the jets' excess speeds; room for the projection later */
    float *variance_m2_s2;         /* of the jets' velocity; of the upward one, where the level ones have more: */
    float *level_more_m2_s2;       /* so much more; NULL: all components have the same */
    float *dissipation_m2_s3;      /* of the jets' turbulence */
    float *room;                   /* for the projection */
} air_excess;

/** All 0. The caller ends it with air_excess_free(). @param room floats that air_projection_room() asks for, or 0 */
drupelet_status air_excess_create(const air_grid *grid, size_t room, air_excess *excess);
/** Makes room for a variance of the level components that differs, all 0. */
drupelet_status air_excess_with_level(air_excess *excess);
void air_excess_clear(air_excess *excess, size_t first, size_t n); /* makes n nodes 0 */
void air_excess_free(air_excess *excess); /* one that is all 0 is allowed */

/** Adds a jet's excess velocity (m/s) to a node as momentum: |e| e, and e^2. */
void air_momentum_add(air_excess *excess, size_t i_node, double u_m_s, double v_m_s, double w_m_s);

/** Turns the momentum that the jets left (m2/s2) in n nodes into velocity (m/s). */
void air_momentum_to_velocity(air_excess *excess, size_t first, size_t n);

static inline size_t air_node(const air_grid *grid, int k, int i, int j)
{
    return ((size_t)k * (size_t)grid->nx + (size_t)i) * (size_t)grid->ny + (size_t)j;
}

#endif
