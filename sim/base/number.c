/* sim/base/number.c - reads decimal numbers, and nothing else that strtod() would take, with a decimal point
 * whatever the locale is (POSIX.1-2008). */
#define _POSIX_C_SOURCE 200809L
#include "base/number.h"

#include <locale.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/status.h"

const char *base_number(const char *text, double *number)
{
    const char *c = text + (*text == '-' || *text == '+');
    const char *digits = c;
    while (base_is_digit(*c))
        c++;
    int n = (int)(c - digits);
    if (*c == '.' && c[1] != '.') /* not the dots of a range */
        for (c++; base_is_digit(*c); c++)
            n++;
    if (n == 0)
        return NULL;
    if (*c == 'e' || *c == 'E') {
        const char *power = c + 1 + (c[1] == '-' || c[1] == '+');
        if (base_is_digit(*power))
            for (c = power; base_is_digit(*c);)
                c++;
    }
    char *end;
    *number = strtod(text, &end);
    const bool whole =
        end == c || (end == c + 1 && *c == '.'); /* strtod goes on with 0x10, and takes a range's first dot */
    return whole && isfinite(*number) ? c : NULL;
}

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
