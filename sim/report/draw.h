/* sim/report/draw.h - a picture of a result. */
#ifndef REPORT_DRAW_H
#define REPORT_DRAW_H

#include <stdbool.h>

#include "drupelet/status.h"

/** Draws a result file as one SVG on A4 landscape: the side view across the last rows with sampled paths, the ground
 * deposit below it on the same axis and out to 100 m, where the spray went, settings and caution.
 *  @return DRUPELET_OK, DRUPELET_MEMORY, DRUPELET_SCENARIO (no result of this program) or DRUPELET_FILE (svg_path
 *          exists, unless overwrite, or cannot be written) */
drupelet_status report_draw(const char *result_path, const char *svg_path, bool overwrite);

#endif
