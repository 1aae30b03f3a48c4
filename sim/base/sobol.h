/* sim/base/sobol.h - direction numbers of the Sobol' sequence. A point is the exclusive or of the direction numbers
 * at those binary digits of its index that are 1. Callers scramble the points. */
#ifndef BASE_SOBOL_H
#define BASE_SOBOL_H

#include <stdint.h>

enum { BASE_SOBOL_DIMENSIONS = 64, BASE_SOBOL_BITS = 32 };

/** Direction numbers of a dimension, from 0, in units of 2^-32: v[0] belongs to the index's lowest digit. */
void base_sobol_directions(int dimension, uint32_t v[BASE_SOBOL_BITS]);

#endif
