/* sim/store/in_note.c - attributes, each a single text or a single whole number. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "store/in_sets.h"

enum { MOST_TEXT = 1 << 16 }; /* bytes; choice: the longest of ours, a caution, has some hundred */
static const char ODD[] = "none, or values of another kind or number";

static void refuse_note(store_in *in, const char *dataset, const char *name, const char *expected, const char *found)
{
    char place[2 * STORE_IN_NAME];
    snprintf(place, sizeof place, "%s, attribute %s", dataset ? dataset : "", name);
    store_in_refuse(in, place, expected, "%s", found);
}

static hid_t object_of(const store_in *in, const char *dataset)
{
    return dataset ? H5Dopen2(in->file, dataset, in->sets) : H5Oopen(in->file, "/", H5P_DEFAULT);
}

bool store_in_has_note(store_in *in, const char *dataset, const char *name)
{
    if (!store_in_fine(in))
        return false;
    const hid_t object = object_of(in, dataset);
    const htri_t there = object >= 0 ? H5Aexists(object, name) : -1;
    if (there < 0)
        refuse_note(in, dataset, name, "an attribute", "something that HDF5 cannot read");
    if (object >= 0)
        H5Oclose(object);
    return there > 0;
}

/* An attribute that holds one thing, opened. */
typedef struct { hid_t object, attribute, type, space; } note;

static note open_note(const store_in *in, const char *dataset, const char *name)
{
    note n = {.attribute = -1, .type = -1, .space = -1};
    n.object = object_of(in, dataset);
    if (n.object >= 0 && H5Aexists(n.object, name) > 0)
        n.attribute = H5Aopen(n.object, name, H5P_DEFAULT);
    if (n.attribute >= 0) {
        n.type = H5Aget_type(n.attribute);
        n.space = H5Aget_space(n.attribute);
    }
    return n;
}

static void close_note(const note *n)
{
    if (n->space >= 0)
        H5Sclose(n->space);
    if (n->type >= 0)
        H5Tclose(n->type);
    if (n->attribute >= 0)
        H5Aclose(n->attribute);
    if (n->object >= 0)
        H5Oclose(n->object);
}

static bool single(const note *n)
{
    return n->type >= 0 && n->space >= 0 && H5Sget_simple_extent_npoints(n->space) == 1;
}

/* A text of whatever length: HDF5 makes its memory. */
static char *read_variable(store_in *in, const note *n)
{
    char *read = NULL, *text = NULL;
    const hid_t memory = H5Tcopy(H5T_C_S1);
    H5Tset_size(memory, H5T_VARIABLE);
    H5Tset_cset(memory, H5Tget_cset(n->type));
    if (H5Aread(n->attribute, memory, &read) >= 0) {
        const size_t length = read ? strlen(read) : 0;
        text = length < MOST_TEXT ? store_in_memory(in, length + 1, 1) : NULL;
        if (text && length > 0)
            memcpy(text, read, length);
        H5free_memory(read);
    }
    H5Tclose(memory);
    return text;
}

/* A text of fixed length; it need not end with a 0. */
static char *read_fixed(store_in *in, const note *n)
{
    const size_t size = H5Tget_size(n->type);
    char *text = size > 0 && size < MOST_TEXT ? store_in_memory(in, size + 1, 1) : NULL;
    if (text && H5Aread(n->attribute, n->type, text) < 0) {
        free(text);
        return NULL;
    }
    return text;
}

char *store_in_note(store_in *in, const char *dataset, const char *name)
{
    char *text = NULL;
    if (!store_in_fine(in))
        return NULL;
    const note n = open_note(in, dataset, name);
    if (single(&n) && H5Tget_class(n.type) == H5T_STRING)
        text = H5Tis_variable_str(n.type) > 0 ? read_variable(in, &n) : read_fixed(in, &n);
    close_note(&n);
    if (!text)
        refuse_note(in, dataset, name, "one short text", ODD);
    return text;
}

static void read_number(store_in *in, const char *name, bool whole, hid_t type, void *value)
{
    if (!store_in_fine(in))
        return;
    const note n = open_note(in, NULL, name);
    if (!single(&n) || store_in_odd_type(n.type, whole) || H5Aread(n.attribute, type, value) < 0)
        refuse_note(in, NULL, name, whole ? "one whole number" : "one number", ODD);
    close_note(&n);
}

void store_in_note_whole(store_in *in, const char *name, int64_t *value)
{
    *value = 0;
    read_number(in, name, true, H5T_NATIVE_INT64, value);
}

void store_in_note_unsigned(store_in *in, const char *name, uint64_t *value)
{
    *value = 0;
    read_number(in, name, true, H5T_NATIVE_UINT64, value);
}

void store_in_note_real(store_in *in, const char *name, double *value)
{
    *value = 0.0;
    read_number(in, name, false, H5T_NATIVE_DOUBLE, value);
}
