/* sim/cli/share.c - messages, exit codes, option values and file checks that the commands share. */
#define _POSIX_C_SOURCE 200809L
#include <ctype.h>
#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/status.h"
#include "cli/cli.h"

void cli_say(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    fputs("drupelet: ", stderr);
    vfprintf(stderr, format, arguments);
    fputc('\n', stderr);
    va_end(arguments);
}

int cli_bad_usage(const char *command, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    fprintf(stderr, "%s: ", command);
    vfprintf(stderr, format, arguments);
    fputc('\n', stderr);
    va_end(arguments);
    return cli_bad_option(command);
}

int cli_bad_option(const char *command)
{
    fprintf(stderr, "Try '%s --help'.\n", command);
    return CLI_BAD;
}

int cli_end(drupelet_status status)
{
    switch (status.code) {
    case DRUPELET_OK:
        return CLI_DONE;
    case DRUPELET_SCENARIO: /* begins with file:line:column, which editors read */
        fprintf(stderr, "%s\n", status.message);
        return CLI_BAD;
    case DRUPELET_STOPPED:
        cli_say("interrupted; nothing was written");
        return CLI_INTERRUPTED;
    case DRUPELET_MEMORY:
    case DRUPELET_FILE:
    case DRUPELET_BALANCE:
        break;
    }
    cli_say("%s", status.message);
    return CLI_FAILED;
}

int cli_help(const char *text)
{
    fputs(text, stdout);
    return CLI_DONE;
}

bool cli_count(const char *text, int64_t most, int64_t *value)
{
    if (!isdigit((unsigned char)text[0]) || text[strspn(text, "0123456789.eE+")] != '\0')
        return false; /* strtod would take blanks, signs, hexadecimal and "nan" */
    char *end;
    const double number = strtod(text, &end);
    if (*end != '\0' || number < 1.0 || number > (double)most || number != (double)(int64_t)number)
        return false;
    *value = (int64_t)number;
    return true;
}

bool cli_seed(const char *text, uint64_t *value)
{
    if (!isdigit((unsigned char)text[0]))
        return false;
    char *end;
    errno = 0;
    const unsigned long long number = strtoull(text, &end, 10);
    if (*end != '\0' || errno != 0 || number > UINT64_MAX)
        return false;
    *value = number;
    return true;
}

drupelet_status cli_overrides_create(int argc, cli_overrides *overrides)
{
    overrides->n = 0;
    overrides->text = calloc((size_t)argc + 1, sizeof *overrides->text);
    return overrides->text ? base_ok() : base_error(DRUPELET_MEMORY, "no memory left");
}

int cli_with_overrides(int argc, char **argv, int (*command)(int argc, char **argv, cli_overrides *overrides))
{
    cli_overrides overrides;
    const drupelet_status status = cli_overrides_create(argc, &overrides);
    const int code = status.code == DRUPELET_OK ? command(argc, argv, &overrides) : cli_end(status);
    free(overrides.text);
    return code;
}

bool cli_override_add(cli_overrides *overrides, const char *text)
{
    const char *equals = strchr(text, '=');
    if (!equals || equals == text)
        return false;
    overrides->text[overrides->n++] = text;
    return true;
}

bool cli_output_name(const char *input, const char *extension, char output[CLI_PATH])
{
    const char *slash = strrchr(input, '/');
    const char *name = slash ? slash + 1 : input;
    const char *dot = strrchr(name, '.');
    const int length = dot && dot != name ? (int)(dot - name) : (int)strlen(name);
    const int written = snprintf(output, CLI_PATH, "%.*s%s", length, name, extension);
    return written > 0 && written < CLI_PATH;
}

bool cli_output_allowed(const char *path, bool overwrite)
{
    struct stat found;
    if (stat(path, &found) == 0) {
        if (!S_ISREG(found.st_mode)) {
            cli_say("%s: is not a plain file", path);
            return false;
        }
        if (!overwrite) {
            cli_say("%s: exists; --force replaces it, -o names another file", path);
            return false;
        }
    } else if (errno != ENOENT) {
        cli_say("%s: %s", path, strerror(errno));
        return false;
    }
    char folder[CLI_PATH];
    const char *slash = strrchr(path, '/');
    const int length = slash ? (int)(slash - path) + 1 : 0;
    const int written = snprintf(folder, sizeof folder, "%.*s", slash ? length : 1, slash ? path : ".");
    if (written >= (int)sizeof folder) {
        cli_say("%s: the name is too long", path);
        return false;
    }
    if (access(folder, W_OK | X_OK) != 0) {
        cli_say("%s: cannot write in this folder: %s", folder, strerror(errno));
        return false;
    }
    return true;
}

bool cli_input_readable(const char *path)
{
    struct stat found;
    if (stat(path, &found) != 0 || access(path, R_OK) != 0) {
        cli_say("%s: cannot be read: %s", path, strerror(errno));
        return false;
    }
    if (S_ISDIR(found.st_mode)) {
        cli_say("%s: is a folder", path);
        return false;
    }
    return true;
}
