/* sim/page/parts.h - the parts of a page's data block; sim/page/browser/data.js reads them. */
#ifndef PAGE_PARTS_H
#define PAGE_PARTS_H

#include "base/json.h"
#include "store/store.h"
#include "store/sweep_file.h"

/** One result as a JSON object, tracks and canopy included. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status page_result(base_json *j, const char *file_name, const drupelet_result *r);
/** What the table of quantities marks for the page, under the key "quantities" (quantities.c tells how). */
void page_quantities(base_json *j, const drupelet_result *r);
/** Recorded paths, thinned and packed (tracks.c tells how). */
drupelet_status page_tracks(base_json *j, const drupelet_result *r);
/** A sweep under the key "sweep": points, outputs, main effects. @return DRUPELET_OK, or what went wrong */
drupelet_status page_sweep(base_json *j, const store_sweep *sweep);
/** The crowns from the side and from above, their deposit by voxel, and the air. */
drupelet_status page_canopy(base_json *j, const drupelet_result *r);

#endif
