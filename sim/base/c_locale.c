/* sim/base/c_locale.c - the locale of a thread, by POSIX.1-2008. */
#define _POSIX_C_SOURCE 200809L
#include "base/c_locale.h"

#include <locale.h>

#include "base/status.h"

drupelet_status base_c_locale_enter(void **former)
{
    const locale_t c = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    *former = c == (locale_t)0 ? (locale_t)0 : uselocale(c);
    return *former ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the locale");
}

void base_c_locale_leave(void *former)
{
    if (former)
        freelocale(uselocale((locale_t)former));
}
