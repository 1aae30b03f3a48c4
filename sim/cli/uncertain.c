/* sim/cli/uncertain.c - drupelet run --uncertain: makes a plan over what is not known well of a scenario, runs it as
 * the command sweep does, and tells the range of the headlines and what drives it. */
#include "cli/uncertain.h"

#include <stdlib.h>

#include "base/status.h"
#include "cli/progress.h"
#include "cli/sweep.h"
#include "drupelet/drupelet.h"
#include "report/uncertain.h"
#include "scenario/read.h"
#include "sweep/uncertain.h"

#define DROPLETS 20000 /* of a case unless told otherwise; choice: their noise is small beside the spread of inputs */

/* The scenario itself, with as many droplets as a case: what the headlines are without the doubt. */
static drupelet_status run_as_it_stands(const drupelet_scenario *scenario, const cli_uncertain_request *r,
                                        int64_t n_droplets, const report_spread spread[REPORT_HEADLINES],
                                        tally_estimate value[REPORT_HEADLINES])
{
    drupelet_result *result = NULL;
    cli_progress progress;
    const drupelet_run_options options = {.n_droplets = n_droplets, .n_threads = r->n_threads,
                                          .seed_given = r->seed_given, .seed = r->seed,
                                          .progress = cli_progress_step, .user = &progress,
                                          .cache_folder = r->cache->folder, .cache_refused = &r->cache->refused};
    cli_catch_stop();
    cli_progress_start(&progress, r->quiet);
    const drupelet_status status = drupelet_run(scenario, &options, &result);
    cli_line_end(&progress.line);
    for (int h = 0; h < REPORT_HEADLINES && status.code == DRUPELET_OK; h++)
        value[h] = result_column_value(result, spread[h].i_output);
    drupelet_result_free(result);
    return status;
}

static int answer(const drupelet_scenario *scenario, const cli_uncertain_request *r, int64_t n_droplets,
                  const scenario_inputs *inputs)
{
    store_sweep sweep;
    report_spread spread[REPORT_HEADLINES];
    tally_estimate as_it_stands[REPORT_HEADLINES];
    drupelet_status status = store_sweep_read(r->output, &sweep);
    if (status.code == DRUPELET_OK) status = report_spread_of(&sweep, spread);
    if (status.code == DRUPELET_OK) status = run_as_it_stands(scenario, r, n_droplets, spread, as_it_stands);
    if (status.code == DRUPELET_OK)
        report_uncertain_print(&sweep, inputs, spread, as_it_stands, stdout, r->json);
    store_sweep_free(&sweep);
    if (status.code == DRUPELET_STOPPED)
        cli_say("interrupted; the cases are in %s; --resume tells what they say", r->output);
    return status.code == DRUPELET_STOPPED ? CLI_INTERRUPTED : cli_end(status);
}

static int sweep_and_answer(const drupelet_scenario *scenario, const scenario_node *root, const char *text,
                            const cli_uncertain_request *r)
{
    /* by their error the droplets are as many as it takes */
    const bool by_error = scenario->run.target_error > 0.0;
    const int64_t n_droplets = r->n_droplets > 0 ? r->n_droplets : by_error ? 0 : DROPLETS;
    const sweep_uncertain_question question = {.n_samples = r->n_samples, .n_droplets = n_droplets,
                                               .seed_given = r->seed_given, .seed = r->seed,
                                               .n_settings = r->settings->n, .setting = r->settings->text,
                                               .n_known = r->known->n, .known = r->known->text,
                                               .n_ranges = r->range->n, .range = r->range->text};
    sweep_uncertain_plan made;
    sweep_plan *plan = NULL;
    drupelet_status status = sweep_uncertain_make(scenario, root, &question, &made);
    if (status.code == DRUPELET_OK)
        status = sweep_plan_read_text("plan of --uncertain", made.text, r->scenario, text, &plan);
    int code = cli_end(status);
    if (code == CLI_DONE) {
        const cli_made_sweep sweep = {r->output, r->force, r->resume, r->quiet, r->n_threads, r->cache};
        code = cli_sweep_made(plan, &sweep);
    }
    if (code == CLI_DONE || (code == CLI_FAILED && plan && store_sweep_is(r->output))) {
        const int told = answer(scenario, r, n_droplets, &made.inputs);
        if (told != CLI_DONE) code = told;
    }
    sweep_plan_free(plan);
    sweep_uncertain_free(&made);
    return code;
}

int cli_uncertain(const cli_uncertain_request *r)
{
    drupelet_scenario *scenario = NULL;
    scenario_node *root = NULL;
    char *text = NULL;
    size_t n = 0;
    drupelet_status status =
        drupelet_scenario_read(r->scenario, r->settings->text, r->settings->n, &scenario);
    if (status.code == DRUPELET_OK)
        status = scenario_file_text(r->scenario, "a scenario", SCENARIO_MOST_KIB, &text, &n);
    if (status.code == DRUPELET_OK)
        status = scenario_load(r->scenario, text, n, r->settings->text, r->settings->n, &root);
    const int code = status.code == DRUPELET_OK ? sweep_and_answer(scenario, root, text, r) : cli_end(status);
    scenario_node_free(root);
    free(text);
    drupelet_scenario_free(scenario);
    return code;
}
