/* sim/cli/share.c - messages, exit codes, option values and file checks that the commands share. */
#define _XOPEN_SOURCE 700 /* realpath() */
#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/status.h"
#include "cli/cli.h"
#include "scenario/scenario.h"

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
    case DRUPELET_OK: return CLI_DONE;
    case DRUPELET_SCENARIO: /* begins with file:line:column, which editors read */
        fprintf(stderr, "%s\n", status.message);
        return CLI_BAD;
    case DRUPELET_STOPPED: cli_say("interrupted; nothing was written"); return CLI_INTERRUPTED;
    case DRUPELET_MEMORY:
    case DRUPELET_FILE:
    case DRUPELET_BALANCE: break;
    }
    cli_say("%s", status.message);
    return CLI_FAILED;
}

int cli_help(const char *text)
{
    fputs(text, stdout);
    return CLI_DONE;
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

/* The folder of a file; false if its name is too long. */
static bool folder_of(const char *path, char folder[CLI_PATH])
{
    const char *slash = strrchr(path, '/');
    const int length = slash ? (int)(slash - path) + 1 : 1;
    return snprintf(folder, CLI_PATH, "%.*s", length, slash ? path : ".") < CLI_PATH;
}

bool cli_same_file(const char *a, const char *b)
{
    struct stat one, other;
    char folder[CLI_PATH], other_folder[CLI_PATH];
    const bool there = stat(a, &one) == 0, other_there = stat(b, &other) == 0;
    if (!there && !other_there) { /* two that are to be made: one name in one folder? */
        const char *name = strrchr(a, '/'), *other_name = strrchr(b, '/');
        if (strcmp(name ? name + 1 : a, other_name ? other_name + 1 : b) != 0 || !folder_of(a, folder)
            || !folder_of(b, other_folder) || stat(folder, &one) != 0 || stat(other_folder, &other) != 0)
            return false;
    } else if (there != other_there) {
        return false;
    }
    return one.st_dev == other.st_dev && one.st_ino == other.st_ino;
}

bool cli_output_apart(const char *path, int n, const char *const input[])
{
    for (int i = 0; i < n; i++)
        if (input[i] && cli_same_file(path, input[i])) {
            cli_say("%s: is read (as %s), so it is not written over: name another file", path, input[i]);
            return false;
        }
    return true;
}

bool cli_output_apart_from_canopy(const char *path, const drupelet_scenario *scenario)
{
    const scenario_measured_canopy *measured = scenario->canopy.measured;
    return !measured || cli_output_apart(path, 1, (const char *const[]){measured->file});
}

/* Names there would be made or replaced for all programs of the machine, by a user who may. Where no /proc is mounted,
 * it is a folder like any other, of the same device as those for outputs. */
static bool system_folder(const char *folder)
{
    struct stat found, other;
    if (stat(folder, &found) != 0) return false;
    return (stat("/dev", &other) == 0 && found.st_dev == other.st_dev && found.st_ino == other.st_ino)
           || (stat("/proc/self", &other) == 0 && found.st_dev == other.st_dev);
}

static void say_no_plain_file(const char *path)
{
    cli_say("%s: is not a plain file, and a device or a stream takes no such file", path);
}

/* May a file be put there, whatever its name? @param target path, or what it leads to as a link */
static bool takes_file(const char *path, const char *target, bool overwrite)
{
    struct stat found;
    char folder[CLI_PATH];
    if (!folder_of(target, folder)) {
        cli_say("%s: the name is too long", path);
        return false;
    }
    const bool there = stat(target, &found) == 0;
    if (!there && errno != ENOENT) {
        cli_say("%s: %s", path, strerror(errno));
        return false;
    }
    if ((there && !S_ISREG(found.st_mode)) || system_folder(folder)) {
        say_no_plain_file(path);
        return false;
    }
    if (there && !overwrite) {
        cli_say("%s: exists; --force replaces it, another name lets it be", path);
        return false;
    }
    if (access(folder, W_OK | X_OK) != 0) {
        cli_say("%s: cannot write in this folder: %s", folder, strerror(errno));
        return false;
    }
    return true;
}

bool cli_output_allowed(const char *path, bool overwrite, int n, const char *const input[])
{
    struct stat found;
    if (path[0] == '\0') {
        cli_say("the name of an output is empty: name a file");
        return false;
    }
    if (strcmp(path, "-") == 0) {
        cli_say("-: standard output takes no such file: name a file (./- where it is to have that name)");
        return false;
    }
    if (!cli_output_apart(path, n, input)) return false;
    if (lstat(path, &found) != 0 || !S_ISLNK(found.st_mode) || (stat(path, &found) == 0 && !S_ISREG(found.st_mode)))
        return takes_file(path, path, overwrite);
    char folder[CLI_PATH];
    if (folder_of(path, folder) && system_folder(folder)) { /* such as /dev/fd/1, which leads to an open file */
        say_no_plain_file(path);
        return false;
    }
    char *target = realpath(path, NULL);
    if (!target) cli_say("%s: is a link that leads nowhere: %s", path, strerror(errno));
    const bool good = target && takes_file(path, target, overwrite);
    free(target);
    return good;
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
