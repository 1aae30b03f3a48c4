/* tests/faults/fail.c - a library that stands before libc (LD_PRELOAD) and lets calls fail.
 *
 * FAIL_CALL names a group of calls, FAIL_AT the one of them that fails, counted from 1 and from the start of main() on.
 * FAIL_PLACES names a file with such numbers instead, one a line and rising: each of these calls fails in a copy of the
 * process of its own (copy.h). A child of the program counts on from its parent's number; "child C N" in that file lets
 * call N of child C fail.
 * The file that FAIL_COUNT names gets the number of calls, and below it those that came on a way through the program
 * which no call before had come on: what handles their failures has not been tried before. A way is told by the last
 * WAY functions of the program on it; what libraries do below them they answer for by one failure. The same of the
 * children goes to FAIL_COUNT.1 and so on. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <execinfo.h>
#include <link.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <unistd.h>

#include "copy.h"

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

/* ---- which way a call came ---- */

enum { WAY = 3, FRAMES = 40, OWN_FRAMES = 4, WAYS = 1 << 16 };

static const char *counted; /* the file to count for; NULL: a call shall fail */
static uint64_t ways[WAYS]; /* hashes of those met; 0: free */
static long first[WAYS];    /* the call that met with it */
static int n_ways;
static _Thread_local int within; /* what looks at the way allocates, too */

static uintptr_t program_begin, program_end;

/* The first object is the program. */
static int find_program(struct dl_phdr_info *object, size_t size, void *user)
{
    (void)size;
    (void)user;
    program_begin = object->dlpi_addr;
    for (int i = 0; i < object->dlpi_phnum; i++) {
        const uintptr_t end = object->dlpi_addr + object->dlpi_phdr[i].p_vaddr + object->dlpi_phdr[i].p_memsz;
        if (object->dlpi_phdr[i].p_type == PT_LOAD && end > program_end) program_end = end;
    }
    return 1;
}

static uint64_t hash_of_way(void)
{
    void *frames[FRAMES];
    within = 1;
    const int n = backtrace(frames, FRAMES);
    within = 0;
    uint64_t hash = 0xcbf29ce484222325u;
    for (int i = OWN_FRAMES, met = 0; i < n && met < WAY; i++) {
        const uintptr_t at = (uintptr_t)frames[i];
        if (at < program_begin || at >= program_end) continue;
        hash = (hash ^ at) * 0x100000001b3u;
        met++;
    }
    return hash | 1;
}

static void note_way(long number)
{
    const uint64_t hash = hash_of_way();
    uint64_t at = hash >> 16;
    for (;; at++) {
        const uint64_t met = ways[at % WAYS];
        if (met == hash || n_ways == WAYS - 1) return;
        if (met == 0) break;
    }
    ways[at % WAYS] = hash;
    first[n_ways++] = number;
}

/* ---- calls that fail in copies ---- */

enum { PLACES = 1 << 18 };
typedef struct { int child; long at; } place; /* child 0: in the program itself */

static place places[PLACES];
static int n_places, next_place; /* of the program itself */
static int n_children, is_child; /* is_child: which one */
static long before_child;        /* calls of its parent */

static void read_places(const char *path)
{
    char line[64];
    FILE *file = fopen(path, "r");
    while (file && n_places < PLACES && fgets(line, sizeof line, file)) {
        place *p = &places[n_places];
        if (sscanf(line, "child %d %ld", &p->child, &p->at) == 2 || sscanf(line, "%ld", &p->at) == 1) n_places++;
    }
    if (file) fclose(file);
}

/* Whether this is a copy now, in which the call of the place shall fail. */
static int is_copy(const place *p)
{
    char what[64];
    snprintf(what, sizeof what, p->child > 0 ? "%ld in child %d" : "%ld", p->at, p->child);
    within = 1;
    const int here = copy_is_this(what);
    within = 0;
    if (here) n_places = 0;
    return here;
}

/* The next place in the program itself; NULL: none. */
static const place *due(void)
{
    while (next_place < n_places && places[next_place].child > 0)
        next_place++;
    return next_place < n_places ? &places[next_place] : NULL;
}

__attribute__((noinline)) static int fails(int of)
{
    if (of != group || within) return 0;
    const long number = atomic_fetch_add(&count, 1) + 1;
    if (counted) note_way(number);
    if (number == fail_at) return 1;
    const place *p = due();
    if (!p || p->at != number) return 0;
    next_place++;
    if (!is_copy(p)) return 0;
    group = -1;
    return 1;
}

/* The caller's name for the next definition of a function; no data pointer becomes one to a function by a cast. */
static void next_of(const char *name, void *function)
{
    void *found = dlsym(RTLD_NEXT, name);
    memcpy(function, &found, sizeof found);
}

static void tell(void)
{
    char path[512];
    group = -1;
    if (!counted) return;
    snprintf(path, sizeof path, is_child ? "%s.%d" : "%s", counted, is_child);
    FILE *to = fopen(path, "w");
    if (to) {
        fprintf(to, "%ld\n", atomic_load(&count) - before_child);
        for (int i = 0; i < n_ways; i++)
            fprintf(to, "%ld\n", first[i]);
        fclose(to);
    }
}

/* ---- children of the program ---- */

pid_t getpid(void)
{
    return copy_apparent_number();
}

void _exit(int code)
{
    if (is_child) tell();
    for (;;)
        syscall(SYS_exit_group, code);
}

pid_t fork(void)
{
    pid_t (*next)(void);
    long at = 0;
    n_children++;
    for (int i = 0; i < n_places && at == 0 && !is_child && !within; i++)
        if (places[i].child == n_children && is_copy(&places[i])) at = places[i].at;
    next_of("fork", &next);
    const pid_t child = next();
    if (child == 0) {
        copy_is_a_child();
        is_child = n_children;
        before_child = atomic_load(&count);
        n_places = n_ways = 0;
        memset(ways, 0, sizeof ways);
        if (at > 0) fail_at = at;
    } else if (at > 0) {
        group = -1;
    }
    return child;
}

static int watched_main(int argc, char **argv, char **environment)
{
    const char *call = getenv("FAIL_CALL"), *at = getenv("FAIL_AT");
    const char *list = getenv("FAIL_PLACES");
    fail_at = at ? atol(at) : 0;
    if (list) read_places(list);
    counted = getenv("FAIL_COUNT");
    if (counted) dl_iterate_phdr(find_program, NULL);
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
