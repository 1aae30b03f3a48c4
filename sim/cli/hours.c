/* sim/cli/hours.c - drupelet hours: an hourly weather file beside a scenario, on request with simulated drift. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "cli/cache.h"
#include "cli/progress.h"
#include "cli/sheet.h"
#include "scenario/units.h"
#include "sheet/hours.h"

static const char help[] =
    "Usage: drupelet hours [OPTION]... --weather FILE SCENARIO\n"
    "What each hour of a weather file is like for spraying: wind, calm, inversion, wet bulb, wind towards a side, and\n"
    "with --simulate the ground drift. It informs, and calls no hour right. docs/block-sheet.md says how FILE (CSV) "
    "is\n"
    "written.\n"
    "\n"
    "      --weather FILE    one hour a line\n"
    "      --side NAME=DIRECTION  what lies beyond row 1, and in which direction by the compass: 'school=120 deg'\n"
    "      --latitude ANGLE  such as '47 deg', south below 0: with dates and clouds it tells inversions\n"
    "      --noon HH:MM      when the sun stands highest, by the file's clock; default: 12:00\n"
    "      --wind-height LENGTH  at which the wind was measured; default: weather.wind_height of the scenario\n"
    "      --simulate        simulate the drift of each hour\n"
    "      --at LENGTH       distance of the drift, downwind of the block; default: 10 m\n"
    "      --droplets N      droplets of an hour's simulation; default: as the scenario says\n"
    "      --threads N       threads; default: as many as OpenMP offers. The result does not depend on "
    "it\n" CLI_CACHE_HELP "      --quiet           no progress\n"
    "      --set KEY=VALUE   another value for a key, such as --set 'sprayer.pressure=10 bar'; may be "
    "repeated\n" CLI_SHEET_HELP;

enum { MOST_THREADS = 4096 };

typedef struct {
    const char *scenario, *weather, *side, *latitude, *noon, *wind_height, *at;
    bool simulate, quiet;
    int64_t n_droplets, n_threads;
    cli_cache cache;
    cli_sheet sheet;
    sheet_hours_ask ask;
} hours_request;

/* The drift on the ground at a distance, or -1, which is told. */
static int drift_at(const char *command, const char *text)
{
    const int first = scenario_drift_first(SCENARIO_DRIFT_GROUND), n = scenario_drift_count(SCENARIO_DRIFT_GROUND);
    double at_m = 0.0;
    char list[160] = "";
    if (scenario_units_read(SCENARIO_LENGTH, text, &at_m, NULL) == SCENARIO_READ)
        for (int i = first; i < first + n; i++)
            if (fabs(scenario_drift_numbers[i].distance_m - at_m) < 1e-6) return i;
    for (int i = first; i < first + n; i++) {
        char one[24];
        snprintf(one, sizeof one, "%g m", scenario_drift_numbers[i].distance_m);
        base_add_word(list, sizeof list, i + 1 < first + n ? ", " : " or ", one);
    }
    cli_bad_usage(command, "--at: found '%.80s', expected one of %s", text, list);
    return -1;
}

static bool take_ask(const char *command, hours_request *r)
{
    char reason[SHEET_REASON];
    double angle_rad = 0.0;
    const scenario_key *latitude = scenario_key_of("weather.latitude"),
                       *height = scenario_key_of("weather.wind_height");
    r->ask = (sheet_hours_ask){.side_deg = (double)NAN,
                               .latitude_deg = (double)NAN,
                               .noon_h = 12.0,
                               .wind_height_m = (double)NAN,
                               .i_drift = -1};
    if (r->side && !sheet_side_read(r->side, &r->ask, reason)) {
        cli_bad_usage(command, "--side: %s", reason);
        return false;
    }
    if (r->latitude && !cli_read_quantity(command, "--latitude", r->latitude, latitude, &angle_rad)) return false;
    if (r->latitude) r->ask.latitude_deg = scenario_units_from_si(SCENARIO_ANGLE, "deg", angle_rad);
    if (r->noon && !sheet_clock_read(r->noon, &r->ask.noon_h)) {
        cli_bad_usage(command, "--noon: found '%.80s', expected a time such as 13:20", r->noon);
        return false;
    }
    if (r->wind_height && !cli_read_quantity(command, "--wind-height", r->wind_height, height, &r->ask.wind_height_m))
        return false;
    if (r->simulate) r->ask.i_drift = drift_at(command, r->at ? r->at : "10 m");
    return !r->simulate || r->ask.i_drift >= 0;
}

/* CLI_GO or the exit code. */
static int read_options(int argc, char **argv, cli_texts *settings, hours_request *r)
{
    const scenario_key *droplets = scenario_key_of("run.droplets");
    const int code = cli_options(argc, argv, help,
                                 (cli_option[]){{"weather", .text = &r->weather},
                                                {"side", .text = &r->side},
                                                {"latitude", .text = &r->latitude},
                                                {"noon", .text = &r->noon},
                                                {"wind-height", .text = &r->wind_height},
                                                {"simulate", .flag = &r->simulate},
                                                {"at", .text = &r->at},
                                                {"droplets", .count = &r->n_droplets, .least = (int64_t)droplets->low,
                                                 .most = (int64_t)droplets->high},
                                                {"threads", .count = &r->n_threads, .most = MOST_THREADS},
                                                {"quiet", .flag = &r->quiet},
                                                {"set", .texts = settings, .with_key = true},
                                                CLI_CACHE_OPTIONS(&r->cache),
                                                CLI_SHEET_OPTIONS(&r->sheet),
                                                {.name = NULL}});
    if (code != CLI_GO) return code;
    if (optind + 1 != argc) return cli_bad_usage(argv[0], "name one scenario file");
    if (!r->weather) return cli_bad_usage(argv[0], "name the file of the hours with --weather");
    if (!r->simulate && (r->at || r->n_droplets > 0))
        return cli_bad_usage(argv[0], "%s goes with --simulate", r->at ? "--at" : "--droplets");
    r->scenario = argv[optind];
    const char *const input[] = {r->scenario, r->weather};
    const int checked = cli_sheet_check(argv[0], &r->sheet, 2, input);
    if (checked != CLI_GO) return checked;
    return take_ask(argv[0], r) ? cli_cache_find(argv[0], true, &r->cache) : CLI_BAD;
}

static drupelet_status simulate(const hours_request *r, const drupelet_scenario *scenario, const cli_texts *settings,
                                const sheet_hours *hours, bool *refused, sheet_hour_found found[])
{
    cli_line line;
    cli_catch_stop();
    cli_line_start(&line, r->quiet);
    const sweep_hooks hooks = cli_sweep_hooks(&line);
    const air_flow_store winds = {.folder = r->cache.folder, .refused = refused};
    const drupelet_status status = sheet_hours_simulate(r->scenario, scenario, settings->text, settings->n, &r->ask,
                                                        hours, found, r->n_droplets, (int)r->n_threads, &hooks, winds);
    cli_line_end(&line);
    return status;
}

static int print_sheet(hours_request *r, const cli_texts *settings)
{
    drupelet_scenario *scenario = NULL;
    sheet *s = NULL;
    sheet_hours *hours = malloc(sizeof *hours);
    sheet_hour_found *found = calloc(SHEET_HOURS_MOST, sizeof *found);
    drupelet_status status = hours && found
                                 ? drupelet_scenario_read(r->scenario, settings->text, settings->n, &scenario)
                                 : base_error(DRUPELET_MEMORY, "no memory left");
    if (status.code == DRUPELET_OK) status = sheet_hours_read(r->weather, hours);
    if (status.code == DRUPELET_OK) {
        const scenario_weather *w = &scenario->weather;
        if (!r->wind_height) r->ask.wind_height_m = w->wind_height_m;
        if (!r->latitude && w->day_given) /* else the scenario's is nobody's choice */
            r->ask.latitude_deg = scenario_units_from_si(SCENARIO_ANGLE, "deg", w->latitude_rad);
        for (int i = 0; i < hours->n; i++)
            found[i] = sheet_hour_look(scenario, &r->ask, &hours->hour[i]);
        if (r->simulate) status = simulate(r, scenario, settings, hours, &r->cache.refused, found);
    }
    if (status.code == DRUPELET_OK)
        status = sheet_create("Hours", scenario->name, scenario->place, r->sheet.system, &s);
    if (status.code == DRUPELET_OK) sheet_put_hours(s, &r->ask, hours, found);
    if (status.code == DRUPELET_STOPPED) cli_say("interrupted; nothing was written");
    const int code = status.code == DRUPELET_STOPPED ? CLI_INTERRUPTED : cli_sheet_end(&r->sheet, s, status);
    cli_cache_end(&r->cache, r->quiet);
    free(found);
    free(hours);
    drupelet_scenario_free(scenario);
    return code;
}

static int prepare(int argc, char **argv, cli_texts *settings)
{
    hours_request r = {0};
    const int code = read_options(argc, argv, settings, &r);
    return code == CLI_GO ? print_sheet(&r, settings) : code;
}

int cli_hours(int argc, char **argv)
{
    return cli_with_settings(argc, argv, prepare);
}
