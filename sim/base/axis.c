/* sim/base/axis.c - round numbers. */
#include "base/axis.h"

#include <math.h>

#include "base/elementary.h"

double base_decade(double value)
{
    return base_pow(10.0, floor(base_log10(value)));
}

double base_round_step(double span, double n)
{
    const double raw = span / n, decade = base_decade(raw), lead = raw / decade;
    return decade * (lead < 1.5 ? 1.0 : lead < 3.5 ? 2.0 : lead < 7.5 ? 5.0 : 10.0);
}

double base_round_scale(double value)
{
    static const double ROUND[] = {1.0, 2.0, 2.5, 5.0, 10.0};
    const double decade = base_decade(value);
    int i = 0;
    while (i < 4 && ROUND[i] * decade < 0.999 * value)
        i++;
    return ROUND[i] * decade;
}

double base_one_digit_up(double value)
{
    const double decade = base_decade(value);
    return decade * ceil(value / decade - 1e-9);
}
