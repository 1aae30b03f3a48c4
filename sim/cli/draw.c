/* sim/cli/draw.c - drupelet draw: a picture (SVG) of a result file, or of its air. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stddef.h>

#include "cli/cli.h"
#include "report/draw.h"
#include "report/fan_air.h"
#include "report/wind.h"

static const char help[] =
    "Usage: drupelet draw [OPTION]... RESULT\n"
    "Draws a result file: the rows, paths of droplets and where the spray went. With --air the wind across the block\n"
    "instead, of a result whose scenario says run.keep_wind: yes, or the air around the sprayer, where it says\n"
    "run.keep_fan_air: yes.\n"
    "\n"
    "      --air           draw the wind: its speed and direction, profiles, and the speed at four heights\n"
    "      --fan           with --air: draw the air around the sprayer on one pass, wind and fan together: across the\n"
    "                      rows, from above, and what reaches the rows beside\n"
    "      --vtk FILE      with --air: write that air as a grid that ParaView opens (.vtr), and a picture only where\n"
    "                      --output names one\n"
    "  -o, --output FILE   picture (SVG); default: the result's name with .svg, -wind.svg or -fan.svg, in the current\n"
    "                      folder\n"
    "      --force         replace a file that exists\n"
    "  -h, --help          print this text\n";

static int draw_spray(const char *result, const char *picture, bool force)
{
    const drupelet_status status = report_draw(result, picture, force);
    if (status.code == DRUPELET_OK) cli_say("wrote %s", picture);
    return cli_end(status);
}

/* @param picture, grid NULL: not asked for */
static int draw_air(const char *result, bool fan, const char *picture, const char *grid, bool force)
{
    const drupelet_status status = (fan ? report_fan_air : report_wind)(result, picture, grid, force);
    if (status.code == DRUPELET_OK && picture) cli_say("wrote %s", picture);
    if (status.code == DRUPELET_OK && grid) cli_say("wrote %s", grid);
    return cli_end(status);
}

int cli_draw(int argc, char **argv)
{
    const char *output = NULL, *grid = NULL;
    bool force = false, air = false, fan = false;
    char room[CLI_PATH];
    const cli_option options[] = {{"output", .text = &output}, {"force", .flag = &force}, {"air", .flag = &air},
                                  {"fan", .flag = &fan},       {"vtk", .text = &grid},    {.name = NULL}};
    const int code = cli_options(argc, argv, help, options);
    if (code != CLI_GO) return code;
    if (optind + 1 != argc) return cli_bad_usage(argv[0], "name one result file");
    if (grid && !air)
        return cli_bad_usage(
            argv[0], "--vtk goes with --air: the wind is what it writes, or with --fan the air around the sprayer");
    if (fan && !air) return cli_bad_usage(argv[0], "--fan goes with --air");
    if (grid && output && cli_same_file(grid, output))
        return cli_bad_usage(argv[0], "--output and --vtk name the same file");
    const char *const input[] = {argv[optind]};
    if (output || !grid) {
        output = cli_output_of(argv[0], output, input[0], fan ? "-fan.svg" : air ? "-wind.svg" : ".svg", room);
        if (!output) return CLI_BAD;
    }
    if (!cli_input_readable(input[0]) || (output && !cli_output_allowed(output, force, 1, input))
        || (grid && !cli_output_allowed(grid, force, 1, input)))
        return CLI_BAD;
    return air ? draw_air(input[0], fan, output, grid, force) : draw_spray(input[0], output, force);
}
