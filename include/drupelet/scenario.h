/* include/drupelet/scenario.h - one case to simulate: orchard, canopy, sprayer, tips, liquid, weather, run.
 *
 * It can come from a file, from text or from a tree of values. All three are checked alike, and threads may read
 * scenarios at once. A scenario does not change: threads may run one at once. */
#ifndef DRUPELET_SCENARIO_H
#define DRUPELET_SCENARIO_H

#include <stddef.h>
#include <stdint.h>

#include "drupelet/status.h"
#include "drupelet/tree.h"

typedef struct drupelet_scenario drupelet_scenario;

/** Reads and checks a scenario file (YAML; docs/scenario-format.md).
 *  @param path       file to read; the file that canopy.measured names is read, too (docs/canopy-format.md)
 *  @param settings   overrides, each "key.path=value" as in the file, applied in order; may be NULL when n_settings is
 * 0
 *  @param scenario   out: the caller owns it and ends it with drupelet_scenario_free(); NULL on failure
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (message "file:line:column: key.path: found ..., expected ...",
 *          or "file: cannot be read: ..."; of a canopy file "file:line:column: column: found ..., expected ..." or
 *          "file: /dataset: found ..., expected ..."; of a setting "--set key.path=value: key.path: found ...") or
 *          DRUPELET_MEMORY */
DRUPELET_API drupelet_status drupelet_scenario_read(const char *path, const char *const *settings, int n_settings,
                                                    drupelet_scenario **scenario);
/** The same from text that is in memory.
 *  @param name     stands for the file in messages; the name of a canopy file counts from its folder
 *  @param text     n_bytes of UTF-8, at most 256 KiB; copied */
DRUPELET_API drupelet_status drupelet_scenario_read_text(const char *name, const char *text, size_t n_bytes,
                                                         const char *const *settings, int n_settings,
                                                         drupelet_scenario **scenario);
/** The same from a tree of values. What is wrong is told without line and column: "name: key.path: found ...,
 *  expected ...". @param tree not changed; may end before the scenario */
DRUPELET_API drupelet_status drupelet_scenario_read_tree(const drupelet_tree *tree, const char *const *settings,
                                                         int n_settings, drupelet_scenario **scenario);
DRUPELET_API void drupelet_scenario_free(drupelet_scenario *scenario); /**< NULL is allowed. */

/** Title of results. Borrowed until drupelet_scenario_free(), as is all text from here on. */
DRUPELET_API const char *drupelet_scenario_name(const drupelet_scenario *scenario);
/** The scenario as text (YAML) that reads as the same scenario but for its settings. */
DRUPELET_API const char *drupelet_scenario_text(const drupelet_scenario *scenario);
/** Every value that counts, settings and defaults among them: lines "key.path: value unit", behind it " (default)" or
 *  where else the value comes from. */
DRUPELET_API const char *drupelet_scenario_resolved(const drupelet_scenario *scenario);

#endif
