/* tests/faults/fail.c - a library that stands before libc (LD_PRELOAD) and lets one call fail.
 *
 * FAIL_CALL names a group of calls, FAIL_AT the one of them that fails, counted from 1 and from the start of main() on.
 * The number of calls goes to the file that FAIL_COUNT names. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

extern void *__libc_malloc(size_t n);
extern void *__libc_calloc(size_t n, size_t size);
extern void *__libc_realloc(void *former, size_t n);
extern void *__libc_memalign(size_t align, size_t n);

enum { ALLOCATION, WRITE, RENAME, FLUSH, CLOSE, GROUPS };
static const char *const names[GROUPS] = {"allocation", "write", "rename", "fsync", "fclose"};

static int group = -1;
static long fail_at;
static atomic_long count;
static int (*true_main)(int, char **, char **);

static int fails(int of)
{
    return of == group && atomic_fetch_add(&count, 1) + 1 == fail_at;
}

/* The caller's name for the next definition of a function; no data pointer becomes one to a function by a cast. */
static void next_of(const char *name, void *function)
{
    void *found = dlsym(RTLD_NEXT, name);
    memcpy(function, &found, sizeof found);
}

static void tell(void)
{
    const char *path = getenv("FAIL_COUNT");
    group = -1;
    FILE *to = path ? fopen(path, "w") : NULL;
    if (to) {
        fprintf(to, "%ld\n", atomic_load(&count));
        fclose(to);
    }
}

static int watched_main(int argc, char **argv, char **environment)
{
    const char *call = getenv("FAIL_CALL"), *at = getenv("FAIL_AT");
    fail_at = at ? atol(at) : 0;
    atexit(tell);
    for (int i = 0; i < GROUPS; i++)
        if (call && strcmp(call, names[i]) == 0) group = i;
    return true_main(argc, argv, environment);
}

int __libc_start_main(int (*main_of)(int, char **, char **), int argc, char **argv, void (*init)(void),
                      void (*fini)(void), void (*loader_fini)(void), void *stack_end)
{
    int (*next)(int (*)(int, char **, char **), int, char **, void (*)(void), void (*)(void), void (*)(void), void *);
    next_of("__libc_start_main", &next);
    true_main = main_of;
    return next(watched_main, argc, argv, init, fini, loader_fini, stack_end);
}

/* ---- memory ---- */

static void *none(void)
{
    errno = ENOMEM;
    return NULL;
}

void *malloc(size_t n) { return fails(ALLOCATION) ? none() : __libc_malloc(n); }
void *calloc(size_t n, size_t size) { return fails(ALLOCATION) ? none() : __libc_calloc(n, size); }
void *realloc(void *former, size_t n) { return fails(ALLOCATION) ? none() : __libc_realloc(former, n); }
void *aligned_alloc(size_t align, size_t n) { return fails(ALLOCATION) ? none() : __libc_memalign(align, n); }

int posix_memalign(void **to, size_t align, size_t n)
{
    void *found = fails(ALLOCATION) ? NULL : __libc_memalign(align, n);
    if (!found) return ENOMEM;
    *to = found;
    return 0;
}

/* ---- files ---- */

static int full(void)
{
    errno = ENOSPC;
    return -1;
}

ssize_t write(int file, const void *bytes, size_t n)
{
    ssize_t (*next)(int, const void *, size_t);
    if (file > 2 && fails(WRITE)) return full();
    next_of("write", &next);
    return next(file, bytes, n);
}

ssize_t pwrite(int file, const void *bytes, size_t n, off_t at)
{
    ssize_t (*next)(int, const void *, size_t, off_t);
    if (fails(WRITE)) return full();
    next_of("pwrite", &next);
    return next(file, bytes, n, at);
}

int rename(const char *from, const char *to)
{
    int (*next)(const char *, const char *);
    if (fails(RENAME)) return full();
    next_of("rename", &next);
    return next(from, to);
}

int link(const char *from, const char *to)
{
    int (*next)(const char *, const char *);
    if (fails(RENAME)) return full();
    next_of("link", &next);
    return next(from, to);
}

int fsync(int file)
{
    int (*next)(int);
    if (fails(FLUSH)) return full();
    next_of("fsync", &next);
    return next(file);
}

int fclose(FILE *file)
{
    int (*next)(FILE *);
    const int bad = file != stdout && fails(CLOSE);
    next_of("fclose", &next);
    const int answer = next(file);
    return bad ? full() : answer;
}
