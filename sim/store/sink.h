/* sim/store/sink.h - a file on the disk that HDF5 writes piece by piece, and that a full disk does not break it by. */
#ifndef STORE_SINK_H
#define STORE_SINK_H

#include <hdf5.h>
#include <stdint.h>

/** What could not be written any more, newest first. */
typedef struct store_lost { struct store_lost *before; haddr_t at; size_t n; unsigned char *bytes; } store_lost;

/** HDF5 (1.10.8) keeps a file that it cannot write open for good, and takes the whole program down at its end. So its
 *  driver here never fails to write: the first failure is kept in cause, and what comes after it stays in memory until
 *  HDF5 has ended. Whoever writes looks at cause between blocks, and stops. */
typedef struct {
    int file, cause; /* cause: errno of the first failure, 0 while all is well */
    haddr_t end, size;
    store_lost *lost;
} store_sink;

/** Lets a file access list write to a file that is open for reading and writing; the sink outlives the HDF5 file.
 *  @return below 0 after a failure */
herr_t store_sink_use(hid_t access, store_sink *sink);
/** Frees what is in memory. */
void store_sink_end(store_sink *sink);

#endif
