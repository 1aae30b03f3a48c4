/* tests/fuzz/targets.c - the readers of the program, each fed with bytes. */
#define _POSIX_C_SOURCE 200809L
#include "targets.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "../hostile_file.h"
#include "../synthetic_sweep.h"
#include "base/number.h"
#include "drupelet/drupelet.h"
#include "report/score.h"
#include "result/result.h"
#include "scenario/scenario.h"
#include "scenario/units.h"
#include "sheet/cards.h"
#include "sheet/catch.h"
#include "sheet/hours.h"
#include "sheet/typed.h"
#include "store/canopy_file.h"
#include "store/journal.h"
#include "store/store.h"
#include "store/sweep_file.h"
#include "sweep/plan.h"

const char *fuzz_file(const uint8_t *bytes, size_t n)
{
    static char path[256];
    const char *folder = getenv("TMPDIR");
    if (!folder) folder = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
    if (!path[0]) snprintf(path, sizeof path, "%s/drupelet-fuzz-%ld", folder, (long)getpid());
    FILE *file = fopen(path, "wb");
    if (!file || fwrite(bytes, 1, n, file) != n || fclose(file) != 0)
        abort();
    return path;
}

/* The bytes as text, for free(). */
static char *text_of(const uint8_t *bytes, size_t n)
{
    char *text = malloc(n + 1);
    if (!text)
        abort();
    memcpy(text, bytes, n);
    text[n] = '\0';
    return text;
}

/* A file of the project, for free(). */
static char *whole(const char *name, size_t *n)
{
    char path[512];
    snprintf(path, sizeof path, "%s/%s", DRUPELET_SOURCE, name);
    FILE *file = fopen(path, "rb");
    char *text = malloc(1 << 20);
    if (!file || !text)
        abort();
    *n = fread(text, 1, (1 << 20) - 1, file);
    text[*n] = '\0';
    fclose(file);
    return text;
}

typedef struct { const char *text; size_t n; } text_part;

static text_part small_scenario(void)
{
    static text_part all;
    if (!all.text)
        all.text = whole("tests/data/small-run.yaml", &all.n);
    return all;
}

static drupelet_status read_text(text_part text, const char *setting, drupelet_scenario **scenario)
{
    return drupelet_scenario_read_text("/nowhere/fuzz.yaml", text.text, text.n, &setting, setting ? 1 : 0, scenario);
}

static void must(drupelet_status status)
{
    if (status.code == DRUPELET_OK)
        return;
    fprintf(stderr, "%s\n", status.message);
    abort();
}

/* Paths of droplets would be nine tenths of the file, and each further one is like the first: a search is worth what it
 * tries in its time. */
static void keep_paths(drupelet_result *result, int n)
{
    result->n_tracks = result->n_tracks < n ? result->n_tracks : n;
    result->n_points = 0;
    for (int i = 0; i < result->n_tracks; i++)
        result->n_points += result->track[i].n_points;
}

/* In a wind that is quick to make, with collectors that a trial may name. */
static drupelet_result *small_result(void)
{
    static drupelet_scenario *scenario;
    static drupelet_result *result;
    if (!result) {
        const char *const settings[] = {"run.wind=profiles",
                                        "collectors=[{name: dish 5 m, kind: dish, distance: 5 m}, "
                                        "{name: line 5 m, kind: line, distance: 5 m, to: 6 m, segment: 1 m}]"};
        const text_part text = small_scenario();
        must(drupelet_scenario_read_text("/nowhere/fuzz.yaml", text.text, text.n, settings, 2, &scenario));
        must(drupelet_run(scenario, &(drupelet_run_options){.n_threads = 1, .n_droplets = 1000}, &result));
        keep_paths(result, 3);
    }
    return result;
}

/* ---- text ---- */

static bool try_scenario(const uint8_t *bytes, size_t n)
{
    drupelet_scenario *scenario;
    const bool taken = read_text((text_part){(const char *)bytes, n}, NULL, &scenario).code == DRUPELET_OK;
    drupelet_scenario_free(scenario);
    return taken;
}

static bool try_setting(const uint8_t *bytes, size_t n)
{
    char *setting = text_of(bytes, n);
    drupelet_scenario *scenario = NULL;
    const bool taken = read_text(small_scenario(), setting, &scenario).code == DRUPELET_OK;
    drupelet_scenario_free(scenario);
    free(setting);
    return taken;
}

/* What the plans of the project vary. */
static text_part base_of_plans(void)
{
    static text_part all;
    if (!all.text) all.text = whole("scenarios/apple-wall-full-leaf.yaml", &all.n);
    return all;
}

static bool try_plan(const uint8_t *bytes, size_t n)
{
    char *text = text_of(bytes, n);
    sweep_plan *plan = NULL;
    const drupelet_status status =
        sweep_plan_read_text("/nowhere/plan.yaml", text, "/nowhere/fuzz.yaml", base_of_plans().text, &plan);
    for (int64_t c = 0; status.code == DRUPELET_OK && c < plan->n_cases && c < 3; c++) {
        drupelet_scenario *scenario = NULL;
        sweep_plan_scenario(plan, c, &scenario);
        drupelet_scenario_free(scenario);
    }
    sweep_plan_free(plan);
    free(text);
    return status.code == DRUPELET_OK;
}

static bool try_units(const uint8_t *bytes, size_t n)
{
    char *text = text_of(bytes, n);
    bool taken = false;
    for (int kind = 0; kind < SCENARIO_KINDS; kind++) {
        double value;
        taken |= scenario_units_read((scenario_quantity_kind)kind, text, &value, NULL) == SCENARIO_READ;
        scenario_kind_respelled((scenario_quantity_kind)kind, text);
    }
    free(text);
    return taken;
}

static bool try_trial(const uint8_t *bytes, size_t n)
{
    score_list list;
    const bool taken = report_score_read(fuzz_file(bytes, n), small_result(), &list).code == DRUPELET_OK;
    report_score_free(&list);
    return taken;
}

static bool try_canopy(const uint8_t *bytes, size_t n)
{
    scenario_measured_canopy *canopy = NULL;
    const bool taken = store_canopy_read(fuzz_file(bytes, n), &canopy).code == DRUPELET_OK;
    scenario_measured_free(canopy);
    return taken;
}

/* Each hour is looked at, too: what a file says goes into warnings and a picture. */
static bool try_hours(const uint8_t *bytes, size_t n)
{
    static sheet_hours hours;
    static sheet_hour_found found[SHEET_HOURS_MOST];
    static drupelet_scenario *scenario;
    const sheet_hours_ask ask = {"school", 120.0, 45.0, 12.0, 2.0, -1};
    if (!scenario) must(read_text(small_scenario(), NULL, &scenario));
    if (sheet_hours_read(fuzz_file(bytes, n), &hours).code != DRUPELET_OK) return false;
    for (int i = 0; i < hours.n; i++)
        found[i] = sheet_hour_look(scenario, &ask, &hours.hour[i]);
    free(sheet_hours_picture(&ask, &hours, found, SHEET_METRIC));
    return true;
}

static bool try_catch(const uint8_t *bytes, size_t n)
{
    static sheet_catch caught;
    static drupelet_scenario *scenario;
    if (!scenario) must(read_text(small_scenario(), NULL, &scenario));
    if (sheet_catch_read(fuzz_file(bytes, n), scenario, &caught).code != DRUPELET_OK) return false;
    free(sheet_catch_picture(scenario, &caught));
    return true;
}

static bool try_cards(const uint8_t *bytes, size_t n)
{
    static sheet_cards cards;
    const sheet_card_limit limit = {0.15, 85e4};
    if (sheet_cards_read(fuzz_file(bytes, n), &cards).code != DRUPELET_OK) return false;
    for (int i = 0; i < cards.n; i++)
        sheet_card_passes(&cards.card[i], &limit);
    return true;
}

/* What is typed in for a sheet. */
static bool try_typed(const uint8_t *bytes, size_t n)
{
    char *text = text_of(bytes, n), reason[SHEET_REASON];
    double area_m2;
    sheet_dose dose;
    sheet_price price;
    sheet_gear gear;
    sheet_hours_ask ask = {.i_drift = -1};
    bool taken = sheet_read_area(text, &area_m2, reason);
    taken |= sheet_read_dose(text, &dose, reason);
    taken |= sheet_read_price(text, &price, reason);
    taken |= sheet_read_gear(text, &gear, reason);
    taken |= sheet_side_read(text, &ask, reason);
    free(text);
    return taken;
}

/* ---- binary ---- */

static bool try_result(const uint8_t *bytes, size_t n)
{
    drupelet_result *result;
    const bool taken = store_read(fuzz_file(bytes, n), &result).code == DRUPELET_OK;
    drupelet_result_free(result);
    return taken;
}

static bool try_sweep(const uint8_t *bytes, size_t n)
{
    store_sweep sweep;
    const bool taken = store_sweep_read(fuzz_file(bytes, n), &sweep).code == DRUPELET_OK;
    store_sweep_free(&sweep);
    return taken;
}

static bool try_journal(const uint8_t *bytes, size_t n)
{
    store_journal *journal = NULL;
    if (store_journal_open(fuzz_file(bytes, n), true, &journal).code != DRUPELET_OK) return false;
    for (int64_t i = 0; i < store_journal_records(journal); i++) {
        const void *record;
        size_t length;
        store_journal_read(journal, i, &record, &length);
    }
    store_journal_close(journal);
    return true;
}

const fuzz_target fuzz_targets[] = {
    {"scenario", try_scenario, "scenarios/*.yaml", 0},
    {"setting", try_setting, "", 0},
    {"plan", try_plan, "", 0},
    {"units", try_units, "", 0},
    {"trial", try_trial, "", 0},
    {"hours", try_hours, "", 0},
    {"catch", try_catch, "", 0},
    {"cards", try_cards, "", 0},
    {"typed", try_typed, "", 0},
    {"canopy", try_canopy, "scenarios/*.csv", 0},
    {"canopy-hdf5", try_canopy, "", 1},
    {"result", try_result, "", 1},
    {"sweep", try_sweep, "", 1},
    {"journal", try_journal, "", 0},
};
const int fuzz_n_targets = sizeof fuzz_targets / sizeof fuzz_targets[0];

/* ---- inputs that are good ---- */

static void put(const char *folder, const char *name, const char *text)
{
    char path[512];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    if (!file || fputs(text, file) < 0 || fclose(file) != 0)
        abort();
}

/* A plan of the project without the line that names its scenario: a text alone names none. */
static void put_plan(const char *folder, const char *name, const char *plan)
{
    size_t n;
    char *text = whole(plan, &n), *line = strstr(text, "scenario:");
    if (!line) abort();
    char *end = line + strcspn(line, "\n");
    memmove(line, end, strlen(end) + 1);
    put(folder, name, text);
    free(text);
}

static double any_number(int i_output, int64_t point)
{
    return 1.0 + i_output + (double)point;
}

void fuzz_make_seeds(const char *folder)
{
    char path[512];
    put(folder, "setting-1", "weather.wind_speed=2.5 m/s");
    put(folder, "setting-2", "sprayer.nozzles.3.angle=12 deg");
    put(folder, "setting-3", "sprayer.alleys=[1, 3, 5]");
    put_plan(folder, "plan-1", "scenarios/plans/growth-stage-fan.yaml");
    put_plan(folder, "plan-2", "scenarios/plans/tips-pressure-fan.yaml");
    put_plan(folder, "plan-3", "scenarios/plans/weather-windows.yaml");
    put(folder, "units-1", "7 bar");
    put(folder, "units-2", "-1.5e3 gal/acre");
    put(folder, "trial-1",
        "kind,distance_m,height_m,row,third,side,value,unit,floor\nground,3,,,,,12,percent of rate,0.01\n"
        "airborne,5,3.2,,,,2.0,percent of output per m,\ncanopy,,,1,top,,0.31,uL/cm2,0.01\n"
        "canopy,,1.1,2,,downwind,0.6,uL/cm2,0.01\n");
    put(folder, "trial-2", "name,value,floor\nground_3_m,12,0.01\nairborne_10_m,16.5,\n");
    put(folder, "trial-3",
        "kind,collector,height_m,value,unit,tracer_g_L,area_cm2,error\n"
        "dish,dish 5 m,,98,ug,1.5,400,15\nline,line 5 m,2.5,3,percent of rate,,,\n");
    put(folder, "hours-1",
        "time,temperature_C,humidity_percent,wind_m_s,wind_from_deg,cloud_percent\n"
        "2031-05-14 06:00,11.5,88,1.2,250,20\n2031-05-14T07:00,13,80,2.4,,\n");
    put(folder, "hours-2",
        "time,temperature_F,humidity_percent,wind_mph,wind_km_h\n06:00,52,88,2.5,\n24:00,52,88,,4\n");
    put(folder, "catch-1", "side,nozzle,volume_mL,time_s,pressure_bar\nleft,1,430,60,7\nright,7,5,60,\n");
    put(folder, "catch-2", "side,nozzle,volume_fl_oz,time_s,pressure_psi\nleft,2,14.5,60,100\nleft,3,14,60,\n");
    put(folder, "cards-1", "zone,place,cover_percent,droplets_per_cm2\ntop,inside,12.5,90\nbottom,outside,,140\n");
    put(folder, "typed-1", "1.5 L/ha");
    put(folder, "typed-2", "product=12.50/L");
    put(folder, "typed-3", "school=120 deg");
    put(folder, "typed-4", "B2=5 km/h");
    put(folder, "typed-5", "12 acre");
    snprintf(path, sizeof path, "%s/result-1", folder);
    must(drupelet_result_write(small_result(), path, true));
    store_sweep sweep;
    synthetic_sweep_write(&(synthetic_sweep){.n_replicates = 2, .truth = any_number}, &sweep);
    snprintf(path, sizeof path, "%s/sweep-1", folder);
    hostile_copy(sweep.path, path);
    synthetic_sweep_done(&sweep);
    drupelet_scenario *scenario;
    orchard_canopy *canopy;
    must(read_text(small_scenario(), NULL, &scenario));
    must(orchard_create(scenario, &canopy));
    snprintf(path, sizeof path, "%s/canopy-hdf5-1.h5", folder);
    must(store_canopy_write(scenario, canopy, path, true));
    orchard_free(canopy);
    drupelet_scenario_free(scenario);
    store_journal *journal;
    snprintf(path, sizeof path, "%s/journal-1", folder);
    must(store_journal_create(path, "head", 4, true, &journal));
    must(store_journal_append(journal, "the first", 9, false));
    must(store_journal_append(journal, "the second", 10, false));
    store_journal_close(journal);
}
