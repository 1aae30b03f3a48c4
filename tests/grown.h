/* tests/grown.h - canopies that tests grow from scenarios made by hand. */
#ifndef TESTS_GROWN_H
#define TESTS_GROWN_H

#include "orchard/orchard.h"

/** The canopy of a scenario; fails the test where there is none. The caller ends it with orchard_free(). */
orchard_canopy *grown(const drupelet_scenario *scenario);
/** Index of a voxel. */
int64_t grown_at(const orchard_canopy *canopy, int row, int iz, int iy, int ix);

#endif
