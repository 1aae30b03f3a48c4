/* sim/store/journal.h - an append-only file of records with checksums, for work that must outlive a crash.
 *
 * The head says what the records belong to and is there whole or not at all (written under another name, flushed,
 * renamed). Each record is one write() at the end of the file: what was appended survives the end of the program at any
 * moment. A flush to the disk (against a power cut) is dear, so the caller says when. */
#ifndef STORE_JOURNAL_H
#define STORE_JOURNAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "drupelet/status.h"

typedef struct store_journal store_journal;

/** Is there a file of that name, whether it can be read or not? */
bool store_journal_is_there(const char *path);

/** Makes a journal with a head and no records, in place of a file of that name where overwrite is true.
 *  @param journal out: ended with store_journal_close(); NULL on failure
 *  @return DRUPELET_OK, DRUPELET_FILE (it exists, or cannot be written) or DRUPELET_MEMORY */
drupelet_status store_journal_create(const char *path, const void *head, size_t n_head, bool overwrite,
                                     store_journal **journal);
/** Opens a journal, finds its records, and cuts off a record at the end that was not written whole. A damaged record
 *  between whole ones is passed over. Nobody else may have it open for writing.
 *  @param to_append false: only to read; then nothing is cut off
 *  @return DRUPELET_OK, DRUPELET_FILE (no such file, no journal, damaged head, in use) or DRUPELET_MEMORY */
drupelet_status store_journal_open(const char *path, bool to_append, store_journal **journal);
void store_journal_close(store_journal *journal); /* NULL is allowed; flushes what was appended */

/** Borrowed until store_journal_close(). */
const void *store_journal_head(const store_journal *journal, size_t *n);
const char *store_journal_path(const store_journal *journal);
int64_t store_journal_records(const store_journal *journal);
/** Bytes of the torn or damaged records that were found when it was opened. */
int64_t store_journal_lost(const store_journal *journal);
/** Record i in the order of the file. @param bytes out: borrowed until the next call */
drupelet_status store_journal_read(store_journal *journal, int64_t i, const void **bytes, size_t *n);
/** Adds a record. On failure (a full disk) the file is as before. @param flush waits until the disk has it */
drupelet_status store_journal_append(store_journal *journal, const void *bytes, size_t n, bool flush);

#endif
