/* sim/cli/run.c - drupelet run: simulates a scenario, writes the result file, prints the fates. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "cli/cache.h"
#include "cli/cli.h"
#include "cli/progress.h"
#include "cli/uncertain.h"
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
    CLI_CACHE_HELP
    "      --quiet           no progress, no path of the result\n"
    "      --json            print the summary as JSON\n"
    "  -h, --help            print this text\n"
    "\n"
    "How far the inputs carry (docs/commands.md has the list of inputs, their ranges and sources):\n"
    "      --uncertain       instead of one run: many, in which what nobody knows well varies all at once; prints the\n"
    "                        range of the headlines and which input drives it, and writes the sweep's file\n"
    "                        (NAME-uncertain.h5). A case has 20000 droplets unless --droplets says otherwise\n"
    "      --samples N       cases; default: 64\n"
    "      --known KEY       leave an input alone; may be repeated\n"
    "      --range 'KEY=LOW to HIGH'  another range of an input, or of any key that holds a number; may be repeated\n"
    "      --resume          keep the finished cases of a sweep that was stopped\n"
    "\n"
    "Scripts should write long options in full. Ctrl-C stops a run; no result file is written then.\n";

typedef struct {
    const char *scenario, *output;
    bool force, quiet, json, uncertain, resume;
    int64_t n_samples;     /* 0: not given */
    cli_texts known, range;
    char target_error[64]; /* as a setting */
    drupelet_run_options run;
    cli_cache cache;
} run_request;

static bool read_seed(const char *text, uint64_t *value)
{
    char *end;
    errno = 0;
    const unsigned long long number = strtoull(text, &end, 10);
    *value = number;
    return text[0] >= '0' && text[0] <= '9' && *end == '\0' && errno == 0 && number <= UINT64_MAX;
}

/* CLI_GO or the exit code. */
static int read_options(int argc, char **argv, cli_texts *settings, run_request *request)
{
    const scenario_key *droplets = scenario_key_of("run.droplets");
    const char *seed = NULL, *target_error = NULL;
    int64_t n_threads = 0;
    const int code = cli_options(
        argc, argv, help,
        (cli_option[]){{"output", .text = &request->output}, {"force", .flag = &request->force},
                       {"set", .texts = settings, .with_key = true}, {"seed", .text = &seed},
                       {"droplets", .count = &request->run.n_droplets, .least = (int64_t)droplets->low,
                        .most = (int64_t)droplets->high},
                       {"target-error", .text = &target_error},
                       {"threads", .count = &n_threads, .most = MOST_THREADS}, {"quiet", .flag = &request->quiet},
                       {"json", .flag = &request->json}, {"uncertain", .flag = &request->uncertain},
                       {"samples", .count = &request->n_samples, .least = CLI_SAMPLES_LEAST, .most = CLI_SAMPLES_MOST},
                       {"known", .texts = &request->known}, {"range", .texts = &request->range, .with_key = true},
                       {"resume", .flag = &request->resume}, CLI_CACHE_OPTIONS(&request->cache), {.name = NULL}});
    if (code != CLI_GO)
        return code;
    if (!request->uncertain
        && (request->n_samples > 0 || request->known.n > 0 || request->range.n > 0 || request->resume))
        return cli_bad_usage(argv[0], "--samples, --known, --range and --resume go with --uncertain");
    request->run.n_threads = (int)n_threads;
    request->run.seed_given = seed != NULL;
    if (seed && !read_seed(seed, &request->run.seed))
        return cli_bad_usage(argv[0], "--seed: found '%s', expected a whole number from 0 to %llu", seed,
                             (unsigned long long)UINT64_MAX);
    if (target_error) {
        if (snprintf(request->target_error, sizeof request->target_error, "run.target_error=%s", target_error)
            >= (int)sizeof request->target_error)
            return cli_bad_usage(argv[0], "--target-error: found '%s', expected a share such as 2%%", target_error);
        settings->text[settings->n++] = request->target_error; /* after all --set, so that it counts */
    }
    if (optind == argc)
        return cli_bad_usage(argv[0], "name a scenario file");
    if (optind + 1 < argc)
        return cli_bad_usage(argv[0], "one scenario at a time, found '%s' after '%s'", argv[optind + 1], argv[optind]);
    request->scenario = argv[optind];
    request->run.cache_refused = &request->cache.refused;
    return cli_cache_find(argv[0], true, &request->cache);
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
    options.cache_folder = request->cache.folder;

    cli_catch_stop();
    cli_progress_start(&progress, request->quiet);
    drupelet_status status = drupelet_run(scenario, &options, &result);
    cli_line_end(&progress.line);
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
    cli_cache_end(&request->cache, request->quiet);
    drupelet_result_free(result);
    return cli_end(status);
}

static int run_uncertain(const cli_texts *settings, run_request *r)
{
    const cli_uncertain_request request = {
        .scenario = r->scenario, .output = r->output, .force = r->force, .resume = r->resume, .quiet = r->quiet,
        .json = r->json, .seed_given = r->run.seed_given, .seed = r->run.seed,
        .n_samples = r->n_samples > 0 ? r->n_samples : CLI_SAMPLES, .n_droplets = r->run.n_droplets,
        .n_threads = r->run.n_threads, .settings = settings, .known = &r->known, .range = &r->range,
        .cache = &r->cache};
    return cli_uncertain(&request);
}

static int run_once(const cli_texts *settings, run_request *r)
{
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = drupelet_scenario_read(r->scenario, settings->text, settings->n, &scenario);
    int code = cli_end(status);
    if (status.code == DRUPELET_OK)
        code = cli_output_apart_from_canopy(r->output, scenario) ? simulate(scenario, r) : CLI_BAD;
    drupelet_scenario_free(scenario);
    return code;
}

static int prepare(int argc, char **argv, cli_texts *settings)
{
    run_request request = {0};
    char room[CLI_PATH];
    const char **texts = calloc(2 * (size_t)argc, sizeof *texts);
    if (!texts)
        return cli_end(base_error(DRUPELET_MEMORY, "no memory left"));
    request.known.text = texts;
    request.range.text = texts + argc;
    int code = read_options(argc, argv, settings, &request);
    if (code == CLI_GO && !cli_input_readable(request.scenario))
        code = CLI_BAD;
    if (code == CLI_GO) {
        request.output = cli_output_of(argv[0], request.output, request.scenario,
                                       request.uncertain ? "-uncertain.h5" : ".h5", room);
        if (!request.output)
            code = CLI_BAD;
        else if (request.uncertain)
            code = run_uncertain(settings, &request);
        else if (!cli_output_allowed(request.output, request.force, 1, &request.scenario))
            code = CLI_BAD;
        else
            code = run_once(settings, &request);
    }
    free(texts);
    return code;
}

int cli_run(int argc, char **argv)
{
    return cli_with_settings(argc, argv, prepare);
}
