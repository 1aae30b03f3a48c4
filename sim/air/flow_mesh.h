/* sim/air/flow_mesh.h - the cells of a section of wind, and one implicit step of what the wind carries along. */
#ifndef AIR_FLOW_MESH_H
#define AIR_FLOW_MESH_H

#include <stdbool.h>

#include "air/flow.h"

/** Places along one axis: unknowns at the points, which stand between the faces. */
typedef struct {
    int n;
    double *face, *point; /* [n + 1], [n] */
    double *size;         /* [n] of a cell */
    double *gap;          /* [n + 1] from point to point across a face; at the ends from the face to its point */
    double *per_size, *per_gap; /* 1 over them */
} air_flow_axis;

/** Speeds stand on the faces of cells, all else in their middles; the cells of u and w are therefore shifted by half a
 * cell, and the outermost reach from a middle to the boundary. */
typedef struct {
    int nx, nz;
    air_flow_axis x, z;           /* of the cells */
    air_flow_axis x_of_u, z_of_w; /* of the shifted cells: points on faces 1 to n */
} air_flow_mesh;

drupelet_status air_flow_mesh_create(const air_flow_case *flow_case, air_flow_mesh *mesh);
void air_flow_mesh_free(air_flow_mesh *mesh); /* one that is all 0 is allowed */

/** One equation of transport: d(phi)/dt + div(flux phi) = div(spread grad phi) + source - sink phi. Arrays of cells
 * [nx][nz], of faces across x [nx + 1][nz], across z [nx][nz + 1]. */
typedef struct {
    const air_flow_axis *x, *z;
    const double *flux_x, *flux_z;     /* area times speed */
    const double *spread_x, *spread_z; /* area times viscosity over the distance of the points */
    double spread_share;               /* diffusivity over viscosity */
    double *source;                    /* a volume */
    const double *sink;                /* a volume; NULL: none */
    const double *inflow;              /* [nz] values ahead of face 0 */
    double top;                        /* value above, where spread_z at the top is not 0 */
    double ground;                     /* value at the ground, where spread_z[0] is not 0 */
    const double *held_low;            /* [nx] values that the lowest cells take; NULL: they are solved for */
    double per_step;                   /* 1 / length of the step */
} air_flow_transport;

/** Room that a step needs. */
typedef struct {
    double *over_x, *over_z, *line;
} air_flow_room;
drupelet_status air_flow_room_create(const air_flow_mesh *mesh, air_flow_room *room);
void air_flow_room_free(air_flow_room *room); /* one that is all 0 is allowed */

/** One implicit step: columns one after another as the wind goes, each solved at once from ground to top. What crosses
 *  a face is the value between upwind and middle by van Leer's limiter: second order, and no new extremes.
 *  @param phi [nx][nz], changed */
void air_flow_transport_step(const air_flow_transport *t, const air_flow_room *room, double *phi);

#endif
