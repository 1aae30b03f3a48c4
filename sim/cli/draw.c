/* sim/cli/draw.c - drupelet draw: a picture (SVG) of a result file, or of its wind. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stddef.h>

#include "cli/cli.h"
#include "report/draw.h"
#include "report/wind.h"

static const char help[] =
    "Usage: drupelet draw [OPTION]... RESULT\n"
    "Draws a result file: the rows, paths of droplets and where the spray went. With --air the wind across the block\n"
    "instead, of a result whose scenario says run.keep_wind: yes.\n"
    "\n"
    "      --air           draw the wind: its speed and direction, profiles, and the speed at four heights\n"
    "      --vtk FILE      with --air: write the wind as a grid that ParaView opens (.vtr), and a picture only where\n"
    "                      --output names one\n"
    "  -o, --output FILE   picture (SVG); default: the result's name with .svg, or with -wind.svg, in the current\n"
    "                      folder\n"
    "      --force         replace a file that exists\n"
    "  -h, --help          print this text\n";

static int draw_spray(const char *result, const char *picture, bool force)
{
    const drupelet_status status = report_draw(result, picture, force);
    if (status.code == DRUPELET_OK)
        cli_say("wrote %s", picture);
    return cli_end(status);
}

/* @param picture, grid NULL: not asked for */
static int draw_wind(const char *result, const char *picture, const char *grid, bool force)
{
    const drupelet_status status = report_wind(result, picture, grid, force);
    if (status.code == DRUPELET_OK && picture)
        cli_say("wrote %s", picture);
    if (status.code == DRUPELET_OK && grid)
        cli_say("wrote %s", grid);
    return cli_end(status);
}

int cli_draw(int argc, char **argv)
{
    const char *output = NULL, *grid = NULL;
    bool force = false, air = false;
    char room[CLI_PATH];
    const cli_option options[] = {{"output", .text = &output}, {"force", .flag = &force}, {"air", .flag = &air},
                                  {"vtk", .text = &grid},      {.name = NULL}};
    const int code = cli_options(argc, argv, help, options);
    if (code != CLI_GO)
        return code;
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name one result file");
    if (grid && !air)
        return cli_bad_usage(argv[0], "--vtk goes with --air: the wind is what it writes");
    if (grid && output && cli_same_file(grid, output))
        return cli_bad_usage(argv[0], "--output and --vtk name the same file");
    const char *const input[] = {argv[optind]};
    if (output || !grid) {
        output = cli_output_of(argv[0], output, input[0], air ? "-wind.svg" : ".svg", room);
        if (!output)
            return CLI_BAD;
    }
    if (!cli_input_readable(input[0]) || (output && !cli_output_allowed(output, force, 1, input))
        || (grid && !cli_output_allowed(grid, force, 1, input)))
        return CLI_BAD;
    return air ? draw_wind(input[0], output, grid, force) : draw_spray(input[0], output, force);
}
