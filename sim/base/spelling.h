/* sim/base/spelling.h - which of some names was meant by a misspelt one. */
#ifndef BASE_SPELLING_H
#define BASE_SPELLING_H

/** Number of the name that is meant, or -1 where none is near.
 *  @param name returns name i and its bytes, NULL beyond the last */
int base_meant(const char *misspelt, const char *(*name)(const void *names, int i, int *n), const void *names);

#endif
