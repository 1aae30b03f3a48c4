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

/** A type that numbers of ours or of a user are stored in; NULL if it is one, else what it is. */
const char *store_in_odd_type(hid_t type, bool whole);

#endif
