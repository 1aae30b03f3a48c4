/* tests/vtk_check.h - VTK, where it is installed, reads the grids that drupelet draw writes. */
#ifndef TESTS_VTK_CHECK_H
#define TESTS_VTK_CHECK_H

/** VTK reads the numbers of a group of a result from a grid, which is then removed (tests/check_grid.py). Skips the
 *  test where no python3 of the PATH has VTK and h5py. */
void vtk_check(const char *grid, const char *result, const char *group);

#endif
