/* sim/base/status.c - status values with a printf-formatted message. */
#include "base/status.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

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

void base_add_word(char *text, size_t room, const char *between, const char *word)
{
    const size_t used = strlen(text);
    snprintf(text + used, room - used, "%s%s", used > 0 ? between : "", word);
}
