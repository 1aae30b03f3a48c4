/* sim/store/draft.c - files that are there whole or not at all: a killed run leaves the old file or the new one.
 *
 * A draft lies in the folder of the file that it becomes, under a name that nobody can foresee, and its writer holds a
 * lock on it as long as it lives. A draft that can be locked is of a writer that was killed, and the next writer in the
 * folder takes it away. */
#define _XOPEN_SOURCE 700 /* realpath() */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/status.h"
#include "store/store.h"

#define START "drupelet-draft-" /* of the names of drafts; sixteen digits follow */
enum { DIGITS = 16, NAME = sizeof START + DIGITS, MOST_TRIES = 100 };

static drupelet_status cannot_write(const char *path, int cause)
{
    return base_error(DRUPELET_FILE, "%s: cannot be written: %s", path, strerror(cause));
}

static drupelet_status exists(const char *path)
{
    return base_error(DRUPELET_FILE, "%s: exists already and is not overwritten unless asked for", path);
}

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for a file name");
}

static drupelet_status end(store_draft *draft, drupelet_status status)
{
    if (draft->lock > 0) close(draft->lock);
    free(draft->path);
    free(draft->draft);
    *draft = (store_draft){0};
    return status;
}

/* Bytes of a path up to and with its last slash. */
static size_t folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? (size_t)(slash - path) + 1 : 0;
}

/* The folder of a path, for free(). */
static char *folder_of(const char *path)
{
    const size_t n = folder_length(path);
    return n > 0 ? strndup(path, n) : strdup(".");
}

/* ---- drafts of writers that were killed ---- */

static bool is_draft(const char *name)
{
    const size_t start = sizeof START - 1;
    return strncmp(name, START, start) == 0 && strspn(name + start, "0123456789abcdef") == DIGITS
           && name[start + DIGITS] == '\0';
}

/* What cannot be opened or locked, as on disks without locks, is left alone. */
static void clear_killed(const char *path)
{
    char *folder = folder_of(path);
    DIR *list = folder ? opendir(folder) : NULL;
    free(folder);
    for (const struct dirent *e; list && (e = readdir(list));) {
        if (!is_draft(e->d_name)) continue;
        const int file = openat(dirfd(list), e->d_name, O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
        struct stat found;
        if (file >= 0 && fstat(file, &found) == 0 && S_ISREG(found.st_mode) && flock(file, LOCK_EX | LOCK_NB) == 0)
            unlinkat(dirfd(list), e->d_name, 0);
        if (file >= 0) close(file);
    }
    if (list) closedir(list);
}

/* ---- a draft of our own ---- */

/* @return 0 or the cause */
static int random_number(uint64_t *number)
{
    const int source = open("/dev/urandom", O_RDONLY | O_CLOEXEC);
    if (source < 0) return errno;
    const bool good = read(source, number, sizeof *number) == (ssize_t)sizeof *number;
    close(source);
    return good ? 0 : EIO;
}

/* Makes the draft's file and locks it. @return 0 or the cause */
static int make(store_draft *draft)
{
    const size_t folder = folder_length(draft->path);
    int cause = EEXIST;
    memcpy(draft->draft, draft->path, folder);
    for (int i = 0; i < MOST_TRIES && cause == EEXIST; i++) {
        uint64_t number = 0;
        cause = random_number(&number);
        if (cause != 0) break;
        snprintf(draft->draft + folder, NAME, START "%016" PRIx64, number);
        const int file = open(draft->draft, O_RDWR | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
        if (file < 0) {
            cause = errno;
            continue;
        }
        struct stat made;
        flock(file, LOCK_EX | LOCK_NB);
        if (fstat(file, &made) == 0 && made.st_nlink > 0) {
            draft->lock = file;
            return 0;
        }
        close(file);
        cause = EEXIST; /* another writer took it for one of the killed, before it was locked */
    }
    return cause;
}

/* What the draft is to replace: the file itself, or what a link leads to. */
static drupelet_status find_target(const char *path, store_draft *draft)
{
    struct stat there;
    const bool is_link = lstat(path, &there) == 0 && S_ISLNK(there.st_mode);
    draft->path = is_link ? realpath(path, NULL) : strdup(path);
    if (!draft->path) return is_link && errno != ENOMEM ? cannot_write(path, errno) : no_memory();
    if (stat(draft->path, &there) != 0) return base_ok();
    if (!S_ISREG(there.st_mode))
        return base_error(DRUPELET_FILE, "%s: is no plain file, so no result can take its place", path);
    return draft->overwrite ? base_ok() : exists(path);
}

drupelet_status store_draft_begin(const char *path, bool overwrite, store_draft *draft)
{
    *draft = (store_draft){.overwrite = overwrite};
    const drupelet_status status = find_target(path, draft);
    if (status.code != DRUPELET_OK) return end(draft, status);
    draft->draft = malloc(folder_length(draft->path) + NAME);
    if (!draft->draft) return end(draft, no_memory());
    clear_killed(draft->path);
    const int cause = make(draft);
    return cause == 0 ? base_ok() : end(draft, cannot_write(path, cause));
}

drupelet_status store_draft_fill(const store_draft *draft, const void *bytes, size_t n)
{
    const char *left = bytes;
    const int file = open(draft->draft, O_WRONLY | O_APPEND);
    int cause = file < 0 ? errno : 0;
    while (n > 0 && cause == 0) {
        const ssize_t written = write(file, left, n);
        if (written > 0) {
            left += written;
            n -= (size_t)written;
        } else if (written == 0 || errno != EINTR) {
            cause = written == 0 ? ENOSPC : errno;
        }
    }
    if (file >= 0 && close(file) != 0 && cause == 0) cause = errno;
    return cause == 0 ? base_ok() : cannot_write(draft->path, cause);
}

/* The name in the folder reaches the disk too; where folders cannot be opened (some network disks), the system sees to
 * it. */
static void flush_folder(const char *path)
{
    char *folder = folder_of(path);
    const int file = folder ? open(folder, O_RDONLY | O_CLOEXEC) : -1;
    if (file >= 0) {
        fsync(file);
        close(file);
    }
    free(folder);
}

/* Gives the draft its name. link() refuses a name that appeared while the run was under way, which rename() would
 * replace. A file that is replaced leaves its permissions to the new one. */
static int give_name(const store_draft *draft)
{
    struct stat former;
    if (draft->overwrite && stat(draft->path, &former) == 0)
        fchmod(draft->lock, former.st_mode & 0777); /* not all disks have permissions */
    if (!draft->overwrite && link(draft->draft, draft->path) == 0) return unlink(draft->draft);
    if (!draft->overwrite && errno == EEXIST) return -1;
    return rename(draft->draft, draft->path); /* also on disks without hard links */
}

drupelet_status store_draft_keep(store_draft *draft)
{
    int cause = fsync(draft->lock) != 0 ? errno : 0;
    if (cause == 0 && give_name(draft) != 0) cause = errno;
    drupelet_status status = base_ok();
    if (cause != 0) {
        status = cause == EEXIST ? exists(draft->path) : cannot_write(draft->path, cause);
        unlink(draft->draft);
    } else {
        flush_folder(draft->path);
    }
    return end(draft, status);
}

void store_draft_drop(store_draft *draft)
{
    if (draft->draft) unlink(draft->draft);
    end(draft, base_ok());
}

drupelet_status store_draft_end(store_draft *draft, drupelet_status status)
{
    if (status.code == DRUPELET_OK) return store_draft_keep(draft);
    store_draft_drop(draft);
    return status;
}

drupelet_status store_text_open(const store_draft *draft, FILE **to)
{
    *to = fopen(draft->draft, "wb");
    return *to ? base_ok() : cannot_write(draft->path, errno);
}

drupelet_status store_text_close(const store_draft *draft, FILE *to, drupelet_status status)
{
    const bool bad = to && ferror(to) != 0;
    errno = 0;
    if (((!to || fclose(to) == 0) && !bad) || status.code != DRUPELET_OK) return status;
    /* what could not be written before is tried again at the close, and then has a cause */
    return cannot_write(draft->path, errno != 0 ? errno : EIO);
}

drupelet_status store_text_begin(const char *path, bool overwrite, store_draft *draft, FILE **to)
{
    *to = NULL;
    drupelet_status status = store_draft_begin(path, overwrite, draft);
    if (status.code != DRUPELET_OK) return status;
    status = store_text_open(draft, to);
    return status.code == DRUPELET_OK ? status : store_draft_end(draft, status);
}

drupelet_status store_text_end(store_draft *draft, FILE *to, drupelet_status status)
{
    return store_draft_end(draft, store_text_close(draft, to, status));
}
