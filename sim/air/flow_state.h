/* sim/air/flow_state.h - a section of wind while it is being solved. */
#ifndef AIR_FLOW_STATE_H
#define AIR_FLOW_STATE_H

#include <stddef.h>

#include "air/flow_constants.h"
#include "air/flow_inflow.h"
#include "air/flow_mesh.h"
#include "air/flow_pressure.h"

typedef struct {
    const air_flow_case *c;
    air_flow_mesh mesh;
    air_flow_inflow inflow;
    air_flow_pressure *pressure;
    air_flow_room room;
    int nx, nz;
    double *u;             /* [nx + 1][nz] on the faces across x */
    double *w;             /* [nx][nz] on the faces across z but the ground */
    double *v, *k, *e, *p; /* [nx][nz] */
    double *nu, *nu_z;     /* eddy viscosity: [nx][nz] in cells, [nx][nz + 1] on faces across z */
    double *made;          /* [nx][nz] production of k by shear and by air that rises */
    double *speed;         /* [nx][nz] */
    double *drag;          /* [nx][nz] of what stands in the wind at its speed, 1/m */
    /* of the equation at hand: */
    double *flux_x, *flux_z, *spread_x, *spread_z, *source, *sink, *edge;
    double step_m;  /* of false time, in m / u* */
    double *memory; /* all of them */
} flow_state;

static inline size_t flow_cell(const flow_state *s, int i, int k)
{
    return (size_t)i * (size_t)s->nz + (size_t)k;
}

/** On face 0 to nz across z of a column. */
static inline size_t flow_face_z(const flow_state *s, int i, int face)
{
    return (size_t)i * (size_t)(s->nz + 1) + (size_t)face;
}

static inline double flow_up(const flow_state *s, int i, int face)
{
    return face > 0 ? s->w[flow_cell(s, i, face - 1)] : 0.0;
}

/** The larger and the smaller: fmax() and fmin() are calls where infinities and the like must come out right. */
static inline double flow_more(double one, double other)
{
    return one > other ? one : other;
}
static inline double flow_less(double one, double other)
{
    return one < other ? one : other;
}

/** Friction velocity of the ground, from the turbulence over it. */
static inline double flow_friction(double k)
{
    return FLOW_CMU_1_4 * sqrt(k);
}

/** The equation that the arrays of the state are to describe. */
air_flow_transport flow_equation(flow_state *s, const air_flow_axis *x, const air_flow_axis *z);
/** What passes the faces of the cells themselves, and how their values spread with the eddy viscosity. */
void flow_carry_cells(flow_state *s);

/** One step of each; flow_project() takes the divergence out of u and w. */
void flow_step_u(flow_state *s);
void flow_step_w(flow_state *s);
void flow_step_v(flow_state *s);
void flow_project(flow_state *s);
void flow_step_turbulence(flow_state *s);

#endif
