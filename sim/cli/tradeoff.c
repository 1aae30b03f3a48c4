/* sim/cli/tradeoff.c - drupelet tradeoff: answers from the result file of a sweep. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "report/tradeoff.h"

static const char help[] =
    "Usage: drupelet tradeoff [OPTION]... SWEEP\n"
    "Draws answers from the result file of a sweep: the trade-off front between on-target deposit and off-target "
    "drift\n"
    "with the settings that make it, the best settings under limits, main effects of the factors, and, where the plan\n"
    "asked for them, sensitivity indices.\n"
    "\n"
    "      --gain NAME         output of which more is better; default: leaf\n"
    "      --loss NAME         output of which less is better; default: ground_5_m\n"
    "      --limit 'NAME < X %'  only points that hold it count for the best settings (or > X); may be repeated\n"
    "      --compare A,B       difference between points A and B, with its standard error\n"
    "      --front FILE        draw the front (SVG)\n"
    "      --effects FILE      draw the main effects (SVG)\n"
    "      --csv FILE          write the table of all cases as comma-separated values\n"
    "      --force             replace files that exist\n"
    "      --json              print the answers as JSON\n"
    "      --outputs           list the outputs and end\n"
    "  -h, --help              print this text\n";

typedef struct {
    report_question question;
    const char *sweep, *front, *effects, *csv;
    bool force, json, outputs;
} tradeoff_request;

static bool read_pair(const char *text, int64_t *a, int64_t *b)
{
    char first[24];
    const char *comma = strchr(text, ',');
    if (!comma || (size_t)(comma - text) >= sizeof first)
        return false;
    snprintf(first, sizeof first, "%.*s", (int)(comma - text), text);
    if (!cli_count(first, INT64_C(1000000000), a) || !cli_count(comma + 1, INT64_C(1000000000), b))
        return false;
    --*a;
    --*b;
    return true;
}

/* CLI_GO or the exit code. */
static int read_options(int argc, char **argv, cli_texts *limits, tradeoff_request *r)
{
    const char *gain = NULL, *loss = NULL, *compare = NULL;
    char reason[240];
    const int code = cli_options(argc, argv, help, (cli_option[]){{"gain", .text = &gain},
                                                                  {"loss", .text = &loss},
                                                                  {"limit", .texts = limits},
                                                                  {"compare", .text = &compare},
                                                                  {"front", .text = &r->front},
                                                                  {"effects", .text = &r->effects},
                                                                  {"csv", .text = &r->csv},
                                                                  {"force", .flag = &r->force},
                                                                  {"json", .flag = &r->json},
                                                                  {"outputs", .flag = &r->outputs},
                                                                  {.name = NULL}});
    if (code != CLI_GO || r->outputs)
        return code;
    r->question = report_question_usual();
    if (gain && (r->question.output[REPORT_GAIN] = report_output_named(gain, reason)) < 0)
        return cli_bad_usage(argv[0], "--gain: %s", reason);
    if (loss && (r->question.output[REPORT_LOSS] = report_output_named(loss, reason)) < 0)
        return cli_bad_usage(argv[0], "--loss: %s", reason);
    if (limits->n > REPORT_LIMITS)
        return cli_bad_usage(argv[0], "--limit: at most %d of them", REPORT_LIMITS);
    for (int i = 0; i < limits->n; i++)
        if (!report_limit_read(limits->text[i], &r->question.limit[r->question.n_limits++], reason))
            return cli_bad_usage(argv[0], "--limit: found '%s': %s", limits->text[i], reason);
    if (compare && !read_pair(compare, &r->question.a, &r->question.b))
        return cli_bad_usage(argv[0], "--compare: found '%s', expected two points, such as 3,7", compare);
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name the result file of one sweep");
    if (r->question.output[REPORT_GAIN] == r->question.output[REPORT_LOSS])
        return cli_bad_usage(argv[0], "--gain, --loss: found %s for both, expected two outputs",
                             result_column_of(r->question.output[REPORT_GAIN]).name);
    report_question_tell_beside(&r->question);
    r->sweep = argv[optind];
    const char *file[3] = {r->front, r->effects, r->csv};
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < i; k++)
            if (file[i] && file[k] && cli_same_file(file[i], file[k]))
                return cli_bad_usage(argv[0], "two outputs are to have one name: %s", file[i]);
    return CLI_GO;
}

static int list_outputs(void)
{
    for (int i = 0; i < result_columns_all(); i++) {
        const result_column o = result_column_of(i);
        printf("%-22s %-8s %s\n", o.name, o.units, o.long_name);
    }
    return CLI_DONE;
}

static drupelet_status write_files(const tradeoff_request *r, const store_sweep *sweep, const report_tradeoff *t)
{
    drupelet_status status = {.code = DRUPELET_OK};
    if (r->front)
        status = report_plot_to(t, report_front_plot, r->front, r->force);
    if (status.code == DRUPELET_OK && r->effects)
        status = report_plot_to(t, report_effects_plot, r->effects, r->force);
    if (status.code == DRUPELET_OK && r->csv)
        status = store_sweep_write_csv(sweep, r->csv, r->force);
    const char *file[3] = {r->front, r->effects, r->csv};
    for (int i = 0; i < 3 && status.code == DRUPELET_OK; i++)
        if (file[i])
            cli_say("wrote %s", file[i]);
    return status;
}

static int answer(int argc, char **argv, cli_texts *limits)
{
    tradeoff_request r = {0};
    int code = read_options(argc, argv, limits, &r);
    if (code != CLI_GO)
        return code;
    if (r.outputs)
        return list_outputs();
    const char *file[3] = {r.front, r.effects, r.csv};
    if (!cli_input_readable(r.sweep))
        return CLI_BAD;
    for (int i = 0; i < 3; i++)
        if (file[i] && !cli_output_allowed(file[i], r.force, 1, &r.sweep))
            return CLI_BAD;
    store_sweep sweep;
    drupelet_status status = store_sweep_read(r.sweep, &sweep);
    if (status.code != DRUPELET_OK)
        return cli_end(status);
    const int64_t n_points = sweep.head.n_cases / sweep.head.n_replicates;
    if (r.question.a >= n_points || r.question.b >= n_points) {
        code = cli_bad_usage(argv[0], "--compare: the sweep has %lld points", (long long)n_points);
    } else {
        report_fan_note fan;
        report_tradeoff *t = calloc(1, sizeof *t);
        status = t ? report_fan_note_of(&sweep, &fan)
                   : (drupelet_status){DRUPELET_MEMORY, "no memory for the answers from the sweep"};
        if (status.code == DRUPELET_OK) status = report_tradeoff_create(&sweep, &r.question, t);
        if (status.code == DRUPELET_OK) {
            report_tradeoff_print(t, &fan, stdout, r.json);
            status = write_files(&r, &sweep, t);
            report_tradeoff_free(t);
        }
        free(t);
        code = cli_end(status);
    }
    store_sweep_free(&sweep);
    return code;
}

int cli_tradeoff(int argc, char **argv)
{
    return cli_with_settings(argc, argv, answer);
}
