/* sim/store/out.c - the HDF5 side of writing: creation order, dimension scales, filters, attributes. After the netCDF-4
 * file format (Unidata, NetCDF Users Guide, "File Structure and Performance", netCDF-4 section; memory). */
#define _POSIX_C_SOURCE 200809L
#include "store/out.h"

#include <errno.h>
#include <fcntl.h>
#include <hdf5_hl.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/status.h"
#include "store/seal.h"

enum {
    MOST_DIMENSIONS = 4,
    NAME = 64,
    CHUNK = 16384, /* numbers in one, at most (or one part of a field) */
    TEXTS = 4096 /* bytes of buffers for texts; HDF5's own are 1 MB, and set to 0 for each of them */
};

static void fail(store_out *out, const char *what)
{
    if (out->status.code == DRUPELET_OK)
        out->status = base_error(DRUPELET_FILE, "%s: HDF5 cannot put the result together (at '%s')", out->draft.path,
                                 what);
}

/* HDF5 reports failure by a negative number, of handles and of calls alike. */
static bool good(store_out *out, hid_t answer, const char *what)
{
    if (answer < 0)
        fail(out, what);
    return answer >= 0;
}

static bool fine(const store_out *out)
{
    return out->status.code == DRUPELET_OK;
}

void *store_out_memory(store_out *out, size_t n, size_t size)
{
    void *memory = fine(out) ? calloc(n > 0 ? n : 1, size) : NULL;
    if (!memory && fine(out))
        out->status = base_error(DRUPELET_MEMORY, "%s: no memory to write it", out->draft.path);
    return memory;
}

/* ---- the file ---- */

static void create(store_out *out)
{
    const hid_t creation = H5Pcreate(H5P_FILE_CREATE), access = H5Pcreate(H5P_FILE_ACCESS);
    const unsigned order = H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED;
    if (good(out, creation, "start") && good(out, access, "start")
        && good(out, H5Pset_obj_track_times(creation, 0), "start")
        && good(out, H5Pset_link_creation_order(creation, order), "start")
        && good(out, H5Pset_attr_creation_order(creation, order), "start")
        && good(out, H5Pset_libver_bounds(access, H5F_LIBVER_V18, H5F_LIBVER_V18), "start")
        && good(out, H5Pset_fclose_degree(access, H5F_CLOSE_SEMI), "start")
        && good(out, store_sink_use(access, &out->sink), "start")) {
        out->file = H5Fcreate("drupelet", H5F_ACC_TRUNC, creation, access);
        if (good(out, out->file, "start"))
            good(out, out->group = H5Gopen2(out->file, "/", H5P_DEFAULT), "start");
    }
    H5Pclose(creation);
    H5Pclose(access);
}

drupelet_status store_out_begin(const char *path, bool overwrite, store_out *out)
{
    *out = (store_out){.file = -1, .group = -1, .sink = {.file = -1}};
    out->status = store_draft_begin(path, overwrite, &out->draft);
    if (!fine(out))
        return out->status;
    out->sink.file = open(out->draft.draft, O_RDWR);
    if (out->sink.file < 0) {
        out->status = base_error(DRUPELET_FILE, "%s: cannot be written: %s", path, strerror(errno));
        return store_draft_end(&out->draft, out->status);
    }
    out->before = store_quiet_begin();
    create(out);
    return base_ok();
}

drupelet_status store_out_state(store_out *out)
{
    if (out->sink.cause != 0) /* what HDF5 says after that is no cause */
        out->status =
            base_error(DRUPELET_FILE, "%s: cannot be written: %s", out->draft.path, strerror(out->sink.cause));
    return out->status;
}

drupelet_status store_out_end(store_out *out, bool keep)
{
    if (out->group >= 0)
        good(out, H5Gclose(out->group), "end");
    if (out->file >= 0)
        good(out, H5Fclose(out->file), "end"); /* fails if something is still open in it: that must not pass */
    store_quiet_end(out->before);
    if (keep && fine(out) && out->sink.cause == 0)
        out->sink.cause = store_seal_add(out->sink.file);
    if (close(out->sink.file) != 0 && out->sink.cause == 0)
        out->sink.cause = errno;
    const drupelet_status status = store_out_state(out);
    store_sink_end(&out->sink);
    if (keep)
        return store_draft_end(&out->draft, status);
    store_draft_drop(&out->draft);
    return status;
}

void store_out_group(store_out *out, const char *name, const char *long_name)
{
    if (!fine(out))
        return;
    H5Gclose(out->group);
    out->group = -1;
    const hid_t creation = H5Pcreate(H5P_GROUP_CREATE);
    const unsigned order = H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED;
    if (good(out, creation, name) && good(out, H5Pset_obj_track_times(creation, 0), name)
        && good(out, H5Pset_link_creation_order(creation, order), name)
        && good(out, H5Pset_attr_creation_order(creation, order), name))
        good(out, out->group = H5Gcreate2(out->file, name, H5P_DEFAULT, creation, H5P_DEFAULT), name);
    H5Pclose(creation);
    store_out_note(out, NULL, "long_name", long_name);
}

/* ---- attributes ---- */

static void attribute(store_out *out, hid_t object, const char *name, hid_t type, hsize_t n, const void *value)
{
    const hid_t space = n > 0 ? H5Screate_simple(1, &n, NULL) : H5Screate(H5S_SCALAR);
    const hid_t made = space >= 0 ? H5Acreate2(object, name, type, space, H5P_DEFAULT, H5P_DEFAULT) : -1;
    if (good(out, made, name)) {
        good(out, H5Awrite(made, type, value), name);
        H5Aclose(made);
    }
    if (space >= 0)
        H5Sclose(space);
}

static void text_attribute(store_out *out, hid_t object, const char *name, const char *text)
{
    const hid_t type = H5Tcopy(H5T_C_S1);
    if (good(out, type, name) && good(out, H5Tset_size(type, strlen(text) + 1), name)
        && good(out, H5Tset_cset(type, H5T_CSET_UTF8), name))
        attribute(out, object, name, type, 0, text);
    H5Tclose(type);
}

void store_out_note(store_out *out, const char *dataset, const char *name, const char *text)
{
    if (!fine(out))
        return;
    const hid_t object = dataset ? H5Dopen2(out->group, dataset, H5P_DEFAULT) : out->group;
    if (!good(out, object, name))
        return;
    text_attribute(out, object, name, text);
    if (dataset)
        H5Dclose(object);
}

void store_out_note_number(store_out *out, const char *name, hid_t type, const void *value)
{
    if (fine(out))
        attribute(out, out->group, name, type, 0, value);
}

void store_out_flags(store_out *out, const char *dataset, int n, const char *meanings)
{
    signed char value[32];
    for (int i = 0; i < n; i++)
        value[i] = (signed char)i;
    if (!fine(out))
        return;
    const hid_t object = H5Dopen2(out->group, dataset, H5P_DEFAULT);
    if (!good(out, object, dataset))
        return;
    attribute(out, object, "flag_values", H5T_NATIVE_SCHAR, (hsize_t)n, value);
    text_attribute(out, object, "flag_meanings", meanings);
    H5Dclose(object);
}

/* ---- datasets ---- */

hid_t store_memory_type(store_type type)
{
    switch (type) {
    case STORE_DOUBLE: return H5T_NATIVE_DOUBLE;
    case STORE_FLOAT: return H5T_NATIVE_FLOAT;
    case STORE_INT8: return H5T_NATIVE_INT8;
    case STORE_INT32: return H5T_NATIVE_INT32;
    case STORE_INT64: return H5T_NATIVE_INT64;
    case STORE_TEXT: break;
    }
    return -1;
}

static hid_t file_type(store_type type)
{
    switch (type) {
    case STORE_DOUBLE: return H5T_IEEE_F64LE;
    case STORE_FLOAT: return H5T_IEEE_F32LE;
    case STORE_INT8: return H5T_STD_I8LE;
    case STORE_INT32: return H5T_STD_I32LE;
    case STORE_INT64: return H5T_STD_I64LE;
    case STORE_TEXT: break;
    }
    return -1;
}

/* Variable-length UTF-8, which xarray and ncdump show as words; the caller closes it. */
static hid_t text_type(void)
{
    const hid_t type = H5Tcopy(H5T_C_S1);
    if (type >= 0) {
        H5Tset_size(type, H5T_VARIABLE);
        H5Tset_cset(type, H5T_CSET_UTF8);
    }
    return type;
}

/* Numbers of the first dimension in a chunk. A field that is filled part by part has a chunk for each. */
static hsize_t chunk_length(int rank, const hsize_t shape[], bool by_parts)
{
    hsize_t part = 1;
    for (int i = 1; i < rank; i++)
        part *= shape[i];
    const hsize_t length = part < CHUNK && !by_parts ? CHUNK / part : 1;
    return length < shape[0] ? length : shape[0];
}

/* Numbers are compressed and carry a checksum; texts and single numbers are not. */
static hid_t creation_of(store_type type, int rank, const hsize_t shape[], bool by_parts, hsize_t rows)
{
    const hid_t creation = H5Pcreate(H5P_DATASET_CREATE);
    if (creation < 0)
        return creation;
    H5Pset_obj_track_times(creation, 0);
    H5Pset_attr_creation_order(creation, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED);
    if (type != STORE_TEXT && rank > 0) {
        hsize_t chunk[MOST_DIMENSIONS];
        for (int i = 1; i < rank; i++)
            chunk[i] = shape[i];
        chunk[0] = by_parts && rows > 0 ? rows : chunk_length(rank, shape, by_parts);
        chunk[0] = chunk[0] < shape[0] ? chunk[0] : shape[0];
        H5Pset_chunk(creation, rank, chunk);
        H5Pset_shuffle(creation);
        H5Pset_deflate(creation, 1);
        H5Pset_fletcher32(creation);
    }
    return creation;
}

/* @param rows, space of memory and of the dataset; H5S_ALL: the whole */
static void write_values(store_out *out, hid_t set, const char *name, store_type type, hid_t rows, hid_t space,
                         const void *values)
{
    const bool text = type == STORE_TEXT;
    const hid_t kind = text ? text_type() : store_memory_type(type);
    const hid_t transfer = text ? H5Pcreate(H5P_DATASET_XFER) : H5P_DEFAULT;
    if (text)
        good(out, H5Pset_buffer(transfer, TEXTS, NULL, NULL), name);
    good(out, H5Dwrite(set, kind, rows, space, transfer, values), name);
    if (text) {
        H5Pclose(transfer);
        H5Tclose(kind);
    }
}

static void put(store_out *out, const char *name, store_type type, int rank, const hsize_t shape[], const hid_t scale[],
                const void *values, const char *units, const char *axis, const char *long_name)
{
    const hid_t texts = type == STORE_TEXT ? text_type() : -1;
    const hid_t space = rank > 0 ? H5Screate_simple(rank, shape, NULL) : H5Screate(H5S_SCALAR);
    const hid_t creation = creation_of(type, rank, shape, !values, out->rows_a_chunk);
    const hid_t stored = type == STORE_TEXT ? texts : file_type(type);
    const hid_t made = H5Dcreate2(out->group, name, stored, space, H5P_DEFAULT, creation, H5P_DEFAULT);
    if (good(out, made, name)) {
        if (values)
            write_values(out, made, name, type, H5S_ALL, H5S_ALL, values);
        if (units)
            text_attribute(out, made, "units", units);
        text_attribute(out, made, "long_name", long_name);
        if (axis)
            text_attribute(out, made, "axis", axis);
        if (axis && axis[0] == 'Z')
            text_attribute(out, made, "positive", "up");
        if (scale)
            for (int i = 0; i < rank; i++)
                good(out, H5DSattach_scale(made, scale[i], (unsigned)i), name);
        else
            good(out, H5DSset_scale(made, name), name);
        good(out, H5Dclose(made), name);
    }
    H5Pclose(creation);
    H5Sclose(space);
    if (texts >= 0)
        H5Tclose(texts);
}

void store_out_axis(store_out *out, const char *name, store_type type, hsize_t n, const void *values, const char *units,
                    const char *axis, const char *long_name)
{
    if (fine(out))
        put(out, name, type, 1, &n, NULL, values, units, axis, long_name);
}

/* Opens the axis of a name and tells its length; -1 if there is none. */
static hid_t open_axis(const store_out *out, const char *name, hsize_t *n)
{
    const hid_t axis = H5Dopen2(out->group, name, H5P_DEFAULT);
    const hid_t space = axis >= 0 ? H5Dget_space(axis) : -1;
    if (space < 0 || H5Sget_simple_extent_ndims(space) != 1 || H5Sget_simple_extent_dims(space, n, NULL) != 1) {
        if (axis >= 0)
            H5Dclose(axis);
        if (space >= 0)
            H5Sclose(space);
        return -1;
    }
    H5Sclose(space);
    return axis;
}

void store_out_put(store_out *out, const char *name, const char *dimensions, store_type type, const void *values,
                   const char *units, const char *long_name)
{
    hsize_t shape[MOST_DIMENSIONS];
    hid_t scale[MOST_DIMENSIONS];
    int rank = 0;
    if (!fine(out))
        return;
    for (const char *at = dimensions; *at != '\0' && rank < MOST_DIMENSIONS && fine(out);) {
        char axis[NAME] = "";
        const size_t length = strcspn(at, " ");
        memcpy(axis, at, length < NAME ? length : NAME - 1);
        scale[rank] = open_axis(out, axis, &shape[rank]);
        if (good(out, scale[rank], axis))
            rank++;
        at += length + (at[length] == ' ');
    }
    if (fine(out))
        put(out, name, type, rank, shape, scale, values, units, NULL, long_name);
    for (int i = 0; i < rank; i++)
        H5Dclose(scale[i]);
}

void store_out_rows(store_out *out, const char *name, store_type type, hsize_t first, hsize_t n, const void *values)
{
    if (!fine(out) || n == 0)
        return;
    const hid_t set = H5Dopen2(out->group, name, H5P_DEFAULT), space = set >= 0 ? H5Dget_space(set) : -1;
    hsize_t shape[MOST_DIMENSIONS] = {0}, start[MOST_DIMENSIONS] = {first};
    const int rank = space >= 0 ? H5Sget_simple_extent_dims(space, shape, NULL) : -1;
    shape[0] = n;
    const hid_t rows = rank > 0 ? H5Screate_simple(rank, shape, NULL) : -1;
    if (good(out, rows, name) && good(out, H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, shape, NULL), name))
        write_values(out, set, name, type, rows, space, values);
    if (rows >= 0)
        H5Sclose(rows);
    if (space >= 0)
        H5Sclose(space);
    if (set >= 0)
        H5Dclose(set);
}
