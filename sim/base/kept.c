/* sim/base/kept.c - a folder of files with what is costly to work out again.
 *
 * An entry begins with a head that says of which key and size it is and what its bytes sum up to; all of it is checked
 * before an entry counts. Which entry was used longest ago is told by the files' times: writing an entry sets its time
 * and reading one sets it anew, both by the clock of the file system. No time is asked for here, and none comes near a
 * result: times only decide which entry goes first. */
#define _DEFAULT_SOURCE /* flock() */
#include "base/kept.h"

#include <dirent.h>
#include <errno.h>
#include <inttypes.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>

/* A number, so that an entry of a machine with the other order of bytes is foreign. The last digit counts forms. */
#define MAGIC UINT64_C(0x64727570656c0001)
#define EXTENSION ".kept"
enum { KEY_DIGITS = 32, NAME = KEY_DIGITS + sizeof EXTENSION + 16, MOST_DRAFTS = 100 };
/* A draft this much older than the newest entry is of a process that was killed (choice: none writes for so long). */
enum { DRAFT_S = 3600 };

typedef struct {
    uint64_t magic;
    base_hash key;
    uint64_t n_bytes; /* of the pieces */
    base_hash sum;    /* of all before it, and of the pieces */
} head;

static head head_of(base_hash key, int n_pieces, const base_kept_piece *piece)
{
    head h = {.magic = MAGIC, .key = key};
    for (int i = 0; i < n_pieces; i++)
        h.n_bytes += piece[i].n;
    h.sum = base_hash_on((base_hash){{0, 0}}, &h, offsetof(head, sum));
    for (int i = 0; i < n_pieces; i++)
        h.sum = base_hash_on(h.sum, piece[i].bytes, piece[i].n);
    return h;
}

/* folder/name, for free(). */
static char *join(const char *folder, const char *name)
{
    const size_t n = strlen(folder) + strlen(name) + 2;
    char *path = malloc(n);
    if (path) snprintf(path, n, "%s/%s", folder, name);
    return path;
}

static void name_of(base_hash key, char name[NAME])
{
    snprintf(name, NAME, "%016" PRIx64 "%016" PRIx64 EXTENSION, key.part[0], key.part[1]);
}

/* ---- reading ---- */

/* Is it a plain file of this size? Another kind of file, such as a pipe, could hold up whoever opens it. */
static bool has_size(const char *path, uint64_t n_bytes)
{
    struct stat found;
    return stat(path, &found) == 0 && S_ISREG(found.st_mode) && found.st_size >= 0
           && (uint64_t)found.st_size == n_bytes;
}

static bool read_all(FILE *file, int n_pieces, const base_kept_piece *piece)
{
    bool good = true;
    for (int i = 0; i < n_pieces && good; i++)
        good = fread(piece[i].bytes, 1, piece[i].n, file) == piece[i].n;
    return good;
}

bool base_kept_read(const char *folder, base_hash key, int n_pieces, const base_kept_piece *piece)
{
    char name[NAME];
    name_of(key, name);
    char *path = join(folder, name);
    uint64_t n_bytes = sizeof(head);
    for (int i = 0; i < n_pieces; i++)
        n_bytes += piece[i].n;
    FILE *file = path && has_size(path, n_bytes) ? fopen(path, "rb") : NULL;
    bool good = false;
    if (file) {
        head found;
        good = fread(&found, sizeof found, 1, file) == 1 && read_all(file, n_pieces, piece);
        if (good) {
            const head wanted = head_of(key, n_pieces, piece);
            good = memcmp(&found, &wanted, sizeof found) == 0;
        }
        if (good) futimens(fileno(file), NULL); /* used now; in a folder that is only read the time stays */
        fclose(file);
    }
    free(path);
    return good;
}

/* ---- writing ---- */

/* Makes a folder and those above it, for the user alone, as folders of caches are. */
static void make_folder(const char *folder)
{
    const size_t n = strlen(folder);
    char *path = malloc(n + 1);
    for (size_t i = 1; path && i <= n; i++)
        if (folder[i] == '/' || folder[i] == '\0') {
            memcpy(path, folder, i);
            path[i] = '\0';
            mkdir(path, 0700); /* what failed shows when a file is to be made in it */
        }
    free(path);
}

static bool write_all(FILE *file, const head *h, int n_pieces, const base_kept_piece *piece)
{
    bool good = fwrite(h, sizeof *h, 1, file) == 1;
    for (int i = 0; i < n_pieces && good; i++)
        good = fwrite(piece[i].bytes, 1, piece[i].n, file) == piece[i].n;
    return good;
}

/* Opens a draft beside the entry that no other thread or process has. @param draft out: its path, for free() */
static FILE *open_draft(const char *folder, const char *name, char **draft)
{
    FILE *file = NULL;
    for (int i = 0; i < MOST_DRAFTS && !file; i++) {
        char own[NAME + 32];
        snprintf(own, sizeof own, "%s.draft-%d", name, i);
        *draft = join(folder, own);
        file = *draft ? fopen(*draft, "wbx") : NULL;
        const bool taken = !file && *draft && errno == EEXIST;
        if (!file) {
            free(*draft);
            *draft = NULL;
        }
        if (!file && !taken) break;
    }
    return file;
}

/* Gives a draft its name; an empty folder of that name makes way. */
static bool give_name(const char *draft, const char *path)
{
    if (rename(draft, path) == 0) return true;
    return remove(path) == 0 && rename(draft, path) == 0;
}

/* ---- what goes ---- */

typedef struct {
    char name[NAME];
    int64_t bytes;
    struct timespec used;
} entry;

/* Is it a name that this file gives? What else lies in the folder is not ours. */
static bool is_ours(const char *name, bool *draft)
{
    const size_t digits = strspn(name, "0123456789abcdef"), rest = digits + sizeof EXTENSION - 1;
    if (digits != KEY_DIGITS || strncmp(name + digits, EXTENSION, sizeof EXTENSION - 1) != 0) return false;
    *draft = strncmp(name + rest, ".draft-", 7) == 0;
    return strlen(name) < NAME && (*draft || name[rest] == '\0');
}

static int by_use(const void *a, const void *b)
{
    const entry *x = a, *y = b;
    if (x->used.tv_sec != y->used.tv_sec) return x->used.tv_sec < y->used.tv_sec ? -1 : 1;
    if (x->used.tv_nsec != y->used.tv_nsec) return x->used.tv_nsec < y->used.tv_nsec ? -1 : 1;
    return strcmp(x->name, y->name);
}

static void discard(const char *folder, const char *name)
{
    char *path = join(folder, name);
    if (path) remove(path); /* another process may have been faster */
    free(path);
}

/* Notes a file of the folder if it is ours. @param now the time of the newest entry */
static void note(const char *folder, const char *name, struct timespec now, entry *e, bool *is_entry)
{
    bool draft = false;
    struct stat found;
    *is_entry = false;
    if (!is_ours(name, &draft)) return;
    char *path = join(folder, name);
    if (path && stat(path, &found) == 0 && S_ISREG(found.st_mode)) {
        if (draft && found.st_mtim.tv_sec < now.tv_sec - DRAFT_S) remove(path);
        *is_entry = !draft;
        *e = (entry){.bytes = found.st_size, .used = found.st_mtim};
        memcpy(e->name, name, strlen(name) + 1);
    }
    free(path);
}

/* Takes away entries, those used longest ago first, until the rest has at most most_bytes; the newest stays.
 * @param newest its name */
static void clear_room(const char *folder, const char *newest, struct timespec now, int64_t most_bytes)
{
    DIR *all = opendir(folder);
    entry *list = NULL;
    size_t n = 0, room = 0;
    int64_t bytes = 0;
    bool memory = true;
    for (const struct dirent *d; all && memory && (d = readdir(all));) {
        bool is_entry;
        entry e;
        note(folder, d->d_name, now, &e, &is_entry);
        if (!is_entry) continue;
        if (n == room) {
            room = 2 * room + 64;
            entry *more = realloc(list, room * sizeof *list);
            memory = more;
            list = more ? more : list;
        }
        bytes += e.bytes;
        if (memory && strcmp(e.name, newest) != 0) list[n++] = e;
    }
    if (all) closedir(all);
    if (n > 0) qsort(list, n, sizeof *list, by_use);
    for (size_t i = 0; i < n && bytes > most_bytes; i++) {
        discard(folder, list[i].name);
        bytes -= list[i].bytes;
    }
    free(list);
}

bool base_kept_write(const char *folder, base_hash key, int n_pieces, const base_kept_piece *piece, int64_t most_bytes)
{
    const head h = head_of(key, n_pieces, piece);
    if (h.n_bytes + sizeof h > (uint64_t)most_bytes) return false;
    char name[NAME], *draft = NULL;
    name_of(key, name);
    char *path = join(folder, name);
    if (!path) return false;
    make_folder(folder);
    FILE *file = open_draft(folder, name, &draft);
    bool good = file != NULL;
    if (file) {
        struct stat written;
        good = write_all(file, &h, n_pieces, piece) && fflush(file) == 0 && fstat(fileno(file), &written) == 0;
        good = fclose(file) == 0 && good;
        good = good && give_name(draft, path);
        if (good)
            clear_room(folder, name, written.st_mtim, most_bytes);
        else
            remove(draft);
    }
    free(draft);
    free(path);
    return good;
}

/* ---- claims ---- */

enum { WAIT_MS = 10 };

/* A claim is a file with a lock, named like a draft, so that one that was left behind goes as drafts do. */
static char *path_of_claim(const char *folder, base_hash key)
{
    char name[NAME], own[NAME + 32];
    name_of(key, name);
    snprintf(own, sizeof own, "%s.draft-claim", name);
    return join(folder, own);
}

/* Is the file still there under its name? One that was released meanwhile is not. */
static bool is_there(int file, const char *path)
{
    struct stat open_one, named;
    return fstat(file, &open_one) == 0 && stat(path, &named) == 0 && open_one.st_ino == named.st_ino
           && open_one.st_dev == named.st_dev;
}

/* Opens the file of a claim, but nothing else that may lie there, such as a pipe, which could hold us up. */
static FILE *open_claim(const char *path)
{
    struct stat found;
    return lstat(path, &found) == 0 && !S_ISREG(found.st_mode) ? NULL : fopen(path, "ab");
}

bool base_kept_claim(const char *folder, base_hash key, FILE **claim)
{
    char *path = path_of_claim(folder, key);
    *claim = NULL;
    if (path) make_folder(folder);
    FILE *file = path ? open_claim(path) : NULL;
    bool busy = false;
    if (file) {
        const bool locked = flock(fileno(file), LOCK_EX | LOCK_NB) == 0;
        busy = locked ? !is_there(fileno(file), path) : errno == EWOULDBLOCK;
        if (locked && !busy)
            *claim = file;
        else
            fclose(file);
    }
    free(path);
    if (busy) poll(NULL, 0, WAIT_MS);
    return !busy;
}

void base_kept_release(const char *folder, base_hash key, FILE *claim)
{
    char *path = claim ? path_of_claim(folder, key) : NULL;
    if (path) remove(path);
    if (claim) fclose(claim);
    free(path);
}
