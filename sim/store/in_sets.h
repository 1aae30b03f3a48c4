/* sim/store/in_sets.h - what the parts of the door share: how much a file may claim to hold. */
#ifndef STORE_IN_SETS_H
#define STORE_IN_SETS_H

#include <hdf5.h>

#include "store/in.h"

/** Deflate makes 1032 bytes of one byte at most (J. Gailly, M. Adler, zlib Technical Details: zlib.net/zlib_tech.html;
 *  memory). */
#define STORE_IN_RATIO 1032.0
/** Bytes that any file may claim, however small it is, since parts that a file leaves out are 0. A choice: memory that
 *  every machine has. */
#define STORE_IN_FREE_BYTES 64e6

/** A dataset that was opened, and what is known of it. @param set below 0 where it is not open */
typedef struct {
    hid_t set;
    int rank;
    hsize_t shape[STORE_IN_RANK];
    size_t n;
} store_in_opened;
/** Opens a dataset of at most STORE_IN_RANK dimensions, none of them empty. */
store_in_opened store_in_open_set(store_in *in, const char *name);
void store_in_close_set(store_in_opened *o);
/** Can the file hold n things of a size in a dataset? NULL, or what it claims instead. */
const char *store_in_overdrawn(const store_in *in, hid_t set, size_t size, double n);
/** A type that numbers of ours or of a user are stored in; NULL if it is one, else what it is. */
const char *store_in_odd_type(hid_t type, bool whole);

#endif
