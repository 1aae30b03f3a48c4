/* sim/store/in_claim.c - what a dataset claims to hold, compared with the file before memory is taken for it. */
#include <math.h>

#include "store/in_sets.h"

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

const char *store_in_overdrawn(const store_in *in, hid_t set, size_t size, double n)
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

void store_in_close_set(store_in_opened *o)
{
    if (o->set >= 0)
        H5Dclose(o->set);
    o->set = -1;
}

store_in_opened store_in_open_set(store_in *in, const char *name)
{
    store_in_opened o = {.set = -1, .n = 0};
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
        store_in_close_set(&o);
    return o;
}
