/* sim/cli/summary.c - drupelet summary: what a run printed at its end, from its result file. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>

#include "cli/cli.h"
#include "report/summary.h"
#include "store/store.h"

static const char help[] =
    "Usage: drupelet summary [OPTION]... RESULT\n"
    "Prints where the spray of a result file went, as the run did that made it.\n"
    "\n"
    "      --json   print it as JSON\n"
    "  -h, --help   print this text\n";

int cli_summary(int argc, char **argv)
{
    bool json = false;
    const int code = cli_options(argc, argv, help, (cli_option[]){{"json", .flag = &json}, {.name = NULL}});
    if (code != CLI_GO)
        return code;
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name one result file");
    if (!cli_input_readable(argv[optind]))
        return CLI_BAD;
    drupelet_result *result;
    const drupelet_status status = store_read(argv[optind], &result);
    if (status.code == DRUPELET_OK)
        report_summary(result, stdout, json);
    drupelet_result_free(result);
    return cli_end(status);
}
