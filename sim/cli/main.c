/* sim/cli/main.c - the program: finds the command, opens standard streams that were closed, and returns the exit
 * code: 0 done; 1 a run or a check failed; 2 bad usage or bad scenario; 130 interrupted. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/spelling.h"
#include "cli/cli.h"
#include "drupelet/drupelet.h"
#include "report/key_list.h"
#include "store/store.h"

typedef struct {
    const char *name, *full_name; /* the full name heads the command's messages */
    int (*work)(int argc, char **argv);
    const char *summary;
} command;

static int show_help(int argc, char **argv);

static const command commands[] = {
    {"run", "drupelet run", cli_run, "simulate a scenario and write the result file"},
    {"settings", "drupelet settings", cli_settings, "flows, rates and air of a scenario, without simulating"},
    {"block", "drupelet block", cli_block, "the job before it is sprayed: time, tank, cost, canopy, air, heights"},
    {"catch", "drupelet catch", cli_catch, "a catch test: worn and plugged nozzles, and the scenario as it was found"},
    {"hours", "drupelet hours", cli_hours, "what the hours of a weather file are like, with drift on request"},
    {"record", "drupelet record", cli_record, "a field record to print, and a sheet for a class"},
    {"leaf", "drupelet leaf", cli_leaf, "what a scenario's droplets do at its leaves, by size and speed"},
    {"summary", "drupelet summary", cli_summary, "print where the spray of a result file went"},
    {"budget", "drupelet budget", cli_budget, "print the way of the spray by droplet size and crown zone"},
    {"draw", "drupelet draw", cli_draw, "draw a picture (SVG) of a result file"},
    {"report", "drupelet report", cli_report, "write a page for a browser of one to four results, or of a sweep"},
    {"canopy", "drupelet canopy", cli_canopy, "write the canopy of a scenario, voxel by voxel"},
    {"compare", "drupelet compare", cli_compare, "what differs between results: settings and numbers"},
    {"distance", "drupelet distance", cli_distance, "how far ground drift stays above a percentage"},
    {"score", "drupelet score", cli_score, "compare measurements of a trial with a result file"},
    {"sweep", "drupelet sweep", cli_sweep, "run many cases by a plan, resumable"},
    {"tradeoff", "drupelet tradeoff", cli_tradeoff, "front, best settings, effects and sensitivities of a sweep"},
    {"verify", "drupelet verify", cli_verify, "compare the physics with published numbers"},
    {"help", "drupelet help", show_help, "explain a command, as its --help does"},
};
enum { N_COMMANDS = sizeof commands / sizeof commands[0], LONGEST_COMMAND = 32 };

static void print_usage(FILE *to)
{
    fputs("Usage: drupelet COMMAND [OPTION]... [FILE]\n"
          "Follows the spray of an air-assisted orchard sprayer to leaf, ground and air.\n"
          "\n"
          "Commands:\n",
          to);
    for (int i = 0; i < N_COMMANDS; i++)
        fprintf(to, "  %-10s %s\n", commands[i].name, commands[i].summary);
    fputs("\n"
          "'drupelet COMMAND --help' or 'drupelet help COMMAND' explains a command. 'drupelet help keys' lists the\n"
          "keys of a scenario, 'drupelet help keys weather' those that begin so. 'drupelet --version' prints the\n"
          "version, with --verbose also what the program is built of.\n"
          "Exit codes: 0 done; 1 a run or a check failed; 2 bad usage or bad scenario; 130 interrupted.\n",
          to);
}

static const char *name_of_command(const void *unused, int i, int *n)
{
    (void)unused;
    *n = i < N_COMMANDS ? (int)strlen(commands[i].name) : 0;
    return i < N_COMMANDS ? commands[i].name : NULL;
}

/* @param caller heads the message */
static int unknown_command(const char *caller, const char *name)
{
    const int near = base_meant(name, name_of_command, NULL);
    if (near >= 0)
        return cli_bad_usage(caller, "unknown command '%s'; did you mean '%s'?", name, commands[near].name);
    return cli_bad_usage(caller, "unknown command '%s'", name);
}

static const command *command_named(const char *name)
{
    for (int i = 0; i < N_COMMANDS; i++)
        if (strcmp(name, commands[i].name) == 0)
            return &commands[i];
    return NULL;
}

/* getopt_long heads its messages with argv[0], which is the command's full name. */
static int call(const command *c, int argc, char **argv)
{
    char full_name[LONGEST_COMMAND + 1];
    snprintf(full_name, sizeof full_name, "%s", c->full_name);
    argv[0] = full_name;
    return c->work(argc, argv);
}

/* drupelet help keys, drupelet help keys START */
static int show_keys(const char *caller, const char *start)
{
    if (report_key_list(stdout, start) == 0)
        return cli_bad_usage(caller, "no key begins with '%s'", start);
    return CLI_DONE;
}

/* drupelet help, drupelet help COMMAND */
static int show_help(int argc, char **argv)
{
    if (argc > 1 && argc < 4 && strcmp(argv[1], "keys") == 0)
        return show_keys(argv[0], argc > 2 ? argv[2] : "");
    if (argc > 2)
        return cli_bad_usage(argv[0], "one command at a time, found '%s' after '%s'", argv[2], argv[1]);
    const bool of_itself = argc < 2 || strcmp(argv[1], "help") == 0 || strcmp(argv[1], "--help") == 0
                           || strcmp(argv[1], "-h") == 0;
    if (of_itself) {
        print_usage(stdout);
        return CLI_DONE;
    }
    const command *c = command_named(argv[1]);
    if (!c)
        return unknown_command(argv[0], argv[1]);
    char option[] = "--help";
    char *asked[] = {NULL, option, NULL};
    return call(c, 2, asked);
}

/* A standard stream that the caller closed would lend its number to the next file that is opened, and messages would
 * land in a result. The number is taken, in the wrong direction, so that a use of the stream still fails. */
static void hold_standard_streams(void)
{
    for (int fd = 0; fd <= 2; fd++)
        if (fcntl(fd, F_GETFD) == -1 && errno == EBADF && open("/dev/null", fd == 0 ? O_WRONLY : O_RDONLY) != fd)
            exit(CLI_FAILED);
}

static int dispatch(int argc, char **argv)
{
    if (argc < 2) {
        print_usage(stderr);
        return CLI_BAD;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        print_usage(stdout);
        return CLI_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        if (argc > 3 || (argc == 3 && strcmp(argv[2], "--verbose") != 0))
            return cli_bad_usage("drupelet", "--version goes alone or with --verbose");
        printf("drupelet %s\n", drupelet_version());
        if (argc == 3)
            cli_show_build();
        return CLI_DONE;
    }
    if (argv[1][0] == '-')
        return cli_bad_usage("drupelet", "unknown option '%s'", argv[1]);
    const command *c = command_named(argv[1]);
    return c ? call(c, argc - 1, argv + 1) : unknown_command("drupelet", argv[1]);
}

int main(int argc, char **argv)
{
    hold_standard_streams();
    signal(SIGXFSZ, SIG_IGN); /* a file that may not grow is a message, as a full disk is */
    cli_catch_end();
    store_read_apart();
    const bool started = store_start();
    if (!started)
        cli_say("no memory for the HDF5 library");
    int code = started ? dispatch(argc, argv) : CLI_FAILED;
    const bool failed_before = ferror(stdout) != 0;
    if (fclose(stdout) != 0 || failed_before) { /* a full disk often shows only now */
        cli_say("standard output could not be written%s%s", failed_before ? "" : ": ",
                failed_before ? "" : strerror(errno));
        if (code == CLI_DONE)
            code = CLI_FAILED;
    }
    cli_end_is_ours();
    return code;
}
