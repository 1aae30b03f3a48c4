/* sim/base/threads.c - starts threads that wait for each other, and ends them. */
#define _POSIX_C_SOURCE 200809L
#include "base/threads.h"

#ifdef _OPENMP
#include <pthread.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    pthread_mutex_t lock;
    pthread_cond_t change;
    bool over;
} gate;

static void *wait_at(void *user)
{
    gate *g = user;
    pthread_mutex_lock(&g->lock);
    while (!g->over)
        pthread_cond_wait(&g->change, &g->lock);
    pthread_mutex_unlock(&g->lock);
    return NULL;
}

drupelet_status base_threads_check(int n)
{
    if (n < 2) return base_ok();
    const int wanted = n - 1;
    pthread_t *thread = malloc((size_t)wanted * sizeof *thread);
    if (!thread) return base_error(DRUPELET_MEMORY, "no memory for %d threads", n);
    gate g = {.lock = PTHREAD_MUTEX_INITIALIZER, .change = PTHREAD_COND_INITIALIZER};
    int started = 0, cause = 0;
    while (started < wanted && cause == 0) {
        cause = pthread_create(&thread[started], NULL, wait_at, &g);
        started += cause == 0;
    }
    pthread_mutex_lock(&g.lock);
    g.over = true;
    pthread_cond_broadcast(&g.change);
    pthread_mutex_unlock(&g.lock);
    for (int i = 0; i < started; i++)
        pthread_join(thread[i], NULL);
    free(thread);
    if (cause != 0)
        return base_error(DRUPELET_MEMORY, "%d threads are wanted, and this machine gives %d now: %s", n, started + 1,
                          strerror(cause));
    return base_ok();
}
#else
drupelet_status base_threads_check(int n)
{
    (void)n;
    return base_ok();
}
#endif
