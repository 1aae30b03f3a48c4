/* tests/fan_box.h - small boxes of fan air (verify/fan_box.h) for tests. */
#ifndef TESTS_FAN_BOX_H
#define TESTS_FAN_BOX_H

#include "verify/fan_box.h"

/** As fan_box_make(); fails the test when that fails. */
void fan_box_case(int nx, const double *x_m, int ny, const double *y_m, int nz, const double *z_m, int n_sources,
                  air_fan_case *c);

/** Solves it and fails the test when that fails. */
air_fan_flow *fan_box_solved(const air_fan_case *c, fan_options options);

/** The same, and the state that it ends in, pressure and all: from a mesh of half the cells on, as fan_solve() has it.
 *  The caller ends it with fan_state_free().
 *  @param still the residual of fan_flow.c at which it ends, 1/s
 *  @return rounds on the case's own mesh; the test fails where most_rounds are not enough */
int fan_box_settled(const air_fan_case *c, fan_options options, double still, int most_rounds, fan_state *s);

#endif
