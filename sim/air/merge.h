/* sim/air/merge.h - jets that overlap on a grid: their momentum adds, not their velocity. */
#ifndef AIR_MERGE_H
#define AIR_MERGE_H

#include "air/air.h"

/* Numbers of a node while the field is made: variance of the jets' velocity (m2/s2), their dissipation (m2/s3) and,
 * until they are merged, the sum of the squares of their excess (m2/s2), where the sigma will stand. */
enum { AIR_JET_SQUARES = AIR_SIGMA, AIR_JET_VARIANCE = AIR_W + 1, AIR_JET_DISSIPATION = 7 };

/** Adds a jet's excess velocity (m/s) to a node as momentum: |e| e, and e^2. */
void air_momentum_add(float *node, double u_m_s, double v_m_s, double w_m_s);

/** Turns the momentum that the jets left in AIR_U, AIR_V, AIR_W of a grid (m2/s2) into velocity (m/s). */
void air_momentum_to_velocity(const air_grid *grid, float *node);

#endif
