/* tests/fuzz/targets.c - the readers of the program, each fed with bytes. */
#define _POSIX_C_SOURCE 200809L
#include "targets.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/number.h"
#include "drupelet/drupelet.h"
#include "report/score.h"
#include "scenario/scenario.h"
#include "scenario/units.h"
#include "store/canopy_file.h"
#include "store/journal.h"
#include "store/store.h"
#include "store/sweep_file.h"
#include "../hostile_file.h"
#include "../synthetic_sweep.h"
#include "sweep/plan.h"

const char *fuzz_file(const uint8_t *bytes, size_t n)
{
    static char path[64];
    if (!path[0])
        snprintf(path, sizeof path, "%s/drupelet-fuzz-%ld", access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp",
                 (long)getpid());
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

/* In a wind that is quick to make. */
static drupelet_result *small_result(void)
{
    static drupelet_scenario *scenario;
    static drupelet_result *result;
    if (!result) {
        must(read_text(small_scenario(), "run.wind=profiles", &scenario));
        must(drupelet_run(scenario, &(drupelet_run_options){.n_threads = 1, .n_droplets = 1000}, &result));
    }
    return result;
}

/* ---- text ---- */

static void try_scenario(const uint8_t *bytes, size_t n)
{
    drupelet_scenario *scenario;
    read_text((text_part){(const char *)bytes, n}, NULL, &scenario);
    drupelet_scenario_free(scenario);
}

static void try_setting(const uint8_t *bytes, size_t n)
{
    char *setting = text_of(bytes, n);
    drupelet_scenario *scenario = NULL;
    read_text(small_scenario(), setting, &scenario);
    drupelet_scenario_free(scenario);
    free(setting);
}

static void try_plan(const uint8_t *bytes, size_t n)
{
    char *text = text_of(bytes, n);
    sweep_plan *plan = NULL;
    const drupelet_status status =
        sweep_plan_read_text("/nowhere/plan.yaml", text, "/nowhere/fuzz.yaml", small_scenario().text, &plan);
    for (int64_t c = 0; status.code == DRUPELET_OK && c < plan->n_cases && c < 3; c++) {
        drupelet_scenario *scenario = NULL;
        sweep_plan_scenario(plan, c, &scenario);
        drupelet_scenario_free(scenario);
    }
    sweep_plan_free(plan);
    free(text);
}

static void try_units(const uint8_t *bytes, size_t n)
{
    char *text = text_of(bytes, n);
    for (int kind = 0; kind < SCENARIO_KINDS; kind++) {
        double value;
        scenario_units_read((scenario_quantity_kind)kind, text, &value, NULL);
        scenario_kind_respelled((scenario_quantity_kind)kind, text);
    }
    free(text);
}

static void try_trial(const uint8_t *bytes, size_t n)
{
    score_list list;
    report_score_read(fuzz_file(bytes, n), small_result(), &list);
    report_score_free(&list);
}

static void try_canopy(const uint8_t *bytes, size_t n)
{
    scenario_measured_canopy *canopy = NULL;
    store_canopy_read(fuzz_file(bytes, n), &canopy);
    scenario_measured_free(canopy);
}

/* ---- binary ---- */

static void try_result(const uint8_t *bytes, size_t n)
{
    drupelet_result *result;
    store_read(fuzz_file(bytes, n), &result);
    drupelet_result_free(result);
}

static void try_sweep(const uint8_t *bytes, size_t n)
{
    store_sweep sweep;
    store_sweep_read(fuzz_file(bytes, n), &sweep);
    store_sweep_free(&sweep);
}

static void try_journal(const uint8_t *bytes, size_t n)
{
    store_journal *journal = NULL;
    if (store_journal_open(fuzz_file(bytes, n), true, &journal).code != DRUPELET_OK)
        return;
    for (int64_t i = 0; i < store_journal_records(journal); i++) {
        const void *record;
        size_t length;
        store_journal_read(journal, i, &record, &length);
    }
    store_journal_close(journal);
}

const fuzz_target fuzz_targets[] = {
    {"scenario", try_scenario, "scenarios/*.yaml", 0},
    {"setting", try_setting, "", 0},
    {"plan", try_plan, "scenarios/plans/*.yaml", 0},
    {"units", try_units, "", 0},
    {"trial", try_trial, "", 0},
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
    put(folder, "units-1", "7 bar");
    put(folder, "units-2", "-1.5e3 gal/acre");
    put(folder, "trial-1", "kind,distance_m,value,unit\nground,5,1.0,percent\nground,10,0.4,percent\n");
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
