/* sim/cli/cli.h - what the commands of the program share: exit codes, option values, files, messages. The door of the
 * module. Only this module prints, reads the clock and asks whether a stream is a
 * terminal. */
#ifndef CLI_CLI_H
#define CLI_CLI_H

#include <stdbool.h>
#include <stdint.h>

#include "drupelet/scenario.h"
#include "drupelet/status.h"

enum { CLI_GO = -1, CLI_DONE = 0, CLI_FAILED = 1, CLI_BAD = 2, CLI_INTERRUPTED = 130 };
enum { CLI_PATH = 4096 }; /* bytes of a path, with its end */

/* The commands, one file each; argv[0] is "drupelet <command>". They return an exit code. */
int cli_run(int argc, char **argv);
int cli_settings(int argc, char **argv);
int cli_catch(int argc, char **argv);
int cli_block(int argc, char **argv);
int cli_record(int argc, char **argv);
int cli_distance(int argc, char **argv);
int cli_hours(int argc, char **argv);
int cli_verify(int argc, char **argv);
int cli_draw(int argc, char **argv);
int cli_summary(int argc, char **argv);
int cli_budget(int argc, char **argv);
int cli_report(int argc, char **argv);
int cli_canopy(int argc, char **argv);
int cli_score(int argc, char **argv);
int cli_compare(int argc, char **argv);
int cli_leaf(int argc, char **argv);
int cli_sweep(int argc, char **argv);
int cli_tradeoff(int argc, char **argv);

/** Prints compiler, vector width, library and formats, one a line. */
void cli_show_build(void);
/** From now on a crash, or a library that ends the program, ends in a sentence and exit code 1 ... */
void cli_catch_end(void);
/** ... until the program ends by itself. */
void cli_end_is_ours(void);
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

/** Texts of an option that may be repeated, in their order, borrowed from argv. */
typedef struct { const char **text; int n; } cli_texts;
enum { CLI_OWN_SETTINGS = 4 }; /* that a command may add to those of --set */
/** Calls a command with a list that takes all --set options. */
int cli_with_settings(int argc, char **argv, int (*command)(int argc, char **argv, cli_texts *settings));

/** An option of a command and where its value goes, one of these. */
typedef struct {
    const char *name;     /* in full; "output" is -o, too; NULL ends a table */
    bool *flag;           /* takes no value */
    const char **text;
    cli_texts *texts;     /* may be repeated */
    bool with_key;        /* each of the texts is KEY=VALUE */
    int64_t *count;       /* a whole number, as 200000 or 2e5 */
    int64_t least, most;  /* least: 1 where it is 0 */
} cli_option;
/** Reads the options of a command line up to optind. --help, which every command has, prints the help text, if any.
 *  @return CLI_GO, or the exit code to end with */
int cli_options(int argc, char **argv, const char *help, const cli_option *options);
/** A whole number from 1 on; false for other text. */
bool cli_count(const char *text, int64_t most, int64_t *value);
/** The name of the output: what was named, or the input's name with an extension, in room; NULL if that is too long,
 *  which it says. */
const char *cli_output_of(const char *command, const char *named, const char *input, const char *extension,
                          char room[CLI_PATH]);

/** The input's name without folder and last extension, plus the extension. False if too long. */
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
