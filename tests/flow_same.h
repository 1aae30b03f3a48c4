/* tests/flow_same.h - whether two cases of the computed wind are the same to the last bit. */
#ifndef TESTS_FLOW_SAME_H
#define TESTS_FLOW_SAME_H

#include <stdbool.h>
#include <string.h>

#include "air/flow.h"

static inline bool same_flow_case(const air_flow_case *a, const air_flow_case *b)
{
    const size_t nx = (size_t)a->nx, nz = (size_t)a->nz;
    return a->nx == b->nx && a->nz == b->nz && memcmp(a->x_face_m, b->x_face_m, (nx + 1) * sizeof(double)) == 0
           && memcmp(a->z_face_m, b->z_face_m, (nz + 1) * sizeof(double)) == 0
           && memcmp(a->drag_1_m, b->drag_1_m, nx * nz * sizeof(double)) == 0
           && memcmp(a->leaf_drag_1_m, b->leaf_drag_1_m, nx * nz * sizeof(double)) == 0
           && a->over_turning == b->over_turning && a->half_exponent == b->half_exponent
           && a->roughness_m == b->roughness_m
           && a->per_obukhov_1_m == b->per_obukhov_1_m && a->cos_angle == b->cos_angle && a->sin_angle == b->sin_angle;
}

#endif
