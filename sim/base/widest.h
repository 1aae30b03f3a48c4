/* sim/base/widest.h - functions compiled for wider vectors, too, and picked when the program runs. */
#ifndef BASE_WIDEST_H
#define BASE_WIDEST_H

/** Stands before a function of plain loops. The loader picks the widest version that the processor can run. No product
 * is fused with a sum, so all versions give the same bits. Under the address sanitizer there is one version: the code
 * that picks runs before the sanitizer is ready. */
#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) \
    && !defined(__SANITIZE_ADDRESS__)
#define BASE_WIDEST __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define BASE_WIDEST
#endif

#endif
