/* sim/cli/draw.c - drupelet draw: a picture (SVG) of a result file. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stddef.h>

#include "cli/cli.h"
#include "report/draw.h"

static const char help[] =
    "Usage: drupelet draw [OPTION]... RESULT\n"
    "Draws a result file: the rows, the air, paths of droplets and where the spray went.\n"
    "\n"
    "  -o, --output FILE   picture (SVG); default: the result's name with .svg, in the current folder\n"
    "      --force         replace a picture that exists\n"
    "  -h, --help          print this text\n";

int cli_draw(int argc, char **argv)
{
    enum { FORCE = 256 };
    static const struct option options[] = {{"output", required_argument, NULL, 'o'},
                                            {"force", no_argument, NULL, FORCE},
                                            {"help", no_argument, NULL, 'h'},
                                            {NULL, 0, NULL, 0}};
    const char *output = NULL;
    bool force = false;
    for (int option; (option = getopt_long(argc, argv, "o:h", options, NULL)) != -1;) {
        switch (option) {
        case 'o': output = optarg; break;
        case FORCE: force = true; break;
        case 'h': return cli_help(help);
        default: return cli_bad_option(argv[0]);
        }
    }
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name one result file");
    char default_output[CLI_PATH];
    if (!output) {
        if (!cli_output_name(argv[optind], ".svg", default_output))
            return cli_bad_usage(argv[0], "the result's name is too long for a picture: name one with --output");
        output = default_output;
    }
    const char *const input[] = {argv[optind]};
    if (!cli_input_readable(input[0]) || !cli_output_allowed(output, force, 1, input))
        return CLI_BAD;

    const drupelet_status status = report_draw(argv[optind], output, force);
    if (status.code == DRUPELET_OK)
        cli_say("wrote %s", output);
    return cli_end(status);
}
