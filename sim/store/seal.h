/* sim/store/seal.h - a line at the end of an HDF5 file with the sum of all bytes before it.
 *
 * HDF5 sums up the numbers of datasets, but no texts, no attributes and not all of its own tables, and where a file is
 * damaged there, HDF5 may crash. The line lies behind what HDF5 counts as the file's end, so that every
 * reader of HDF5 and netCDF-4 passes over it. A program that writes into the file cuts it off; such a file is read, as
 * one of another program is, by its contents alone. */
#ifndef STORE_SEAL_H
#define STORE_SEAL_H

/** Adds the line to a file that is whole. @param file open to read and write  @return 0 or the cause */
int store_seal_add(int file);
typedef enum { STORE_SEAL_NONE, STORE_SEAL_HOLDS, STORE_SEAL_BROKEN } store_seal;
/** Does a file have the line, and does it agree with it? A file that cannot be read has none. */
store_seal store_seal_of(const char *path);

#endif
