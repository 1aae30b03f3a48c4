/* sim/air/fan_keep.h - fan air that was computed once is kept where computed winds are (flow_keep.h). */
#ifndef AIR_FAN_KEEP_H
#define AIR_FAN_KEEP_H

#include "air/fan_flow.h"
#include "air/flow_keep.h"

/** The flow of a case: read back if it is kept, else solved and then kept. Both have the same bytes.
 *  @param store NULL: solved, not kept
 *  @return as air_fan_flow_solve(); a folder that cannot be used is no error */
drupelet_status air_fan_flow_obtain(const air_fan_case *fan_case, const air_flow_store *store, int n_threads,
                                    air_watch watch, air_fan_flow **flow);

#endif
