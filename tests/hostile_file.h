/* tests/hostile_file.h - changes a file of this program as damage or malice would: HDF5 takes it, its contents lie.
 * A change that HDF5 does not make ends the test. */
#ifndef HOSTILE_FILE_H
#define HOSTILE_FILE_H

#include <hdf5.h>

/** Copies a file byte by byte. */
void hostile_copy(const char *from, const char *to);
/** An attribute of an object ("/", "factors/tip") with other contents. @param shape [rank]  @param value NULL: zeros */
void hostile_note(const char *path, const char *object, const char *name, hid_t type, int rank, const hsize_t shape[],
                  const void *value);
/** An attribute with n texts instead of one. */
void hostile_note_texts(const char *path, const char *object, const char *name, const char *text, hsize_t n);
/** Number i of a dataset. */
void hostile_number(const char *path, const char *dataset, hsize_t i, double value);
/** Another dataset of that name, which claims a shape and holds nothing; packed in chunks of 1 MB. */
void hostile_claim(const char *path, const char *dataset, hid_t type, int rank, const hsize_t shape[]);
/** A single number of another type. */
void hostile_single(const char *path, const char *dataset, hid_t type, const void *value);
/** Takes away a dataset, or puts a link that leads to no dataset of the file. @param file NULL: a path of this file */
void hostile_remove(const char *path, const char *name);
void hostile_link(const char *path, const char *name, const char *file, const char *to);

#endif
