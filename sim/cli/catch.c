/* sim/cli/catch.c - drupelet catch: a catch test beside a scenario's nozzles, and the scenario as it was found. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/status.h"
#include "cli/sheet.h"
#include "sheet/catch.h"

static const char help[] =
    "Usage: drupelet catch [OPTION]... --caught FILE SCENARIO\n"
    "Compares what each nozzle gave into a jug in a measured time with what a new tip gives: worn, low and plugged\n"
    "nozzles, uneven sides, and what that does to rate and droplets. docs/block-sheet.md says how FILE (CSV) is\n"
    "written.\n"
    "\n"
    "      --caught FILE     what was caught, one nozzle a line\n"
    "      --as-found FILE   write the scenario with its nozzles as they are, ready to run\n"
    "      --set KEY=VALUE   another value for a key, such as --set 'sprayer.pressure=10 bar'; may be "
    "repeated\n" CLI_SHEET_HELP;

typedef struct {
    const char *scenario, *caught, *as_found;
    cli_sheet sheet;
} catch_request;

/* CLI_GO or the exit code. */
static int read_options(int argc, char **argv, cli_texts *settings, catch_request *r)
{
    const int code = cli_options(argc, argv, help,
                                 (cli_option[]){{"caught", .text = &r->caught},
                                                {"as-found", .text = &r->as_found},
                                                {"set", .texts = settings, .with_key = true},
                                                CLI_SHEET_OPTIONS(&r->sheet),
                                                {.name = NULL}});
    if (code != CLI_GO) return code;
    if (optind + 1 != argc) return cli_bad_usage(argv[0], "name one scenario file");
    if (!r->caught) return cli_bad_usage(argv[0], "name the file of what was caught with --caught");
    r->scenario = argv[optind];
    const char *const input[] = {r->scenario, r->caught};
    if (r->as_found && r->sheet.output && cli_same_file(r->as_found, r->sheet.output))
        return cli_bad_usage(argv[0], "--output and --as-found name the same file");
    const int checked = cli_sheet_check(argv[0], &r->sheet, 2, input);
    if (checked != CLI_GO) return checked;
    return r->as_found && !cli_output_allowed(r->as_found, r->sheet.force, 2, input) ? CLI_BAD : CLI_GO;
}

static int print_sheet(int argc, char **argv, cli_texts *settings)
{
    catch_request r = {0};
    const int code = read_options(argc, argv, settings, &r);
    if (code != CLI_GO) return code;
    drupelet_scenario *scenario = NULL, *as_found = NULL;
    sheet *s = NULL;
    char *yaml = NULL;
    sheet_catch *caught = malloc(sizeof *caught);
    drupelet_status status = caught ? drupelet_scenario_read(r.scenario, settings->text, settings->n, &scenario)
                                    : base_error(DRUPELET_MEMORY, "no memory left");
    const bool apart = status.code != DRUPELET_OK || !r.as_found || cli_output_apart_from_canopy(r.as_found, scenario);
    if (status.code == DRUPELET_OK && apart) {
        status = sheet_catch_read(r.caught, scenario, caught);
        if (status.code == DRUPELET_OK)
            status = sheet_as_found(r.scenario, settings->text, settings->n, caught, &as_found, &yaml);
        if (status.code == DRUPELET_OK)
            status = sheet_create("Catch test", scenario->name, scenario->place, r.sheet.system, &s);
        if (status.code == DRUPELET_OK) status = sheet_put_catch(s, scenario, as_found, caught);
        if (status.code == DRUPELET_OK && r.as_found) status = sheet_as_found_write(yaml, r.as_found, r.sheet.force);
        if (status.code == DRUPELET_OK && r.as_found) cli_say("wrote %s", r.as_found);
    }
    const int end = apart ? cli_sheet_end(&r.sheet, s, status) : CLI_BAD;
    free(yaml);
    free(caught);
    drupelet_scenario_free(as_found);
    drupelet_scenario_free(scenario);
    return end;
}

int cli_catch(int argc, char **argv)
{
    return cli_with_settings(argc, argv, print_sheet);
}
