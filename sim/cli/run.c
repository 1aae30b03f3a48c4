/* sim/cli/run.c - drupelet run: simulates a scenario, writes the result file, prints the fates. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "cli/cli.h"
#include "cli/progress.h"
#include "drupelet/drupelet.h"
#include "report/summary.h"
#include "scenario/keys.h"

#define MOST_THREADS 4096

static const char help[] =
    "Usage: drupelet run [OPTION]... SCENARIO\n"
    "Simulates a scenario, writes the result file (HDF5) and prints where the spray went.\n"
    "\n"
    "  -o, --output FILE     result file; default: the scenario's name with .h5, in the current folder\n"
    "      --force           replace a result file that exists\n"
    "      --set KEY=VALUE   another value for a key, such as --set 'weather.wind_speed=2 m/s'; may be repeated\n"
    "      --droplets N      droplets to follow, such as 200000 or 2e5; with a target error the most of them\n"
    "      --target-error P  stop as soon as the relative standard error of run.target (airborne_5_m unless given) is\n"
    "                        P, such as 2%; the same as --set run.target_error=P\n"
    "      --seed N          seed of the random numbers, 0 to 18446744073709551615\n"
    "      --threads N       threads; default: as many as OpenMP offers. The result does not depend on it\n"
    "      --quiet           no progress, no path of the result\n"
    "      --json            print the summary as JSON\n"
    "  -h, --help            print this text\n"
    "\n"
    "Scripts should write long options in full. Ctrl-C stops a run; no result file is written then.\n";

typedef struct {
    const char *scenario, *output;
    bool force, quiet, json, help;
    char target_error[64]; /* as an override */
    cli_overrides overrides;
    drupelet_run_options run;
} run_request;

/* 0 or the exit code of bad usage. */
static int read_options(int argc, char **argv, run_request *request)
{
    enum { FORCE = 256, SET, DROPLETS, TARGET_ERROR, SEED, THREADS, QUIET, JSON };
    static const struct option options[] = {
        {"output", required_argument, NULL, 'o'},      {"force", no_argument, NULL, FORCE},
        {"set", required_argument, NULL, SET},         {"droplets", required_argument, NULL, DROPLETS},
        {"seed", required_argument, NULL, SEED},       {"threads", required_argument, NULL, THREADS},
        {"quiet", no_argument, NULL, QUIET},           {"json", no_argument, NULL, JSON},
        {"target-error", required_argument, NULL, TARGET_ERROR},
        {"help", no_argument, NULL, 'h'},              {NULL, 0, NULL, 0}};
    const scenario_key *droplets = scenario_key_of("run.droplets");
    int64_t n_threads;
    for (int option; (option = getopt_long(argc, argv, "o:h", options, NULL)) != -1;) {
        switch (option) {
        case 'o': request->output = optarg; break;
        case FORCE: request->force = true; break;
        case QUIET: request->quiet = true; break;
        case JSON: request->json = true; break;
        case 'h': request->help = true; return CLI_DONE;
        case SET:
            if (!cli_override_add(&request->overrides, optarg))
                return cli_bad_usage(argv[0], "--set: found '%s', expected KEY=VALUE", optarg);
            break;
        case DROPLETS:
            if (!cli_count(optarg, (int64_t)droplets->high, &request->run.n_droplets)
                || (double)request->run.n_droplets < droplets->low)
                return cli_bad_usage(argv[0], "--droplets: found '%s', expected a whole number from %.15g to %.15g",
                                     optarg, droplets->low, droplets->high);
            break;
        case TARGET_ERROR:
            if (snprintf(request->target_error, sizeof request->target_error, "run.target_error=%s", optarg)
                >= (int)sizeof request->target_error)
                return cli_bad_usage(argv[0], "--target-error: found '%s', expected a share such as 2%%", optarg);
            cli_override_add(&request->overrides, request->target_error);
            break;
        case SEED:
            if (!cli_seed(optarg, &request->run.seed))
                return cli_bad_usage(argv[0], "--seed: found '%s', expected a whole number from 0 to %llu", optarg,
                                     (unsigned long long)UINT64_MAX);
            request->run.seed_given = true;
            break;
        case THREADS:
            if (!cli_count(optarg, MOST_THREADS, &n_threads))
                return cli_bad_usage(argv[0], "--threads: found '%s', expected a whole number from 1 to %d", optarg,
                                     MOST_THREADS);
            request->run.n_threads = (int)n_threads;
            break;
        default: return cli_bad_option(argv[0]);
        }
    }
    if (optind == argc)
        return cli_bad_usage(argv[0], "name a scenario file");
    if (optind + 1 < argc)
        return cli_bad_usage(argv[0], "one scenario at a time, found '%s' after '%s'", argv[optind + 1], argv[optind]);
    request->scenario = argv[optind];
    return CLI_DONE;
}

/* Does a message say where the value stands that it is about? */
static bool placed(const char *message, const run_request *request)
{
    return strncmp(message, request->scenario, strlen(request->scenario)) == 0 || strncmp(message, "--", 2) == 0
           || strncmp(message, "...", 3) == 0;
}

/* Simulates, writes, and prints; the scenario must outlive the result. */
static int simulate(const drupelet_scenario *scenario, const run_request *request)
{
    drupelet_result *result = NULL;
    cli_progress progress;
    drupelet_run_options options = request->run;
    options.progress = cli_progress_step;
    options.user = &progress;

    cli_catch_stop();
    cli_progress_start(&progress, request->quiet);
    drupelet_status status = drupelet_run(scenario, &options, &result);
    cli_progress_end(&progress);
    if (status.code == DRUPELET_SCENARIO && !placed(status.message, request)) /* found only now, so without a line */
        status = base_error(DRUPELET_SCENARIO, "%s: %s", request->scenario, status.message);
    cli_ignore_stop(); /* written whole or not at all */
    if (status.code == DRUPELET_OK && cli_stop_wanted())
        status = base_error(DRUPELET_STOPPED, "stopped");
    if (status.code == DRUPELET_OK)
        status = drupelet_result_write(result, request->output, request->force);
    if (status.code == DRUPELET_OK) {
        report_summary(result, stdout, request->json);
        const drupelet_target target = drupelet_result_target(result);
        if (target.wanted && !target.reached)
            cli_say("the target error was not reached with %lld droplets: %.3g %%; more of them by run.droplets",
                    (long long)target.n_droplets, 100.0 * target.error);
        if (!request->quiet)
            cli_say("wrote %s", request->output);
    }
    drupelet_result_free(result);
    return cli_end(status);
}

static int prepare(int argc, char **argv, run_request *request)
{
    char default_output[CLI_PATH];
    const int bad = read_options(argc, argv, request);
    if (bad)
        return bad;
    if (request->help)
        return cli_help(help);
    if (!cli_input_readable(request->scenario))
        return CLI_BAD;
    if (!request->output) {
        if (!cli_output_name(request->scenario, ".h5", default_output))
            return cli_bad_usage(argv[0], "the scenario's name is too long for a result file: name one with --output");
        request->output = default_output;
    }
    if (!cli_output_allowed(request->output, request->force, 1, &request->scenario))
        return CLI_BAD;

    drupelet_scenario *scenario = NULL;
    const drupelet_status status =
        drupelet_scenario_read(request->scenario, request->overrides.text, request->overrides.n, &scenario);
    int code = cli_end(status);
    if (status.code == DRUPELET_OK)
        code = cli_output_apart_from_canopy(request->output, scenario) ? simulate(scenario, request) : CLI_BAD;
    drupelet_scenario_free(scenario);
    return code;
}

int cli_run(int argc, char **argv)
{
    run_request request = {0};
    const drupelet_status status = cli_overrides_create(argc, &request.overrides);
    const int code = status.code == DRUPELET_OK ? prepare(argc, argv, &request) : cli_end(status);
    free(request.overrides.text);
    return code;
}
