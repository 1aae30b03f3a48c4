/* sim/store/in_set.c - datasets of numbers, read once they are known to be what is expected. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "store/in_sets.h"

static bool whole(store_type type)
{
    return type != STORE_DOUBLE && type != STORE_FLOAT;
}

/* Opens a dataset of numbers that the file can hold, each to be read into size bytes. */
static store_in_opened open_numbers(store_in *in, const char *name, bool only_whole, size_t size)
{
    store_in_opened o = store_in_open_set(in, name);
    if (o.set < 0)
        return o;
    const hid_t type = H5Dget_type(o.set);
    const char *fault = store_in_odd_type(type, only_whole);
    if (!fault)
        fault = store_in_overdrawn(in, o.set, H5Tget_size(type), (double)o.n);
    if (!fault && (double)o.n * (double)size > in->left_bytes)
        fault = "more numbers than are read of one file";
    if (fault)
        store_in_refuse(in, name, only_whole ? "whole numbers" : "numbers", "%s", fault);
    if (type >= 0)
        H5Tclose(type);
    if (store_in_fine(in))
        in->left_bytes -= (double)o.n * (double)size;
    else
        store_in_close_set(&o);
    if (o.set < 0)
        o.n = 0;
    return o;
}

size_t store_in_shape(store_in *in, const char *name, int *rank, hsize_t shape[STORE_IN_RANK])
{
    store_in_opened o = open_numbers(in, name, false, 0);
    store_in_close_set(&o);
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
static store_in_opened open_shaped(store_in *in, const char *name, store_type type, int rank, hsize_t shape[])
{
    store_in_opened o = open_numbers(in, name, whole(type), H5Tget_size(store_memory_type(type)));
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
        store_in_close_set(&o);
        return o;
    }
    for (int i = 0; i < rank; i++)
        shape[i] = o.shape[i];
    return o;
}

static void read_set(store_in *in, const char *name, const store_in_opened *o, store_type type, void *values)
{
    if (H5Dread(o->set, store_memory_type(type), H5S_ALL, H5S_ALL, H5P_DEFAULT, values) < 0)
        store_in_refuse(in, name, "a whole file", "numbers that cannot be read");
}

void store_in_get(store_in *in, const char *name, store_type type, int rank, const hsize_t expected[], void *values)
{
    hsize_t shape[STORE_IN_RANK] = {0};
    for (int i = 0; i < rank; i++)
        shape[i] = expected[i];
    store_in_opened o = open_shaped(in, name, type, rank, shape);
    if (o.set < 0)
        return;
    read_set(in, name, &o, type, values);
    store_in_close_set(&o);
}

void *store_in_take(store_in *in, const char *name, store_type type, int rank, hsize_t shape[])
{
    store_in_opened o = open_shaped(in, name, type, rank, shape);
    if (o.set < 0)
        return NULL;
    void *values = store_in_memory(in, o.n, H5Tget_size(store_memory_type(type)));
    if (values)
        read_set(in, name, &o, type, values);
    store_in_close_set(&o);
    if (store_in_fine(in))
        return values;
    free(values);
    return NULL;
}
