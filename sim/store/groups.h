/* sim/store/groups.h - fates taken together, impacts, and how droplets of each size fall and dry. */
#ifndef STORE_GROUPS_H
#define STORE_GROUPS_H

#include "run/run.h"
#include "store/out.h"

/** How droplets of each size fall and dry. */
typedef struct { double speed_m_s[TALLY_SIZES], lifetime_s[TALLY_SIZES], fall_m[TALLY_SIZES]; } store_falls;

/** Has them worked out by tasks; they are there when the caller has waited for its tasks. */
void store_work_out_falls(const drupelet_result *result, store_falls *falls);
/** Puts all three into the group fates, which is open and has the axes size and outcome. Waits for the falls. */
void store_write_groups(store_out *out, const drupelet_result *result, const store_falls *falls);
/** Puts the deposit of whole rows, and of thirds of all rows, into the group canopy, which is open and has the axes
 *  row, third and side. */
void store_write_row_sums(store_out *out, const drupelet_result *result);

#endif
