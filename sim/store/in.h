/* sim/store/in.h - the one door through which attributes and datasets come in from HDF5 files.
 *
 * A file may be damaged or made to do harm. So nothing is read before its class, its size and its extent are known to
 * fit; what a dataset claims to hold is compared with what the file can hold before memory is taken for it; and an
 * error of HDF5 counts as damage, never as "there is none". The first failure stays in the status, and the calls after
 * it do nothing. Left out: what HDF5 itself does wrong with a file that breaks its own format. */
#ifndef STORE_IN_H
#define STORE_IN_H

#include <hdf5.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "drupelet/status.h"
#include "store/out.h"
#include "store/quiet.h"

enum { STORE_IN_RANK = 4, STORE_IN_NAME = 128 }; /* most dimensions; bytes of a name, with its end */

typedef enum { STORE_IN_RESULT, STORE_IN_SWEEP, STORE_IN_CANOPY, STORE_IN_KINDS } store_in_kind;

typedef struct {
    hid_t file, links, sets; /* the file; how HDF5 follows links to groups and to datasets */
    store_in_kind kind;
    const char *path;
    bool sealed; /* its bytes are as this program wrote them (seal.h): what cannot be read then is no damage */
    double file_bytes, left_bytes; /* size of the file; what may still be read of it into memory */
    drupelet_status status;
    store_quiet before; /* HDF5 is silent while the file is read */
} store_in;

/** Numbers from low to high. A damaged file holds anything, so whoever loops over, draws or divides by a number has it
 *  checked. */
typedef struct {
    double low, high;
    bool nan_too; /* not a number stands for "unknown" */
} store_range;

/* ---- the file ---- */

/** Opens a file of a kind, whose attribute Conventions says so (a canopy may come from elsewhere and say nothing). The
 *  status tells, in one line: no such file, no HDF5 file, a damaged one, or one of another kind and which command reads
 *  it. Ended with store_in_close() either way. @param path outlives it */
void store_in_open(const char *path, store_in_kind kind, store_in *in);
void store_in_close(store_in *in);
bool store_in_fine(const store_in *in);
/** Is it a file of this program of that kind, as far as its head tells? */
bool store_in_is(const char *path, store_in_kind kind);
/** Says what is wrong at a dataset or an attribute. @param expected such as "a number from 0 to 1" */
void store_in_refuse(store_in *in, const char *name, const char *expected, const char *found, ...)
    __attribute__((format(printf, 4, 5)));
/** Memory of n numbers of a size, all 0, or NULL and a status. The caller frees it. */
void *store_in_memory(store_in *in, size_t n, size_t size);
/** Is there a dataset or group of that name ("air/x")? Its groups need not be there. */
bool store_in_has(store_in *in, const char *name);
/** Names of a group's datasets in the order of their making. @return how many; more than most are refused */
int store_in_names(store_in *in, const char *group, int most, char name[][STORE_IN_NAME]);

/* ---- attributes; of the root where the dataset's name is NULL ---- */

/** The dataset is there. */
bool store_in_has_note(store_in *in, const char *dataset, const char *name);
/** @return the text, which the caller frees; NULL after a failure */
char *store_in_note(store_in *in, const char *dataset, const char *name);
/** A whole number. @param value out: 0 after a failure */
void store_in_note_whole(store_in *in, const char *name, int64_t *value);
void store_in_note_unsigned(store_in *in, const char *name, uint64_t *value);
void store_in_note_real(store_in *in, const char *name, double *value);

/* ---- datasets ---- */

/** Looks at a dataset of numbers without reading it.
 *  @param rank, shape out  @return how many numbers are in it; 0 after a failure */
size_t store_in_shape(store_in *in, const char *name, int *rank, hsize_t shape[STORE_IN_RANK]);
/** Is dimension i of a dataset along an axis, as far as its scales tell? True where it has none. */
bool store_in_lies_along(store_in *in, const char *dataset, int rank, int i, const char *axis);
/** Numbers into memory that is there. @param shape what must be found */
void store_in_get(store_in *in, const char *name, store_type type, int rank, const hsize_t shape[], void *values);
/** Numbers into new memory, which the caller frees; NULL after a failure.
 *  @param shape in and out: an entry that is not 0 is what must be found */
void *store_in_take(store_in *in, const char *name, store_type type, int rank, hsize_t shape[]);
/** Texts, n in all or any number up to most where n is 0; each, and the list, is the caller's to free.
 *  @return NULL after a failure */
char **store_in_texts(store_in *in, const char *name, int rank, hsize_t *n, hsize_t most);
char *store_in_text(store_in *in, const char *name);

/* ---- what may stand in them ---- */

void store_in_check(store_in *in, const char *name, size_t n, const double *value, store_range range);
void store_in_check_floats(store_in *in, const char *name, size_t n, const float *value, store_range range);
void store_in_check_counts(store_in *in, const char *name, size_t n, const int32_t *value, int32_t low, int32_t high);
/** Numbers of an axis: each more than the one before (rising), or each less. */
void store_in_check_axis(store_in *in, const char *name, size_t n, const double *value, store_range range);
/** A size of the file: 1 to most. @return it, or 0 after a failure */
int store_in_size(store_in *in, const char *name, hsize_t n, double most);

#endif
