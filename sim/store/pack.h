/* sim/store/pack.h - packs a chunk of numbers as HDF5's filters shuffle, deflate and Fletcher-32 would, so that several
 * threads can pack at once. HDF5 unpacks what it gets. */
#ifndef STORE_PACK_H
#define STORE_PACK_H

#include <stddef.h>
#include <stdint.h>

/** A packed chunk. @param unused the filters that were not used, as HDF5 counts them: bit 1, deflate did not help */
typedef struct { unsigned char *bytes; size_t size; uint32_t unused; } store_packed;

/** Packs n numbers of a size (1, 2, 4 or 8 bytes); what is missing up to room numbers is 0. The caller frees the bytes,
 * which are NULL where there is no memory. */
store_packed store_pack(const void *values, size_t n, size_t room, size_t size);

#endif
