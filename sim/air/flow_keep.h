/* sim/air/flow_keep.h - winds that were computed once are kept in a folder and read back. */
#ifndef AIR_FLOW_KEEP_H
#define AIR_FLOW_KEEP_H

#include <stdbool.h>
#include <stdint.h>

#include "air/flow.h"

/** Where computed winds are kept. */
typedef struct {
    const char *folder; /* NULL: they are not kept */
    int64_t most_bytes; /* of all in it; those used longest ago go first. 0: AIR_FLOW_STORE_BYTES */
    bool *refused;      /* out: set to true where the folder did not take a wind; NULL: nobody asks */
} air_flow_store;

#define AIR_FLOW_STORE_BYTES INT64_C(256000000) /* choice: some thousand winds */

/** The wind of a case: read back if it is kept, else solved and then kept. Both have the same bytes.
 *  @param store NULL: solved, not kept
 *  @return as air_flow_solve_watched(); a folder that cannot be used is no error */
drupelet_status air_flow_obtain(const air_flow_case *flow_case, const air_flow_store *store, air_watch watch,
                                air_flow **flow);

#endif
