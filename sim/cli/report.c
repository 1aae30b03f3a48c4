/* sim/cli/report.c - drupelet report: one or more results, or a sweep, as one page for a browser. */
#define _POSIX_C_SOURCE 200809L
#include "page/page.h"

#include <getopt.h>
#include <string.h>

#include "cli/cli.h"

static const char help[] =
    "Usage: drupelet report [OPTION]... RESULT [RESULT]...\n"
    "       drupelet report [OPTION]... SWEEP\n"
    "Writes a page (one HTML file, no network) of one result, or of two to four side by side: where the spray went,\n"
    "droplets in flight, why, and the numbers with their errors. Any browser of the last years opens it; it prints on\n"
    "two pages. Of the file of a sweep: what deposit costs in drift, what each factor does, and all points.\n"
    "\n"
    "  -o, --output FILE      page (HTML); default: the first result's name with .html, in the current folder\n"
    "      --language CODE    language it opens in: en or es; default: the reader's, where it is one of these\n"
    "      --units SYSTEM     units it opens with: metric (default) or us; its reader can switch both\n"
    "      --without-simulator  leave out what lets its reader change settings and simulate again (0.7 MB)\n"
    "      --force            replace a page that exists\n"
    "  -h, --help             print this text\n"
    "\n"
    "For teaching, research and planning trials: the product label, local law and licensed advisers come first.\n";

int cli_report(int argc, char **argv)
{
    const char *output = NULL;
    page_start start = {NULL, NULL, false};
    bool force = false;
    char room[CLI_PATH];
    const int code = cli_options(argc, argv, help, (cli_option[]){{"output", .text = &output},
                                                                  {"language", .text = &start.language},
                                                                  {"units", .text = &start.units},
                                                                  {"without-simulator",
                                                                   .flag = &start.without_simulator},
                                                                  {"force", .flag = &force},
                                                                  {.name = NULL}});
    if (code != CLI_GO)
        return code;
    const int n = argc - optind;
    if (n < 1 || n > PAGE_RESULTS)
        return cli_bad_usage(argv[0], "name one to %d result files", PAGE_RESULTS);
    if (start.language && strcmp(start.language, "en") != 0 && strcmp(start.language, "es") != 0)
        return cli_bad_usage(argv[0], "--language is en or es, not '%s'", start.language);
    if (start.units && strcmp(start.units, "metric") != 0 && strcmp(start.units, "us") != 0)
        return cli_bad_usage(argv[0], "--units is metric or us, not '%s'", start.units);
    output = cli_output_of(argv[0], output, argv[optind], ".html", room);
    if (!output)
        return CLI_BAD;
    const char *input[PAGE_RESULTS];
    for (int i = 0; i < n; i++) {
        input[i] = argv[optind + i];
        if (!cli_input_readable(input[i]))
            return CLI_BAD;
    }
    if (!cli_output_allowed(output, force, n, input))
        return CLI_BAD;

    const drupelet_status status = page_write(n, argv + optind, output, force, &start);
    if (status.code == DRUPELET_OK)
        cli_say("wrote %s", output);
    return cli_end(status);
}
