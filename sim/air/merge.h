/* sim/air/merge.h - jets that overlap on a grid: their momentum adds, not their velocity. */
#ifndef AIR_MERGE_H
#define AIR_MERGE_H

#include "air/excess.h"

/** Adds a jet's excess velocity (m/s) to a node as momentum: |e| e, and e^2. */
void air_momentum_add(air_excess *excess, size_t i_node, double u_m_s, double v_m_s, double w_m_s);

/** Turns the momentum that the jets left (m2/s2) in n nodes into velocity (m/s). */
void air_momentum_to_velocity(air_excess *excess, size_t first, size_t n);

#endif
