/* sim/store/sink.c - a driver for HDF5 that writes to the disk and keeps the first failure to itself. */
#define _POSIX_C_SOURCE 200809L
#include "store/sink.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#if H5_VERSION_GE(1, 13, 0)
#include <H5FDdevelop.h>
#endif

/* What HDF5 knows a file by; its own part comes first. */
typedef struct { H5FD_t hdf5; store_sink *sink; } open_sink;

static H5FD_t *sink_open(const char *name, unsigned flags, hid_t access, haddr_t most)
{
    (void)name;
    (void)flags;
    (void)most;
    store_sink *const *sink = H5Pget_driver_info(access);
    open_sink *o = calloc(1, sizeof *o);
    if (o && sink)
        o->sink = *sink;
    return (H5FD_t *)o;
}

static herr_t sink_close(H5FD_t *file)
{
    free(file);
    return 0;
}

static store_sink *of(const H5FD_t *file) { return ((const open_sink *)(const void *)file)->sink; }

static herr_t sink_query(const H5FD_t *file, unsigned long *flags)
{
    (void)file;
    *flags = H5FD_FEAT_AGGREGATE_METADATA | H5FD_FEAT_ACCUMULATE_METADATA | H5FD_FEAT_DATA_SIEVE
             | H5FD_FEAT_AGGREGATE_SMALLDATA;
    return 0;
}

static haddr_t sink_get_eoa(const H5FD_t *file, H5FD_mem_t type)
{
    (void)type;
    return of(file)->end;
}

static herr_t sink_set_eoa(H5FD_t *file, H5FD_mem_t type, haddr_t end)
{
    (void)type;
    of(file)->end = end;
    return 0;
}

static haddr_t sink_get_eof(const H5FD_t *file, H5FD_mem_t type)
{
    (void)type;
    return of(file)->size;
}

static herr_t put_back(const store_lost *lost, haddr_t at, size_t n, unsigned char *bytes)
{
    if (!lost)
        return 0;
    put_back(lost->before, at, n, bytes); /* the newest wins; there are few */
    const haddr_t first = at > lost->at ? at : lost->at;
    const haddr_t last = at + n < lost->at + lost->n ? at + n : lost->at + lost->n;
    if (first < last)
        memcpy(bytes + (first - at), lost->bytes + (first - lost->at), (size_t)(last - first));
    return 0;
}

static herr_t sink_read(H5FD_t *file, H5FD_mem_t type, hid_t transfer, haddr_t at, size_t n, void *bytes)
{
    (void)type;
    (void)transfer;
    const store_sink *s = of(file);
    size_t got = 0;
    memset(bytes, 0, n);
    while (got < n) {
        const ssize_t some = pread(s->file, (char *)bytes + got, n - got, (off_t)(at + got));
        if (some == 0 || (some < 0 && errno != EINTR))
            break;
        got += some > 0 ? (size_t)some : 0;
    }
    return put_back(s->lost, at, n, bytes);
}

static herr_t sink_write(H5FD_t *file, H5FD_mem_t type, hid_t transfer, haddr_t at, size_t n, const void *bytes)
{
    (void)type;
    (void)transfer;
    store_sink *s = of(file);
    size_t done = 0;
    while (done < n && s->cause == 0) {
        const ssize_t some = pwrite(s->file, (const char *)bytes + done, n - done, (off_t)(at + done));
        if (some > 0)
            done += (size_t)some;
        else if (some == 0 || errno != EINTR)
            s->cause = some == 0 ? ENOSPC : errno;
    }
    s->size = at + n > s->size ? at + n : s->size;
    if (s->cause == 0)
        return 0;
    store_lost *lost = malloc(sizeof *lost);
    unsigned char *copy = malloc(n > 0 ? n : 1);
    if (!lost || !copy) { /* memory and disk are both full */
        free(lost);
        free(copy);
        return -1;
    }
    memcpy(copy, bytes, n);
    *lost = (store_lost){s->lost, at, n, copy};
    s->lost = lost;
    return 0;
}

static herr_t sink_truncate(H5FD_t *file, hid_t transfer, hbool_t closing)
{
    (void)transfer;
    (void)closing;
    store_sink *s = of(file);
    if (s->cause == 0 && s->end != s->size) {
        if (ftruncate(s->file, (off_t)s->end) != 0)
            s->cause = errno;
        s->size = s->end;
    }
    return 0;
}

herr_t store_sink_use(hid_t access, store_sink *sink)
{
    static const H5FD_class_t driver = {
#if H5_VERSION_GE(1, 13, 0)
        .version = H5FD_CLASS_VERSION,
        .value = 513, /* one of those for drivers that are not registered */
#endif
        .name = "drupelet_sink",
        .maxaddr = INT64_MAX,
        .fc_degree = H5F_CLOSE_SEMI,
        .fapl_size = sizeof(store_sink *),
        .open = sink_open,
        .close = sink_close,
        .query = sink_query,
        .get_eoa = sink_get_eoa,
        .set_eoa = sink_set_eoa,
        .get_eof = sink_get_eof,
        .read = sink_read,
        .write = sink_write,
        .truncate = sink_truncate,
        .fl_map = H5FD_FLMAP_DICHOTOMY,
    };
    const hid_t id = H5FDregister(&driver);
    if (id < 0)
        return -1;
    const herr_t answer = H5Pset_driver(access, id, &sink);
    H5FDunregister(id); /* the list keeps it */
    return answer;
}

void store_sink_end(store_sink *sink)
{
    for (store_lost *lost = sink->lost, *before; lost; lost = before) {
        before = lost->before;
        free(lost->bytes);
        free(lost);
    }
    sink->lost = NULL;
}
