/* sim/base/number.h - decimal numbers in text. */
#ifndef BASE_NUMBER_H
#define BASE_NUMBER_H

#include <stdbool.h>

static inline bool base_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/** A decimal number at the start of text (no hexadecimal, no "nan", no blank before it): returns what follows it, or
 * NULL. The locale of the thread must have a decimal point (base/c_locale.h). */
const char *base_number(const char *text, double *number);

#endif
