/* sim/base/number.h - decimal numbers in text. */
#ifndef BASE_NUMBER_H
#define BASE_NUMBER_H

#include <stdbool.h>

#include "drupelet/status.h"

/** A value that was typed in another unit may miss a round border by this share. */
#define BASE_ROUNDING 1e-6

static inline bool base_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/** A decimal number at the start of text (no hexadecimal, no "nan", no blank before it): returns what follows it, or
 * NULL. The locale of the thread must have a decimal point. */
const char *base_number(const char *text, double *number);

/** The calling thread works in the C locale, which has one, until base_c_locale_leave(); other threads keep theirs.
 *  @param former out: the thread's locale until now; NULL on failure  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status base_c_locale_enter(void **former);
void base_c_locale_leave(void *former); /**< NULL is allowed */

#endif
