/* sim/store/out.h - writes an HDF5 file so that netCDF-4 readers open it too.
 *
 * Every dimension of every dataset has a dimension scale of its name in the same group; names keep their order; nothing
 * in the file depends on time or place, so that equal results give equal bytes. What the disk does not take, HDF5 does
 * not get to know (sink.h). The first failure stays in the status
 * and the calls after it do nothing. */
#ifndef STORE_OUT_H
#define STORE_OUT_H

#include <hdf5.h>
#include <stdbool.h>
#include <stddef.h>

#include "drupelet/status.h"
#include "store/quiet.h"
#include "store/sink.h"
#include "store/store.h"

typedef enum { STORE_DOUBLE, STORE_FLOAT, STORE_INT8, STORE_INT32, STORE_INT64, STORE_TEXT } store_type;
/** The type of HDF5 for numbers of a type in memory. */
hid_t store_memory_type(store_type type);

typedef struct {
    hid_t file, group;
    drupelet_status status;
    store_draft draft;
    store_sink sink;       /* the draft's file, as HDF5 knows it */
    store_quiet before;    /* HDF5 is silent while the file is written */
    hsize_t rows_a_chunk;  /* of datasets that are filled later, put from now on; 0: by their size */
} store_out;

/** Starts a file, as a draft. @return DRUPELET_OK, or why it cannot be begun: then there is nothing to end */
drupelet_status store_out_begin(const char *path, bool overwrite, store_out *out);
/** The first failure so far, a full disk among them. */
drupelet_status store_out_state(store_out *out);
/** Ends it. @param keep whether the draft becomes the file, if all went well  @return the first failure of all */
drupelet_status store_out_end(store_out *out, bool keep);

/** Starts a group of the root; what is put afterwards goes into it. */
void store_out_group(store_out *out, const char *name, const char *long_name);
/** Attributes of the group, or of a dataset in it (name not NULL). Text must not be empty. */
void store_out_note(store_out *out, const char *dataset, const char *name, const char *text);
void store_out_note_number(store_out *out, const char *name, hid_t type, const void *value);
/** Numbered flags: values 0 to n - 1 of an int8 dataset, their meanings separated by blanks. */
void store_out_flags(store_out *out, const char *dataset, int n, const char *meanings);

/** A dimension with its values. @param axis "X", "Y", "Z" or NULL  @param units NULL for labels */
void store_out_axis(store_out *out, const char *name, store_type type, hsize_t n, const void *values, const char *units,
                    const char *axis, const char *long_name);
/** A dataset. @param dimensions names of axes of the group, separated by blanks; "" for a single number
 *  @param values   in C order; texts are an array of const char *; NULL: filled later by store_out_rows() */
void store_out_put(store_out *out, const char *name, const char *dimensions, store_type type, const void *values,
                   const char *units, const char *long_name);
/** Fills rows first to first + n - 1 of the first dimension; texts too. */
void store_out_rows(store_out *out, const char *name, store_type type, hsize_t first, hsize_t n, const void *values);

/** Memory of n numbers of a size, or NULL and a status. The caller frees it. */
void *store_out_memory(store_out *out, size_t n, size_t size);

#endif
