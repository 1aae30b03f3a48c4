/* sim/base/sobol.h - direction numbers of the Sobol' sequence. A point is the exclusive or of those that belong to the
 * ones among its index's binary digits; who draws points scrambles them. */
#ifndef BASE_SOBOL_H
#define BASE_SOBOL_H

#include <stdint.h>

enum { BASE_SOBOL_DIMENSIONS = 64, BASE_SOBOL_BITS = 32 };

/** Direction numbers of a dimension, from 0, in units of 2^-32: v[0] belongs to the index's lowest digit. */
void base_sobol_directions(int dimension, uint32_t v[BASE_SOBOL_BITS]);

#endif
