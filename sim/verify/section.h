/* sim/verify/section.h - sections across stands, rows and fences of simple shape, in which the solver of the wind
 * (air/flow.h) can be tried. */
#ifndef VERIFY_SECTION_H
#define VERIFY_SECTION_H

#include "air/flow.h"

/** A rectangle of something that stands in the wind, the same everywhere inside. */
typedef struct {
    double low_m, high_m;   /* along the wind */
    double bottom_m, top_m; /* above the ground */
    double drag_1_m;        /* drag coefficient times area density */
} section_stand;

/** The mesh, the ground and the wind ahead. */
typedef struct {
    double low_m, high_m;     /* columns of width_m from here to there; beyond, each is wider than the last by growth */
    double width_m;           /* of a column */
    double ahead_m, behind_m; /* from there to the first and to the last face */
    double fine_m, depth_m;   /* cells of depth_m up to fine_m above the ground; beyond, deeper and deeper */
    double top_m;             /* of the section */
    double growth;            /* 1.1 or so */
    double roughness_m, per_obukhov_1_m, angle_rad;
} section_plan;

/** @param stands n of them  @param flow_case the caller ends it with air_flow_case_free() in either case */
drupelet_status section_case(const section_plan *plan, const section_stand *stands, int n, air_flow_case *flow_case);
/** The wind in it. @param flow the caller ends it with air_flow_free(); NULL on failure */
drupelet_status section_solve(const section_plan *plan, const section_stand *stands, int n, air_flow **flow);

/** A mean of the wind at a place, between the four middles of cells around it (beyond the outermost: as there). */
double section_at(const air_flow *flow, const float *values, double x_m, double z_m);
/** Wind across the rows over that of the open ground at the same height. */
double section_share(const air_flow *flow, const section_plan *plan, double x_m, double z_m);

#endif
