/* tests/fuzz/search/change_apart.h - changes of HDF5 files in a process of their own. */
#ifndef FUZZ_CHANGE_APART_H
#define FUZZ_CHANGE_APART_H

#include <stddef.h>
#include <stdint.h>

/** Before the search begins: returns in a child process, which is to search. The process that called makes the changes
 *  and ends as the search ends. */
void fuzz_begin_changes(void);
/** As fuzz_change_hdf5(), of the process apart. @return 0, too, where HDF5 crashed or took too long */
size_t fuzz_change_apart(uint8_t *bytes, size_t n, size_t most, unsigned seed);

#endif
