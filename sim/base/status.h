/* sim/base/status.h - makes the status values that every module returns. */
#ifndef BASE_STATUS_H
#define BASE_STATUS_H

#include <stddef.h>

#include "drupelet/status.h"

drupelet_status base_ok(void);
/** A status with a printf-formatted message; a message that is too long is cut. */
drupelet_status base_error(drupelet_code code, const char *format, ...) __attribute__((format(printf, 2, 3)));

/** Adds a word to a list of words, as far as there is room. @param between goes before it unless it is the first: ", ".
 */
void base_add_word(char *text, size_t room, const char *between, const char *word);

#endif
