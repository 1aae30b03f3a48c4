/* sim/store/leaves.h - cover, droplets, deposit over leaf area and run-off in the result file. */
#ifndef STORE_LEAVES_H
#define STORE_LEAVES_H

#include "run/run.h"
#include "store/out.h"

/** Puts them into the group canopy, which is open and has the axes row, third, side and leaf_side. */
void store_write_leaves(store_out *out, const drupelet_result *result);

#endif
