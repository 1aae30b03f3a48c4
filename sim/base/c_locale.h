/* sim/base/c_locale.h - a decimal point in every number that is read or printed, whatever the locale of the program
 * that uses the library: with a decimal comma strtod() reads 0.5 as 0, and printf() writes 0,5. */
#ifndef BASE_C_LOCALE_H
#define BASE_C_LOCALE_H

#include "drupelet/status.h"

/** The calling thread works in the C locale until base_c_locale_leave(); other threads keep theirs.
 *  @param former out: the thread's locale until now; NULL on failure  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status base_c_locale_enter(void **former);
void base_c_locale_leave(void *former); /**< NULL is allowed */

#endif
