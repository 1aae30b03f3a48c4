/* sim/air/flow_inflow.h - the wind ahead of the block, over endless open ground. */
#ifndef AIR_FLOW_INFLOW_H
#define AIR_FLOW_INFLOW_H

#include <math.h>

#include "air/flow_mesh.h"

/** Height by height, [nz], in units of u*. */
typedef struct {
    double *speed, *k, *epsilon;
    double buoyant;        /* production of k by buoyancy, the same at all heights: one heat flux */
    double *cold_share;    /* of the production by shear, that buoyancy takes in an inversion; 0: no inversion */
    double *per_viscosity; /* 1 / eddy viscosity */
    double *production;    /* factor of the production of k by shear that makes the inflow a solution on this mesh */
    double *carried;       /* what the inflow's k would lose by diffusion: made good everywhere; 0 when neutral */
    double *ce1;           /* constant of the production of epsilon that makes the inflow a solution */
    double speed_top, k_top, epsilon_top, viscosity_top; /* at the top face */
    double law;         /* of the lowest cell: speed over friction velocity, times kappa */
    double phi_epsilon; /* of the lowest cell: epsilon kappa z / u*^3 */
    double phi_shear;   /* of the lowest cell: production kappa z / u*^3 */
} air_flow_inflow;

drupelet_status air_flow_inflow_create(const air_flow_case *flow_case, const air_flow_mesh *mesh,
                                       air_flow_inflow *inflow);
void air_flow_inflow_free(air_flow_inflow *inflow); /* one that is all 0 is allowed */

/** Eddy viscosity between two points, by a mean close to the logarithmic one (B. C. Carlson, Am. Math. Mon. 79 (1972)
 *  615; memory): so the logarithmic law stays as it is on a coarse mesh, too. */
static inline double air_flow_between(double one, double other)
{
    return (2.0 * sqrt(one * other) + 0.5 * (one + other)) / 3.0;
}

#endif
