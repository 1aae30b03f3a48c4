/* sim/base/double_bits.h - the 64 bits of a double (IEEE 754 binary64): sign, exponent + 1023 in 11 bits, and the 52
 * digits behind the point. */
#ifndef BASE_DOUBLE_BITS_H
#define BASE_DOUBLE_BITS_H

#include <stdint.h>
#include <string.h>

static inline double base_double_of_bits(uint64_t bits)
{
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static inline uint64_t base_bits_of_double(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

/** 2^n for n from -1022 to 1023. */
static inline double base_power_of_2(int64_t n)
{
    return base_double_of_bits((uint64_t)(n + 1023) << 52);
}

/** The upper 26 of a double's 53 digits: the product of two such is exact. */
static inline double base_upper_digits(double value)
{
    return base_double_of_bits(base_bits_of_double(value) & ~UINT64_C(0x7ffffff));
}

/** Added to a number within 2^51 and taken away again, it leaves the nearest whole number; the low bits of the sum are
 * that number. */
#define BASE_ROUNDER 0x1.8p52

#endif
