/* sim/sweep/sobol.h - points of the Sobol' sequence. */
#ifndef SWEEP_SOBOL_H
#define SWEEP_SOBOL_H

#include <stdint.h>

enum { SWEEP_SOBOL_DIMENSIONS = 64 };

/** Coordinate of a point, in units of 2^-32, as the sequence has it (index by binary digits, not by Gray code).
 *  @param dimension from 0 */
uint32_t sweep_sobol_bits(uint32_t index, int dimension);
/** The same scrambled by a seed; in the open interval (0, 1). */
double sweep_sobol(uint32_t index, int dimension, uint64_t seed);

#endif
