/* sim/store/in_set.c - datasets: what they claim to hold is compared with the file before they are read. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "store/in_sets.h"

static hid_t memory_type(store_type type)
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

static bool whole(store_type type)
{
    return type != STORE_DOUBLE && type != STORE_FLOAT;
}

/* A floating-point type whose parts lie in it: HDF5 does not look before it moves their bits. */
static bool sound_float(hid_t type)
{
    size_t sign = 0, exponent = 0, exponent_bits = 0, mantissa = 0, mantissa_bits = 0;
    const size_t bits = 8 * H5Tget_size(type), used = H5Tget_precision(type);
    return bits >= 16 && bits <= 128 && used > 0 && used <= bits && H5Tget_offset(type) == 0
           && H5Tget_fields(type, &sign, &exponent, &exponent_bits, &mantissa, &mantissa_bits) >= 0 && sign < used
           && exponent < used && exponent_bits > 0 && exponent_bits <= 15 && exponent_bits <= used - exponent
           && mantissa < used && mantissa_bits > 0 && mantissa_bits <= used - mantissa;
}

static bool sound_integer(hid_t type)
{
    const size_t size = H5Tget_size(type);
    return (size == 1 || size == 2 || size == 4 || size == 8) && H5Tget_precision(type) == 8 * size
           && H5Tget_offset(type) == 0;
}

const char *store_in_odd_type(hid_t type, bool only_whole)
{
    const H5T_class_t class = type >= 0 ? H5Tget_class(type) : H5T_NO_CLASS;
    if (class == H5T_INTEGER)
        return sound_integer(type) ? NULL : "whole numbers of an odd size";
    if (class != H5T_FLOAT)
        return "no numbers";
    if (only_whole)
        return "numbers that are not whole";
    return sound_float(type) ? NULL : "numbers of an odd form";
}

/* ---- what a dataset claims ---- */

/* Bytes that the stored ones may stand for; 0 for filters that we do not read. */
static double most_bytes(hid_t creation, double stored)
{
    int n_deflate = 0;
    const int n = H5Pget_nfilters(creation);
    for (int i = 0; i < n; i++) {
        unsigned flags = 0, values[8], config = 0;
        size_t n_values = sizeof values / sizeof values[0];
        const H5Z_filter_t filter =
            H5Pget_filter2(creation, (unsigned)i, &flags, &n_values, values, 0, NULL, &config);
        n_deflate += filter == H5Z_FILTER_DEFLATE;
        if ((filter != H5Z_FILTER_DEFLATE && filter != H5Z_FILTER_SHUFFLE && filter != H5Z_FILTER_FLETCHER32)
            || n_deflate > 1)
            return 0.0;
    }
    return stored * (n_deflate > 0 ? STORE_IN_RATIO : 1.0) + STORE_IN_FREE_BYTES;
}

/* Bytes of a chunk, which HDF5 unpacks as a whole; 0 without chunks. */
static double chunk_bytes(hid_t creation, size_t size)
{
    hsize_t edge[H5S_MAX_RANK];
    double bytes = (double)size;
    if (H5Pget_layout(creation) != H5D_CHUNKED)
        return 0.0;
    const int rank = H5Pget_chunk(creation, H5S_MAX_RANK, edge);
    for (int i = 0; i < rank; i++)
        bytes *= (double)edge[i];
    return bytes;
}

/* Can the file hold n things of a size here? NULL, or what it claims instead. */
static const char *overdrawn(const store_in *in, hid_t set, size_t size, double n)
{
    const hid_t creation = H5Dget_create_plist(set);
    const double bytes = n * (double)size, stored = (double)H5Dget_storage_size(set);
    const char *fault = NULL;
    if (creation < 0 || H5Pget_layout(creation) == H5D_VIRTUAL || H5Pget_external_count(creation) != 0)
        fault = "numbers kept in another file";
    else if (most_bytes(creation, stored) == 0.0)
        fault = "a compression other than one deflate";
    else if (stored > in->file_bytes || bytes > most_bytes(creation, stored))
        fault = "more numbers than the file can hold";
    else if (chunk_bytes(creation, size) > fmax(bytes, STORE_IN_FREE_BYTES))
        fault = "chunks larger than all of it";
    if (creation >= 0)
        H5Pclose(creation);
    return fault;
}

/* A dataset that was opened, and what is known of it. */
typedef struct {
    hid_t set;
    int rank;
    hsize_t shape[STORE_IN_RANK];
    size_t n;
} opened;

static void close_set(opened *o)
{
    if (o->set >= 0)
        H5Dclose(o->set);
    o->set = -1;
}

/* Opens a dataset of at most STORE_IN_RANK dimensions, none of them empty. */
static opened open_set(store_in *in, const char *name)
{
    opened o = {.set = -1, .n = 0};
    if (!store_in_has(in, name)) {
        store_in_refuse(in, name, "one", "no such dataset");
        return o;
    }
    o.set = H5Dopen2(in->file, name, in->sets);
    const hid_t space = o.set >= 0 ? H5Dget_space(o.set) : -1;
    o.rank = space >= 0 && H5Sget_simple_extent_type(space) != H5S_NULL ? H5Sget_simple_extent_ndims(space) : -1;
    double n = 1.0;
    if (o.rank < 0 || o.rank > STORE_IN_RANK || H5Sget_simple_extent_dims(space, o.shape, NULL) != o.rank)
        store_in_refuse(in, name, "a dataset of at most 4 dimensions", "something that HDF5 cannot read");
    for (int i = 0; i < o.rank && store_in_fine(in); i++) {
        if (o.shape[i] == 0)
            store_in_refuse(in, name, "something in it", "an empty dimension");
        n *= (double)o.shape[i];
    }
    if (n > (double)INT32_MAX)
        store_in_refuse(in, name, "at most 2147483647", "%.6g numbers", n);
    if (space >= 0)
        H5Sclose(space);
    o.n = store_in_fine(in) ? (size_t)n : 0;
    if (o.n == 0)
        close_set(&o);
    return o;
}

/* The same of a dataset of numbers that the file can hold, each to be read into size bytes. */
static opened open_numbers(store_in *in, const char *name, bool only_whole, size_t size)
{
    opened o = open_set(in, name);
    if (o.set < 0)
        return o;
    const hid_t type = H5Dget_type(o.set);
    const char *fault = store_in_odd_type(type, only_whole);
    if (!fault)
        fault = overdrawn(in, o.set, H5Tget_size(type), (double)o.n);
    if (!fault && (double)o.n * (double)size > in->left_bytes)
        fault = "more numbers than are read of one file";
    if (fault)
        store_in_refuse(in, name, only_whole ? "whole numbers" : "numbers", "%s", fault);
    if (type >= 0)
        H5Tclose(type);
    if (store_in_fine(in))
        in->left_bytes -= (double)o.n * (double)size;
    else
        close_set(&o);
    if (o.set < 0)
        o.n = 0;
    return o;
}

/* ---- numbers ---- */

size_t store_in_shape(store_in *in, const char *name, int *rank, hsize_t shape[STORE_IN_RANK])
{
    opened o = open_numbers(in, name, false, 0);
    close_set(&o);
    *rank = o.rank;
    memcpy(shape, o.shape, sizeof o.shape);
    return o.n;
}

/* Shape as a text, such as "8 x 24 numbers". */
static void shape_text(int rank, const hsize_t shape[], char *text, size_t size)
{
    size_t n = 0;
    text[0] = '\0';
    for (int i = 0; i < rank && n < size; i++)
        n += (size_t)snprintf(text + n, size - n, shape[i] == 0 ? "%sany" : "%s%llu", i > 0 ? " x " : "",
                              (unsigned long long)shape[i]);
    if (n < size)
        snprintf(text + n, size - n, "%s", rank > 0 ? " numbers" : "one number");
}

/* Opens numbers of a shape; an entry of shape that is 0 is filled in. */
static opened open_shaped(store_in *in, const char *name, store_type type, int rank, hsize_t shape[])
{
    opened o = open_numbers(in, name, whole(type), H5Tget_size(memory_type(type)));
    if (o.set < 0)
        return o;
    bool same = o.rank == rank;
    for (int i = 0; i < rank && same; i++)
        same = shape[i] == 0 || shape[i] == o.shape[i];
    if (!same) {
        char expected[120], found[120];
        shape_text(rank, shape, expected, sizeof expected);
        shape_text(o.rank, o.shape, found, sizeof found);
        store_in_refuse(in, name, expected, "%s", found);
        close_set(&o);
        return o;
    }
    for (int i = 0; i < rank; i++)
        shape[i] = o.shape[i];
    return o;
}

static void read_set(store_in *in, const char *name, const opened *o, store_type type, void *values)
{
    if (H5Dread(o->set, memory_type(type), H5S_ALL, H5S_ALL, H5P_DEFAULT, values) < 0)
        store_in_refuse(in, name, "a whole file", "numbers that cannot be read");
}

void store_in_get(store_in *in, const char *name, store_type type, int rank, const hsize_t expected[], void *values)
{
    hsize_t shape[STORE_IN_RANK] = {0};
    for (int i = 0; i < rank; i++)
        shape[i] = expected[i];
    opened o = open_shaped(in, name, type, rank, shape);
    if (o.set < 0)
        return;
    read_set(in, name, &o, type, values);
    close_set(&o);
}

void *store_in_take(store_in *in, const char *name, store_type type, int rank, hsize_t shape[])
{
    opened o = open_shaped(in, name, type, rank, shape);
    if (o.set < 0)
        return NULL;
    void *values = store_in_memory(in, o.n, H5Tget_size(memory_type(type)));
    if (values)
        read_set(in, name, &o, type, values);
    close_set(&o);
    if (store_in_fine(in))
        return values;
    free(values);
    return NULL;
}

double store_in_number(store_in *in, const char *name, store_range range)
{
    double value = 0.0;
    store_in_get(in, name, STORE_DOUBLE, 0, NULL, &value);
    store_in_check(in, name, 1, &value, range);
    return store_in_fine(in) ? value : 0.0;
}

/* ---- texts ---- */

/* Memory that HDF5 puts texts into: it is counted, for a text may claim any length, and freed as a whole, for HDF5
 * leaves behind what it had when it failed. */
typedef struct text_block { struct text_block *next; char bytes[]; } text_block;
typedef struct { double left_bytes; text_block *first; } text_memory;

static void *text_bytes(size_t size, void *user)
{
    text_memory *memory = user;
    text_block *block = (double)size <= memory->left_bytes ? malloc(sizeof *block + size) : NULL;
    if (!block)
        return NULL;
    memory->left_bytes -= (double)size;
    block->next = memory->first;
    memory->first = block;
    return block->bytes;
}

static void leave_bytes(void *bytes, void *user)
{
    (void)bytes, (void)user;
}

static void free_blocks(text_memory *memory)
{
    for (text_block *block = memory->first, *next; block; block = next) {
        next = block->next;
        free(block);
    }
}

/* The texts of a dataset, each copied. */
static void read_texts(store_in *in, const char *name, const opened *o, char **list)
{
    text_memory memory = {in->left_bytes, NULL};
    const hid_t wanted = H5Tcopy(H5T_C_S1), type = H5Dget_type(o->set), transfer = H5Pcreate(H5P_DATASET_XFER);
    char **read = store_in_memory(in, o->n, sizeof *read);
    H5Tset_size(wanted, H5T_VARIABLE);
    H5Tset_cset(wanted, H5Tget_cset(type));
    const char *fault = H5Tis_variable_str(type) > 0 ? overdrawn(in, o->set, H5Tget_size(type), (double)o->n)
                                                     : "no texts of any length";
    if (!fault && store_in_fine(in)
        && (H5Pset_vlen_mem_manager(transfer, text_bytes, &memory, leave_bytes, NULL) < 0
            || H5Dread(o->set, wanted, H5S_ALL, H5S_ALL, transfer, read) < 0))
        fault = "texts that cannot be read, or more of them than the file can hold";
    if (fault)
        store_in_refuse(in, name, "texts", "%s", fault);
    for (size_t i = 0; i < o->n && store_in_fine(in); i++) {
        const char *text = read[i] ? read[i] : "";
        list[i] = store_in_memory(in, strlen(text) + 1, 1);
        if (list[i])
            memcpy(list[i], text, strlen(text));
    }
    in->left_bytes = memory.left_bytes;
    free_blocks(&memory);
    free(read);
    H5Pclose(transfer);
    H5Tclose(type);
    H5Tclose(wanted);
}

char **store_in_texts(store_in *in, const char *name, int rank, hsize_t *n, hsize_t most)
{
    opened o = open_set(in, name);
    if (o.set < 0)
        return NULL;
    if (o.rank != rank || (*n != 0 && o.n != *n) || o.n > most)
        store_in_refuse(in, name, "another number of them", "%zu texts", o.n);
    char **list = store_in_memory(in, o.n, sizeof *list);
    if (list)
        read_texts(in, name, &o, list);
    close_set(&o);
    if (store_in_fine(in)) {
        *n = o.n;
        return list;
    }
    for (size_t i = 0; list && i < o.n; i++)
        free(list[i]);
    free(list);
    return NULL;
}

char *store_in_text(store_in *in, const char *name)
{
    hsize_t one = 1;
    char **list = store_in_texts(in, name, 0, &one, 1), *text = list ? list[0] : NULL;
    free(list);
    return text;
}
