/* sim/cli/settings.c - drupelet settings: the sprayer's settings sheet of a scenario, without simulating; with --rate
 * backwards, from a rate to flows, sizes, pressures and fan speed. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/sheet.h"
#include "drupelet/drupelet.h"
#include "report/rate_sheet.h"
#include "report/settings.h"
#include "scenario/keys.h"

static const char help[] =
    "Usage: drupelet settings [OPTION]... SCENARIO\n"
    "Prints flows, application rate, tank coverage, air and droplets of a scenario, and what its weather should warn\n"
    "of, without simulating.\n"
    "With --rate: flow, sizes, pressures and fan speed that give a rate, and what a worn or plugged nozzle changes.\n"
    "\n"
    "      --rate RATE       work backwards from a rate, such as '300 L/ha' or '32 gal/acre'\n"
    "      --speed SPEED     another travel speed, such as '6 km/h' or '4 mph'\n"
    "      --spacing LENGTH  another row spacing, such as '3.5 m' or '12 ft'\n"
    "      --split SPLIT     flows of the nozzles with --rate: scenario (in its proportions, default) or equal\n"
    "      --set KEY=VALUE   another value for a key, such as --set 'sprayer.pressure=10 bar'; may be repeated\n"
    "      --json            print as JSON\n"
    "  -h, --help            print this text\n";

/* The rate has no key in a scenario. Its range keeps out slips of the pen, as those of the keys do (choice). */
static const scenario_key rate_key = {.path = "--rate", .holds = SCENARIO_IS_QUANTITY, .unit = "L/ha",
                                      .kind = SCENARIO_APPLICATION_RATE, .low = 10, .high = 10000};

enum { TEXT = 240 };

/* Reads an option that stands for a key of the scenario and makes it a setting of that key. */
static bool override(const char *command, const char *option, const char *text, const char *path,
                     cli_texts *settings, char setting[TEXT])
{
    double value = 0.0;
    if (!cli_read_quantity(command, option, text, scenario_key_of(path), &value)) return false;
    if (snprintf(setting, TEXT, "%s=%s", path, text) >= TEXT) {
        cli_bad_usage(command, "%s: found a text that is too long", option);
        return false;
    }
    settings->text[settings->n++] = setting; /* after all --set, so that it counts */
    return true;
}

static int print_sheet(int argc, char **argv, cli_texts *settings)
{
    bool json = false, equal = false;
    const char *rate_text = NULL, *speed = NULL, *spacing = NULL, *split = NULL;
    char speed_setting[TEXT], spacing_setting[TEXT];
    double rate_m = 0.0;
    const int code = cli_options(argc, argv, help, (cli_option[]){{"set", .texts = settings, .with_key = true},
                                                                  {"json", .flag = &json},
                                                                  {"rate", .text = &rate_text},
                                                                  {"speed", .text = &speed},
                                                                  {"spacing", .text = &spacing},
                                                                  {"split", .text = &split},
                                                                  {.name = NULL}});
    if (code != CLI_GO)
        return code;
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name one scenario file");
    if (split && !rate_text)
        return cli_bad_usage(argv[0], "--split: goes with --rate");
    if (split && strcmp(split, "equal") != 0 && strcmp(split, "scenario") != 0)
        return cli_bad_usage(argv[0], "--split: found '%.80s', expected scenario or equal", split);
    equal = split && strcmp(split, "equal") == 0;
    if (rate_text && !cli_read_quantity(argv[0], "--rate", rate_text, &rate_key, &rate_m))
        return CLI_BAD;
    if (speed && !override(argv[0], "--speed", speed, "sprayer.travel_speed", settings, speed_setting))
        return CLI_BAD;
    if (spacing && !override(argv[0], "--spacing", spacing, "orchard.row_spacing", settings, spacing_setting))
        return CLI_BAD;
    if (!cli_input_readable(argv[optind]))
        return CLI_BAD;

    drupelet_scenario *scenario = NULL;
    drupelet_status status = drupelet_scenario_read(argv[optind], settings->text, settings->n, &scenario);
    if (status.code == DRUPELET_OK)
        status = rate_text ? report_rate_sheet(scenario, rate_m, equal, stdout, json)
                           : report_settings(scenario, stdout, json);
    drupelet_scenario_free(scenario);
    return cli_end(status);
}

int cli_settings(int argc, char **argv)
{
    return cli_with_settings(argc, argv, print_sheet);
}
