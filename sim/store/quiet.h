/* sim/store/quiet.h - keeps HDF5 from printing its errors: the status says what is wrong. */
#ifndef STORE_QUIET_H
#define STORE_QUIET_H

#include <hdf5.h>

/** How HDF5 told of errors before. */
typedef struct {
    H5E_auto2_t say;
    void *data;
} store_quiet;

static inline store_quiet store_quiet_begin(void)
{
    store_quiet before;
    H5Eget_auto2(H5E_DEFAULT, &before.say, &before.data);
    H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    return before;
}

static inline void store_quiet_end(store_quiet before)
{
    H5Eset_auto2(H5E_DEFAULT, before.say, before.data);
}

#endif
