/* include/drupelet/scenario.h - one case to simulate: orchard, canopy, sprayer, tips, liquid, weather, run. */
#ifndef DRUPELET_SCENARIO_H
#define DRUPELET_SCENARIO_H

#include <stdint.h>

#include "drupelet/status.h"

typedef struct drupelet_scenario drupelet_scenario;

/** Reads and checks a scenario file (YAML; docs/scenario-format.md). Threads may call it at once; where the HDF5
 *  library was built without thread safety, not for scenarios with a canopy in an HDF5 file.
 *  @param path       file to read; the file that canopy.measured names is read, too (docs/canopy-format.md)
 *  @param settings   overrides, each "key.path=value" as in the file, applied in order; may be NULL when n_settings is
 * 0
 *  @param scenario   out: the caller owns it and ends it with drupelet_scenario_free(); NULL on failure
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (message "file:line:column: key.path: found ..., expected ...",
 *          or "file: cannot be read: ..."; of a canopy file "file:line:column: column: found ..., expected ..." or
 *          "file: /dataset: found ..., expected ...") or DRUPELET_MEMORY */
DRUPELET_API drupelet_status drupelet_scenario_read(const char *path, const char *const *settings, int n_settings,
                                                    drupelet_scenario **scenario);
DRUPELET_API void drupelet_scenario_free(drupelet_scenario *scenario); /**< NULL is allowed. */

#endif
