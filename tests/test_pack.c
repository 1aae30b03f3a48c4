/* tests/test_pack.c - HDF5 reads what we pack: its own filters undo it, and its checksum agrees. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <hdf5.h>

#include "base/random.h"
#include "store/pack.h"

enum { NUMBERS = 999, ROOM = 1000, MOST_BYTES = 8 };

/* The second chunk of a dataset in a file in memory; its last number is beyond the dataset's end.
 * @return the filters that were not used */
static uint32_t goes_through_hdf5(const unsigned char *values, size_t size, hid_t type, bool damaged, bool *same)
{
    static unsigned char back[(ROOM + NUMBERS) * MOST_BYTES];
    const hsize_t shape = ROOM + NUMBERS, chunk = ROOM, offset = ROOM;
    const hid_t access = H5Pcreate(H5P_FILE_ACCESS), creation = H5Pcreate(H5P_DATASET_CREATE);
    const hid_t space = H5Screate_simple(1, &shape, NULL);
    H5Pset_fapl_core(access, 1 << 16, 0);
    H5Pset_chunk(creation, 1, &chunk);
    H5Pset_shuffle(creation);
    H5Pset_deflate(creation, 1);
    H5Pset_fletcher32(creation);
    const hid_t file = H5Fcreate("test_pack_in_memory.h5", H5F_ACC_TRUNC, H5P_DEFAULT, access);
    const hid_t set = H5Dcreate2(file, "numbers", type, space, H5P_DEFAULT, creation, H5P_DEFAULT);
    assert_true(file >= 0 && set >= 0);
    const store_packed packed = store_pack(values, NUMBERS, ROOM, size);
    assert_non_null(packed.bytes);
    if (damaged)
        packed.bytes[packed.size / 2] ^= 1;
    assert_true(H5Dwrite_chunk(set, H5P_DEFAULT, packed.unused, &offset, packed.size, packed.bytes) >= 0);
    free(packed.bytes);
    const herr_t read = H5Dread(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, back);
    *same = read >= 0 && memcmp(values, back + ROOM * size, NUMBERS * size) == 0;
    H5Dclose(set);
    H5Fclose(file);
    H5Sclose(space);
    H5Pclose(creation);
    H5Pclose(access);
    return packed.unused;
}

static void hdf5_reads_what_we_pack(void **state)
{
    (void)state;
    static unsigned char smooth[NUMBERS * MOST_BYTES], noise[NUMBERS * MOST_BYTES];
    const struct { size_t size; hid_t type; } kind[] = {
        {1, H5T_NATIVE_INT8}, {2, H5T_NATIVE_INT16}, {4, H5T_NATIVE_FLOAT}, {8, H5T_NATIVE_DOUBLE}};
    for (size_t i = 0; i < sizeof noise; i++) {
        uint32_t bits[4];
        base_random_block(3, BASE_STREAM_CHECK, i, 0, bits);
        noise[i] = (unsigned char)bits[0];
        smooth[i] = (unsigned char)(i / 64);
    }
    for (size_t k = 0; k < sizeof kind / sizeof kind[0]; k++) {
        bool same;
        assert_int_equal(goes_through_hdf5(smooth, kind[k].size, kind[k].type, false, &same), 0);
        assert_true(same);
        assert_int_equal(goes_through_hdf5(noise, kind[k].size, kind[k].type, false, &same), 2); /* nothing to gain */
        assert_true(same);
    }
}

static void damage_is_found(void **state)
{
    (void)state;
    static unsigned char values[NUMBERS * MOST_BYTES];
    for (size_t i = 0; i < sizeof values; i++)
        values[i] = (unsigned char)(i * i >> 7);
    bool same;
    H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    goes_through_hdf5(values, 4, H5T_NATIVE_FLOAT, true, &same);
    assert_false(same);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(hdf5_reads_what_we_pack), cmocka_unit_test(damage_is_found)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
