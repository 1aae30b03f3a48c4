/* tests/check.h - comparisons that cmocka lacks. Include it after cmocka.h. */
#ifndef CHECK_H
#define CHECK_H

#include <math.h>

#include "base/status.h"

/* Fails unless |actual - expected| <= rtol |expected| + atol; not-a-number always fails. */
static inline void check_close(double actual, double expected, double rtol, double atol, const char *what,
                               const char *file, int line)
{
    if (fabs(actual - expected) <= rtol * fabs(expected) + atol)
        return;
    print_error("%s is %.9g, expected %.9g within %g of it + %g; off by %.3g (%.3g %%)\n", what, actual, expected, rtol,
                atol, actual - expected, 100.0 * (actual - expected) / fabs(expected));
    _fail(file, line);
}

/* Fails unless low <= actual <= high. */
static inline void check_between(double actual, double low, double high, const char *what, const char *file, int line)
{
    if (actual >= low && actual <= high)
        return;
    print_error("%s is %.9g, expected %.9g to %.9g\n", what, actual, low, high);
    _fail(file, line);
}

/* Fails with the message of a status that is no success. */
static inline void check_ok(drupelet_status status, const char *file, int line)
{
    if (status.code == DRUPELET_OK)
        return;
    print_error("%s\n", status.message);
    _fail(file, line);
}

#define assert_ok(status) check_ok((status), __FILE__, __LINE__)
#define assert_close(actual, expected, rtol, atol) \
    check_close((actual), (expected), (rtol), (atol), #actual, __FILE__, __LINE__)
#define assert_between(actual, low, high) check_between((actual), (low), (high), #actual, __FILE__, __LINE__)

#endif
