/* sim/air/flow.h - steady wind over, in and behind rows of trees, in a section across them.
 *
 * Solves the Reynolds-averaged equations for the three components of the mean wind and for the energy k of the
 * turbulence and its dissipation epsilon, all constant along the rows: flow.c has the equations and their sources. In
 * units of metres and of the friction velocity u* over the open ground ahead; a neutral wind in which nothing gives way
 * has the same shape at every speed, so that one solution serves all. */
#ifndef AIR_FLOW_H
#define AIR_FLOW_H

#include <stdbool.h>

#include "drupelet/status.h"

/** What a flow depends on, and nothing else: its bytes are the key under which it is kept. The wind comes from the
 *  first x_face over endless open ground. */
typedef struct {
    int nx, nz;
    double *x_face_m;       /* [nx + 1], rising, along the component of the wind across the rows */
    double *z_face_m;       /* [nz + 1], rising from 0, the ground */
    double *drag_1_m;       /* [nx][nz] drag coefficient times area density of what stands in the wind; the force on a
                              volume of air is density * drag * speed * velocity */
    double *leaf_drag_1_m;  /* [nx][nz] more of it, of leaves that give way: times (1 + (over_turning * speed)^2)^
                              half_exponent, speed in u* (air/yielding.h) */
    double over_turning;    /* u* over the speed around which they begin to; 0: none gives way */
    double half_exponent;   /* 0 or below */
    double roughness_m;     /* of the ground everywhere */
    double per_obukhov_1_m; /* of the open ground: 1 / L; 0: neutral, above 0: stable */
    double cos_angle;       /* of the wind ahead against the x axis, 0 to 1 */
    double sin_angle;
} air_flow_case;

/** Room for a case; faces, drag and numbers are the caller's to set. The caller ends it with air_flow_case_free(). */
drupelet_status air_flow_case_create(int nx, int nz, air_flow_case *flow_case);
void air_flow_case_free(air_flow_case *flow_case); /* one that is all 0 is allowed */

/** Means at the centres of the cells [nx][nz], in units of u* (speeds), u*^2 (k) and u*^3/m (epsilon). */
typedef struct {
    int nx, nz;
    double *x_m, *z_m; /* [nx], [nz] centres */
    float *u, *v, *w;  /* across the rows, along them, up */
    float *k, *epsilon;
    double *force; /* [nx] what stands in a column takes from the wind across, u*^2 m */
    int n_rounds;  /* of iteration */
} air_flow;

/** Iterates until nothing changes any more. Starts from a state that follows from the case alone, so that the same case
 *  gives the same bytes.
 *  @return DRUPELET_OK; DRUPELET_MEMORY; DRUPELET_RUN with the residual when it does not converge */
drupelet_status air_flow_solve(const air_flow_case *flow_case, air_flow **flow);

/** Who is asked whether to go on; go_on NULL: nobody. */
typedef struct { bool (*go_on)(double share_done, void *user); void *user; } air_watch;
/** The same; asks every few rounds, some hundred times a second, and ends with DRUPELET_STOPPED if not. */
drupelet_status air_flow_solve_watched(const air_flow_case *flow_case, air_watch watch, air_flow **flow);
void air_flow_free(air_flow *flow); /* NULL is allowed */

/** Room for a flow, for those who fill it: the solver, and the reader of kept ones (flow_keep.h). The caller ends it
 *  with air_flow_free(). @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_flow_create(int nx, int nz, air_flow **flow);

#endif
