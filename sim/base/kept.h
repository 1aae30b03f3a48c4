/* sim/base/kept.h - a folder of files with what is costly to work out again, each known by a hash of what it follows
 * from.
 *
 * Nothing depends on what the folder holds: what is missing, damaged, cut short or foreign is worked out again, and a
 * folder that takes no file costs time only. Several processes may use one folder at once: an entry is written
 * under a name of its own and then renamed, so that there is never half of one. */
#ifndef BASE_KEPT_H
#define BASE_KEPT_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "base/hash.h"

/** An entry is made of pieces of known sizes, one behind the other. */
typedef struct {
    void *bytes;
    size_t n;
} base_kept_piece;

/** Fills the pieces from an entry. The entry counts as used now.
 *  @return false where there is no entry of that key, that size and whole; the pieces may then hold anything */
bool base_kept_read(const char *folder, base_hash key, int n_pieces, const base_kept_piece *piece);

/** Keeps an entry, in place of one of that key. A folder that is missing is made. Then those entries that were used
 *  longest ago go, until all together have at most most_bytes.
 *  @return false where the entry could not be written, or is larger than most_bytes */
bool base_kept_write(const char *folder, base_hash key, int n_pieces, const base_kept_piece *piece, int64_t most_bytes);

/** Says that the caller works out an entry, so that other threads and processes wait for it instead of doing the same.
 *  The claim of a process that is killed ends with it. Whoever has a claim must not ask for the same again.
 *  @param claim out: for base_kept_release(), also where the folder knows no claims, and everybody works for himself
 *  @return false where another one had the claim for the last 10 ms: look for the entry, then ask again */
bool base_kept_claim(const char *folder, base_hash key, FILE **claim);
void base_kept_release(const char *folder, base_hash key, FILE *claim);

#endif
