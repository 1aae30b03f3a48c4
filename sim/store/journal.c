/* sim/store/journal.c - the bytes of a journal: "DRPLJRN1", head, records. Head and records each are a mark, the number
 * of bytes, a CRC-32 of number and bytes (zlib), the bytes. Numbers are those of the machine: a journal is finished
 * where it was begun. */
#define _POSIX_C_SOURCE 200809L
#include "store/journal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

#include "base/status.h"
#include "store/store.h"

static const char MAGIC[8] = {'D', 'R', 'P', 'L', 'J', 'R', 'N', '1'};
static const uint32_t MARK = 0x6472701eu; /* where a search for the next record starts anew after damage */

typedef struct { uint32_t mark, n, crc; } frame;
enum { MOST_BYTES = 1 << 28, LOOK = 1 << 12 }; /* of a record; read at a time in a search */
/* So many times the bytes of the file are summed up at most, then its rest counts as damaged. Each mark in it may claim
 * that all that follows is its record, and a file of nothing but marks would take the square of its length. By chance a
 * mark stands in four billion bytes once. */
enum { MOST_SUMS = 16 };

struct store_journal {
    int file;
    char *path, *head;
    size_t n_head;
    int64_t *offset, n, room; /* of the records' bytes */
    uint32_t *size;
    int64_t end, lost, summed; /* summed: bytes of what may have been records */
    char *bytes;
    size_t n_bytes;
    bool unflushed;
};

static uint32_t crc_of(uint32_t n, const void *bytes)
{
    const uLong crc = crc32(crc32(0, Z_NULL, 0), (const Bytef *)&n, sizeof n);
    return (uint32_t)crc32(crc, bytes, n);
}

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the journal");
}

static drupelet_status cannot(const char *path, const char *what, int cause)
{
    return base_error(DRUPELET_FILE, "%s: cannot be %s: %s", path, what, strerror(cause));
}

static int write_all(int file, const char *bytes, size_t n)
{
    while (n > 0) {
        const ssize_t written = write(file, bytes, n);
        if (written > 0) {
            bytes += written;
            n -= (size_t)written;
        } else if (written == 0 || errno != EINTR) {
            return written == 0 ? ENOSPC : errno;
        }
    }
    return 0;
}

/* Bytes read, fewer at the end of the file; -1 after a fault. */
static ssize_t read_at(int file, void *bytes, size_t n, int64_t at)
{
    size_t got = 0;
    while (got < n) {
        const ssize_t some = pread(file, (char *)bytes + got, n - got, at + (int64_t)got);
        if (some < 0 && errno != EINTR)
            return -1;
        if (some == 0)
            break;
        got += some > 0 ? (size_t)some : 0;
    }
    return (ssize_t)got;
}

static bool remember(store_journal *j, int64_t offset, uint32_t n)
{
    if (j->n == j->room) {
        const int64_t room = j->room > 0 ? 2 * j->room : 256;
        int64_t *offsets = realloc(j->offset, (size_t)room * sizeof *offsets);
        if (offsets)
            j->offset = offsets;
        uint32_t *sizes = offsets ? realloc(j->size, (size_t)room * sizeof *sizes) : NULL;
        if (!sizes)
            return false;
        j->size = sizes;
        j->room = room;
    }
    j->offset[j->n] = offset;
    j->size[j->n++] = n;
    return true;
}

static bool room_for(store_journal *j, size_t n)
{
    if (n <= j->n_bytes)
        return true;
    char *more = realloc(j->bytes, n);
    if (!more)
        return false;
    j->bytes = more;
    j->n_bytes = n;
    return true;
}

/* One writer at a time; a disk that knows no locks has to do without. */
static drupelet_status lock(const store_journal *j)
{
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    if (fcntl(j->file, F_SETLK, &whole) == 0 || (errno != EACCES && errno != EAGAIN))
        return base_ok();
    return base_error(DRUPELET_FILE, "%s: is in use by another sweep", j->path);
}

bool store_journal_is_there(const char *path)
{
    return access(path, F_OK) == 0;
}

drupelet_status store_journal_create(const char *path, const void *head, size_t n_head, bool overwrite,
                                     store_journal **journal)
{
    *journal = NULL;
    if (overwrite && store_journal_is_there(path)) { /* not under the hands of another sweep */
        store_journal *former;
        const drupelet_status status = store_journal_open(path, true, &former);
        if (status.code == DRUPELET_FILE && strstr(status.message, "in use"))
            return status;
        store_journal_close(former);
    }
    store_draft draft;
    drupelet_status status = store_draft_begin(path, overwrite, &draft);
    if (status.code != DRUPELET_OK)
        return status;
    const frame f = {MARK, (uint32_t)n_head, crc_of((uint32_t)n_head, head)};
    status = store_draft_fill(&draft, MAGIC, sizeof MAGIC);
    if (status.code == DRUPELET_OK) status = store_draft_fill(&draft, &f, sizeof f);
    if (status.code == DRUPELET_OK) status = store_draft_fill(&draft, head, n_head);
    status = store_draft_end(&draft, status);
    return status.code == DRUPELET_OK ? store_journal_open(path, true, journal) : status;
}

/* A whole record at an offset: reads it into j->bytes. -1: no memory. */
static int whole_at(store_journal *j, int64_t at, int64_t size, frame *f)
{
    if (at + (int64_t)sizeof *f > size || read_at(j->file, f, sizeof *f, at) != (ssize_t)sizeof *f || f->mark != MARK
        || f->n > MOST_BYTES || at + (int64_t)sizeof *f + f->n > size)
        return 0;
    if (!room_for(j, f->n + 1))
        return -1;
    j->summed += f->n;
    return read_at(j->file, j->bytes, f->n, at + (int64_t)sizeof *f) == (ssize_t)f->n
           && crc_of(f->n, j->bytes) == f->crc;
}

/* The next whole record behind a damaged one, or size. */
static int64_t next_whole(store_journal *j, int64_t at, int64_t size)
{
    const int64_t most = MOST_SUMS * size;
    unsigned char *look = malloc(LOOK);
    int64_t found = size;
    for (at++; look && at < size && found == size && j->summed <= most;) {
        const ssize_t n = read_at(j->file, look, LOOK, at);
        if (n < (ssize_t)sizeof MARK)
            break;
        for (ssize_t i = 0; i + (ssize_t)sizeof MARK <= n && found == size && j->summed <= most; i++) {
            frame f;
            if (memcmp(look + i, &MARK, sizeof MARK) == 0 && whole_at(j, at + i, size, &f) == 1)
                found = at + i;
        }
        at += n - (ssize_t)sizeof MARK + 1;
    }
    free(look);
    return found;
}

static drupelet_status find_records(store_journal *j, int64_t size)
{
    frame f;
    char magic[sizeof MAGIC];
    if (read_at(j->file, magic, sizeof magic, 0) != (ssize_t)sizeof magic || memcmp(magic, MAGIC, sizeof MAGIC) != 0)
        return base_error(DRUPELET_FILE, "%s: is no journal of a sweep", j->path);
    int good = whole_at(j, (int64_t)sizeof MAGIC, size, &f);
    if (good == 0)
        return base_error(DRUPELET_FILE, "%s: is damaged at its head, so nobody can tell what its cases are", j->path);
    if (good < 0 || !(j->head = malloc((size_t)f.n + 1)))
        return no_memory();
    memcpy(j->head, j->bytes, f.n);
    j->n_head = f.n;
    int64_t at = (int64_t)(sizeof MAGIC + sizeof f) + f.n;
    j->end = at;
    while (at < size) {
        good = whole_at(j, at, size, &f);
        if (good == 1) {
            if (!remember(j, at + (int64_t)sizeof f, f.n))
                return no_memory();
            at += (int64_t)sizeof f + f.n;
            j->end = at;
        } else if (good < 0) {
            return no_memory();
        } else {
            const int64_t next = next_whole(j, at, size);
            j->lost += next - at;
            at = next;
        }
    }
    return base_ok();
}

drupelet_status store_journal_open(const char *path, bool to_append, store_journal **journal)
{
    *journal = NULL;
    store_journal *j = calloc(1, sizeof *j);
    if (!j)
        return no_memory();
    struct stat found;
    drupelet_status status = base_ok();
    j->path = strdup(path);
    j->file = open(path, to_append ? O_RDWR | O_APPEND : O_RDONLY);
    if (!j->path)
        status = no_memory();
    else if (j->file < 0 || fstat(j->file, &found) != 0)
        status = cannot(path, to_append ? "opened to be written on" : "read", errno);
    if (status.code == DRUPELET_OK && to_append) status = lock(j);
    if (status.code == DRUPELET_OK) status = find_records(j, (int64_t)found.st_size);
    if (status.code == DRUPELET_OK && to_append && j->end < (int64_t)found.st_size && ftruncate(j->file, j->end) != 0)
        status = cannot(path, "written", errno);
    if (status.code == DRUPELET_OK)
        *journal = j;
    else
        store_journal_close(j);
    return status;
}

void store_journal_close(store_journal *j)
{
    if (!j)
        return;
    if (j->file >= 0) {
        if (j->unflushed)
            fsync(j->file);
        close(j->file);
    }
    free(j->bytes);
    free(j->offset);
    free(j->size);
    free(j->head);
    free(j->path);
    free(j);
}

const void *store_journal_head(const store_journal *j, size_t *n)
{
    *n = j->n_head;
    return j->head;
}

const char *store_journal_path(const store_journal *j) { return j->path; }
int64_t store_journal_records(const store_journal *j) { return j->n; }
int64_t store_journal_lost(const store_journal *j) { return j->lost; }

drupelet_status store_journal_read(store_journal *j, int64_t i, const void **bytes, size_t *n)
{
    *bytes = NULL;
    *n = j->size[i];
    if (!room_for(j, (size_t)j->size[i] + 1))
        return no_memory();
    const ssize_t got = read_at(j->file, j->bytes, *n, j->offset[i]);
    if (got != (ssize_t)*n)
        return cannot(j->path, "read", got < 0 ? errno : EIO);
    *bytes = j->bytes;
    return base_ok();
}

drupelet_status store_journal_append(store_journal *j, const void *bytes, size_t n, bool flush)
{
    const frame f = {MARK, (uint32_t)n, crc_of((uint32_t)n, bytes)};
    if (n > MOST_BYTES || !room_for(j, sizeof f + n))
        return no_memory();
    memcpy(j->bytes, &f, sizeof f);
    memcpy(j->bytes + sizeof f, bytes, n);
    if (!remember(j, j->end + (int64_t)sizeof f, (uint32_t)n))
        return no_memory();
    int cause = write_all(j->file, j->bytes, sizeof f + n);
    if (cause == 0 && flush && fsync(j->file) != 0)
        cause = errno;
    if (cause != 0) {
        j->n--;
        /* Where the record that is written in part cannot be cut off here, it is when the journal is opened again. */
        const bool whole = ftruncate(j->file, j->end) == 0;
        return whole ? cannot(j->path, "written", cause) : cannot(j->path, "written, nor its torn end cut off", cause);
    }
    j->end += (int64_t)(sizeof f + n);
    j->unflushed = !flush;
    return base_ok();
}
