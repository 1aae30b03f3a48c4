/* sim/base/status.c - status values with a printf-formatted message. */
#include "base/status.h"

#include <stdarg.h>
#include <stdio.h>

drupelet_status base_ok(void)
{
    return (drupelet_status){.code = DRUPELET_OK};
}

drupelet_status base_error(drupelet_code code, const char *format, ...)
{
    drupelet_status status = {.code = code};
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(status.message, sizeof status.message, format, arguments); /* cuts what is too long */
    va_end(arguments);
    return status;
}
