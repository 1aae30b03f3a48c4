/* sim/base/machine.h - what some machines can do: wider vectors, larger pages of memory. */
#ifndef BASE_MACHINE_H
#define BASE_MACHINE_H

#include <stddef.h>

/** Stands before a function of plain loops. The loader picks the widest version that the processor can run. No product
 * is fused with a sum, so all versions give the same bits. Under the address sanitizer there is one version: the code
 * that picks runs before the sanitizer is ready. */
#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) \
    && !defined(__SANITIZE_ADDRESS__)
#define BASE_WIDEST __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define BASE_WIDEST
#endif

/** At least bytes of memory, for free(); NULL where there is none. Where the system has pages of megabytes it is asked
 * for them: reads at random places then find their page at once. */
void *base_large_alloc(size_t bytes);

#endif
