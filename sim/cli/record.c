/* sim/cli/record.c - drupelet record: a field record to print, and a sheet for a class. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <math.h>
#include <stdlib.h>

#include "base/status.h"
#include "cli/sheet.h"
#include "sheet/record.h"

static const char help[] =
    "Usage: drupelet record [OPTION]... SCENARIO\n"
    "A field record of the job to print: what the scenario knows is filled in; date, times and names are left blank.\n"
    "With --class: one sheet for a class, with the sprayer's numbers and sums to do by hand.\n"
    "\n"
    "      --product NAME    of the product, as you type it\n"
    "      --dose DOSE       such as '1.5 kg/ha' or '2 pt/100 gal'\n"
    "      --area AREA       that is sprayed, such as '4 ha' or '10 acre'\n"
    "      --class           a sheet for a class instead\n"
    "      --answers         with --class: with the answers\n"
    "      --set KEY=VALUE   another value for a key, such as --set 'sprayer.pressure=10 bar'; may be "
    "repeated\n" CLI_SHEET_HELP;

typedef struct {
    const char *scenario, *dose, *area;
    bool class, answers;
    sheet_job_done job;
    cli_sheet sheet;
} record_request;

/* CLI_GO or the exit code. */
static int read_options(int argc, char **argv, cli_texts *settings, record_request *r)
{
    const int code = cli_options(argc, argv, help,
                                 (cli_option[]){{"product", .text = &r->job.product},
                                                {"dose", .text = &r->dose},
                                                {"area", .text = &r->area},
                                                {"class", .flag = &r->class},
                                                {"answers", .flag = &r->answers},
                                                {"set", .texts = settings, .with_key = true},
                                                CLI_SHEET_OPTIONS(&r->sheet),
                                                {.name = NULL}});
    if (code != CLI_GO) return code;
    if (optind + 1 != argc) return cli_bad_usage(argv[0], "name one scenario file");
    if (r->answers && !r->class) return cli_bad_usage(argv[0], "--answers goes with --class");
    if (r->class && (r->job.product || r->dose || r->area))
        return cli_bad_usage(argv[0], "--class goes without --product, --dose and --area");
    r->scenario = argv[optind];
    r->job.dosed = r->dose != NULL;
    if ((r->area && !cli_read_area(argv[0], r->area, &r->job.area_m2))
        || (r->dose && !cli_read_dose(argv[0], r->dose, &r->job.dose)))
        return CLI_BAD;
    return cli_sheet_check(argv[0], &r->sheet, 1, &r->scenario);
}

static int print_sheet(const record_request *r, const cli_texts *settings)
{
    drupelet_scenario *scenario = NULL;
    sheet *s = NULL;
    sprayer_work *work = malloc(sizeof *work);
    drupelet_status status = work ? drupelet_scenario_read(r->scenario, settings->text, settings->n, &scenario)
                                  : base_error(DRUPELET_MEMORY, "no memory left");
    if (status.code == DRUPELET_OK) status = cli_sheet_work(r->scenario, scenario, work);
    if (status.code == DRUPELET_OK)
        status = sheet_create(r->class ? "Class sheet" : "Field record", scenario->name, scenario->place,
                              r->sheet.system, &s);
    if (status.code == DRUPELET_OK && r->class)
        status = sheet_put_class(s, scenario, work, r->answers);
    else if (status.code == DRUPELET_OK)
        sheet_put_record(s, scenario, work, &r->job);
    const int code = cli_sheet_end(&r->sheet, s, status);
    free(work);
    drupelet_scenario_free(scenario);
    return code;
}

static int prepare(int argc, char **argv, cli_texts *settings)
{
    record_request r = {.job = {.area_m2 = (double)NAN}};
    const int code = read_options(argc, argv, settings, &r);
    return code == CLI_GO ? print_sheet(&r, settings) : code;
}

int cli_record(int argc, char **argv)
{
    return cli_with_settings(argc, argv, prepare);
}
