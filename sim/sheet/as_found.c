/* sim/sheet/as_found.c - the scenario with its nozzles as a catch test found them, as a file that runs. The file has
 * every key of the scenario with the settings applied; an entry for both sides becomes one for each. Comments stay
 * behind. */
#define _XOPEN_SOURCE 700 /* realpath */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "drupelet/scenario.h"
#include "scenario/node_write.h"
#include "scenario/read.h"
#include "sheet/catch.h"
#include "store/store.h"

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the scenario as found");
}

/* An entry for one side of a nozzle. */
static void write_nozzle(const scenario_node *entry, bool left, const sheet_caught *found, FILE *to)
{
    fprintf(to, "{side: %s", left ? "left" : "right");
    for (const scenario_node *child = entry->first; child; child = child->next) {
        const bool fault = strcmp(child->key, "worn") == 0 || strcmp(child->key, "plugged") == 0;
        if (strcmp(child->key, "side") == 0 || scenario_node_empty(child) || (fault && found->line > 0)) continue;
        fprintf(to, ", %s: ", child->key);
        scenario_node_write_flow(child, to);
    }
    if (found->state == SHEET_PLUGGED)
        fputs(", plugged: yes", to);
    else if (found->line > 0)
        fprintf(to, ", worn: %.1f %%", 100.0 * found->departure + 0.0);
    fputc('}', to);
}

/* "sprayer.nozzles=[...]", nozzles in the scenario's order: an entry for both sides is a left one, then a right one. */
static void write_setting(const scenario_node *root, const sheet_catch *caught, FILE *to)
{
    const scenario_node *sprayer = scenario_node_find(root, "sprayer");
    const scenario_node *list = sprayer ? scenario_node_find(sprayer, "nozzles") : NULL;
    int i = 0;
    fputs("sprayer.nozzles=[", to);
    for (const scenario_node *entry = list ? list->first : NULL; entry; entry = entry->next) {
        const scenario_node *side = scenario_node_find(entry, "side");
        const bool one = side && !scenario_node_empty(side) && strcmp(side->text, "both") != 0;
        for (int k = 0; k < (one ? 1 : 2) && i < caught->n_nozzles; k++, i++) {
            if (i > 0) fputs(", ", to);
            write_nozzle(entry, one ? strcmp(side->text, "left") == 0 : k == 0, &caught->nozzle[i], to);
        }
    }
    fputc(']', to);
}

/* Closes a text in memory. */
static drupelet_status end_text(FILE *to, char **text)
{
    const bool whole = !ferror(to);
    if (fclose(to) == 0 && whole) return base_ok();
    free(*text);
    *text = NULL;
    return no_memory();
}

static drupelet_status setting_of(const scenario_node *root, const sheet_catch *caught, char **setting)
{
    size_t size = 0;
    FILE *to = open_memstream(setting, &size);
    if (!to) return no_memory();
    write_setting(root, caught, to);
    return end_text(to, setting);
}

/* A canopy file counts from the folder of the scenario; the new file may lie elsewhere. */
static drupelet_status name_canopy(scenario_node *root, const drupelet_scenario *as_found)
{
    const scenario_measured_canopy *measured = as_found->canopy.measured;
    char *whole = measured ? realpath(measured->file, NULL) : NULL;
    if (!whole) return base_ok();
    scenario_node *value = scenario_node_value(whole, root);
    free(whole);
    if (!value) return no_memory();
    value->quoted = true; /* a path may have any character */
    const drupelet_status status = scenario_node_put(root, "canopy.measured", value, root);
    scenario_node_free(value);
    return status;
}

static drupelet_status yaml_of(const char *path, const scenario_node *root, char **yaml)
{
    size_t size = 0;
    FILE *to = open_memstream(yaml, &size);
    if (!to) return no_memory();
    const char *slash = strrchr(path, '/');
    fputs("# Made by drupelet catch: the nozzles as they were found. Without the comments of the scenario, ", to);
    for (const char *c = slash ? slash + 1 : path; *c != '\0'; c++)
        fputc((unsigned char)*c < 0x20 || *c == 0x7f ? '?' : *c, to);
    fputc('\n', to);
    scenario_node_write(root, to);
    return end_text(to, yaml);
}

drupelet_status sheet_as_found(const char *path, const char *const *settings, int n_settings, const sheet_catch *caught,
                               drupelet_scenario **as_found, char **yaml)
{
    char *text = NULL, *setting = NULL;
    const char **all = calloc((size_t)n_settings + 1, sizeof *all);
    size_t n_bytes = 0;
    scenario_node *root = NULL;
    *as_found = NULL;
    *yaml = NULL;
    drupelet_status status =
        all ? scenario_file_text(path, "a scenario", SCENARIO_MOST_KIB, &text, &n_bytes) : no_memory();
    if (status.code == DRUPELET_OK) status = scenario_load(path, text, n_bytes, settings, n_settings, &root);
    if (status.code == DRUPELET_OK) status = setting_of(root, caught, &setting);
    if (status.code == DRUPELET_OK) {
        if (n_settings > 0) memcpy(all, settings, (size_t)n_settings * sizeof *all);
        all[n_settings] = setting;
        status = drupelet_scenario_read(path, all, n_settings + 1, as_found);
    }
    if (status.code == DRUPELET_OK) status = scenario_node_set(root, setting);
    if (status.code == DRUPELET_OK) status = name_canopy(root, *as_found);
    if (status.code == DRUPELET_OK) status = yaml_of(path, root, yaml);
    if (status.code != DRUPELET_OK) {
        drupelet_scenario_free(*as_found);
        *as_found = NULL;
    }
    scenario_node_free(root);
    free(setting);
    free(text);
    free(all);
    return status;
}

drupelet_status sheet_as_found_write(const char *yaml, const char *path, bool overwrite)
{
    store_draft draft;
    drupelet_status status = store_draft_begin(path, overwrite, &draft);
    if (status.code != DRUPELET_OK) return status;
    return store_draft_end(&draft, store_draft_fill(&draft, yaml, strlen(yaml)));
}
