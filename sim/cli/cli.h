/* sim/cli/cli.h - what the commands of the program share: exit codes, option values, files, messages. The door of the
 * module. Only this module prints, reads the clock and asks whether a stream is a
 * terminal. */
#ifndef CLI_CLI_H
#define CLI_CLI_H

#include <stdbool.h>
#include <stdint.h>

#include "drupelet/scenario.h"
#include "drupelet/status.h"

enum { CLI_DONE = 0, CLI_FAILED = 1, CLI_BAD = 2, CLI_INTERRUPTED = 130 };
enum { CLI_PATH = 4096 }; /* bytes of a path, with its end */

/* The commands, one file each; argv[0] is "drupelet <command>". They return an exit code. */
int cli_run(int argc, char **argv);
int cli_settings(int argc, char **argv);
int cli_verify(int argc, char **argv);
int cli_draw(int argc, char **argv);
int cli_summary(int argc, char **argv);
int cli_report(int argc, char **argv);
int cli_canopy(int argc, char **argv);
int cli_score(int argc, char **argv);
int cli_leaf(int argc, char **argv);
int cli_sweep(int argc, char **argv);
int cli_tradeoff(int argc, char **argv);

/** Prints "drupelet: " and one line on stderr. */
void cli_say(const char *format, ...) __attribute__((format(printf, 1, 2)));
/** Says what is wrong with the command line and where to look; returns CLI_BAD. @param command as in argv[0] */
int cli_bad_usage(const char *command, const char *format, ...) __attribute__((format(printf, 2, 3)));
/** The same after getopt_long has named the fault. */
int cli_bad_option(const char *command);
/** Says the status's message, if it has one, and returns the exit code that goes with it. */
int cli_end(drupelet_status status);
/** Prints a help text on stdout; returns CLI_DONE. */
int cli_help(const char *text);

/** Values of options. All return false for text that is not such a number, or out of range.
 *  A count may be written 200000 or 2e5. */
bool cli_count(const char *text, int64_t most, int64_t *value);
bool cli_seed(const char *text, uint64_t *value);

/** The --set options in their order; the texts are borrowed from argv, the list is the caller's to free(). */
typedef struct {
    const char **text;
    int n;
} cli_overrides;
/** @param argc the most that can come. Ends in DRUPELET_MEMORY without memory. */
drupelet_status cli_overrides_create(int argc, cli_overrides *overrides);
/** Makes the list, calls a command with it, frees it. */
int cli_with_overrides(int argc, char **argv, int (*command)(int argc, char **argv, cli_overrides *overrides));
/** Adds one; false if it is not KEY=VALUE. */
bool cli_override_add(cli_overrides *overrides, const char *text);

/** Name for an output: the input's name without folder and last extension, plus the extension. False if too long. */
bool cli_output_name(const char *input, const char *extension, char output[CLI_PATH]);
/** Do two names stand for one file, or for one that is yet to be made? Links and "./" are followed. */
bool cli_same_file(const char *a, const char *b);
/** Refuses an output that is one of the inputs, for its bytes would be lost; says so.
 *  @param input names of the n files that the command reads; those that are NULL are passed over */
bool cli_output_apart(const char *path, int n, const char *const input[]);
/** The same for the canopy file that a scenario read, if it did. */
bool cli_output_apart_from_canopy(const char *path, const drupelet_scenario *scenario);
/** Refuses an output that is an input, exists (unless overwrite), is no plain file, or whose folder is missing or takes
 *  no file; says why. Called before work starts. @param n, input as for cli_output_apart() */
bool cli_output_allowed(const char *path, bool overwrite, int n, const char *const input[]);
/** Refuses an input that is missing, a folder or unreadable; says why. */
bool cli_input_readable(const char *path);

#endif
