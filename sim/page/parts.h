/* sim/page/parts.h - the parts of a page's data block; sim/page/browser/data.js reads them. */
#ifndef PAGE_PARTS_H
#define PAGE_PARTS_H

#include "base/json.h"
#include "store/store.h"
#include "store/sweep_file.h"

/** One result, into an object that is open. @param file_name NULL: it comes from no file  @param whole false: without
 *  recorded paths, crowns and air, which stay as they are while more droplets fly  @return DRUPELET_OK or
 *  DRUPELET_MEMORY */
drupelet_status page_result(base_json *j, const char *file_name, const drupelet_result *r, bool whole);
/** The group of every fate, in words, under the key "group_of". */
void page_groups(base_json *j);
/** What the table of quantities marks for the page, under the key "quantities" (quantities.c tells how). */
void page_quantities(base_json *j, const drupelet_result *r);
/** Recorded paths, thinned and packed (tracks.c tells how). */
drupelet_status page_tracks(base_json *j, const drupelet_result *r);
/** A sweep under the key "sweep": points, outputs, main effects. @return DRUPELET_OK, or what went wrong */
drupelet_status page_sweep(base_json *j, const store_sweep *sweep);
/** The deposit by voxel, and if it is to be whole the crowns from the side and from above, and the air. */
drupelet_status page_canopy(base_json *j, const drupelet_result *r, bool whole);

/** What the page's simulator starts from, into the object of the result, under the key "live": the scenario as a tree,
 *  or why the result cannot be simulated there (live.c). @param left_out that is why  @return DRUPELET_OK or
 *  DRUPELET_MEMORY */
drupelet_status page_live(base_json *j, const drupelet_result *r, bool left_out);
/** The keys of a scenario that the reader may change, with units and ranges, under the key "live_keys". */
void page_live_keys(base_json *j);
/** Whether this build has a simulator for pages. */
bool page_live_is_built(void);
/** The simulator and the script of its workers, as blocks that browsers do not run. */
void page_live_simulator(FILE *to);

/** For readers without scripts, one after the other (plain.c): what stands above, a result, what stands below.
 *  @param texts a file of sim/page/browser/text.LANGUAGE.json */
void page_plain_head(FILE *to, const char *texts, bool spanish);
void page_plain_result(FILE *to, const char *texts, bool spanish, bool us, const drupelet_result *r);
void page_plain_foot(FILE *to, const char *texts, bool spanish);

#endif
