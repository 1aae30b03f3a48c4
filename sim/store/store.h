/* sim/store/store.h - result files: HDF5 that opens as netCDF-4 (docs/result-format.md). The door of the module, and
 * the only module that knows HDF5. The writer is the public drupelet_result_write().
 *
 * HDF5 may have been built without thread safety: what threads of others may call at once (the public functions, and
 * the canopy file of a scenario) takes the lock store_hdf5 before it. */
#ifndef STORE_STORE_H
#define STORE_STORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "drupelet/run.h"
#include "orchard/orchard.h"
#include "result/result.h"

enum { STORE_FORMAT = 2 }; /* format number of docs/result-format.md */

/** Reads a result file. @param result out: ended with drupelet_result_free(); NULL after a failure
 *  @return DRUPELET_OK, DRUPELET_MEMORY, or DRUPELET_SCENARIO with one line: no such file, no result of this program,
 *          another format number, or damaged (and where) */
drupelet_status store_read(const char *path, drupelet_result **result);

/** Called once by a program before all else here: HDF5 starts. It says nothing when the program ends, where after a
 *  damaged file it would tell what it could not free. @return false: there is no memory for it */
bool store_start(void);
/** Version of HDF5 that the program runs with: major, minor, release. */
void store_hdf5_version(unsigned version[3]);

/** Called once by a program that may have child processes: from then on each HDF5 file is read for a try in a process
 *  of its own before it is read here, so that a file on which HDF5 crashes ends in a sentence. */
void store_read_apart(void);

/** Kinds of canopy file, by the ending of the name: .csv; .h5 or .nc; anything else. */
typedef enum { STORE_CANOPY_UNKNOWN, STORE_CANOPY_CSV, STORE_CANOPY_HDF5 } store_canopy_form;
store_canopy_form store_canopy_form_of(const char *path);
/** Writes a canopy voxel by voxel (docs/canopy-format.md), as HDF5 where the name ends so, else as comma-separated
 *  values; under a temporary name first. Rows that are all alike are written once.
 *  @return DRUPELET_OK, DRUPELET_FILE or DRUPELET_MEMORY */
drupelet_status store_canopy_write(const drupelet_scenario *scenario, const orchard_canopy *canopy, const char *path,
                                   bool overwrite);

/** A file that is there whole or not at all: it is written under another name in the same folder and renamed at the
 * end. */
typedef struct {
    char *path, *draft; /* final name; name to write to */
    bool overwrite;
    int lock; /* the open draft: others see by its lock that its writer lives */
} store_draft;
/** Makes an empty draft, and takes away those that killed writers left in the folder. Where path is a link, the file
 * that it leads to is replaced, and the link stays. @return DRUPELET_FILE where path exists (unless overwrite), leads
 * nowhere or is no plain file, or the folder takes no file */
drupelet_status store_draft_begin(const char *path, bool overwrite, store_draft *draft);
/** Writes bytes to the draft, after those that are there. @return DRUPELET_FILE where the disk does not take them */
drupelet_status store_draft_fill(const store_draft *draft, const void *bytes, size_t n);
/** Flushes the draft to the disk and gives it its final name; the draft is ended either way. Whoever wrote it has
 * closed it. */
drupelet_status store_draft_keep(store_draft *draft);
/** Ends a draft without keeping it. */
void store_draft_drop(store_draft *draft);
/** Keeps a draft after DRUPELET_OK, else drops it. @return the status, or why it could not be kept */
drupelet_status store_draft_end(store_draft *draft, drupelet_status status);

/** A text that is there whole or not at all: the draft and its file. @param to out: NULL after a failure
 *  @return DRUPELET_OK, or DRUPELET_FILE: then there is nothing to end */
drupelet_status store_text_begin(const char *path, bool overwrite, store_draft *draft, FILE **to);
/** Keeps it after DRUPELET_OK, if the disk took all of it, else drops it. @return the status, or why it is not kept */
drupelet_status store_text_end(store_draft *draft, FILE *to, drupelet_status status);

/* The same in steps, for several texts that are kept together. */
/** Opens a draft for text. @param to out: NULL after a failure */
drupelet_status store_text_open(const store_draft *draft, FILE **to);
/** Closes it. @param to may be NULL
 *  @return the status, or DRUPELET_FILE where the disk did not take all of it */
drupelet_status store_text_close(const store_draft *draft, FILE *to, drupelet_status status);

#endif
