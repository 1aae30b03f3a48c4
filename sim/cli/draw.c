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
    const char *output = NULL;
    bool force = false;
    char room[CLI_PATH];
    const cli_option options[] = {{"output", .text = &output}, {"force", .flag = &force}, {.name = NULL}};
    const int code = cli_options(argc, argv, help, options);
    if (code != CLI_GO)
        return code;
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name one result file");
    const char *const input[] = {argv[optind]};
    output = cli_output_of(argv[0], output, input[0], ".svg", room);
    if (!output || !cli_input_readable(input[0]) || !cli_output_allowed(output, force, 1, input))
        return CLI_BAD;

    const drupelet_status status = report_draw(argv[optind], output, force);
    if (status.code == DRUPELET_OK)
        cli_say("wrote %s", output);
    return cli_end(status);
}
