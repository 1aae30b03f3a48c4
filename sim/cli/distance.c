/* sim/cli/distance.c - drupelet distance: how far the ground drift of a result stays above a percentage. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/status.h"
#include "cli/sheet.h"
#include "sheet/threshold.h"
#include "store/store.h"

static const char help[] =
    "Usage: drupelet distance [OPTION]... --below PERCENTAGE RESULT\n"
    "From which distance downwind the ground drift of a result stays below a percentage of the application rate, with\n"
    "errors, and with --reference how much less it drifts than another result with the same seed and model of the "
    "air.\n"
    "These are no buffer zones and no official drift classes.\n"
    "\n"
    "      --below PERCENTAGE  such as '1 %'; may be repeated, eight times at most\n"
    "      --reference RESULT  another result to compare with\n" CLI_SHEET_HELP;

typedef struct {
    const char *result, *reference;
    cli_texts below;
    int n;
    double percent[SHEET_THRESHOLDS];
    cli_sheet sheet;
} distance_request;

/* Its range keeps out slips of the pen (choice). */
static const scenario_key below_key = {
    .path = "--below", .holds = SCENARIO_IS_QUANTITY, .unit = "%", .kind = SCENARIO_SHARE, .low = 1e-6, .high = 100};

/* CLI_GO or the exit code. */
static int read_options(int argc, char **argv, distance_request *r)
{
    const int code = cli_options(argc, argv, help,
                                 (cli_option[]){{"below", .texts = &r->below},
                                                {"reference", .text = &r->reference},
                                                CLI_SHEET_OPTIONS(&r->sheet),
                                                {.name = NULL}});
    if (code != CLI_GO) return code;
    if (optind + 1 != argc) return cli_bad_usage(argv[0], "name one result file");
    if (r->below.n == 0) return cli_bad_usage(argv[0], "name a percentage of the application rate with --below");
    if (r->below.n > SHEET_THRESHOLDS) return cli_bad_usage(argv[0], "--below: at most %d times", SHEET_THRESHOLDS);
    for (r->n = 0; r->n < r->below.n; r->n++) {
        double share = 0.0;
        if (!cli_read_quantity(argv[0], "--below", r->below.text[r->n], &below_key, &share)) return CLI_BAD;
        r->percent[r->n] = 100.0 * share;
    }
    r->result = argv[optind];
    const char *const input[] = {r->result, r->reference};
    return cli_sheet_check(argv[0], &r->sheet, 2, input);
}

static int print_sheet(const distance_request *r)
{
    char reason[240];
    drupelet_result *result = NULL, *reference = NULL;
    sheet *s = NULL;
    drupelet_status status = store_read(r->result, &result);
    if (status.code == DRUPELET_OK && r->reference) status = store_read(r->reference, &reference);
    if (status.code == DRUPELET_OK && !isfinite(result->application_rate_L_ha))
        status = base_error(DRUPELET_SCENARIO, "%s: the sprayer stands still: there is no rate to be a percentage of",
                            r->result);
    if (status.code == DRUPELET_OK && reference && !sheet_comparable(result, reference, reason, sizeof reason))
        status = base_error(DRUPELET_SCENARIO, "%s: %s", r->reference, reason);
    if (status.code == DRUPELET_OK)
        status = sheet_create("Distance to a threshold", result->name, result->place, r->sheet.system, &s);
    if (status.code == DRUPELET_OK) sheet_put_distances(s, result, reference, r->n, r->percent);
    const int code = cli_sheet_end(&r->sheet, s, status);
    drupelet_result_free(reference);
    drupelet_result_free(result);
    return code;
}

int cli_distance(int argc, char **argv)
{
    distance_request r = {0};
    r.below.text = calloc((size_t)argc, sizeof *r.below.text);
    int code = r.below.text ? read_options(argc, argv, &r) : cli_end(base_error(DRUPELET_MEMORY, "no memory left"));
    if (code == CLI_GO) code = print_sheet(&r);
    free(r.below.text);
    return code;
}
