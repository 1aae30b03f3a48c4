/* sim/live/kept.c - base/kept.h where there is no folder: what was costly to work out is kept in memory. */
#include "base/kept.h"

#include <stdlib.h>
#include <string.h>

typedef struct entry entry;
struct entry {
    base_hash key;
    size_t n;
    entry *next; /* used longer ago */
    char bytes[];
};

/* The worker of a page has one simulator, and its memory is what is kept. */
static entry *newest;

static size_t size_of(int n_pieces, const base_kept_piece *piece)
{
    size_t n = 0;
    for (int i = 0; i < n_pieces; i++)
        n += piece[i].n;
    return n;
}

bool base_kept_read(const char *folder, base_hash key, int n_pieces, const base_kept_piece *piece)
{
    (void)folder;
    const size_t n = size_of(n_pieces, piece);
    for (entry **at = &newest; *at; at = &(*at)->next) {
        entry *e = *at;
        if (memcmp(&e->key, &key, sizeof key) != 0 || e->n != n) continue;
        const char *from = e->bytes;
        for (int i = 0; i < n_pieces; from += piece[i++].n)
            memcpy(piece[i].bytes, from, piece[i].n);
        *at = e->next;
        e->next = newest;
        newest = e;
        return true;
    }
    return false;
}

/* Those used longest ago go. */
static void drop_beyond(int64_t most_bytes)
{
    int64_t sum = 0;
    for (entry **at = &newest; *at;) {
        entry *e = *at;
        sum += (int64_t)e->n;
        if (sum <= most_bytes) {
            at = &e->next;
            continue;
        }
        *at = e->next;
        free(e);
    }
}

bool base_kept_write(const char *folder, base_hash key, int n_pieces, const base_kept_piece *piece, int64_t most_bytes)
{
    (void)folder;
    const size_t n = size_of(n_pieces, piece);
    entry *e = (int64_t)n <= most_bytes ? malloc(sizeof *e + n) : NULL;
    if (!e) return false;
    *e = (entry){.key = key, .n = n, .next = newest};
    char *to = e->bytes;
    for (int i = 0; i < n_pieces; to += piece[i++].n)
        memcpy(to, piece[i].bytes, piece[i].n);
    newest = e;
    drop_beyond(most_bytes);
    return true;
}

/* Nobody else works in a worker. */
bool base_kept_claim(const char *folder, base_hash key, FILE **claim)
{
    (void)folder, (void)key;
    *claim = NULL;
    return true;
}

void base_kept_release(const char *folder, base_hash key, FILE *claim)
{
    (void)folder, (void)key, (void)claim;
}
