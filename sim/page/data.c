/* sim/page/data.c - what a page knows of one result. */
#include <stdio.h>

#include "base/status.h"
#include "page/parts.h"
#include "scenario/scenario.h"
#include "tally/groups.h"

void page_groups(base_json *j)
{
    base_json_open(j, "group_of", '{');
    for (int f = 0; f < TALLY_FATES; f++)
        base_json_words(j, tally_fate_name(f), tally_group_name((int)tally_group_of((tally_fate)f)));
    base_json_close(j, '}');
}

/* Found and bound are written as the sentence has them, so that the page can find them in it. */
static void number_and_unit(base_json *j, const char *key, int digits, double number, const char *unit)
{
    char text[48];
    snprintf(text, sizeof text, "%.*g %s", digits, number, unit);
    base_json_words(j, key, text);
}

static void warnings(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "warnings", '[');
    for (int i = 0; i < r->n_warnings; i++) {
        base_json_open(j, NULL, '{');
        base_json_words(j, "name", r->warning[i].name);
        base_json_words(j, "text", r->warning[i].sentence);
        number_and_unit(j, "found", 3, r->warning[i].value, r->warning[i].unit);
        number_and_unit(j, "bound", 6, r->warning[i].bound, r->warning[i].unit);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

drupelet_status page_result(base_json *j, const char *file_name, const drupelet_result *r, bool whole)
{
    char seed[24];
    snprintf(seed, sizeof seed, "%llu", (unsigned long long)r->seed);
    base_json_words(j, "file", file_name);
    base_json_words(j, "name", r->name);
    base_json_words(j, "place", r->place);
    base_json_words(j, "version", r->version);
    base_json_words(j, "seed", seed);
    base_json_number(j, "droplets", (double)r->n_droplets, 15);
    base_json_truth(j, "windless", r->wind_speed_m_s < SCENARIO_STILL_M_S);
    page_groups(j);
    page_quantities(j, r);
    warnings(j, r);
    drupelet_status status = whole ? page_tracks(j, r) : base_ok();
    if (status.code == DRUPELET_OK)
        status = page_canopy(j, r, whole);
    return status;
}
