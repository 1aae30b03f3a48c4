/* sim/store/in.c - opens HDF5 files for reading; says of a file of the wrong kind what it is. */
#define _POSIX_C_SOURCE 200809L
#include "store/in.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/status.h"
#include "store/in_sets.h"
#include "store/seal.h"
#include "store/store.h"

/* What the attribute Conventions begins with, what such a file is, what another one is not, and who reads it. The most
 * bytes that are read of one are choices: twice what the most voxels of a scenario need, and what the most cases of a
 * plan need, 100 million. */
static const struct {
    const char *conventions, *is, *not, *read_by;
    double most_bytes;
} KIND[STORE_IN_KINDS] = {
    [STORE_IN_RESULT] = {"drupelet-result-", "the result of a run", "no result of drupelet",
                         "'drupelet draw', 'drupelet report' and 'drupelet score' read it", 6.4e9},
    [STORE_IN_SWEEP] = {"drupelet-sweep-", "the result of a sweep", "no sweep of drupelet",
                        "'drupelet tradeoff' reads it, and 'drupelet report' one at a time", 1e11},
    [STORE_IN_CANOPY] = {"drupelet-canopy-", "a canopy file", "no canopy file",
                         "the key canopy.measured of a scenario takes it", 3.2e9},
};

bool store_in_fine(const store_in *in)
{
    return in->status.code == DRUPELET_OK;
}

/* Nothing is wrong with the file. */
static drupelet_status unread(const store_in *in, const char *what)
{
    return base_error(DRUPELET_MEMORY,
                      "%s: %s, though its bytes are as they were written: memory may have run out, or "
                      "another version of the program wrote it",
                      in->path, what);
}

void store_in_refuse(store_in *in, const char *name, const char *expected, const char *found, ...)
{
    static const char *const what[STORE_IN_KINDS] = {"the result is damaged: ", "the sweep is damaged: ", ""};
    char text[200];
    va_list arguments;
    va_start(arguments, found);
    vsnprintf(text, sizeof text, found, arguments);
    va_end(arguments);
    if (!store_in_fine(in)) return;
    if (in->sealed && in->kind != STORE_IN_CANOPY) {
        char told[400];
        snprintf(told, sizeof told, "found %s at /%s", text, name);
        in->status = unread(in, told);
        return;
    }
    in->status = base_error(DRUPELET_SCENARIO, "%s: %s/%s: found %s, expected %s", in->path, what[in->kind], name,
                            text, expected);
}

void *store_in_memory(store_in *in, size_t n, size_t size)
{
    void *memory = store_in_fine(in) ? calloc(n > 0 ? n : 1, size) : NULL;
    if (!memory && store_in_fine(in)) in->status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", in->path);
    return memory;
}

/* ---- the file ---- */

bool store_start(void)
{
    const int told = dup(STDERR_FILENO), nowhere = open("/dev/null", O_WRONLY);
    if (nowhere >= 0) dup2(nowhere, STDERR_FILENO);          /* HDF5 would list its errors, for want of memory */
    const bool good = H5dont_atexit() >= 0 && H5open() >= 0; /* every file is closed by whoever opened it */
    if (told >= 0) dup2(told, STDERR_FILENO);
    close(nowhere);
    close(told);
    return good;
}

void store_hdf5_version(unsigned version[3])
{
    H5get_libversion(&version[0], &version[1], &version[2]);
}

static store_in_kind kind_of(const char *conventions)
{
    store_in_kind kind = 0;
    while (kind < STORE_IN_KINDS && strncmp(conventions, KIND[kind].conventions, strlen(KIND[kind].conventions)) != 0)
        kind++;
    return kind;
}

/* Is it what was wanted? A canopy may have been made by any program. */
static void check_kind(store_in *in)
{
    const bool named = store_in_has_note(in, NULL, "Conventions");
    char *conventions = named ? store_in_note(in, NULL, "Conventions") : NULL;
    const store_in_kind kind = conventions ? kind_of(conventions) : STORE_IN_KINDS;
    if (store_in_fine(in) && kind != in->kind && kind < STORE_IN_KINDS)
        in->status = base_error(DRUPELET_SCENARIO, "%s: is %s, not %s: %s", in->path, KIND[kind].is, KIND[in->kind].is,
                                KIND[kind].read_by);
    else if (store_in_fine(in) && kind != in->kind && in->kind != STORE_IN_CANOPY)
        in->status = base_error(DRUPELET_SCENARIO, "%s: is %s: its attribute Conventions does not say so", in->path,
                                KIND[in->kind].not );
    free(conventions);
}

/* A link that leads into another file is not followed: what is read was named by the user. */
static herr_t refuse_link(const char *parent, const char *group, const char *file, const char *object, unsigned *flags,
                          hid_t access, void *user)
{
    (void)parent, (void)group, (void)file, (void)object, (void)flags, (void)access, (void)user;
    return -1;
}

/* A piece of an HDF5 file is damaged, not something else. */
static bool begins_as_hdf5(const char *path)
{
    char first[4] = "";
    FILE *file = fopen(path, "rb");
    const size_t n = file ? fread(first, 1, sizeof first, file) : 0;
    if (file) fclose(file);
    return n == sizeof first && memcmp(first, "\x89HDF", sizeof first) == 0;
}

static void open_file(store_in *in)
{
    struct stat found;
    if (stat(in->path, &found) != 0 || access(in->path, R_OK) != 0) {
        in->status = base_error(DRUPELET_SCENARIO, "%s: cannot be read: %s", in->path, strerror(errno));
        return;
    }
    if (!S_ISREG(found.st_mode)) { /* HDF5 would wait for ever at a pipe */
        in->status = base_error(DRUPELET_SCENARIO, "%s: is %s: it is no plain file", in->path, KIND[in->kind].not );
        return;
    }
    in->file_bytes = (double)found.st_size;
    in->left_bytes = STORE_IN_FREE_BYTES + STORE_IN_RATIO * in->file_bytes;
    if (in->left_bytes > KIND[in->kind].most_bytes) in->left_bytes = KIND[in->kind].most_bytes;
    if (H5Fis_hdf5(in->path) <= 0 && !begins_as_hdf5(in->path)) {
        in->status = base_error(DRUPELET_SCENARIO, "%s: is %s: it is no HDF5 file", in->path, KIND[in->kind].not );
        return;
    }
    const store_seal seal = store_seal_of(in->path);
    in->sealed = seal == STORE_SEAL_HOLDS;
    if (seal == STORE_SEAL_BROKEN) {
        in->status =
            base_error(DRUPELET_SCENARIO, "%s: is damaged: its bytes do not add up to the sum at its end", in->path);
        return;
    }
    in->file = H5Fopen(in->path, H5F_ACC_RDONLY, H5P_DEFAULT);
    in->links = H5Pcreate(H5P_LINK_ACCESS);
    in->sets = H5Pcreate(H5P_DATASET_ACCESS);
    if (in->file < 0 || H5Pset_elink_cb(in->links, refuse_link, NULL) < 0
        || H5Pset_elink_cb(in->sets, refuse_link, NULL) < 0)
        in->status = in->sealed ? unread(in, "HDF5 cannot open it")
                                : base_error(DRUPELET_SCENARIO,
                                             "%s: is damaged: HDF5 cannot open it (its end may be missing)", in->path);
}

void store_in_open(const char *path, store_in_kind kind, store_in *in)
{
    *in = (store_in){.file = -1, .links = -1, .sets = -1, .kind = kind, .path = path, .status = base_ok()};
    in->before = store_quiet_begin();
    open_file(in);
    if (store_in_fine(in)) check_kind(in);
}

void store_in_close(store_in *in)
{
    if (in->links >= 0) H5Pclose(in->links);
    if (in->sets >= 0) H5Pclose(in->sets);
    if (in->file >= 0) H5Fclose(in->file);
    in->links = in->sets = in->file = -1;
    store_quiet_end(in->before);
}

bool store_in_is(const char *path, store_in_kind kind)
{
    store_in in;
    store_in_open(path, kind, &in);
    store_in_close(&in);
    return store_in_fine(&in);
}

/* ---- what is in it ---- */

bool store_in_has(store_in *in, const char *name)
{
    char path[STORE_IN_NAME];
    const size_t length = strlen(name);
    if (!store_in_fine(in) || length >= sizeof path) return false;
    for (size_t n = strcspn(name, "/");; n += 1 + strcspn(name + n + 1, "/")) { /* HDF5 wants each group to be there */
        memcpy(path, name, n);
        path[n] = '\0';
        const htri_t there = H5Lexists(in->file, path, in->links);
        if (there < 0) store_in_refuse(in, path, "a group or a dataset", "something that HDF5 cannot read");
        if (there <= 0 || n == length) return there > 0;
    }
}

typedef struct {
    int n, most;
    char (*name)[STORE_IN_NAME];
} name_list;

static herr_t add_name(hid_t group, const char *name, const H5L_info_t *info, void *user)
{
    (void)group, (void)info;
    name_list *list = user;
    if (list->n == list->most || strlen(name) >= STORE_IN_NAME) return -1;
    strcpy(list->name[list->n++], name);
    return 0;
}

int store_in_names(store_in *in, const char *group, int most, char name[][STORE_IN_NAME])
{
    name_list list = {0, most, name};
    hsize_t at = 0;
    if (!store_in_has(in, group)) {
        store_in_refuse(in, group, "a group", "nothing");
        return 0;
    }
    const hid_t opened = H5Gopen2(in->file, group, H5P_DEFAULT);
    if (opened < 0 || H5Literate(opened, H5_INDEX_CRT_ORDER, H5_ITER_INC, &at, add_name, &list) < 0)
        store_in_refuse(in, group, "datasets in the order of their making", "no group that can be read, or too much");
    if (opened >= 0) H5Gclose(opened);
    return store_in_fine(in) ? list.n : 0;
}
