/* sim/base/widest.h - functions compiled for wider vectors, too, and picked when the program runs. */
#ifndef BASE_WIDEST_H
#define BASE_WIDEST_H

/** Before a function of plain loops. No product and sum is fused, so that all give the same bits. The address sanitizer
 * does not stand what picks. */
#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) \
    && !defined(__SANITIZE_ADDRESS__)
#define BASE_WIDEST __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define BASE_WIDEST
#endif

#endif
