/* tests/fuzz/change_hdf5.c - changes an HDF5 file through HDF5 itself, so that the file's own tables agree. */
#define _POSIX_C_SOURCE 200809L
#include <hdf5.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "targets.h"

typedef struct { char name[128]; H5O_type_t type; } object;
enum { MOST_OBJECTS = 512 };
typedef struct { object at[MOST_OBJECTS]; int n; } objects;

/* Numbers that follow from a seed (SplitMix64: G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014; memory). */
typedef struct { unsigned seed, i; } dice;

static unsigned throw_to(dice *d, unsigned n)
{
    uint64_t x = ((uint64_t)d->seed << 32 | d->i++) * UINT64_C(0x9e3779b97f4a7c15) + UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ x >> 30) * UINT64_C(0x94d049bb133111eb);
    return (unsigned)((x ^ x >> 31) % n);
}

static herr_t note_object(hid_t root, const char *name, const H5O_info_t *info, void *user)
{
    (void)root;
    objects *all = user;
    if (all->n < MOST_OBJECTS && strlen(name) < sizeof all->at[0].name) {
        strcpy(all->at[all->n].name, name);
        all->at[all->n++].type = info->type;
    }
    return 0;
}

static double odd_number(dice *d)
{
    static const double odd[] = {0.0, -1.0, 1.0, 1e300, -1e300, 1e-300, 2147483648.0, -2147483649.0, 9.3e18, 0.5};
    return throw_to(d, 8) == 0 ? NAN : odd[throw_to(d, sizeof odd / sizeof odd[0])];
}

static hid_t odd_type(dice *d)
{
    const hid_t types[] = {H5T_NATIVE_DOUBLE, H5T_NATIVE_FLOAT, H5T_NATIVE_INT8,  H5T_NATIVE_INT64,
                           H5T_NATIVE_UINT64, H5T_STD_I32BE,    H5T_IEEE_F64BE, H5T_NATIVE_LDOUBLE};
    const unsigned n = sizeof types / sizeof types[0], i = throw_to(d, n + 4);
    if (i < n)
        return H5Tcopy(types[i]);
    if (i == n)
        return H5Tcreate(H5T_OPAQUE, 1 + throw_to(d, 40));
    if (i == n + 1) {
        const hsize_t shape[] = {1 + throw_to(d, 9)};
        return H5Tarray_create2(H5T_NATIVE_DOUBLE, 1, shape);
    }
    const hid_t text = H5Tcopy(H5T_C_S1);
    H5Tset_size(text, i == n + 2 ? H5T_VARIABLE : 1 + throw_to(d, 300));
    return text;
}

static int odd_shape(dice *d, hsize_t shape[4])
{
    static const hsize_t odd[] = {0, 1, 2, 3, 7, 100, 65536, (hsize_t)1 << 31, (hsize_t)1 << 40};
    const int rank = (int)throw_to(d, 5);
    for (int i = 0; i < rank; i++)
        shape[i] = odd[throw_to(d, sizeof odd / sizeof odd[0])];
    return rank;
}

static void replace_dataset(hid_t file, const char *name, dice *d)
{
    hsize_t shape[4], chunk[4];
    const int rank = odd_shape(d, shape);
    const hid_t space = rank == 0 ? H5Screate(throw_to(d, 3) == 0 ? H5S_NULL : H5S_SCALAR)
                                  : H5Screate_simple(rank, shape, NULL);
    const hid_t creation = H5Pcreate(H5P_DATASET_CREATE), type = odd_type(d);
    if (rank > 0) { /* so that what it claims takes no room */
        for (int i = 0; i < rank; i++)
            chunk[i] = shape[i] == 0 || shape[i] > 64 ? 64 : shape[i];
        H5Pset_chunk(creation, rank, chunk);
        H5Pset_deflate(creation, 1);
    }
    H5Ldelete(file, name, H5P_DEFAULT);
    const hid_t set = H5Dcreate2(file, name, type, space, H5P_DEFAULT, creation, H5P_DEFAULT);
    H5Dclose(set);
    H5Tclose(type);
    H5Pclose(creation);
    H5Sclose(space);
}

static void change_numbers(hid_t file, const char *name, dice *d)
{
    const hid_t set = H5Dopen2(file, name, H5P_DEFAULT), space = H5Dget_space(set), type = H5Dget_type(set);
    const hssize_t n = H5Sget_simple_extent_npoints(space);
    const H5T_class_t class = H5Tget_class(type);
    if (n > 0 && n < 1 << 22 && (class == H5T_INTEGER || class == H5T_FLOAT)) {
        double *value = calloc((size_t)n, sizeof *value);
        if (value && H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, value) >= 0) {
            const size_t first = throw_to(d, (unsigned)n), many = throw_to(d, 3) == 0 ? (size_t)n : 1;
            const double odd = odd_number(d);
            for (size_t i = 0; i < many; i++)
                value[(first + i) % (size_t)n] = odd;
            H5Dwrite(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, value);
        }
        free(value);
    }
    H5Tclose(type);
    H5Sclose(space);
    H5Dclose(set);
}

static void change_note(hid_t file, const char *name, dice *d)
{
    const hid_t at = H5Oopen(file, name, H5P_DEFAULT);
    H5O_info_t info;
    char note[128] = "Conventions";
    if (H5Oget_info(at, &info) >= 0 && info.num_attrs > 0)
        H5Aget_name_by_idx(at, ".", H5_INDEX_NAME, H5_ITER_INC, throw_to(d, (unsigned)info.num_attrs), note,
                           sizeof note, H5P_DEFAULT);
    H5Adelete(at, note);
    if (throw_to(d, 4) > 0) {
        hsize_t shape[4] = {1 + throw_to(d, 3)};
        const hid_t type = odd_type(d), space = throw_to(d, 2) ? H5Screate(H5S_SCALAR)
                                                               : H5Screate_simple(1, shape, NULL);
        const hid_t made = H5Acreate2(at, note, type, space, H5P_DEFAULT, H5P_DEFAULT);
        H5Aclose(made);
        H5Sclose(space);
        H5Tclose(type);
    }
    H5Oclose(at);
}

static void change_link(hid_t file, const char *name, const objects *all, dice *d)
{
    H5Ldelete(file, name, H5P_DEFAULT);
    switch (throw_to(d, 4)) {
    case 0: H5Lcreate_soft("/", file, name, H5P_DEFAULT, H5P_DEFAULT); break;
    case 1: H5Lcreate_external("/dev/zero", "/", file, name, H5P_DEFAULT, H5P_DEFAULT); break;
    case 2:
        H5Lcreate_hard(file, all->at[throw_to(d, (unsigned)all->n)].name, file, name, H5P_DEFAULT, H5P_DEFAULT);
        break;
    }
}

static void change_scale(hid_t file, const char *name, const objects *all, dice *d)
{
    const hid_t set = H5Dopen2(file, name, H5P_DEFAULT);
    const hid_t other = H5Oopen(file, all->at[throw_to(d, (unsigned)all->n)].name, H5P_DEFAULT);
    const hsize_t shape[] = {2};
    H5Adelete(set, "DIMENSION_LIST");
    const hid_t type = H5Tvlen_create(H5T_STD_REF_OBJ), space = H5Screate_simple(1, shape, NULL);
    const hid_t list = H5Acreate2(set, "DIMENSION_LIST", type, space, H5P_DEFAULT, H5P_DEFAULT);
    hobj_ref_t to[2] = {0, 12345};
    H5Rcreate(&to[0], file, all->at[throw_to(d, (unsigned)all->n)].name, H5R_OBJECT, -1);
    hvl_t value[2] = {{2, to}, {1, to}};
    H5Awrite(list, type, value);
    H5Aclose(list);
    H5Sclose(space);
    H5Tclose(type);
    H5Oclose(other);
    H5Dclose(set);
}

static void change(hid_t file, dice *d)
{
    objects *all = calloc(1, sizeof *all);
    H5Ovisit(file, H5_INDEX_NAME, H5_ITER_INC, note_object, all);
    const object *o = &all->at[throw_to(d, (unsigned)(all->n > 0 ? all->n : 1))];
    const int is_set = o->type == H5O_TYPE_DATASET && all->n > 0;
    switch (all->n > 0 ? throw_to(d, 8) : 7) {
    case 0:
    case 1: if (is_set) replace_dataset(file, o->name, d); break;
    case 2:
    case 3:
    case 4: if (is_set) change_numbers(file, o->name, d); break;
    case 5: change_note(file, throw_to(d, 4) == 0 ? "/" : o->name, d); break;
    case 6: change_link(file, o->name, all, d); break;
    case 7: if (is_set) change_scale(file, o->name, all, d); break;
    }
    free(all);
}

size_t fuzz_change_hdf5(uint8_t *bytes, size_t n, size_t most, unsigned seed)
{
    dice d = {seed, 0};
    if (throw_to(&d, 8) == 0) { /* HDF5's own tables */
        if (n > 0)
            bytes[throw_to(&d, (unsigned)n)] ^= (uint8_t)(1u << throw_to(&d, 8));
        return n;
    }
    H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    const char *path = fuzz_file(bytes, n);
    const hid_t file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT);
    if (file < 0)
        return 0;
    for (unsigned times = 1 + throw_to(&d, 3); times > 0; times--)
        change(file, &d);
    if (H5Fclose(file) < 0)
        return 0;
    FILE *changed = fopen(path, "rb");
    const size_t n_changed = changed ? fread(bytes, 1, most, changed) : 0;
    const int whole = changed && n_changed < most;
    if (changed)
        fclose(changed);
    return whole ? n_changed : 0;
}
