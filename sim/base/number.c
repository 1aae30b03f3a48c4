/* sim/base/number.c - reads decimal numbers, and nothing else that strtod() would take. */
#include "base/number.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

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
