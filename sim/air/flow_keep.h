/* sim/air/flow_keep.h - air that was computed once, winds and fan air, is kept in a folder and read back. */
#ifndef AIR_FLOW_KEEP_H
#define AIR_FLOW_KEEP_H

#include <stdbool.h>
#include <stdint.h>

#include "air/flow.h"
#include "base/kept.h"

/** Where computed air is kept. */
typedef struct {
    const char *folder; /* NULL: they are not kept */
    int64_t most_bytes; /* of all in it; those used longest ago go first. 0: AIR_FLOW_STORE_BYTES */
    bool *refused;      /* out: set to true where the folder did not take it; NULL: nobody asks */
} air_flow_store;

#define AIR_FLOW_STORE_BYTES INT64_C(1000000000) /* choice: some thousand winds, or a hundred airs of a fan */

/** What all entries have in common: the sources of the solvers. An entry is known by this and its case. */
base_hash air_keep_key(void);
/** Reads an entry back. @return false where the store has none; the pieces may then hold anything */
bool air_keep_read(const air_flow_store *store, base_hash key, int n_pieces, const base_kept_piece *piece);
/** Keeps an entry where there is a store; one that does not take it says so in store->refused. */
void air_keep_write(const air_flow_store *store, base_hash key, int n_pieces, const base_kept_piece *piece);
/** Does each point lie in its cell? @param face [n + 1]  @param point [n] */
bool air_keep_inside(int n, const double *face, const double *point);

/** How a kind of air is had. */
typedef struct {
    void *of;                                       /* given to both */
    drupelet_status (*read)(void *of, bool *found); /* from the store */
    drupelet_status (*solve)(void *of);             /* and keep it */
} air_keep_ways;
/** Air that is read back if it is kept, else solved. Of several threads and processes that want the same at once, one
 *  solves and the others wait for it; while they wait the watch is asked.
 *  @return what the ways return; DRUPELET_STOPPED */
drupelet_status air_keep_obtain(const air_flow_store *store, base_hash key, air_watch watch, air_keep_ways ways);

/** The wind of a case: read back if it is kept, else solved and then kept. Both have the same bytes.
 *  @param store NULL: solved, not kept
 *  @return as air_flow_solve_watched(); a folder that cannot be used is no error */
drupelet_status air_flow_obtain(const air_flow_case *flow_case, const air_flow_store *store, air_watch watch,
                                air_flow **flow);

#endif
