/* tests/sanitize/omp.h - OpenMP with one thread, for the memory sanitizer: it does not watch the library of OpenMP, and
 * would take all that it hands to tasks for values that nobody set. */
#ifndef SANITIZE_OMP_H
#define SANITIZE_OMP_H

#include "live/omp.h"

typedef struct { char nothing; } omp_lock_t;

static inline void omp_init_lock(omp_lock_t *lock) { lock->nothing = 0; }
static inline void omp_set_lock(omp_lock_t *lock) { (void)lock; }
static inline void omp_unset_lock(omp_lock_t *lock) { (void)lock; }
static inline void omp_destroy_lock(omp_lock_t *lock) { (void)lock; }

#endif
