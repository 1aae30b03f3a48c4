/* sim/cli/settings.c - drupelet settings: the sprayer's settings sheet of a scenario, without simulating. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>

#include "cli/cli.h"
#include "drupelet/drupelet.h"
#include "report/settings.h"

static const char help[] =
    "Usage: drupelet settings [OPTION]... SCENARIO\n"
    "Prints flows, application rate, tank coverage, air and droplets of a scenario, without simulating.\n"
    "\n"
    "      --set KEY=VALUE   another value for a key, such as --set 'sprayer.pressure=10 bar'; may be repeated\n"
    "      --json            print as JSON\n"
    "  -h, --help            print this text\n";

static int print_sheet(int argc, char **argv, cli_overrides *overrides)
{
    enum { SET = 256, JSON };
    static const struct option options[] = {{"set", required_argument, NULL, SET},
                                            {"json", no_argument, NULL, JSON},
                                            {"help", no_argument, NULL, 'h'},
                                            {NULL, 0, NULL, 0}};
    bool json = false;
    for (int option; (option = getopt_long(argc, argv, "h", options, NULL)) != -1;) {
        switch (option) {
        case JSON: json = true; break;
        case 'h': return cli_help(help);
        case SET:
            if (!cli_override_add(overrides, optarg))
                return cli_bad_usage(argv[0], "--set: found '%s', expected KEY=VALUE", optarg);
            break;
        default: return cli_bad_option(argv[0]);
        }
    }
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name one scenario file");
    if (!cli_input_readable(argv[optind]))
        return CLI_BAD;

    drupelet_scenario *scenario = NULL;
    drupelet_status status = drupelet_scenario_read(argv[optind], overrides->text, overrides->n, &scenario);
    if (status.code == DRUPELET_OK)
        status = report_settings(scenario, stdout, json);
    drupelet_scenario_free(scenario);
    return cli_end(status);
}

int cli_settings(int argc, char **argv)
{
    cli_overrides overrides;
    const drupelet_status status = cli_overrides_create(argc, &overrides);
    const int code = status.code == DRUPELET_OK ? print_sheet(argc, argv, &overrides) : cli_end(status);
    free(overrides.text);
    return code;
}
