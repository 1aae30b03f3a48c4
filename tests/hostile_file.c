/* tests/hostile_file.c - files with contents that no run writes. */
#include "hostile_file.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/* HDF5 reports failure by a negative number, of handles and of calls alike. */
static hid_t good(hid_t answer)
{
    assert_true(answer >= 0);
    return answer;
}

void hostile_copy(const char *from, const char *to)
{
    char bytes[1 << 14];
    FILE *source = fopen(from, "rb"), *target = fopen(to, "wb");
    assert_true(source && target);
    for (size_t n; (n = fread(bytes, 1, sizeof bytes, source)) > 0;)
        assert_int_equal(fwrite(bytes, 1, n, target), n);
    assert_int_equal(fclose(source), 0);
    assert_int_equal(fclose(target), 0);
}

static hid_t opened(const char *path)
{
    return good(H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT));
}

void hostile_note(const char *path, const char *object, const char *name, hid_t type, int rank, const hsize_t shape[],
                  const void *value)
{
    const hid_t file = opened(path), at = good(H5Oopen(file, object, H5P_DEFAULT));
    const hid_t space = good(H5Screate_simple(rank, shape, NULL));
    if (H5Aexists(at, name) > 0)
        good(H5Adelete(at, name));
    const hid_t note = good(H5Acreate2(at, name, type, space, H5P_DEFAULT, H5P_DEFAULT));
    void *zeros = calloc((size_t)H5Sget_simple_extent_npoints(space), H5Tget_size(type));
    assert_non_null(zeros);
    good(H5Awrite(note, type, value ? value : zeros));
    free(zeros);
    good(H5Aclose(note));
    good(H5Sclose(space));
    good(H5Oclose(at));
    good(H5Fclose(file));
}

void hostile_note_texts(const char *path, const char *object, const char *name, const char *text, hsize_t n)
{
    const size_t size = strlen(text) + 1;
    const hid_t type = good(H5Tcopy(H5T_C_S1));
    good(H5Tset_size(type, size));
    char *all = calloc((size_t)n, size);
    assert_non_null(all);
    for (hsize_t i = 0; i < n; i++)
        memcpy(all + i * size, text, size);
    hostile_note(path, object, name, type, 1, &n, all);
    free(all);
    good(H5Tclose(type));
}

void hostile_number(const char *path, const char *dataset, hsize_t i, double value)
{
    const hid_t file = opened(path), set = good(H5Dopen2(file, dataset, H5P_DEFAULT)), space = good(H5Dget_space(set));
    const size_t n = (size_t)H5Sget_simple_extent_npoints(space);
    double *all = calloc(n, sizeof *all);
    assert_true(all && i < n);
    good(H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, all));
    all[i] = value;
    good(H5Dwrite(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, all));
    free(all);
    good(H5Sclose(space));
    good(H5Dclose(set));
    good(H5Fclose(file));
}

static void make(const char *path, const char *dataset, hid_t type, hid_t space, hid_t creation, const void *value)
{
    const hid_t file = opened(path);
    good(H5Ldelete(file, dataset, H5P_DEFAULT));
    const hid_t set = good(H5Dcreate2(file, dataset, type, space, H5P_DEFAULT, creation, H5P_DEFAULT));
    if (value)
        good(H5Dwrite(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, value));
    good(H5Dclose(set));
    good(H5Fclose(file));
}

void hostile_claim(const char *path, const char *dataset, hid_t type, int rank, const hsize_t shape[])
{
    hsize_t chunk[4] = {1, 1, 1, 1};
    const hid_t space = good(H5Screate_simple(rank, shape, NULL)), creation = good(H5Pcreate(H5P_DATASET_CREATE));
    chunk[rank - 1] = shape[rank - 1] < 1 << 17 ? shape[rank - 1] : 1 << 17;
    good(H5Pset_chunk(creation, rank, chunk));
    good(H5Pset_deflate(creation, 9));
    make(path, dataset, type, space, creation, NULL);
    good(H5Pclose(creation));
    good(H5Sclose(space));
}

void hostile_single(const char *path, const char *dataset, hid_t type, const void *value)
{
    const hid_t space = good(H5Screate(H5S_SCALAR));
    make(path, dataset, type, space, H5P_DEFAULT, value);
    good(H5Sclose(space));
}

void hostile_remove(const char *path, const char *name)
{
    const hid_t file = opened(path);
    good(H5Ldelete(file, name, H5P_DEFAULT));
    good(H5Fclose(file));
}

void hostile_link(const char *path, const char *name, const char *file_name, const char *to)
{
    const hid_t file = opened(path);
    if (H5Lexists(file, name, H5P_DEFAULT) > 0)
        good(H5Ldelete(file, name, H5P_DEFAULT));
    good(file_name ? H5Lcreate_external(file_name, to, file, name, H5P_DEFAULT, H5P_DEFAULT)
                   : H5Lcreate_soft(to, file, name, H5P_DEFAULT, H5P_DEFAULT));
    good(H5Fclose(file));
}
