/* sim/cli/block.c - drupelet block: the job before it is sprayed. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "cli/sheet.h"
#include "scenario/units.h"
#include "sheet/air_fit.h"
#include "sheet/canopy_dose.h"
#include "sheet/cards.h"
#include "sheet/heights.h"
#include "sheet/job.h"

static const char help[] =
    "Usage: drupelet block [OPTION]... SCENARIO\n"
    "The job before it is sprayed: speed and rate, work and tank fills, product, fuel and cost, the spray beside the\n"
    "canopy, the fan's air beside the row, flow by height beside leaves by height, target zones for cards.\n"
    "docs/block-sheet.md explains each. No simulation but that of the fan's air.\n"
    "\n"
    "      --speed SPEED     another travel speed, such as '6 km/h' or '4 mph'\n"
    "      --timed TIME      travel speed from the seconds that a course took, such as '36 s'\n"
    "      --course LENGTH   of that course; default: 50 m, or 100 ft with --units us\n"
    "      --row-length LENGTH  of the rows, such as '200 m': gives passes and turns, and without --area the area\n"
    "      --area AREA       all that is to be sprayed, such as '4 ha' or '10 acre'\n"
    "      --turn TIME       a turn from row to row, such as '25 s'\n"
    "      --refill TIME     a fill of the tank with the way there and back, such as '20 min'\n"
    "      --dose DOSE       of the product, such as '1.5 kg/ha' or '2 pt/100 gal'\n"
    "      --fuel FLOW       of the tractor, such as '9 L/h'\n"
    "      --price ITEM=PRICE  such as product=18/kg, water=2/m3, fuel=1.6/L, labour=22/h, machine=30/h; may be "
    "repeated\n"
    "      --gear NAME=SPEED  a gear and the speed that it drives, such as '2 low=5.1 km/h'; may be repeated\n"
    "      --cards FILE      cards that were read (CSV)\n"
    "      --cover SHARE     what a card must have at least, such as '15 %'\n"
    "      --droplets N      the same in droplets per cm2\n"
    "      --set KEY=VALUE   another value for a key, such as --set 'sprayer.pressure=10 bar'; may be "
    "repeated\n" CLI_SHEET_HELP;

enum { TEXT = 240, MOST_DROPLETS = 100000 };

typedef struct {
    const char *scenario, *cards_file;
    const char *speed, *timed, *course, *row_length, *area, *turn, *refill, *dose, *fuel, *cover;
    cli_texts price, gear;
    int64_t droplets;
    cli_sheet sheet;
    sheet_job job;
    int n_gears;
    sheet_gear gears[SHEET_GEARS];
    sheet_card_limit limit;
    char speed_setting[TEXT];
} block_request;

/* Ranges of what has no key; they keep out slips of the pen (choice). */
static const scenario_key time_key = {
    .path = "", .holds = SCENARIO_IS_QUANTITY, .unit = "s", .kind = SCENARIO_TIME, .low = 1, .high = 36000};
static const scenario_key length_key = {
    .path = "", .holds = SCENARIO_IS_QUANTITY, .unit = "m", .kind = SCENARIO_LENGTH, .low = 1, .high = 5000};
static const scenario_key fuel_key = {
    .path = "", .holds = SCENARIO_IS_QUANTITY, .unit = "L/h", .kind = SCENARIO_LIQUID_FLOW, .low = 0.1, .high = 200};
static const scenario_key cover_key = {
    .path = "", .holds = SCENARIO_IS_QUANTITY, .unit = "%", .kind = SCENARIO_SHARE, .low = 0.1, .high = 100};

/* ---- what was typed in ---- */

static bool take(const char *command, const char *option, const char *text, const scenario_key *key, double *value)
{
    return !text || cli_read_quantity(command, option, text, key, value);
}

static bool take_prices(const char *command, const cli_texts *texts, sheet_job *job)
{
    char reason[SHEET_REASON];
    for (int i = 0; i < texts->n; i++) {
        sheet_price price;
        if (!sheet_read_price(texts->text[i], &price, reason)) {
            cli_bad_usage(command, "--price: %s", reason);
            return false;
        }
        for (int k = 0; k < job->n_prices; k++)
            if (job->price[k].of == price.of) {
                cli_bad_usage(command, "--price: found %s twice, expected each item once",
                              sheet_price_name((int)price.of));
                return false;
            }
        if (price.of == SHEET_PRICE_PRODUCT && (!job->dosed || strcmp(price.unit, job->dose.unit) != 0)) {
            cli_bad_usage(command, "--price: found '%.60s', expected a price in the unit of --dose%s%s", texts->text[i],
                          job->dosed ? ", " : "", job->dosed ? job->dose.unit : "");
            return false;
        }
        if (price.of == SHEET_PRICE_FUEL && isnan(job->fuel_m3_s)) {
            cli_bad_usage(command, "--price: fuel goes with --fuel, what the tractor takes in an hour");
            return false;
        }
        job->price[job->n_prices++] = price;
    }
    return true;
}

static bool take_gears(const char *command, block_request *r)
{
    char reason[SHEET_REASON];
    for (int i = 0; i < r->gear.n; i++) {
        if (r->n_gears == SHEET_GEARS) {
            cli_bad_usage(command, "--gear: at most %d of them", SHEET_GEARS);
            return false;
        }
        if (!sheet_read_gear(r->gear.text[i], &r->gears[r->n_gears++], reason)) {
            cli_bad_usage(command, "--gear: %s", reason);
            return false;
        }
    }
    return true;
}

static bool take_job(const char *command, block_request *r)
{
    sheet_job *job = &r->job;
    job->dosed = r->dose != NULL;
    if ((r->area && !cli_read_area(command, r->area, &job->area_m2))
        || (r->dose && !cli_read_dose(command, r->dose, &job->dose)))
        return false;
    return take(command, "--row-length", r->row_length, &length_key, &job->row_length_m)
           && take(command, "--turn", r->turn, &time_key, &job->turn_s)
           && take(command, "--refill", r->refill, &time_key, &job->refill_s)
           && take(command, "--fuel", r->fuel, &fuel_key, &job->fuel_m3_s)
           && take(command, "--cover", r->cover, &cover_key, &r->limit.cover) && take_prices(command, &r->price, job)
           && take_gears(command, r);
}

/* The travel speed of --speed or of a timed course becomes a setting. */
static bool take_speed(const char *command, block_request *r, cli_texts *settings)
{
    const scenario_key *key = scenario_key_of("sprayer.travel_speed");
    double speed_m_s = 0.0;
    if (r->speed && !cli_read_quantity(command, "--speed", r->speed, key, &speed_m_s)) return false;
    if (r->timed) {
        r->job.course_m = scenario_units_to_si(SCENARIO_LENGTH, r->sheet.system == SHEET_US ? "ft" : "m",
                                               r->sheet.system == SHEET_US ? 100.0 : 50.0);
        if (!take(command, "--timed", r->timed, &time_key, &r->job.timed_s)
            || !take(command, "--course", r->course, &length_key, &r->job.course_m))
            return false;
        speed_m_s = r->job.course_m / r->job.timed_s;
        const double high_m_s = scenario_units_to_si(key->kind, key->unit, key->high);
        if (speed_m_s > high_m_s) {
            cli_bad_usage(command, "--timed: found '%.60s' over %.4g m, expected a speed of at most %g %s", r->timed,
                          r->job.course_m, key->high, key->unit);
            return false;
        }
    }
    if (r->speed || r->timed) {
        snprintf(r->speed_setting, TEXT, "sprayer.travel_speed=%.17g m/s", speed_m_s);
        settings->text[settings->n++] = r->speed_setting; /* after all --set, so that it counts */
    }
    return true;
}

/* CLI_GO or the exit code. */
static int read_options(int argc, char **argv, cli_texts *settings, block_request *r)
{
    const int code = cli_options(argc, argv, help,
                                 (cli_option[]){{"speed", .text = &r->speed},
                                                {"timed", .text = &r->timed},
                                                {"course", .text = &r->course},
                                                {"row-length", .text = &r->row_length},
                                                {"area", .text = &r->area},
                                                {"turn", .text = &r->turn},
                                                {"refill", .text = &r->refill},
                                                {"dose", .text = &r->dose},
                                                {"fuel", .text = &r->fuel},
                                                {"price", .texts = &r->price},
                                                {"gear", .texts = &r->gear},
                                                {"cards", .text = &r->cards_file},
                                                {"cover", .text = &r->cover},
                                                {"droplets", .count = &r->droplets, .most = MOST_DROPLETS},
                                                {"set", .texts = settings, .with_key = true},
                                                CLI_SHEET_OPTIONS(&r->sheet),
                                                {.name = NULL}});
    if (code != CLI_GO) return code;
    if (optind + 1 != argc) return cli_bad_usage(argv[0], "name one scenario file");
    if (r->speed && r->timed) return cli_bad_usage(argv[0], "--speed goes without --timed, which gives the speed");
    if (r->course && !r->timed) return cli_bad_usage(argv[0], "--course goes with --timed");
    if (r->turn && !r->row_length)
        return cli_bad_usage(argv[0], "--turn goes with --row-length, which counts the turns");
    r->scenario = argv[optind];
    const char *const input[] = {r->scenario, r->cards_file};
    const int checked = cli_sheet_check(argv[0], &r->sheet, 2, input);
    if (checked != CLI_GO) return checked;
    if (r->droplets > 0) r->limit.droplets_1_cm2 = (double)r->droplets;
    return take_job(argv[0], r) && take_speed(argv[0], r, settings) ? CLI_GO : CLI_BAD;
}

/* ---- the sheet ---- */

static drupelet_status put_all(const block_request *r, const drupelet_scenario *scenario, const sprayer_work *work,
                               const sheet_cards *cards, sheet *s)
{
    const double layer_m = r->sheet.system == SHEET_US ? scenario_units_to_si(SCENARIO_LENGTH, "ft", 1.0) : 0.25;
    sheet_heights *heights = malloc(sizeof *heights);
    sheet_air_reach *reach = malloc(sizeof *reach);
    drupelet_status status = heights && reach ? base_ok() : base_error(DRUPELET_MEMORY, "no memory left");
    if (status.code == DRUPELET_OK) status = sheet_heights_of(scenario, work, layer_m, heights);
    const bool blows = work->fan_flow_m3_s > 0.0;
    if (status.code == DRUPELET_OK && blows) status = sheet_air_reach_of(scenario, layer_m, reach);
    if (status.code == DRUPELET_OK) {
        sheet_put_job(s, scenario, work, &r->job);
        sheet_put_canopy_dose(s, scenario, work);
        sheet_put_air_fit(s, scenario, work, r->n_gears, r->gears);
        if (blows) sheet_put_air_reach(s, scenario, reach);
        sheet_put_heights(s, scenario, work, heights);
        sheet_put_cards(s, scenario, cards, &r->limit);
    }
    free(reach);
    free(heights);
    return status;
}

static int print_sheet(const block_request *r, const cli_texts *settings)
{
    drupelet_scenario *scenario = NULL;
    sheet *s = NULL;
    sprayer_work *work = malloc(sizeof *work);
    sheet_cards *cards = malloc(sizeof *cards);
    drupelet_status status = work && cards ? base_ok() : base_error(DRUPELET_MEMORY, "no memory left");
    if (status.code == DRUPELET_OK)
        status = drupelet_scenario_read(r->scenario, settings->text, settings->n, &scenario);
    if (status.code == DRUPELET_OK && r->cards_file) status = sheet_cards_read(r->cards_file, cards);
    if (status.code == DRUPELET_OK) status = cli_sheet_work(r->scenario, scenario, work);
    if (status.code == DRUPELET_OK)
        status = sheet_create("Block sheet", scenario->name, scenario->place, r->sheet.system, &s);
    if (status.code == DRUPELET_OK) status = put_all(r, scenario, work, r->cards_file ? cards : NULL, s);
    const int code = cli_sheet_end(&r->sheet, s, status);
    free(cards);
    free(work);
    drupelet_scenario_free(scenario);
    return code;
}

static int prepare(int argc, char **argv, cli_texts *settings)
{
    block_request r = {.job = sheet_job_none(), .limit = {(double)NAN, (double)NAN}};
    r.price.text = calloc((size_t)argc, sizeof *r.price.text);
    r.gear.text = calloc((size_t)argc, sizeof *r.gear.text);
    int code = r.price.text && r.gear.text ? read_options(argc, argv, settings, &r)
                                           : cli_end(base_error(DRUPELET_MEMORY, "no memory left"));
    if (code == CLI_GO) code = print_sheet(&r, settings);
    free(r.gear.text);
    free(r.price.text);
    return code;
}

int cli_block(int argc, char **argv)
{
    return cli_with_settings(argc, argv, prepare);
}
