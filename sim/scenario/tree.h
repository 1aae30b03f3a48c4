/* sim/scenario/tree.h - a tree of values (include/drupelet/tree.h) as a scenario's text. */
#ifndef SCENARIO_TREE_H
#define SCENARIO_TREE_H

#include <stddef.h>

#include "drupelet/tree.h"

/** The name that it was made with. */
const char *scenario_tree_name(const drupelet_tree *tree);
/** Writes it as YAML, every value as text. @param text out: n_bytes, the caller frees it; NULL on failure
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status scenario_tree_text(const drupelet_tree *tree, char **text, size_t *n_bytes);

#endif
