/* tests/fuzz/targets.h - everything that takes input from outside, as functions of bytes: for a fuzzer that looks for
 * inputs on which they crash (scripts/fuzz), and for the test that tries those found before (tests/test_fuzz.c). */
#ifndef FUZZ_TARGETS_H
#define FUZZ_TARGETS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct {
    const char *name;
    bool (*try_bytes)(const uint8_t *bytes, size_t n); /* reads them. @return whether they were taken */
    const char *seeds;  /* inputs that are good, or nearly: a pattern of file names within the project; "": made */
    int is_hdf5;        /* its inputs are changed as HDF5 files are: bytes alone meet HDF5's own sums */
} fuzz_target;

extern const fuzz_target fuzz_targets[];
extern const int fuzz_n_targets;

/** Writes good inputs of the targets whose seeds are made into a folder, as NAME-1.h5 and so on. */
void fuzz_make_seeds(const char *folder);

/** A file in memory where the system has such, with these bytes; the same path each time. */
const char *fuzz_file(const uint8_t *bytes, size_t n);

/** Changes an HDF5 file as malice would: another extent, type, number, text, attribute or link somewhere, or a byte.
 *  @param bytes in and out, room for most  @param seed which change
 *  @return their number; 0 where nothing came of it */
size_t fuzz_change_hdf5(uint8_t *bytes, size_t n, size_t most, unsigned seed);

#endif
