/* tests/fan_box.h - small boxes of fan air for tests. */
#ifndef TESTS_FAN_BOX_H
#define TESTS_FAN_BOX_H

#include "air/fan_state.h"

/** Faces from low to high: cells of fine_m between a and b, each beyond larger by growth, the last up to the end.
 *  @param face_m room for FAN_BOX_FACES  @return number of cells */
enum { FAN_BOX_FACES = 400 };
int fan_box_faces(double low_m, double a_m, double b_m, double high_m, double fine_m, double growth, double *face_m);

/** A case of these faces with room for sources, still air that is hardly turbulent, and no ground friction. */
void fan_box_case(int nx, const double *x_m, int ny, const double *y_m, int nz, const double *z_m, int n_sources,
                  air_fan_case *c);

/** Solves it and fails the test when that fails. */
air_fan_flow *fan_box_solved(const air_fan_case *c, fan_options options);

static inline size_t fan_box_cell(const air_fan_flow *f, int i, int j, int k)
{
    return ((size_t)i * (size_t)f->ny + (size_t)j) * (size_t)f->nz + (size_t)k;
}

/** The first place that is at or beyond a coordinate. */
int fan_box_at(int n, const double *centre_m, double at_m);

#endif
