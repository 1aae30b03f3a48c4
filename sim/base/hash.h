/* sim/base/hash.h - a hash of bytes, 128 bits, to tell one thing from another. Not for secrets. */
#ifndef BASE_HASH_H
#define BASE_HASH_H

#include <stddef.h>
#include <stdint.h>

typedef struct { uint64_t part[2]; } base_hash;

/** The hash of more bytes, going on from those before. Start with {{0, 0}}. */
base_hash base_hash_on(base_hash before, const void *bytes, size_t n);

#endif
