/* sim/base/machine.c - memory in large pages, where the system has them. */
#define _DEFAULT_SOURCE /* madvise */
#include "base/machine.h"

#include <stdint.h>
#include <stdlib.h>
#ifdef __linux__
#include <sys/mman.h>
#endif

#ifdef __linux__
#define LARGE_PAGE ((size_t)2 << 20)
#else
#define LARGE_PAGE ((size_t)64) /* a line of a processor's cache will do */
#endif

void *base_large_alloc(size_t bytes)
{
    if (bytes > SIZE_MAX - LARGE_PAGE)
        return NULL;
    const size_t whole = (bytes + LARGE_PAGE - 1) / LARGE_PAGE * LARGE_PAGE;
    void *memory = aligned_alloc(LARGE_PAGE, whole > 0 ? whole : LARGE_PAGE);
    if (!memory)
        return NULL;
#if defined(__linux__) && defined(MADV_HUGEPAGE)
    madvise(memory, whole, MADV_HUGEPAGE); /* advice: where it is not taken the memory is as good, only slower */
#endif
    return memory;
}
