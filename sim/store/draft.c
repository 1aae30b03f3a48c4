/* sim/store/draft.c - files that are there whole or not at all: a killed run leaves the old file or the new one. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/status.h"
#include "store/store.h"

static drupelet_status cannot_write(const char *path, int cause)
{
    return base_error(DRUPELET_FILE, "%s: cannot be written: %s", path, strerror(cause));
}

static drupelet_status exists(const char *path)
{
    return base_error(DRUPELET_FILE, "%s: exists already and is not overwritten unless asked for", path);
}

static drupelet_status end(store_draft *draft, drupelet_status status)
{
    free(draft->path);
    free(draft->draft);
    *draft = (store_draft){0};
    return status;
}

drupelet_status store_draft_begin(const char *path, bool overwrite, store_draft *draft)
{
    *draft = (store_draft){.overwrite = overwrite};
    struct stat there;
    if (stat(path, &there) == 0) {
        if (!S_ISREG(there.st_mode))
            return base_error(DRUPELET_FILE, "%s: is no plain file, so no result can take its place", path);
        if (!overwrite)
            return exists(path);
    }
    const size_t size = strlen(path) + 32;
    draft->path = malloc(size);
    draft->draft = malloc(size);
    if (!draft->path || !draft->draft)
        return end(draft, base_error(DRUPELET_MEMORY, "no memory for a file name"));
    memcpy(draft->path, path, strlen(path) + 1);
    snprintf(draft->draft, size, "%s.tmp.%ld", path, (long)getpid());
    const int file = open(draft->draft, O_WRONLY | O_CREAT | O_TRUNC | O_NOFOLLOW, 0666);
    if (file < 0)
        return end(draft, cannot_write(path, errno));
    close(file);
    return base_ok();
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
    if (file >= 0 && close(file) != 0 && cause == 0)
        cause = errno;
    return cause == 0 ? base_ok() : cannot_write(draft->path, cause);
}

/* The name in the folder reaches the disk too; where folders cannot be opened (some network disks), the system sees to
 * it. */
static void flush_folder(const char *path)
{
    const char *slash = strrchr(path, '/');
    char *folder = slash ? malloc((size_t)(slash - path) + 2) : NULL;
    if (slash && !folder)
        return;
    if (folder) {
        memcpy(folder, path, (size_t)(slash - path) + 1);
        folder[slash - path + 1] = '\0';
    }
    const int file = open(folder ? folder : ".", O_RDONLY);
    if (file >= 0) {
        fsync(file);
        close(file);
    }
    free(folder);
}

/* Gives the draft its name. link() refuses a name that appeared while the run was under way, which rename() would
 * replace. */
static int give_name(const store_draft *draft)
{
    if (!draft->overwrite && link(draft->draft, draft->path) == 0)
        return unlink(draft->draft);
    if (!draft->overwrite && errno == EEXIST)
        return -1;
    return rename(draft->draft, draft->path); /* also on disks without hard links */
}

drupelet_status store_draft_keep(store_draft *draft)
{
    const int file = open(draft->draft, O_RDWR);
    int cause = file < 0 || fsync(file) != 0 ? errno : 0;
    if (file >= 0 && close(file) != 0 && cause == 0)
        cause = errno;
    if (cause == 0 && give_name(draft) != 0)
        cause = errno;
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
    if (draft->draft)
        unlink(draft->draft);
    end(draft, base_ok());
}

drupelet_status store_draft_end(store_draft *draft, drupelet_status status)
{
    if (status.code == DRUPELET_OK)
        return store_draft_keep(draft);
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
    if (((to && fclose(to) != 0) || bad) && status.code == DRUPELET_OK)
        return base_error(DRUPELET_FILE, "%s: cannot be written; is the disk full?", draft->path);
    return status;
}

drupelet_status store_text_begin(const char *path, bool overwrite, store_draft *draft, FILE **to)
{
    *to = NULL;
    drupelet_status status = store_draft_begin(path, overwrite, draft);
    if (status.code != DRUPELET_OK)
        return status;
    status = store_text_open(draft, to);
    return status.code == DRUPELET_OK ? status : store_draft_end(draft, status);
}

drupelet_status store_text_end(store_draft *draft, FILE *to, drupelet_status status)
{
    return store_draft_end(draft, store_text_close(draft, to, status));
}
