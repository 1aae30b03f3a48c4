/* sim/air/eigen.h - eigenvalues and eigenvectors of a symmetric tridiagonal matrix. */
#ifndef AIR_EIGEN_H
#define AIR_EIGEN_H

#include <stdbool.h>
#include <stddef.h>

/** @param d [n] the diagonal; becomes the eigenvalues  @param e [n] between i and i + 1; used up
 *  @param z [n][n] the unit matrix; becomes the eigenvectors, one a row
 *  @return false where the iteration does not end, as with numbers that are none */
bool air_diagonalise(ptrdiff_t n, double *d, double *e, double *z);

#endif
