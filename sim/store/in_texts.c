/* sim/store/in_texts.c - datasets of texts, each of any length, in memory that is counted. */
#include <stdlib.h>
#include <string.h>

#include "store/in_sets.h"

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
static void read_texts(store_in *in, const char *name, const store_in_opened *o, char **list)
{
    text_memory memory = {in->left_bytes, NULL};
    const hid_t wanted = H5Tcopy(H5T_C_S1), type = H5Dget_type(o->set), transfer = H5Pcreate(H5P_DATASET_XFER);
    char **read = store_in_memory(in, o->n, sizeof *read);
    H5Tset_size(wanted, H5T_VARIABLE);
    H5Tset_cset(wanted, H5Tget_cset(type));
    const char *fault = H5Tis_variable_str(type) > 0 ? store_in_overdrawn(in, o->set, H5Tget_size(type), (double)o->n)
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
    store_in_opened o = store_in_open_set(in, name);
    if (o.set < 0)
        return NULL;
    if (o.rank != rank || (*n != 0 && o.n != *n) || o.n > most)
        store_in_refuse(in, name, "another number of them", "%zu texts", o.n);
    char **list = store_in_memory(in, o.n, sizeof *list);
    if (list)
        read_texts(in, name, &o, list);
    store_in_close_set(&o);
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
