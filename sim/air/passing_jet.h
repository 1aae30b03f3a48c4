/* sim/air/passing_jet.h - what leaves make of a jet that passes them: how much of their area still stands in it. */
#ifndef AIR_PASSING_JET_H
#define AIR_PASSING_JET_H

#include <stdbool.h>

#include "air/yielding.h"

/** A place of a jet as a leaf meets it. */
typedef struct {
    double wind_u_m_s, wind_v_m_s; /* over the ground */
    double excess[3];              /* of the jet over it, on the axis, m/s */
    double core_m, half_width_m;   /* of its profile (jet.h) */
    double passing_m_s;            /* how fast the jet goes by; 0: it stays */
} air_passage;

/** Share of the leaf area that stands in the jet while it passes, as its momentum feels it: mean of the share, weighted
 *  by the square of the excess. */
double air_standing_in_passage(const air_yielding *yielding, const air_passage *passage);

/** Share of the leaf area that has given way on a row of nodes of a pass's grid. In the sprayer's frame leaves go from
 *  the last node to the first one.
 *  @param wind   velocity over the ground, the same on all nodes  @param step_s from node to node; infinite: they stay
 *  @param u, v, w [n] the jets' excess  @param given [n] out, 0 to 1 */
void air_given_in_row(const air_yielding *yielding, const float wind[3], double step_s, int n, const float *u,
                      const float *v, const float *w, float *given);
/** The same on rows that are not even: stays [n], of the way to a new shape, what is left from node j + 1 to node j;
 *  the last node has what the wind alone makes of it as it comes. */
void air_given_along(const air_yielding *yielding, const float wind[3], const float *stays, int n, const float *u,
                     const float *v, const float *w, float *given);
/** Of the way to a new shape, what is still to go after a time; 0 where leaves follow at once. */
double air_leaf_lag(const air_yielding *yielding, double time_s);

#endif
