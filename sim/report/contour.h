/* sim/report/contour.h - the borders of the places of a raster where a value is at least a level. */
#ifndef REPORT_CONTOUR_H
#define REPORT_CONTOUR_H

#include <stdio.h>

#include "drupelet/status.h"

/** Values at points that are evenly spaced on the sheet: value [n_up][n_across], the first at the lower left. */
typedef struct {
    int n_across, n_up; /* each 2 or more */
    double *value;
    double left, right, bottom, top; /* of the outermost points */
} contour_raster;

/** Writes the rings around all places with at least the level as the content of a path's d, for the rule evenodd; ""
 *  where there is none. At the edge of the raster they lie half a step outside of it.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status contour_rings(FILE *to, const contour_raster *raster, double level);

#endif
