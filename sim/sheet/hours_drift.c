/* sim/sheet/hours_drift.c - simulates the drift of hours: each is a case of a sweep that is listed, made from the
 * scenario by the keys of its weather. An hour whose weather no scenario can have (frost, storm) is left out and says
 * so. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "result/columns.h"
#include "scenario/keys.h"
#include "scenario/read.h"
#include "scenario/units.h"
#include "sheet/hours.h"

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the hours");
}

static bool within(const char *path, double value_si)
{
    const scenario_key *key = scenario_key_of(path);
    return value_si >= scenario_units_to_si(key->kind, key->unit, key->low)
           && value_si <= scenario_units_to_si(key->kind, key->unit, key->high);
}

/* Why an hour is not simulated; "": it is. */
static const char *left_out(const sheet_hours_ask *ask, const sheet_hour_found *f)
{
    if (f->way == SHEET_AWAY) return "blows away from it";
    if (!within("weather.temperature", f->weather.temperature_K)) return "too cold or warm for a scenario";
    if (!within("weather.wind_speed", f->weather.wind_speed_m_s)) return "too much wind for a scenario";
    if (f->way == SHEET_WAY_UNKNOWN && !isnan(ask->side_deg)) return "no direction in the file";
    return "";
}

/* Keys of the weather that the scenario gives and an hour keeps, such as the roughness of the ground: of the values
 * that it used, those that are not marked as defaults. */
static void write_kept(const char *resolved, FILE *to)
{
    static const char group[] = "weather.";
    static const char *const of_hour[] = {"temperature", "relative_humidity", "wind_speed", "wind_height",
                                          "wind_angle",  "obukhov_length",    "hour",       "cloud",
                                          "day_of_year", "latitude"};
    for (const char *line = resolved; *line != '\0';) {
        const size_t n = strcspn(line, "\n");
        bool kept = strncmp(line, group, sizeof group - 1) == 0 && line[n - 1] != ')';
        const char *key = line + sizeof group - 1;
        for (size_t i = 0; i < sizeof of_hour / sizeof of_hour[0] && kept; i++)
            kept = strncmp(key, of_hour[i], strlen(of_hour[i])) != 0 || key[strlen(of_hour[i])] != ':';
        if (kept) fprintf(to, ", %.*s", (int)(line + n - key), key);
        line += n + (line[n] != '\0');
    }
}

/* The whole weather of a case, so that nothing of the scenario's day stays. */
static void write_case(const scenario_weather *w, const char *resolved, FILE *to)
{
    fprintf(
        to,
        "  - {weather: {temperature: %.9g K, relative_humidity: %.9g %%, wind_speed: %.9g m/s, wind_height: %.9g m, "
        "wind_angle: %.9g deg",
        w->temperature_K, 100.0 * w->relative_humidity, w->wind_speed_m_s, w->wind_height_m,
        w->wind_angle_rad / BASE_DEGREE);
    if (w->day_given)
        fprintf(to, ", hour: %.9g h, cloud: %.9g %%, day_of_year: %d, latitude: %.9g deg", w->hour, 100.0 * w->cloud,
                w->day_of_year, w->latitude_rad / BASE_DEGREE);
    write_kept(resolved, to);
    fputs("}}\n", to);
}

/* The plan of all hours that are simulated. */
static drupelet_status plan_text(const drupelet_scenario *scenario, const char *const *settings, int n_settings,
                                 const sheet_hours *hours, const sheet_hour_found found[], int64_t n_droplets,
                                 char **text)
{
    size_t size = 0;
    FILE *to = open_memstream(text, &size);
    if (!to) return no_memory();
    fputs("name: hours\ndesign: listed\n", to);
    if (n_droplets > 0) fprintf(to, "droplets: %lld\n", (long long)n_droplets);
    if (n_settings > 0) fputs("set:\n", to);
    for (int i = 0; i < n_settings; i++) {
        const char *equals = strchr(settings[i], '=');
        fprintf(to, "  %.*s: %s\n", (int)(equals - settings[i]), settings[i], equals + 1);
    }
    fputs("cases:\n", to);
    for (int i = 0; i < hours->n; i++)
        if (found[i].no_drift[0] == '\0') write_case(&found[i].weather, scenario->resolved, to);
    const bool whole = !ferror(to);
    if (fclose(to) == 0 && whole) return base_ok();
    free(*text);
    *text = NULL;
    return no_memory();
}

/* What a finished case says of its hour. */
static void take(const sheet_hours_ask *ask, const sweep_record *record, sheet_hour_found *f)
{
    double fate_percent[TALLY_FATES];
    if (record->code != DRUPELET_OK) {
        f->no_drift = "could not be simulated";
        return;
    }
    for (int k = 0; k < TALLY_FATES; k++)
        fate_percent[k] = record->measures.value[result_column_named(tally_fate_name(k))].share;
    f->drift = record->measures.value[result_column_named(scenario_drift_numbers[ask->i_drift].name)];
    f->airborne = record->measures.value[result_column_named(scenario_drift_numbers[sheet_hours_airborne(ask)].name)];
    if (tally_aloft_matters(fate_percent)) {
        f->drift = f->airborne = (tally_estimate){(double)NAN, (double)NAN};
        f->no_drift = "not known: much is aloft for long";
    } else if (isnan(f->drift.share)) {
        f->no_drift = "not known";
    }
}

static drupelet_status run_cases(sweep_job *job, const sheet_hours_ask *ask, const sheet_hours *hours,
                                 sheet_hour_found found[], int n_threads)
{
    sweep_record *record = malloc(sizeof *record);
    drupelet_status status = record ? base_ok() : no_memory();
    int64_t i_case = 0;
    for (int i = 0; i < hours->n && status.code == DRUPELET_OK; i++) {
        if (found[i].no_drift[0] != '\0') continue;
        status = sweep_compute(job, i_case++, NULL, n_threads, record);
        if (status.code == DRUPELET_OK) take(ask, record, &found[i]);
        job->progress.n_done++;
        if (job->hooks.show) job->hooks.show(&job->progress, job->hooks.user);
    }
    free(record);
    return status;
}

drupelet_status sheet_hours_simulate(const char *path, const drupelet_scenario *scenario, const char *const *settings,
                                     int n_settings, const sheet_hours_ask *ask, const sheet_hours *hours,
                                     sheet_hour_found found[], int64_t n_droplets, int n_threads,
                                     const sweep_hooks *hooks, air_flow_store winds)
{
    char *base = NULL, *text = NULL;
    size_t n_bytes = 0;
    int n = 0;
    sweep_plan *plan = NULL;
    sweep_job *job = NULL;
    for (int i = 0; i < hours->n; i++) {
        found[i].no_drift = left_out(ask, &found[i]);
        n += found[i].no_drift[0] == '\0';
    }
    if (n == 0) return base_ok();
    drupelet_status status = scenario_file_text(path, "a scenario", SCENARIO_MOST_KIB, &base, &n_bytes);
    if (status.code == DRUPELET_OK) status = plan_text(scenario, settings, n_settings, hours, found, n_droplets, &text);
    if (status.code == DRUPELET_OK) status = sweep_plan_read_text("the hours", text, path, base, &plan);
    if (status.code == DRUPELET_OK) status = sweep_check(plan, (sweep_shard){1, 1}, hooks, NULL, &job);
    if (status.code == DRUPELET_OK) {
        job->winds = winds;
        job->progress.first_s = hooks->now_s(hooks->user);
        status = run_cases(job, ask, hours, found, sweep_threads(n_threads));
    }
    sweep_free(job);
    sweep_plan_free(plan);
    free(text);
    free(base);
    return status;
}
