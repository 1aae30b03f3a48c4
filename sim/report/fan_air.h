/* sim/report/fan_air.h - the air around the sprayer of a result that keeps it (run.keep_fan_air): a picture, and a file
 * for programs that look into fields. */
#ifndef REPORT_FAN_AIR_H
#define REPORT_FAN_AIR_H

#include <stdbool.h>

#include "drupelet/status.h"

/** Writes what is asked for, each whole or not at all. @param svg_path the picture; NULL: none
 *  @param vtk_path the grid as XML of VTK's open formats (rectilinear grid, .vtr); NULL: none
 *  @return DRUPELET_OK, DRUPELET_MEMORY, DRUPELET_SCENARIO (no result of this program, or one without its fan air) or
 *          DRUPELET_FILE (it exists, unless overwrite, or cannot be written) */
drupelet_status report_fan_air(const char *result_path, const char *svg_path, const char *vtk_path, bool overwrite);

#endif
