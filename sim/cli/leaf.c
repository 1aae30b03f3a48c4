/* sim/cli/leaf.c - drupelet leaf: what a scenario's droplets do at its leaves, by size and speed. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>

#include "cli/cli.h"
#include "drupelet/drupelet.h"
#include "report/leaf_table.h"

static const char help[] =
    "Usage: drupelet leaf [OPTION]... SCENARIO\n"
    "Prints from which speed droplets bounce off the scenario's leaves or shatter, beside published borders, and\n"
    "the outcome by diameter and speed, without simulating.\n"
    "\n"
    "      --set KEY=VALUE   another value for a key, such as --set canopy.leaf=pear; may be repeated\n"
    "      --list            print the leaves that canopy.leaf knows by name; needs no scenario\n"
    "  -h, --help            print this text\n";

static int print_table(int argc, char **argv, cli_texts *settings)
{
    bool list = false;
    const int code = cli_options(argc, argv, help, (cli_option[]){{"set", .texts = settings, .with_key = true},
                                                                  {"list", .flag = &list},
                                                                  {.name = NULL}});
    if (code != CLI_GO)
        return code;
    if (list && optind == argc) {
        report_leaf_names(stdout);
        return CLI_DONE;
    }
    if (list || optind + 1 != argc)
        return cli_bad_usage(argv[0], list ? "--list needs no scenario file" : "name one scenario file");
    if (!cli_input_readable(argv[optind]))
        return CLI_BAD;

    drupelet_scenario *scenario = NULL;
    const drupelet_status status = drupelet_scenario_read(argv[optind], settings->text, settings->n, &scenario);
    if (status.code == DRUPELET_OK)
        report_leaf_table(scenario, stdout);
    drupelet_scenario_free(scenario);
    return cli_end(status);
}

int cli_leaf(int argc, char **argv)
{
    return cli_with_settings(argc, argv, print_table);
}
