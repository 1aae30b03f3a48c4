/* sim/cli/sheet.c - the options that all sheets have, and their printing. */
#include "cli/sheet.h"

#include <stdio.h>
#include <string.h>

#include "base/status.h"
#include "scenario/units.h"

int cli_sheet_check(const char *command, cli_sheet *o, int n, const char *const input[])
{
    if (o->units && strcmp(o->units, "metric") != 0 && strcmp(o->units, "us") != 0)
        return cli_bad_usage(command, "--units: found '%.80s', expected metric or us", o->units);
    if (o->paper && strcmp(o->paper, "a4") != 0 && strcmp(o->paper, "letter") != 0)
        return cli_bad_usage(command, "--paper: found '%.80s', expected a4 or letter", o->paper);
    if (o->paper && !o->output) return cli_bad_usage(command, "--paper goes with --output, the page that is printed");
    o->system = o->units && strcmp(o->units, "us") == 0 ? SHEET_US : SHEET_METRIC;
    o->on = o->paper ? (strcmp(o->paper, "a4") == 0 ? SHEET_A4 : SHEET_LETTER)
                     : (o->system == SHEET_METRIC ? SHEET_A4 : SHEET_LETTER);
    for (int i = 0; i < n; i++)
        if (input[i] && !cli_input_readable(input[i])) return CLI_BAD;
    return o->output && !cli_output_allowed(o->output, o->force, n, input) ? CLI_BAD : CLI_GO;
}

int cli_sheet_end(const cli_sheet *o, sheet *s, drupelet_status status)
{
    if (status.code == DRUPELET_OK) status = sheet_status(s);
    if (status.code == DRUPELET_OK && o->output) status = sheet_write_page(s, o->on, o->output, o->force);
    if (status.code == DRUPELET_OK) {
        (o->json ? sheet_print_json : sheet_print_text)(s, stdout);
        if (o->output) cli_say("wrote %s", o->output);
    }
    sheet_free(s);
    return cli_end(status);
}

bool cli_read_quantity(const char *command, const char *option, const char *text, const scenario_key *key,
                       double *value)
{
    const scenario_reading reading = scenario_units_read(key->kind, text, value, NULL);
    const double low = scenario_units_to_si(key->kind, key->unit, key->low),
                 high = scenario_units_to_si(key->kind, key->unit, key->high),
                 slack = 1e-12 * high; /* the same value in another unit may miss the limit by a rounding */
    if (reading == SCENARIO_READ && *value >= low - slack && *value <= high + slack) return true;
    char spellings[120];
    scenario_kind_units(key->kind, spellings, sizeof spellings);
    cli_bad_usage(command, "%s: found '%.80s', expected %s from %g %s to %g %s (in %s)", option, text,
                  scenario_kind_name(key->kind), key->low, key->unit, key->high, key->unit, spellings);
    return false;
}

bool cli_read_area(const char *command, const char *text, double *area_m2)
{
    char reason[SHEET_REASON];
    if (sheet_read_area(text, area_m2, reason)) return true;
    cli_bad_usage(command, "--area: %s", reason);
    return false;
}

bool cli_read_dose(const char *command, const char *text, sheet_dose *dose)
{
    char reason[SHEET_REASON];
    if (sheet_read_dose(text, dose, reason)) return true;
    cli_bad_usage(command, "--dose: %s", reason);
    return false;
}

drupelet_status cli_sheet_work(const char *path, const drupelet_scenario *scenario, sprayer_work *work)
{
    const drupelet_status status = sprayer_work_out(scenario, work);
    if (status.code != DRUPELET_OK || !work->stands) return status;
    return base_error(
        DRUPELET_SCENARIO,
        "%s: sprayer.travel_speed: found 0, expected a speed above 0: a sprayer that stands still sprays no "
        "block",
        path);
}
