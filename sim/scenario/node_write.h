/* sim/scenario/node_write.h - a tree as YAML again, such as scenario/node.h reads. */
#ifndef SCENARIO_NODE_WRITE_H
#define SCENARIO_NODE_WRITE_H

#include <stdio.h>

#include "scenario/node.h"

/** Writes a tree, one key a line; groups in a list and lists of values take a line each. Comments are not in a tree. */
void scenario_node_write(const scenario_node *root, FILE *to);
/** Writes a node in one line: "7 bar", "[0, 2]", "{side: left, angle: 5 deg}". */
void scenario_node_write_flow(const scenario_node *node, FILE *to);

#endif
