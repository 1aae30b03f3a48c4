/* sim/base/large_memory.h - memory for arrays that are read at random places. */
#ifndef BASE_LARGE_MEMORY_H
#define BASE_LARGE_MEMORY_H

#include <stddef.h>

/** At least bytes of memory, for free(); NULL where there is none. Where the system has pages of megabytes it is asked
 * for them: reads at random places then find their page at once. */
void *base_large_alloc(size_t bytes);

#endif
