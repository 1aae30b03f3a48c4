/* sim/cli/compare.c - drupelet compare: what differs between results. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>

#include "cli/cli.h"
#include "report/compare.h"

static const char help[] =
    "Usage: drupelet compare [OPTION]... RESULT RESULT...\n"
    "Compares result files with the first of them: settings that differ, headline numbers with the errors of their\n"
    "differences, collectors of the same name, and in which other quantities values differ.\n"
    "\n"
    "      --csv FILE   write settings and numbers as comma-separated values, too\n"
    "      --json       print the comparison as JSON\n"
    "      --force      replace a file that exists\n"
    "  -h, --help       print this text\n";

int cli_compare(int argc, char **argv)
{
    const char *csv = NULL;
    bool json = false, force = false;
    const int code = cli_options(
        argc, argv, help,
        (cli_option[]){{"csv", .text = &csv}, {"json", .flag = &json}, {"force", .flag = &force}, {.name = NULL}});
    if (code != CLI_GO) return code;
    const int n = argc - optind;
    const char *const *input = (const char *const *)argv + optind;
    if (n < 2) return cli_bad_usage(argv[0], "name two result files or more");
    if (n > REPORT_COMPARED)
        return cli_bad_usage(argv[0], "found %d results, expected at most %d: a sweep makes a table of many", n,
                             REPORT_COMPARED);
    for (int i = 0; i < n; i++)
        if (!cli_input_readable(input[i])) return CLI_BAD;
    if (csv && !cli_output_allowed(csv, force, n, input)) return CLI_BAD;
    report_comparison comparison;
    drupelet_status status = report_comparison_create(n, input, &comparison);
    if (status.code == DRUPELET_OK && csv) status = report_comparison_csv(&comparison, csv, force);
    if (status.code == DRUPELET_OK && json)
        report_comparison_json(&comparison, stdout);
    else if (status.code == DRUPELET_OK)
        report_comparison_print(&comparison, stdout);
    if (status.code == DRUPELET_OK && csv) cli_say("wrote %s", csv);
    report_comparison_free(&comparison);
    return cli_end(status);
}
