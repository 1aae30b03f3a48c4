/* sim/live/system.c - the system calls that wasi-libc's streams ask for, answered here, so that the module imports
 * nothing. There are no files: what is written anywhere (the words of a failed assertion) is kept for the worker. The
 * names are those of wasi_snapshot_preview1, github.com/WebAssembly/WASI, as wasi-libc's __wasi_* functions call
 * them. */
#include <stdint.h>
#include <string.h>

#define EXPORT(name) __attribute__((export_name(name)))

enum { NO_SUCH_CALL = 52, NOT_SEEKABLE = 70, ROOM = 512 }; /* errno NOSYS and SPIPE of wasi_snapshot_preview1 */

static char complaint[ROOM];
static size_t n_complaint;

typedef struct {
    const char *bytes;
    uint32_t n;
} piece;

int32_t __imported_wasi_snapshot_preview1_fd_write(int32_t file, int32_t pieces, int32_t n_pieces, int32_t n_written);
int32_t __imported_wasi_snapshot_preview1_fd_write(int32_t file, int32_t pieces, int32_t n_pieces, int32_t n_written)
{
    const piece *from = (const piece *)(intptr_t)pieces;
    uint32_t written = 0;
    (void)file;
    for (int32_t i = 0; i < n_pieces; i++) {
        const size_t room = ROOM - 1 - n_complaint, n = from[i].n < room ? from[i].n : room;
        memcpy(complaint + n_complaint, from[i].bytes, n);
        n_complaint += n;
        written += from[i].n;
    }
    *(uint32_t *)(intptr_t)n_written = written;
    return 0;
}

int32_t __imported_wasi_snapshot_preview1_fd_close(int32_t file);
int32_t __imported_wasi_snapshot_preview1_fd_close(int32_t file)
{
    (void)file;
    return NO_SUCH_CALL;
}

int32_t __imported_wasi_snapshot_preview1_fd_seek(int32_t file, int64_t by, int32_t from, int32_t at);
int32_t __imported_wasi_snapshot_preview1_fd_seek(int32_t file, int64_t by, int32_t from, int32_t at)
{
    (void)file, (void)by, (void)from, (void)at;
    return NOT_SEEKABLE;
}

/** What was written, with a 0 behind it: after the module has stopped, its last words. */
EXPORT("complaint") const char *export_complaint(void)
{
    return complaint;
}
