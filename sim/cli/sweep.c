/* sim/cli/sweep.c - drupelet sweep: runs the cases of a plan and writes one result file. */
#define _POSIX_C_SOURCE 200809L
#include "cli/sweep.h"

#include <errno.h>
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/status.h"
#include "cli/cache.h"
#include "cli/cli.h"
#include "cli/progress.h"

enum { MOST_THREADS = 4096, MOST_SHARDS = 100000, REASONS_SHOWN = 10 };

static const char help[] =
    "Usage: drupelet sweep [OPTION]... PLAN\n"
    "Runs the cases of a plan (YAML; docs/sweeps.md) and writes one result file (HDF5). Finished cases are kept in a\n"
    "journal beside it as they finish: after a stop, a crash or a full disk, --resume goes on from there.\n"
    "\n"
    "  -o, --output FILE     result file; default: the plan's name with .h5, in the current folder\n"
    "      --force           replace a result file and a journal that exist\n"
    "      --resume          keep the finished cases of the journal\n"
    "      --changed         with --resume, after a change of the plan: keep those of them that are in it still\n"
    "      --retry           with --resume: try cases that failed again\n"
    "      --keep-journal    leave the journal when the result file is written\n"
    "      --csv FILE        write the table of results as comma-separated values, too\n"
    "      --dry-run         list the cases and predict the time; simulates a few cases with few droplets for it\n"
    "      --shard I/N       do only part I of N (from 1), for job arrays; leaves a journal\n"
    "      --merge N         make the result file from the journals of N shards\n"
    "      --threads N       threads; default: as many as OpenMP offers. The result does not depend on it\n"
    CLI_CACHE_HELP
    "      --quiet           no progress, no path of the result\n"
    "  -h, --help            print this text\n"
    "\n"
    "Ctrl-C stops a sweep and keeps what is finished. A case that fails is recorded with its reason, the others go "
    "on,\n"
    "and the exit code is 1. drupelet-mpi keeps computed winds only where --cache says so.\n";

typedef struct {
    const char *plan, *output, *csv;
    bool force, resume, changed, retry, keep_journal, dry_run, quiet;
    bool silent; /* the command prints its own answers */
    int n_threads, n_merge;
    sweep_shard shard;
    cli_cache cache;
    char output_name[CLI_PATH], journal[CLI_PATH], folder[CLI_PATH];
} sweep_request;

static bool read_shard(const char *text, sweep_shard *shard)
{
    char first[24];
    int64_t i, n;
    const char *slash = strchr(text, '/');
    if (!slash || (size_t)(slash - text) >= sizeof first)
        return false;
    snprintf(first, sizeof first, "%.*s", (int)(slash - text), text);
    if (!cli_count(first, MOST_SHARDS, &i) || !cli_count(slash + 1, MOST_SHARDS, &n) || i > n)
        return false;
    *shard = (sweep_shard){(int)i, (int)n};
    return true;
}

/* Names of the files beside the result. */
static bool name_files(sweep_request *r)
{
    const size_t length = strlen(r->output);
    const bool h5 = length > 3 && strcmp(r->output + length - 3, ".h5") == 0;
    int n = r->shard.n > 1
                ? snprintf(r->journal, CLI_PATH, "%s.shard-%d-of-%d.journal", r->output, r->shard.i, r->shard.n)
                : snprintf(r->journal, CLI_PATH, "%s.journal", r->output);
    if (n >= CLI_PATH)
        return false;
    n = snprintf(r->folder, CLI_PATH, "%.*s.cases", (int)(h5 ? length - 3 : length), r->output);
    return n < CLI_PATH;
}

/* CLI_GO or the exit code. @param help_text NULL: this rank of several prints none
 * @param cached whether computed winds are kept where no option says so */
static int read_options(int argc, char **argv, const char *help_text, bool cached, sweep_request *r)
{
    const char *shard = NULL;
    int64_t n_threads = 0, n_merge = 0;
    const int code =
        cli_options(argc, argv, help_text,
                    (cli_option[]){{"output", .text = &r->output}, {"force", .flag = &r->force},
                                   {"resume", .flag = &r->resume}, {"changed", .flag = &r->changed},
                                   {"retry", .flag = &r->retry}, {"keep-journal", .flag = &r->keep_journal},
                                   {"csv", .text = &r->csv}, {"dry-run", .flag = &r->dry_run},
                                   {"shard", .text = &shard}, {"merge", .count = &n_merge, .most = MOST_SHARDS},
                                   {"threads", .count = &n_threads, .most = MOST_THREADS},
                                   {"quiet", .flag = &r->quiet}, CLI_CACHE_OPTIONS(&r->cache), {.name = NULL}});
    if (code != CLI_GO)
        return code;
    r->n_threads = (int)n_threads;
    r->n_merge = (int)n_merge;
    r->shard = (sweep_shard){1, 1};
    if (shard && !read_shard(shard, &r->shard))
        return cli_bad_usage(argv[0], "--shard: found '%s', expected I/N such as 3/8, I from 1 to N", shard);
    if (optind == argc)
        return cli_bad_usage(argv[0], "name a plan");
    if (optind + 1 < argc)
        return cli_bad_usage(argv[0], "one plan at a time, found '%s' after '%s'", argv[optind + 1], argv[optind]);
    if ((r->changed || r->retry) && !r->resume)
        return cli_bad_usage(argv[0], "%s goes with --resume", r->changed ? "--changed" : "--retry");
    if (r->n_merge > 0 && (r->shard.n > 1 || r->resume || r->dry_run))
        return cli_bad_usage(argv[0], "--merge goes without --shard, --resume and --dry-run");
    if (r->csv && (r->shard.n > 1 || r->dry_run))
        return cli_bad_usage(argv[0], "--csv: a shard or a dry run makes no table");
    r->plan = argv[optind];
    r->output = cli_output_of(argv[0], r->output, r->plan, ".h5", r->output_name);
    if (!r->output)
        return CLI_BAD;
    if (r->csv && cli_same_file(r->csv, r->output))
        return cli_bad_usage(argv[0], "--csv and --output name the same file");
    if (!name_files(r))
        return cli_bad_usage(argv[0], "the result's name is too long");
    if (r->csv && cli_same_file(r->csv, r->journal))
        return cli_bad_usage(argv[0], "--csv names the journal of the sweep");
    return cli_cache_find(argv[0], cached, &r->cache);
}

static bool is_there(const char *path)
{
    struct stat found;
    return stat(path, &found) == 0;
}

/* Says what is wrong with a sweep's end. */
static int say_end(drupelet_status status, const sweep_request *r, const sweep_job *job)
{
    const long long done = job ? (long long)job->progress.n_done : 0, all = job ? (long long)job->progress.n_cases : 0;
    const bool kept = job && job->n_journals > 0;
    if (status.code == DRUPELET_STOPPED) {
        if (kept)
            cli_say("interrupted; %lld of %lld cases are kept in %s; --resume goes on with them", done, all,
                    r->journal);
        else
            cli_say("interrupted; nothing was written");
        return CLI_INTERRUPTED;
    }
    const int code = cli_end(status);
    if (status.code == DRUPELET_FILE && kept)
        cli_say("%lld of %lld cases are kept in %s; --resume goes on with them", done, all, r->journal);
    return code;
}

/* ---- dry run ---- */

static void list_cases(const sweep_job *job)
{
    const sweep_plan *plan = job->plan;
    printf("%lld cases: %lld points, %d replicate%s, %d air%s.\n\ncase", (long long)job->n_cases,
           (long long)plan->n_points, plan->n_replicates, plan->n_replicates == 1 ? "" : "s", (int)job->n_groups,
           job->n_groups == 1 ? "" : "s");
    for (int f = 0; f < plan->n_factors; f++)
        printf("  %s", plan->factor[f].name);
    printf("  seed\n");
    for (int64_t c = 0; c < job->n_cases && !ferror(stdout); c++) {
        if (!job->wanted[c])
            continue;
        printf("%4lld", (long long)c + 1);
        for (int f = 0; f < plan->n_factors; f++) {
            const sweep_setting s = sweep_plan_setting(plan, c / plan->n_replicates, f);
            printf("  %s", s.text);
        }
        printf("  %llu\n", (unsigned long long)sweep_plan_seed(plan, c));
    }
    putchar('\n');
}

static int dry_run(sweep_job *job, const sweep_request *r, cli_line *line)
{
    sweep_forecast f;
    char total[40];
    list_cases(job);
    fflush(stdout);
    cli_line_say(line, "trying a few cases ...");
    const drupelet_status status = sweep_predict(job, r->n_threads, &f);
    cli_line_end(line);
    if (status.code != DRUPELET_OK)
        return say_end(status, r, NULL);
    cli_time_text(f.total_s, total);
    printf("About %s on %d thread%s: %lld cases of %.3g s (%lld droplets%s) and %lld airs of %.3g s, each on one "
           "thread.\n",
           total, f.n_threads, f.n_threads == 1 ? "" : "s", (long long)f.n_cases, f.case_s, (long long)f.n_droplets,
           f.guessed ? ", as the cases tried needed" : "", (long long)f.n_airs, f.air_s);
    return CLI_DONE;
}

/* ---- results ---- */

static int print_summary(const sweep_job *job, int64_t n_failed, const sweep_request *r)
{
    if (r->silent)
        return n_failed > 0 ? CLI_FAILED : CLI_DONE;
    printf("%s: %lld cases, %lld done, %lld failed\n", job->plan->name, (long long)job->n_cases,
           (long long)(job->n_cases - n_failed), (long long)n_failed);
    printf("Look at them with: drupelet tradeoff %s\n", r->output);
    return n_failed > 0 ? CLI_FAILED : CLI_DONE;
}

static void say_failures(sweep_job *job)
{
    sweep_record *record = malloc(sizeof *record);
    int shown = 0;
    for (int64_t c = 0; record && c < job->n_cases && shown < REASONS_SHOWN; c++)
        if (job->where[c] >= 0 && sweep_recall(job, c, record).code == DRUPELET_OK && record->code != DRUPELET_OK) {
            cli_say("case %lld failed: %s", (long long)c + 1, record->reason);
            shown++;
        }
    free(record);
    if (job->progress.n_failed > shown)
        cli_say("and %lld more; the result file has all reasons", (long long)job->progress.n_failed - shown);
}

static drupelet_status write_table(const sweep_request *r)
{
    store_sweep sweep;
    drupelet_status status = store_sweep_read(r->output, &sweep);
    if (status.code == DRUPELET_OK)
        status = store_sweep_write_csv(&sweep, r->csv, r->force);
    store_sweep_free(&sweep);
    return status;
}

/* Result file, table and summary. */
static int finish(sweep_job *job, const sweep_request *r, bool overwrite)
{
    int64_t n_failed = 0;
    drupelet_status status = sweep_write(job, r->output, overwrite, &n_failed);
    if (status.code == DRUPELET_OK && r->csv) status = write_table(r);
    if (status.code != DRUPELET_OK)
        return say_end(status, r, job);
    const int code = print_summary(job, n_failed, r);
    if (!r->quiet) {
        cli_say("wrote %s", r->output);
        if (r->csv)
            cli_say("wrote %s", r->csv);
    }
    return code;
}

/* Damage is told even to those who want no progress: it may be the first sign of a failing disk. */
static void say_lost(const sweep_job *job, const char *journal)
{
    if (job->lost_bytes > 0)
        cli_say("%s: %lld bytes of damaged or torn records were passed over; their cases count as not done", journal,
                (long long)job->lost_bytes);
}

static int merge(sweep_job *job, const sweep_request *r)
{
    char(*name)[CLI_PATH] = calloc((size_t)r->n_merge, sizeof *name);
    const char **path = calloc((size_t)r->n_merge, sizeof *path);
    drupelet_status status =
        name && path ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the names of shards");
    for (int i = 0; i < r->n_merge && status.code == DRUPELET_OK; i++) {
        if (snprintf(name[i], CLI_PATH, "%s.shard-%d-of-%d.journal", r->output, i + 1, r->n_merge) >= CLI_PATH)
            status = base_error(DRUPELET_SCENARIO, "%s: the name is too long", r->output);
        path[i] = name[i];
    }
    if (status.code == DRUPELET_OK) status = sweep_open_shards(job, r->n_merge, path);
    say_lost(job, "the journals");
    int code = status.code == DRUPELET_OK ? CLI_DONE : cli_end(status);
    if (status.code == DRUPELET_OK && r->csv && !cli_output_apart(r->csv, r->n_merge, path)) {
        code = CLI_BAD;
    } else if (status.code == DRUPELET_OK) {
        code = finish(job, r, r->force);
        if (code == CLI_FAILED)
            say_failures(job);
        if (code == CLI_DONE && !r->keep_journal)
            for (int i = 0; i < r->n_merge; i++)
                remove(path[i]);
    }
    free(path);
    free(name);
    return code;
}

/* ---- the sweep ---- */

/* Is none of the files that the sweep writes one that it reads? Says so. */
static bool outputs_apart(const sweep_request *r, int n, const char *const input[])
{
    return cli_output_apart(r->output, n, input) && cli_output_apart(r->journal, n, input)
           && (!r->csv || cli_output_apart(r->csv, n, input));
}

/* May the outputs be written? Said before work starts. 0 or an exit code; CLI_DONE with done true: nothing is left. */
static int check_outputs(const sweep_request *r, const sweep_plan *plan, bool *overwrite, bool *done)
{
    *done = false;
    *overwrite = r->force;
    const bool out = is_there(r->output), journal = is_there(r->journal);
    const char *const input[] = {plan->file, plan->base_file};
    if (!outputs_apart(r, 2, input) || (r->csv && !cli_output_allowed(r->csv, r->force, 2, input)))
        return CLI_BAD;
    if (r->shard.n == 1 && out && r->resume && !r->force && store_sweep_is_of(r->output, plan->text, plan->base_text)) {
        *overwrite = true; /* the same sweep's */
        *done = !journal;
        return CLI_DONE;
    }
    if (r->shard.n == 1 && !cli_output_allowed(r->output, r->force, 2, input))
        return CLI_BAD;
    if (r->shard.n > 1 && !cli_output_allowed(r->journal, r->force || r->resume, 2, input))
        return CLI_BAD;
    if (r->n_merge == 0 && journal && !r->resume && !r->force) {
        cli_say("%s: holds cases of a sweep that did not end; --resume goes on with them, --force begins anew",
                r->journal);
        return CLI_BAD;
    }
    return CLI_DONE;
}

static int run_cases(sweep_job *job, const sweep_request *r, cli_line *line, bool overwrite,
                     drupelet_status (*run)(sweep_job *, int, void *), void *user)
{
    const sweep_start start = r->changed  ? SWEEP_CHANGED
                              : r->resume ? SWEEP_RESUME
                              : r->force  ? SWEEP_ANEW
                                          : SWEEP_NEW;
    if (job->full_folder && mkdir(job->full_folder, 0777) != 0 && errno != EEXIST)
        return cli_end(base_error(DRUPELET_FILE, "%s: cannot be made: %s", job->full_folder, strerror(errno)));
    drupelet_status status = sweep_open_journal(job, r->journal, start, r->retry);
    say_lost(job, r->journal);
    if (status.code == DRUPELET_OK && r->resume && !r->quiet)
        cli_say("%lld of %lld cases are done already", (long long)job->progress.n_done,
                (long long)job->progress.n_cases);
    if (status.code == DRUPELET_OK) status = run(job, r->n_threads, user);
    cli_line_end(line);
    if (status.code != DRUPELET_OK) return say_end(status, r, sweep_drop_empty_journal(job) ? NULL : job);
    if (r->shard.n > 1) {
        if (!r->quiet)
            cli_say("wrote %s", r->journal);
        say_failures(job);
        return job->progress.n_failed > 0 ? CLI_FAILED : CLI_DONE;
    }
    const int code = finish(job, r, overwrite);
    if (code == CLI_FAILED)
        say_failures(job);
    if (code == CLI_DONE && !r->keep_journal)
        remove(r->journal);
    return code;
}

static air_flow_store winds_of(sweep_request *r)
{
    return (air_flow_store){.folder = r->cache.folder, .refused = &r->cache.refused};
}

static int sweep_plan_of(sweep_plan *plan, sweep_request *r, drupelet_status (*run)(sweep_job *, int, void *),
                         void *user)
{
    bool overwrite = false, done = false;
    const int bad = r->dry_run ? CLI_DONE : check_outputs(r, plan, &overwrite, &done);
    if (bad)
        return bad;
    if (!r->dry_run && done) {
        cli_say("%s: is complete already", r->output);
        return CLI_DONE;
    }
    cli_line line;
    sweep_job *job = NULL;
    cli_catch_stop();
    cli_line_start(&line, r->quiet);
    cli_line_say(&line, "checking the cases ...");
    const sweep_hooks hooks = cli_sweep_hooks(&line);
    const drupelet_status status = sweep_check(plan, r->shard, &hooks, r->folder, &job);
    cli_line_end(&line);
    int code;
    if (job) job->winds = winds_of(r);
    if (status.code != DRUPELET_OK)
        code = say_end(status, r, NULL);
    else if (r->dry_run)
        code = dry_run(job, r, &line);
    else if (!outputs_apart(r, plan->n_canopy_files, (const char *const *)plan->canopy_file))
        code = CLI_BAD;
    else if (r->n_merge > 0)
        code = merge(job, r);
    else
        code = run_cases(job, r, &line, overwrite, run, user);
    cli_cache_end(&r->cache, r->quiet);
    sweep_free(job);
    return code;
}

static drupelet_status run_here(sweep_job *job, int n_threads, void *user)
{
    (void)user;
    return sweep_run_here(job, n_threads);
}

int cli_sweep_made(sweep_plan *plan, const cli_made_sweep *made)
{
    sweep_request *r = calloc(1, sizeof *r);
    if (!r)
        return cli_end(base_error(DRUPELET_MEMORY, "no memory left"));
    *r = (sweep_request){.output = made->output, .force = made->force, .resume = made->resume, .quiet = made->quiet,
                         .silent = true, .n_threads = made->n_threads, .shard = {1, 1}};
    r->cache.folder = made->cache->folder;
    const int code = name_files(r) ? sweep_plan_of(plan, r, run_here, NULL)
                                   : cli_end(base_error(DRUPELET_SCENARIO, "the result's name is too long"));
    free(r);
    return code;
}

int cli_sweep_by(int argc, char **argv, bool cached, drupelet_status (*run)(sweep_job *job, int n_threads, void *user),
                 void *user)
{
    sweep_request *r = calloc(1, sizeof *r);
    if (!r)
        return cli_end(base_error(DRUPELET_MEMORY, "no memory left"));
    int code = read_options(argc, argv, help, cached, r);
    if (code == CLI_GO && !cli_input_readable(r->plan)) {
        code = CLI_BAD;
    } else if (code == CLI_GO) {
        sweep_plan *plan = NULL;
        const drupelet_status status = sweep_plan_read(r->plan, &plan);
        code = status.code == DRUPELET_OK ? sweep_plan_of(plan, r, run, user) : cli_end(status);
        sweep_plan_free(plan);
    }
    free(r);
    return code;
}

int cli_sweep_help(int argc, char **argv, drupelet_status (*serve)(sweep_job *job, int n_threads, void *user),
                   void *user)
{
    sweep_request *r = calloc(1, sizeof *r);
    sweep_plan *plan = NULL;
    sweep_job *job = NULL;
    cli_line line;
    cli_catch_stop();
    cli_line_start(&line, true);
    const sweep_hooks hooks = cli_sweep_hooks(&line);
    int code = r ? read_options(argc, argv, NULL, false, r) : CLI_FAILED;
    if (code == CLI_GO) {
        drupelet_status status = sweep_plan_read(r->plan, &plan);
        if (status.code == DRUPELET_OK) status = sweep_help(plan, &hooks, r->folder, &job);
        if (status.code == DRUPELET_OK) job->winds = winds_of(r);
        if (status.code == DRUPELET_OK) status = serve(job, r->n_threads, user);
        code = status.code == DRUPELET_STOPPED ? CLI_INTERRUPTED : cli_end(status);
    }
    sweep_free(job);
    sweep_plan_free(plan);
    free(r);
    return code;
}

int cli_sweep(int argc, char **argv)
{
    return cli_sweep_by(argc, argv, true, run_here, NULL);
}
