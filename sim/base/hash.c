/* sim/base/hash.c - a hash of bytes: FNV-1a (G. Fowler, L. C. Noll, K.-P. Vo; memory) from two starts, each mixed. */
#include "base/hash.h"

static uint64_t fnv(uint64_t hash, const void *bytes, size_t n)
{
    const unsigned char *b = bytes;
    for (size_t i = 0; i < n; i++)
        hash = (hash ^ b[i]) * UINT64_C(1099511628211);
    return hash;
}

/* The mixing of SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014; memory). */
static uint64_t mixed(uint64_t x)
{
    x = (x ^ (x >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94d049bb133111eb);
    return x ^ (x >> 31);
}

base_hash base_hash_on(base_hash before, const void *bytes, size_t n)
{
    const uint64_t a = fnv(before.part[0] ^ UINT64_C(14695981039346656037), bytes, n);
    const uint64_t b = fnv(mixed(before.part[1] + UINT64_C(0x9e3779b97f4a7c15)), bytes, n);
    return (base_hash){{mixed(a), mixed(b ^ n)}};
}
