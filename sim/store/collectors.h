/* sim/store/collectors.h - the group of the virtual collectors in a result file. */
#ifndef STORE_COLLECTORS_H
#define STORE_COLLECTORS_H

#include "run/run.h"
#include "store/out.h"

/** Writes the group; it is empty without collectors. */
void store_write_collectors(store_out *out, const drupelet_result *result);

#endif
