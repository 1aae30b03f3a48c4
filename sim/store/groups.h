/* sim/store/groups.h - fates taken together, impacts by size, and how droplets of each size fall and dry. */
#ifndef STORE_GROUPS_H
#define STORE_GROUPS_H

#include "run/run.h"
#include "store/out.h"

/** Puts them into the group fates, which is open and has the axes size and outcome. */
void store_write_groups(store_out *out, const drupelet_result *result);
/** Puts the deposit of whole rows, and of thirds of all rows, into the group canopy, which is open and has the axes
 *  row, third and side. */
void store_write_row_sums(store_out *out, const drupelet_result *result);

#endif
