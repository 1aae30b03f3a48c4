/* tests/fan_box.h - small boxes of fan air (verify/fan_box.h) for tests. */
#ifndef TESTS_FAN_BOX_H
#define TESTS_FAN_BOX_H

#include "verify/fan_box.h"

/** As fan_box_make(); fails the test when that fails. */
void fan_box_case(int nx, const double *x_m, int ny, const double *y_m, int nz, const double *z_m, int n_sources,
                  air_fan_case *c);

/** Solves it and fails the test when that fails. */
air_fan_flow *fan_box_solved(const air_fan_case *c, fan_options options);

#endif
