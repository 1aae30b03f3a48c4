/* sim/cli/score.c - drupelet score: measurements of a field trial beside a result file. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "report/score.h"

static const char help[] =
    "Usage: drupelet score [OPTION]... --measured FILE RESULT\n"
    "Compares measurements of ground deposit, airborne spray, deposit on leaves, and of what dishes, lines and cards\n"
    "caught, with a result file: prints each beside what was simulated there, and how well they agree.\n"
    "docs/score-format.md says how FILE (CSV) is written.\n"
    "\n"
    "      --measured FILE   measurements, one a line\n"
    "  -o, --output FILE     write the pairs to a table (CSV), too\n"
    "      --svg FILE        draw measured against simulated values\n"
    "      --force           replace files that exist\n"
    "  -h, --help            print this text\n";

int cli_score(int argc, char **argv)
{
    const char *measured = NULL, *table = NULL, *svg = NULL;
    bool force = false;
    const int code = cli_options(argc, argv, help, (cli_option[]){{"measured", .text = &measured},
                                                                  {"output", .text = &table},
                                                                  {"svg", .text = &svg},
                                                                  {"force", .flag = &force},
                                                                  {.name = NULL}});
    if (code != CLI_GO)
        return code;
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name one result file");
    if (!measured)
        return cli_bad_usage(argv[0], "name the file of measurements with --measured");
    if (table && svg && cli_same_file(table, svg))
        return cli_bad_usage(argv[0], "--output and --svg name the same file");
    const char *const input[] = {argv[optind], measured};
    if (!cli_input_readable(input[0]) || !cli_input_readable(input[1]))
        return CLI_BAD;
    if ((table && !cli_output_allowed(table, force, 2, input)) || (svg && !cli_output_allowed(svg, force, 2, input)))
        return CLI_BAD;
    const drupelet_status status = report_score(argv[optind], measured, table, svg, force, stdout);
    if (status.code == DRUPELET_OK && table)
        cli_say("wrote %s", table);
    if (status.code == DRUPELET_OK && svg)
        cli_say("wrote %s", svg);
    return cli_end(status);
}
