/* sim/air/fan_flow.h - the fan's air around a moving sprayer as a steady flow in three dimensions, seen from the
 * sprayer.
 *
 * Solves the Reynolds-averaged equations for the mean velocity and for the energy k of the turbulence and its
 * dissipation epsilon, with the terms of flow.h for what stands in the air: fan_flow.c has the equations and their
 * sources. SI units. x runs across the rows from the sprayer's centre line, y along the travel from the air outlets, z
 * up from the ground. Velocities are over the ground; the sprayer moves along +y, so that in its frame the air comes
 * with travel_m_s less along y. */
#ifndef AIR_FAN_FLOW_H
#define AIR_FAN_FLOW_H

#include <stddef.h>

#include "air/flow.h"
#include "air/yielding.h"
#include "drupelet/status.h"

/** A cell in which the machine blows air out or takes it in. */
typedef struct {
    int i, j, k;                   /* of the cell, along x, y, z */
    double flow_m3_s;              /* above 0: blown out; below 0: taken in, with the velocity that the air there has */
    double velocity_m_s[3];        /* of the air blown out, over the ground: it brings flow * velocity of momentum */
    double k_m2_s2, epsilon_m2_s3; /* of its turbulence */
} air_fan_source;

/** What a flow depends on, and nothing else: its bytes are the key under which it is kept. Along y nothing changes but
 *  the sources and the body. */
typedef struct {
    int nx, ny, nz;
    double *x_face_m, *y_face_m, *z_face_m; /* [nx + 1], [ny + 1], [nz + 1], rising; z from 0, the ground */
    double travel_m_s;
    double roughness_m;    /* of the ground */
    float *u, *v, *w;      /* [nx][nz] the wind far from the sprayer at the centres of the cells, m/s */
    float *k, *epsilon;    /* [nx][nz] its turbulence, m2/s2 and m2/s3 */
    double *drag_1_m;      /* [nx][nz] drag coefficient times area density of what does not give way */
    double *leaf_drag_1_m; /* [nx][nz] more of it, of leaves that give way */
    air_yielding yielding;
    unsigned char *body; /* [nx][ny][nz] 1: the machine stands there, and no air flows */
    int n_sources;
    air_fan_source *source; /* [n_sources] */
} air_fan_case;

/** Middle of cell i between two of an axis' faces. */
static inline double air_fan_middle_m(const double *face_m, int i)
{
    return 0.5 * (face_m[i] + face_m[i + 1]);
}

/** Index of a cell in arrays [nx][ny][nz]. */
static inline size_t air_fan_cell(const air_fan_case *c, int i, int j, int k)
{
    return ((size_t)i * (size_t)c->ny + (size_t)j) * (size_t)c->nz + (size_t)k;
}

/** Room for a case; all of it is the caller's to set. The caller ends it with air_fan_case_free(). */
drupelet_status air_fan_case_create(int nx, int ny, int nz, int n_sources, air_fan_case *fan_case);
void air_fan_case_free(air_fan_case *fan_case); /* one that is all 0 is allowed */

/** What the fan gives to the air and where it goes, over the density, more than the wind alone has: blown = out +
 *  rows + ground + body + unsettled, along each axis. */
typedef struct {
    double blown_m3_s, out_m3_s; /* air blown out less taken in; out of the box through its sides */
    double blown_m4_s2[3];       /* momentum of air blown out, less what is taken in */
    double out_m4_s2[3];         /* through the sides */
    double rows_m4_s2[3];        /* to what stands in the air but the body */
    double ground_m4_s2[3];      /* friction, and the pressure on the ground */
    double body_m4_s2[3];        /* to the machine: pressure and friction */
    double unsettled_m4_s2[3];   /* what the flow's last change was short of */
} air_fan_budget;

/** Means at the centres of the cells, [nx][ny][nz]: what the fan adds to the wind. Where there is no fan all are 0, to
 *  the last bit. */
typedef struct {
    int nx, ny, nz;
    double *x_m, *y_m, *z_m; /* centres */
    float *u, *v, *w;        /* m/s more than the wind has */
    float *k, *epsilon;      /* of wind and fan together, m2/s2 and m2/s3 */
    float *given;            /* share of the leaf area that has given way, 0 to 1 */
    air_fan_budget budget;
    int n_rounds;    /* of iteration */
    double residual; /* what still changed at the end, as fan_flow.c defines it, 1/s */
    double unsure;   /* how well the mean over rounds is known, as a share of what the fan adds; 0: settled, no mean */
} air_fan_flow;

#define AIR_FAN_STILL_1_S 0.02 /* a flow whose residual is below has settled; fan_flow.c has why */

/** Iterates until the flow has settled. Starts from a state that follows from the case alone; the bytes of the result
 *  do not depend on the number of threads. Uses the threads of the caller's OpenMP team or those that
 *  it may start itself.
 *  @param watch told the share that is done, and asked whether to go on
 *  @return DRUPELET_OK; DRUPELET_MEMORY; DRUPELET_STOPPED; DRUPELET_BALANCE with the residual when it does not
 *  settle */
drupelet_status air_fan_flow_solve(const air_fan_case *fan_case, int n_threads, air_watch watch, air_fan_flow **flow);
void air_fan_flow_free(air_fan_flow *flow); /* NULL is allowed */

/** Room for a flow, for those who fill it: the solver, and the reader of kept ones. */
drupelet_status air_fan_flow_create(int nx, int ny, int nz, air_fan_flow **flow);

#endif
