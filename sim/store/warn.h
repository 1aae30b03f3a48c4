/* sim/store/warn.h - the group warnings of a result file. */
#ifndef STORE_WARN_H
#define STORE_WARN_H

#include "run/run.h"
#include "store/out.h"

/** Writes the group; it is empty where there is nothing to warn of. */
void store_write_warnings(store_out *out, const drupelet_result *result);

#endif
