/* sim/cli/budget.c - drupelet budget: the way of the spray from nozzle to rest, from a result file. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>

#include "cli/cli.h"
#include "report/budget.h"

static const char help[] =
    "Usage: drupelet budget [OPTION]... RESULT\n"
    "Prints the way of the spray of a result file, litre by litre: by droplet size and by the zone of the crowns, "
    "what\n"
    "the first hit on leaf or wood did (adhered, bounced, shattered), and where the liquid came to rest. And by "
    "alley.\n"
    "\n"
    "      --json       print it as JSON, with standard errors\n"
    "      --csv FILE   write every place of the table with its standard error as comma-separated values, too\n"
    "      --svg FILE   draw it\n"
    "      --force      replace files that exist\n"
    "  -h, --help       print this text\n";

int cli_budget(int argc, char **argv)
{
    const char *csv = NULL, *svg = NULL;
    bool json = false, force = false;
    const int code = cli_options(argc, argv, help,
                                 (cli_option[]){{"json", .flag = &json},
                                                {"csv", .text = &csv},
                                                {"svg", .text = &svg},
                                                {"force", .flag = &force},
                                                {.name = NULL}});
    if (code != CLI_GO) return code;
    if (optind + 1 != argc) return cli_bad_usage(argv[0], "name one result file");
    if (csv && svg && cli_same_file(csv, svg)) return cli_bad_usage(argv[0], "--csv and --svg name the same file");
    const char *const input[] = {argv[optind]};
    if (!cli_input_readable(input[0]) || (csv && !cli_output_allowed(csv, force, 1, input))
        || (svg && !cli_output_allowed(svg, force, 1, input)))
        return CLI_BAD;
    const drupelet_status status = report_budget(input[0], csv, svg, force, stdout, json);
    if (status.code == DRUPELET_OK && csv) cli_say("wrote %s", csv);
    if (status.code == DRUPELET_OK && svg) cli_say("wrote %s", svg);
    return cli_end(status);
}
