/* sim/report/vtk.h - air of a result as a grid for other programs. */
#ifndef REPORT_VTK_H
#define REPORT_VTK_H

#include <stdio.h>

#include "result/quantity.h"

/** A grid of points, x fastest, with the values of a group of the result. */
typedef struct {
    const result_group *group;
    const char *what;         /* it is, in a sentence without its end */
    int n[3];                 /* along x, y, z; 1 where nothing changes */
    const double *at_m[3];
    const float *velocity[3]; /* along x, y, z: they become one vector */
} vtk_grid;

void vtk_write(FILE *to, const drupelet_result *result, const vtk_grid *grid);

#endif
