/* sim/live/tree.h - a scenario as a tree of values, in bytes that need no YAML to be read. */
#ifndef LIVE_TREE_H
#define LIVE_TREE_H

#include <stddef.h>

#include "scenario/node.h"

/** Reads a tree. @param root out: ended with scenario_node_free(); NULL on failure */
drupelet_status live_tree(const char *bytes, size_t n_bytes, scenario_node **root);

#endif
