/* sim/store/in_check.c - are the numbers of a file possible ones? */
#include <math.h>
#include <stdio.h>

#include "store/in.h"

static bool inside(double value, store_range range)
{
    return isnan(value) ? range.nan_too : value >= range.low && value <= range.high;
}

static void refuse_number(store_in *in, const char *name, size_t i, size_t n, double value, double low, double high)
{
    char expected[64], place[56] = "";
    snprintf(expected, sizeof expected, "%g to %g", low, high);
    if (n > 1)
        snprintf(place, sizeof place, " at number %zu (counted from 0)", i);
    store_in_refuse(in, name, expected, "%g%s", value, place);
}

void store_in_check(store_in *in, const char *name, size_t n, const double *value, store_range range)
{
    for (size_t i = 0; i < n && store_in_fine(in); i++)
        if (!inside(value[i], range))
            refuse_number(in, name, i, n, value[i], range.low, range.high);
}

void store_in_check_floats(store_in *in, const char *name, size_t n, const float *value, store_range range)
{
    for (size_t i = 0; i < n && store_in_fine(in); i++)
        if (!inside((double)value[i], range))
            refuse_number(in, name, i, n, (double)value[i], range.low, range.high);
}

void store_in_check_counts(store_in *in, const char *name, size_t n, const int32_t *value, int32_t low, int32_t high)
{
    for (size_t i = 0; i < n && store_in_fine(in); i++)
        if (value[i] < low || value[i] > high)
            refuse_number(in, name, i, n, value[i], low, high);
}

void store_in_check_axis(store_in *in, const char *name, size_t n, const double *value, store_range range)
{
    store_in_check(in, name, n, value, range);
    for (size_t i = 1; i < n && store_in_fine(in); i++)
        if (value[i] == value[i - 1] || (value[i] > value[i - 1]) != (value[1] > value[0]))
            store_in_refuse(in, name, "an axis that rises or falls throughout", "%g after %g", value[i], value[i - 1]);
}

int store_in_size(store_in *in, const char *name, hsize_t n, double most)
{
    if (store_in_fine(in) && (n < 1 || (double)n > most))
        store_in_refuse(in, name, "a smaller file", "%.6g places, more than the %.6g of any run", (double)n, most);
    return store_in_fine(in) ? (int)n : 0;
}
